"""What to mind before the circuit is built, from its numbers.

The thresholds are common practice without a single source, except where a line names one. They help
to notice a hazard; they replace no rule: every caution defers to local rules, the makers' data and
licensed practice. Figures known to us from memory only are left out.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from ...algebra.ratios import Ratio
from ...circuit.circuit import Circuit
from ...circuit.elements import Kind
from ...expressions.amounts import amount, exactly
from ...expressions.nodes import Symbol
from ...expressions.said import Said, in_a_row, names
from ...solve.exact import Solution

LARGE_POWER = Fraction(50)  # W; more is no resistor of a teaching laboratory but a load: common practice
USUAL_RATING = Fraction(1, 4)  # W; the usual small resistor of a teaching laboratory: common practice
LARGE_CURRENT = Fraction(10)  # A; schools' safety advice treats more as a burn hazard even at low voltage
TOUCH_VOLTAGE = Fraction(60)  # V d.c.; the usual touch limit, e.g. IEC 60598-1 for luminaires

RULES = " Local rules, the makers' data and licensed practice come first."


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution. `about`: the elements or points concerned; `text` ends by deferring to the rules."""

    code: str
    about: tuple[str, ...]
    text: Said


def cautions(circuit: Circuit, solution: Solution) -> tuple[Caution, ...]:
    """The cautions that the circuit's numbers call for; none where numbers are missing."""
    found = [
        *_backwards(circuit, solution),
        *_short_circuits(circuit, solution),
        *_voltages(circuit, solution),
        *_powers(circuit, solution),
    ]
    return tuple(Caution(c.code, c.about, (*c.text, RULES)) for c in found)


def _powers(circuit: Circuit, solution: Solution) -> Iterator[Caution]:
    """Resistors past their rating, or past half of it: the usual working limit."""
    past: list[tuple[str, Fraction]] = []
    warm: list[tuple[str, Fraction]] = []
    loads: list[tuple[str, Fraction]] = []
    for b in circuit.branches:
        for p in b.passes:
            if circuit.elements[p.element].kind is not Kind.RESISTOR:
                continue
            power = _power(circuit, solution, b.name, p.element)
            rating = circuit.ratings.get(p.element, USUAL_RATING)
            if power is not None and p.element not in circuit.ratings and _is_load(p.element, power):
                loads.append((p.element, power))
            elif power is not None and power > rating / 2:
                (past if power > rating else warm).append((p.element, power))
    if past:
        end: Said = (". Take resistors rated for at least twice the power; they get hot enough to burn.",)
        yield Caution(
            "caution/resistor-power", tuple(n for n, _ in past), (*_heat(circuit, past, "past "), *end)
        )
    large = [(name, power) for name, power in loads if power > LARGE_POWER]
    if large:
        takes = in_a_row([(Symbol(n), " takes in ", amount(p, "W", circuit.figures)) for n, p in large])
        text: Said = (
            *takes,
            ". What stands there must be made for that power; it can get hot enough to burn.",
        )
        yield Caution("caution/load-power", tuple(n for n, _ in large), text)
    if warm:
        end = (". It is usual to stay below half the rating.",)
        told = _heat(circuit, warm, "past half of ")
        yield Caution("caution/resistor-warm", tuple(n for n, _ in warm), (*told, *end))


def _is_load(name: str, power: Fraction) -> bool:
    """Whether what stands there is a lamp, a motor or a heater rather than a small resistor."""
    return power > LARGE_POWER or not name.startswith("R")


def _heat(circuit: Circuit, hot: Sequence[tuple[str, Fraction]], how: str) -> Said:
    """Each resistor with its power, and what it is past: its own rating where one is stated."""
    told: list[Said] = []
    for name, power in hot:
        stated = circuit.ratings.get(name)
        own: Said = () if stated is None else (f" ({how}its rating of ", exactly(stated, "W"), ")")
        turned: Said = (Symbol(name), " turns ", amount(power, "W", circuit.figures), " into heat")
        told.append((*(turned if not told else (Symbol(name), " ", turned[2])), *own))
    usual: Said = (f", {how}the usual small resistor's ", exactly(USUAL_RATING, "W"))
    unstated = any(name not in circuit.ratings for name, _ in hot)
    return (*in_a_row(told), *(usual if unstated else ()))


def _power(circuit: Circuit, solution: Solution, branch: str, element: str) -> Fraction | None:
    current, resistance = solution.in_numbers[branch], solution.number(circuit.value(element))
    return None if current is None or resistance is None else current * current * resistance


