"""The results that a working states: for everything asked, where it is given last and whether that is right.

A result that its writer should have seen to be impossible is told apart: it earns nothing by following
correctly from a slip.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from ...circuit.circuit import Circuit
from ...circuit.elements import Kind as ElementKind
from ...circuit.targets import Asked, Target, targets
from ...expressions.nodes import Equation, Expr, Negative, Number, Quotient, Symbol
from ...expressions.said import Said
from ...expressions.values import symbols_of
from ..reading import Reading
from ..truth.meaning import level
from ..verdicts import ClaimKind, Verdict

_THOUSAND = 1000  # ohms: from here on currents are worked in mA by many


@dataclass(frozen=True, slots=True)
class Stated:
    """One thing asked. `equation`: the last one that states it, from end to end where it is a chain
    a = b = c; `verdict`: the one that counts for it (both None: nothing states it)."""

    target: Target
    equation: Equation | None = None
    verdict: Verdict | None = None

    @property
    def name(self) -> Expr:
        """What is asked, as it is written in a formula."""
        return self.target.name


def results(reading: Reading) -> tuple[Stated, ...]:
    """For each thing asked of the circuit, in order, where the working states it last."""
    said = [(e, v) for e, v in _ends_of_chains(reading.verdicts) if not v.claim.case]
    found: list[Stated] = []
    for asked in targets(reading.circuit):
        stating = [pair for pair in said if states(pair[0], asked, reading.arrows.names)]
        found.append(Stated(asked, *stating[-1]) if stating else Stated(asked))
    return tuple(found)


def _ends_of_chains(verdicts: Sequence[Verdict]) -> list[tuple[Equation, Verdict]]:
    """Every equation with its verdict, and every chain from its first side to its last with the verdict
    that counts: the first that does not hold, else one that is not shown, else the last."""
    found: list[tuple[Equation, Verdict]] = []
    chain: list[Verdict] = []
    for verdict in verdicts:
        written = verdict.claim.written
        goes_on = (
            bool(chain) and chain[-1].line == verdict.line and chain[-1].claim.written.right == written.left
        )
        chain = [*chain, verdict] if goes_on else [verdict]
        found.append((written, verdict))
        if len(chain) > 1:
            counts = next((v for v in chain if not v.holds), None)
            counts = counts or next((v for v in chain if v.kind is ClaimKind.TRUE), verdict)
            found.append((Equation(chain[0].claim.written.left, written.right, written.relation), counts))
    return found


def states(equation: Equation, asked: Target, names: Mapping[str, Mapping[str, int]]) -> bool:
    """Whether an equation gives outright what is asked, in numbers or in the circuit's symbols."""
    if asked.written is not None:
        rest = equation.right if equation.left == asked.written else equation.left
        return asked.written in (equation.left, equation.right) and _nothing_unknown(rest, names)
    name = given_outright(equation, names)
    if asked.kind is Asked.CURRENT:
        branch = asked.names[0]
        return dict(names.get(name, {})) in ({branch: 1}, {branch: -1})
    if asked.kind is Asked.POTENTIAL:
        one, other = (level(point) for point in asked.names)
        turned = Target(asked.kind, asked.names[::-1], asked.without).as_text()
        return name == turned or name == asked.as_text() or dict(names.get(name, {})) in (
            {one: 1, other: -1}, {one: -1, other: 1},
        )  # fmt: skip
    return name == asked.as_text()


def given_outright(equation: Equation, names: Mapping[str, Mapping[str, int]]) -> str:
    """The quantity that stands alone on one side, nothing unknown on the other; else an empty name."""
    for one, other in ((equation.left, equation.right), (equation.right, equation.left)):
        if isinstance(one, Symbol) and _nothing_unknown(other, names):
            return one.name
    return ""


def _nothing_unknown(side: Expr, names: Mapping[str, Mapping[str, int]]) -> bool:
    return not any(s in names or "(" in s for s in symbols_of(side))


def number_given(equation: Equation) -> Number | None:
    """The one number that stands alone on a side, its sign left aside."""
    for side in (equation.right, equation.left):
        inner = side.body if isinstance(side, Negative) else side
        if isinstance(inner, Number):
            return inner
    return None


def value_given(equation: Equation) -> Fraction | None:
    """What that number is, with its sign, in SI units; a fraction of numbers counts as one."""
    for side in (equation.right, equation.left):
        value = _value(side)
        if value is not None:
            return value
    return None


def _value(side: Expr) -> Fraction | None:
    match side:
        case Number(value):
            return value
        case Negative(body):
            inner = _value(body)
            return None if inner is None else -inner
        case Quotient(Number(above), Number(below)) if below:
            return above / below
    return None


def impossible(reading: Reading, equation: Equation) -> Said:
    """Why a stated number should have been rejected by whoever found it; nothing where it need not be.

    A resistance or the power taken by a resistor cannot be negative; where batteries are the only
    sources, no voltage can be above the sum of the emfs. Common practice, no source.
    """
    circuit = reading.circuit
    name, value = given_outright(equation, reading.arrows.names), value_given(equation)
    if not name or value is None:
        return ()
    if value < 0 and _cannot_be_negative(circuit, name):
        return (Symbol(name), " cannot be negative")
    number = number_given(equation)
    if not (number and number.unit) and not _in_plain_units(circuit):
        return ()
    most, voltage = _sum_of_emfs(circuit), _largest_voltage(reading, name, value)
    if most is not None and voltage is not None and voltage > most:
        return (Symbol(name), " would put more volts across one element than all emfs together")
    return ()


def _cannot_be_negative(circuit: Circuit, name: str) -> bool:
    if name.startswith("P("):
        element = circuit.elements.get(name[2:-1])
        return element is not None and element.kind is ElementKind.RESISTOR
    return name.startswith("R(") or circuit.role(name) is ElementKind.RESISTOR


def _in_plain_units(circuit: Circuit) -> bool:
    """Whether numbers without units can only be meant in volts, amperes and ohms."""
    resistors = [s for s in circuit.symbols if circuit.role(s) is ElementKind.RESISTOR]
    return circuit.has_all_numbers and all(circuit.numbers[s] < _THOUSAND for s in resistors)


def _sum_of_emfs(circuit: Circuit) -> Fraction | None:
    kinds = {element.kind for element in circuit.elements.values()}
    if not circuit.has_all_numbers or ElementKind.CURRENT_SOURCE in kinds:
        return None
    emfs = [n for n, element in circuit.elements.items() if element.kind is ElementKind.BATTERY]
    return sum((abs(circuit.value(name).value(circuit.numbers)) for name in emfs), Fraction(0))


def _largest_voltage(reading: Reading, name: str, value: Fraction) -> Fraction | None:
    """The voltage that a stated number claims: itself, or the largest that a current makes in its branch."""
    circuit = reading.circuit
    if name.startswith("V("):
        return abs(value)
    branches = reading.arrows.names.get(name, {})
    if len(branches) != 1 or not circuit.has_all_numbers:
        return None
    passes = circuit.branch(next(iter(branches))).passes
    inside = [
        circuit.value(p.element).value(circuit.numbers)
        for p in passes
        if circuit.elements[p.element].kind is ElementKind.RESISTOR
    ]
    return abs(value) * max(inside) if inside else None
