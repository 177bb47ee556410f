"""What to mind before a circuit with storages is built: charged capacitors, opened coils, peaks, polarity.

The thresholds are common practice without a single source; they mark no limit of safety: every caution defers
to local rules, the makers' data and licensed practice.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from math import inf, log

from ..checks.remarks.cautions import RULES, TOUCH_VOLTAGE, Caution, cautions
from ..circuit.elements import Kind
from ..expressions.amounts import amount
from ..expressions.nodes import Symbol
from ..expressions.said import Said
from ..solve.exact import Solution
from .number_course import NumberCourse
from .transient import Transient

_NOTHING = Fraction(1, 10**9)  # of the greatest voltage: less is rounding
_STEPS, _LONG, _MOST = 10, 5.0, 2000  # steps in the fastest change, over so many slowest, at most so many
BURNS = Fraction(1)  # joules in one capacitor: shorting it burns and pits metal (common practice, no source)


def time_cautions(stage: Transient) -> tuple[Caution, ...]:
    """The cautions of one stage: what its numbers call for, and a coil whose current is cut off in any
    case."""
    found = [*_cut_off(stage)]
    if stage.circuit.has_all_numbers:
        for name in stage.circuit.storages:
            if stage.circuit.elements[name].kind is Kind.CAPACITOR:
                found += _charged(stage, name)
            else:
                found += _opened(stage, name)
    deferring = [replace(c, text=(*c.text, RULES)) for c in found]
    steady = _at_rest(stage, stage.end)
    known = {(c.code, c.about) for c in steady}
    between = [replace(c, text=(*c.text, RULES)) for c in _backwards_between(stage)]
    peaks = [c for c in _at_rest(stage, stage.start) if (c.code, c.about) not in known]
    told = {name for c in (*steady, *peaks) if c.code == "caution/battery-backwards" for name in c.about}
    between = [c for c in between if told.isdisjoint(c.about)]
    return (*deferring, *steady, *(replace(c, text=("Just after: ", *c.text)) for c in peaks), *between)


def _backwards_between(stage: Transient) -> Iterator[Caution]:
    """Batteries through which a current that swings runs backwards on its way."""
    circuit = stage.circuit
    batteries = [name for name, element in circuit.elements.items() if element.kind is Kind.BATTERY]
    for name in batteries if circuit.has_all_numbers else ():
        branch, sign = circuit.branch_of(name).name, circuit.pass_of(name).sign
        sign = sign if circuit.value(name).value(circuit.numbers) >= 0 else -sign
        on_the_way = [current * sign for current in _between(_run(stage, branch))]
        if on_the_way and min(on_the_way) < -max(map(abs, on_the_way)) * _NOTHING:
            text: Said = (
                "On the way to its end the current through ",
                Symbol(name),
                " runs backwards: only a battery made to be charged may stand there.",
            )
            yield Caution("caution/battery-backwards", (name,), text)


def _at_rest(stage: Transient, solved: Solution | None) -> list[Caution]:
    """The cautions of a redrawn circuit that are not about what stands for a storage."""
    if solved is None or not stage.circuit.has_all_numbers:
        return []
    found = cautions(solved.circuit, solved)
    return [c for c in found if not set(c.about) & set(stage.circuit.storages)]


def _cut_off(stage: Transient) -> Iterator[Caution]:
    """Coils whose current must stop in no time."""
    for name in stage.circuit.storages:
        if stage.circuit.elements[name].kind is not Kind.COIL or not stage.across(name).burst:
            continue
        text: Said = (
            "The current of ",
            Symbol(name),
            " has no way on when the switch moves. In this sketch its voltage grows without limit; a "
            "real coil "
            "makes a spark at the switch. Fit a resistor or a diode across the coil, and never pull its "
            "lead off "
            "by hand.",
        )
        yield Caution("caution/coil-cut-off", (name,), text)


def _charged(stage: Transient, name: str) -> Iterator[Caution]:
    circuit, numbers = stage.circuit, stage.circuit.numbers
    course = stage.across(name)
    ends = [stage.held[name].value(numbers), course.just_after.value(numbers)]
    ends += [] if course.long_after is None else [course.long_after.value(numbers)]
    ends += _between(stage.run(lambda s: s.across(name)))
    greatest = max(ends, key=abs)
    energy = circuit.value(name).value(numbers) * greatest * greatest / 2
    if abs(greatest) > TOUCH_VOLTAGE:
        yield Caution("caution/capacitor-charged", (name,), _stays_charged(stage, name, abs(greatest)))
    elif energy >= BURNS:
        text: Said = (
            Symbol(name),
            " holds up to ",
            amount(energy, "J", circuit.figures),
            ": shorting it burns.",
        )
        yield Caution("caution/capacitor-energy", (name,), text)
    marked, nothing = circuit.pass_of(name).sign, abs(greatest) * _NOTHING
    if marked and any(voltage * marked > nothing for voltage in ends):
        wrong: Said = (
            "The voltage of ",
            Symbol(name),
            " is against its marked polarity at some time: it must not stand there this way round.",
        )
        yield Caution("caution/capacitor-reversed", (name,), wrong)
    elif not marked and min(ends) < -nothing and max(ends) > nothing:
        turned: Said = (
            "The voltage of ",
            Symbol(name),
            " changes its sign: a capacitor with a marked polarity (electrolytic, tantalum) must not "
            "stand there.",
        )
        yield Caution("caution/capacitor-reversed", (name,), turned)


def _run(stage: Transient, branch: str) -> NumberCourse:
    return stage.run(lambda s: s.currents[branch])


def _between(run: NumberCourse) -> list[Fraction]:
    """Values on the way, close enough to show how far a voltage swings; none where it only goes from its
    start to its end."""
    if len(run.swings) < 2 and not run.turning:
        return []
    rates = [float(swing.rate) for swing in run.swings if swing.rate > 0]
    if not rates:
        return []
    step = min(1 / max(rates), 1 / run.turning if run.turning else inf) / _STEPS
    count = min(int(_LONG / min(rates) / step), _MOST)
    return [Fraction(run.near(k * step)) for k in range(1, count)]


def _stays_charged(stage: Transient, name: str, voltage: Fraction) -> Said:
    """That a capacitor is charged past the touch voltage, and for how long it stays so once sources are
    off."""
    circuit = stage.circuit
    seen = stage.seen[name]
    begin: Said = (
        Symbol(name),
        " is charged up to ",
        amount(voltage, "V", circuit.figures),
        ", and stays charged when the supply is switched off. ",
    )
    if seen is None:
        return (
            *begin,
            "Nothing in the circuit discharges it: fit a discharge resistor, and measure before touching.",
        )
    tau = (seen * circuit.value(name)).value(circuit.numbers)
    time = Fraction(float(tau) * log(voltage / TOUCH_VOLTAGE))
    return (
        *begin,
        "With every source replaced by a wire it takes ",
        amount(time, "s", 2),
        " to fall below ",
        amount(TOUCH_VOLTAGE, "V", 2),
        "; with the supply taken off it may take much longer. Measure before touching.",
    )


def _opened(stage: Transient, name: str) -> Iterator[Caution]:
    """Coils that put out more than the touch voltage just after."""
    circuit = stage.circuit
    voltage = abs(stage.across(name).just_after.value(circuit.numbers))
    if voltage <= TOUCH_VOLTAGE:
        return
    text: Said = (
        "Just after, ",
        Symbol(name),
        " has ",
        amount(voltage, "V", circuit.figures),
        " across it. Fit a resistor or a diode across the coil, and keep hands off while the switch moves.",
    )
    yield Caution("caution/coil-voltage", (name,), text)
