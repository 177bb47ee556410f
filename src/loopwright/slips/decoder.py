"""Final numbers read without a working: right, or of which single slip, and which law they break.

The numbers are compared exactly, within what their written figures can bear. Where it is not said that
they follow the circuit's arrows, a sign may be that of an arrow drawn the other way. Two slips made at
once are not looked for.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from ..circuit.circuit import Circuit
from ..circuit.names import listed
from ..circuit.targets import HEAT, SOURCES, Asked, Target, target
from ..errors import FaultyMaterial
from ..findings import Finding
from ..quantities import Quantity, read_unit
from .broken_laws import broken_laws
from .decoded import Closeness, Decoded, Given, LoneSlip, Match, Right, rank
from .settings import SettingInNumbers, sum_of, voltage_name
from .slip_classes import SlipClass
from .slip_table import SlipTable, slip_table

UNIT_OF = {Asked.CURRENT: "A", Asked.POTENTIAL: "V", Asked.POWER: "W"}


def decode(
    circuit: Circuit,
    numbers: Mapping[str, Quantity | Fraction],
    *,
    arrows: Mapping[str, int] | None = None,
    policy: Closeness | None = None,
    table: SlipTable | None = None,
) -> Decoded:
    """What these final numbers tell about how they were found.

    `numbers`: by name: currents (`I1`), and where wanted `V(a, b)` and `P(R1)`; some are enough.
    Quantities count as rounded to their figures, fractions as exact. `arrows`: for each current, +1
    where it is counted along the circuit's arrow, −1 against it; with None a number's sign may be
    that of another arrow (in a wrong answer, of one). `table`: the slips looked for; by default
    all of `slip_table(circuit, every_set=True)`. Raises FaultyMaterial for a circuit without numbers
    and for names or units that do not fit.
    """
    known = table or slip_table(circuit, every_set=True)
    rule = policy or Closeness()
    given, unit = _in_one_unit(_given(circuit, numbers, arrows or {}), known.here)
    free = arrows is None
    zero = rule.floor * max((abs(v) for v in known.right.values()), default=Fraction(0))
    truth = _truth(known.here, given)
    right = _right(given, truth, rule, zero, free)
    matches = [
        match
        for slips in known.classes
        if slips.hidden != "always" and (match := _match(given, slips, rule, zero, free, circuit)) is not None
    ]
    if right is not None and not right.turned:
        matches = [match for match in matches if not match.turned]
    if right is not None and right.exact:
        matches = [match for match in matches if match.exact]
    named = {g.name: g for g in given}
    complete = all(name in named for name in circuit.currents)
    allowed = {g.name: g.allowed(g.value, rule) for g in given}
    values = {g.name: g.value for g in given}
    off = [g for g in given if not _fits(g, truth[g.name], rule, zero)]
    lone = _lone(off[0], truth, circuit) if len(off) == 1 < len(given) and right is None else None
    open_ = [
        slips
        for slips in known.open_
        if complete and right is None and lone is None and any(_allows(known.here, slips, values, allowed))
    ]
    near = bool(off) and all(
        abs(g.value - truth[g.name]) <= max(abs(truth[g.name]) / 50, zero) for g in given
    )
    return Decoded(
        given,
        right,
        tuple(sorted(matches, key=rank)),
        tuple(open_),
        lone,
        near,
        broken_laws(known.here, values, allowed),
        tuple(g.name for g in given if not g.has_unit),
        unit,
        complete,
    )


# -- what is given ---------------------------------------------------------------------------------


def _given(
    circuit: Circuit, numbers: Mapping[str, Quantity | Fraction], arrows: Mapping[str, int]
) -> tuple[Given, ...]:
    found: dict[str, Given] = {}
    faults: list[Finding] = []
    for text, number in numbers.items():
        try:
            asked = target(text, circuit)
        except FaultyMaterial as trouble:
            faults.extend(trouble.findings)
            continue
        if not _is_told(asked):
            message = f"{text} tells of no slip; they are told by currents, voltages and powers of elements."
            faults.append(Finding("slips/not-told", message, "Give currents, V(a, b) or P(R1)."))
            continue
        unit = number.unit if isinstance(number, Quantity) else ""
        if unit and unit != UNIT_OF[asked.kind]:
            message = f"{text} is a {asked.kind} and {number} is none."
            faults.append(Finding("slips/wrong-unit", message, f"Give it in {UNIT_OF[asked.kind]}."))
            continue
        value = number.value if isinstance(number, Quantity) else Fraction(number)
        name = asked.as_text()
        found[name] = Given(
            name,
            value * arrows.get(name, 1),
            _step(number) if isinstance(number, Quantity) else Fraction(0),
            bool(unit) or not isinstance(number, Quantity),
        )
    if not found and not faults:
        faults.append(Finding("slips/nothing-given", "No number is given.", "Give some, such as Ic=2 Ib=-1."))
    if faults:
        raise FaultyMaterial(*faults)
    return tuple(found.values())


def _is_told(asked: Target) -> bool:
    """Whether slips are looked for by such a quantity: a current, a voltage, the power of one element."""
    if asked.kind is Asked.POWER:
        return len(asked.names) == 1 and asked.names[0] not in (HEAT, SOURCES)
    return asked.kind in UNIT_OF and not asked.without


def _in_one_unit(given: tuple[Given, ...], here: SettingInNumbers) -> tuple[tuple[Given, ...], str]:
    """Currents without a unit are taken in amperes, or in milli- or microamperes where the middle one of
    them would else be far too large: beyond the middle between two prefixes, which is √1000."""
    bare = [g for g in given if not g.has_unit and _is_current(g.name)]
    size = max((abs(v) for v in here.right.values()), default=Fraction(0))
    sizes = sorted(abs(g.value) / (abs(here.right[g.name]) or size) for g in bare if g.value and size)
    unit, scale = "A", Fraction(1)
    for symbol, power in (("mA", 3), ("µA", 6)):
        if sizes and sizes[len(sizes) // 2] ** 2 > Fraction(10) ** (2 * power - 3):
            unit, scale = symbol, 1 / Fraction(10) ** power
    scaled = tuple(Given(g.name, g.value * scale, g.step * scale, False) if g in bare else g for g in given)
    return scaled, unit


def _step(number: Quantity) -> Fraction:
    """One unit of the last figure written; 0 for a fraction."""
    if not number.figures:
        return Fraction(0)
    mantissa, _, power = number.digits.partition("e")
    unit = read_unit(number.symbol) if number.symbol else None
    scale = unit[2] if unit else Fraction(1)
    return scale * Fraction(10) ** (int(power or 0) - len(mantissa.partition(".")[2]))


def _truth(here: SettingInNumbers, given: Sequence[Given]) -> dict[str, Fraction]:
    circuit = here.setting.circuit
    found: dict[str, Fraction] = {}
    for g in given:
        asked = target(g.name, circuit)
        if asked.kind is Asked.CURRENT:
            found[g.name] = here.right[g.name]
        elif asked.kind is Asked.POWER:
            found[g.name] = here.power(asked.names[0])
        else:
            value = here.voltage(*asked.names)
            if value is None:
                message = f"Nothing but open branches and current sources joins {listed(asked.names)}."
                raise FaultyMaterial(Finding("slips/not-told", message, "Leave it out."))
            found[g.name] = value
    return found


# -- comparing -------------------------------------------------------------------------------------


def _fits(g: Given, value: Fraction, rule: Closeness, zero: Fraction) -> bool:
    gap = abs(g.value - value)
    return gap <= g.allowed(value, rule) or (not g.value and g.step > 0 and gap <= zero)


def _turned(g: Given) -> Given:
    return Given(g.name, -g.value, g.step, g.has_unit)


def _right(
    given: Sequence[Given], truth: Mapping[str, Fraction], rule: Closeness, zero: Fraction, free: bool
) -> Right | None:
    turned: list[str] = []
    for g in given:
        if _fits(g, truth[g.name], rule, zero):
            continue
        if not (free and _is_current(g.name) and _fits(_turned(g), truth[g.name], rule, zero)):
            return None
        turned.append(g.name)
    exact = all(abs(g.value) == abs(truth[g.name]) for g in given)
    return Right(tuple(turned), exact)


def _is_current(name: str) -> bool:
    return "(" not in name


def _value_of(slips: SlipClass, name: str, circuit: Circuit) -> Fraction | None:
    values = slips.outcome.values
    if name in values or _is_current(name) or name.startswith("P"):
        return values.get(name)
    a, b = target(name, circuit).names
    other = values.get(voltage_name(b, a))
    return None if other is None else -other


def _match(
    given: Sequence[Given], slips: SlipClass, rule: Closeness, zero: Fraction, free: bool, circuit: Circuit
) -> Match | None:
    turned: list[str] = []
    silent: list[str] = []
    off = Fraction(0)
    for g in given:
        value = _value_of(slips, g.name, circuit)
        if value is None:
            silent.append(g.name)
            continue
        if not _fits(g, value, rule, zero):
            if turned or not (free and _is_current(g.name) and _fits(_turned(g), value, rule, zero)):
                return None
            turned.append(g.name)
        gap = abs(abs(g.value) - abs(value))
        off = max(off, gap / abs(value) if value else gap)
    if len(silent) == len(given):
        return None
    return Match(slips, tuple(turned), tuple(silent), off == 0, off)


def _allows(
    here: SettingInNumbers, slips: SlipClass, values: Mapping[str, Fraction], allowed: Mapping[str, Fraction]
) -> list[bool]:
    """For each member that leaves currents open, whether these numbers satisfy its equations."""
    found: list[bool] = []
    for model in slips.members:
        fits = bool(model.rows)
        for row in model.rows:
            numbers = here.row(row)
            slack = sum_of(abs(c) * allowed[n] for n, c in numbers.items() if n)
            fits = fits and abs(here.off(row, values)) <= slack
        found.append(fits)
    return found


# -- one number alone ------------------------------------------------------------------------------


def _lone(g: Given, truth: Mapping[str, Fraction], circuit: Circuit) -> LoneSlip:
    """The one wrong number, and what was done to it where that shows in its digits."""
    right = truth[g.name]
    return LoneSlip(g.name, g.value, right, _done(g, right, truth))


def _done(g: Given, right: Fraction, truth: Mapping[str, Fraction]) -> str:
    slack = g.step / 2
    if abs(g.value + right) <= slack:
        return "its sign is that of the other direction"
    for power in range(-6, 7):
        if power and right and abs(g.value - right * Fraction(10) ** power) <= slack:
            return f"it is {'times' if power > 0 else 'over'} {10 ** abs(power)}: the point or a prefix"
    for name, value in truth.items():
        if name != g.name and _is_current(name) and abs(abs(g.value) - abs(value)) <= slack:
            return f"it is the value of {name}"
    if _same_digits(g, right):
        return "its digits are those of the right value in another order"
    return ""


def _same_digits(g: Given, right: Fraction) -> bool:
    """Whether the figures written are the right ones with two neighbours exchanged."""
    if not g.step or g.value * right <= 0:
        return False
    count = abs(g.value) / g.step
    wanted = round(abs(right) / g.step)
    if count.denominator != 1:
        return False
    digits, others = str(count.numerator), str(wanted)
    if len(digits) != len(others) or digits == others:
        return False
    swaps = (others[:i] + others[i + 1] + others[i] + others[i + 2 :] for i in range(len(others) - 1))
    return digits in swaps