def _backwards(circuit: Circuit, solution: Solution) -> Iterator[Caution]:
    """Batteries into whose + terminal current is driven."""
    driven = [
        (p.element, abs(current))
        for b in circuit.branches
        if (current := solution.in_numbers[b.name]) is not None
        for p in b.passes
        if circuit.elements[p.element].kind is Kind.BATTERY
        and current * p.sign * _polarity(circuit, solution, p.element) < 0
    ]
    if not driven:
        return
    told: list[Said] = [
        (
            Symbol(name),
            " is driven backwards: ",
            amount(current, "A", circuit.figures),
            " runs into its + terminal",
        )
        for name, current in driven
    ]
    text: Said = (
        *in_a_row(told),
        f" and charges {'it' if len(driven) == 1 else 'them'}. Never do this to primary cells (alkaline,"
        " zinc-carbon, lithium): they can leak or burst. An ordinary bench supply in"
        f" {'its' if len(driven) == 1 else 'their'} place cannot take current in: its voltage rises and the"
        " readings stop matching.",
    )
    yield Caution("caution/battery-backwards", tuple(name for name, _ in driven), text)


def _polarity(circuit: Circuit, solution: Solution, battery: str) -> int:
    """+1 where the + terminal of a battery is where its sign says, −1 where a negative number turns it
    round, 0 for an emf of zero; +1 too where there is no number."""
    emf = solution.number(circuit.value(battery))
    return 1 if emf is None else (emf > 0) - (emf < 0)


def _short_circuits(circuit: Circuit, solution: Solution) -> Iterator[Caution]:
    """Batteries that would drive a very large current through a wire across them."""
    strong: list[tuple[str, Fraction]] = []
    for name in (p.element for b in circuit.branches for p in b.passes):
        internal = circuit.internal_resistance(name)
        if not internal:
            continue
        emf, r = solution.number(circuit.value(name)), solution.number(internal)
        if emf is not None and r and abs(emf / r) > LARGE_CURRENT:
            strong.append((name, abs(emf / r)))
    if not strong:
        return
    told = [
        (
            "A wire across " if not at else "one across ",
            Symbol(name),
            " would carry about ",
            amount(most, "A", 2),
        )
        for at, (name, most) in enumerate(strong)
    ]
    text: Said = (
        *in_a_row(told),
        "; more than ",
        exactly(LARGE_CURRENT, "A"),
        " makes wires and tools red hot at any voltage. Put a fuse or a current limit next to"
        f" {'it and connect it' if len(strong) == 1 else 'each and connect them'} last.",
    )
    yield Caution("caution/short-circuit-current", tuple(name for name, _ in strong), text)


def _voltages(circuit: Circuit, solution: Solution) -> Iterator[Caution]:
    """Sources, or points against one another, above the touch limit."""
    sources = [p.element for b in circuit.branches for p in b.passes if circuit.elements[p.element].has_sign]
    emfs = {n: solution.number(circuit.value(n)) for n in sources if circuit.elements[n].kind is Kind.BATTERY}
    tall = {name: emf for name, emf in emfs.items() if emf is not None and abs(emf) > TOUCH_VOLTAGE}
    end: Said = (
        ", above ",
        exactly(TOUCH_VOLTAGE, "V"),
        " d.c.: live parts must not be touchable, and such a circuit is not for an open bench.",
    )
    if tall:
        most = max(tall.values(), key=abs)
        verb = " has " if len(tall) == 1 else " have up to "
        yield Caution(
            "caution/voltage",
            tuple(tall),
            (*names(tuple(tall)), verb, amount(abs(most), "V", circuit.figures), *end),
        )
        return
    if not circuit.numbers and all(isinstance(e.value, Symbol) for e in circuit.elements.values()):
        return  # no source has a number, so no voltage has
    known = [abs(emf) for emf in emfs.values() if emf is not None]
    if len(known) == len(sources) and sum(known) <= TOUCH_VOLTAGE:
        return  # each emf alone sets no two points further apart than itself (superposition)
    pair = _widest(solution.potentials, solution)
    if pair is not None and pair[2] > TOUCH_VOLTAGE:
        a, b, difference = pair
        text: Said = (f"Between {a} and {b} lie ", amount(difference, "V", circuit.figures), *end)
        yield Caution("caution/voltage", (a, b), text)


def _widest(
    potentials: Mapping[str, tuple[int, Ratio]], solution: Solution
) -> tuple[str, str, Fraction] | None:
    """The two points of one part whose potentials differ most."""
    levels: dict[int, list[tuple[Fraction, str]]] = {}
    for point, (part, level) in potentials.items():
        number = solution.number(level)
        if number is not None:
            levels.setdefault(part, []).append((number, point))
    spans = [(max(found), min(found)) for found in levels.values()]
    if not spans:
        return None
    high, low = max(spans, key=lambda span: span[0][0] - span[1][0])
    return high[1], low[1], high[0] - low[0]
