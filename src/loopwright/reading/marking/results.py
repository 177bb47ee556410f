"""The results that a working states: for everything asked, where it is given last and whether that is right.

A result that its writer should have seen to be impossible is told apart: it earns nothing by following
correctly from a slip.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from ...circuit.circuit import Circuit
from ...circuit.elements import Kind as ElementKind
from ...circuit.in_time import Moment, TimedKind, TimedQuestion, moves, timed_questions, times_of_moves
from ...circuit.targets import Asked, Target, targets
from ...expressions.nodes import Equation, Expr, Negative, Number, Quotient, Symbol, put
from ...expressions.said import Said
from ...expressions.values import symbols_of
from ...quantities import rounded
from ...transients.stages import by_move, stages, value_in_stages
from ..reading import Reading
from ..truth.meaning import level
from ..truth.rounding import digits_of
from ..verdicts import ClaimKind, Verdict

_SAME_TIME = Fraction(1, 10**6)  # of a time: nearer than this two are one
_THOUSAND = 1000  # ohms: from here on currents are worked in mA by many


@dataclass(frozen=True, slots=True)
class Stated:
    """One thing asked. `equation`: the last one that states it, from end to end where it is a chain
    a = b = c; `verdict`: the one that counts for it (both None: nothing states it); `stating`: the name of
    the working that gives it."""

    target: Target
    equation: Equation | None = None
    verdict: Verdict | None = None
    stating: str = ""

    @property
    def name(self) -> Expr:
        """What is asked, as it is written in a formula."""
        return self.target.name


def results(reading: Reading) -> tuple[Stated, ...]:
    """For each thing asked of the circuit, in order, where the working states it last; a current that a
    source gives need not be stated."""
    if reading.circuit.in_time and moves(reading.circuit):
        return _in_time(reading)
    names = reading.arrows.names
    said: list[tuple[Equation, Verdict, Mapping[str, Mapping[str, int]]]] = []
    open_names = dict(names)
    called = {
        n: e for n, e in reading.own.items() if isinstance(e, Symbol) and e.name.startswith(("P(", "V("))
    }
    for equation, verdict in ends_of_chains(reading.verdicts):
        if not verdict.claim.case:
            equation = Equation(put(equation.left, called), put(equation.right, called), equation.relation)
            said.append((equation, verdict, dict(open_names)))
            open_names.pop(given_outright(equation, open_names), None)
    found: list[Stated] = []
    for asked in targets(reading.circuit):
        stating = [(e, v) for e, v, _ in said if states(e, asked, names)]
        stating = stating or [(e, v) for e, v, unknown in said if states(e, asked, names, unknown)]
        if not stating:
            found.append(Stated(asked))
            continue
        chosen = _with_unit(stating)
        found.append(Stated(asked, *chosen, given_outright(chosen[0], {})))
    found = [_in_series(one, found, [(e, v) for e, v, _ in said]) for one in found]
    told = [s for s in found if s.verdict is not None or not is_of_a_source(reading.circuit, s.target)]
    return tuple(told or found)


def is_of_a_source(circuit: Circuit, asked: Target) -> bool:
    """Whether what is asked is the current of a branch with a current source, which is given."""
    if asked.kind is not Asked.CURRENT:
        return False
    kinds = (circuit.elements[p.element].kind for p in circuit.branch(asked.names[0]).passes)
    return ElementKind.CURRENT_SOURCE in kinds


def _in_series(stated: Stated, others: Sequence[Stated], said: Sequence[tuple[Equation, Verdict]]) -> Stated:
    """A current that is not given, where it is rightly said to be another one that is: `I6 = I3 (series)`."""
    if stated.verdict is not None or stated.target.kind is not Asked.CURRENT:
        return stated
    given = {one.name for one in others if one.verdict is not None and one.target.kind is Asked.CURRENT}
    for equation, verdict in said:
        sides = (equation.left, equation.right)
        for own, other in (sides, sides[::-1]):
            body = other.body if isinstance(other, Negative) else other
            if own == stated.name and body in given and verdict.holds:
                return replace(stated, equation=equation, verdict=verdict)
    return stated


def _with_unit(stating: Sequence[tuple[Equation, Verdict]]) -> tuple[Equation, Verdict]:
    """The last statement of a result; but where that only says the same number again without its unit, the
    last with the unit."""
    last = number_given(stating[-1][0])
    if last is None or last.unit:
        return stating[-1]
    for equation, verdict in reversed(stating):
        number = number_given(equation)
        if number is not None and number.unit and digits_of(number) == digits_of(last):
            return equation, verdict
    return stating[-1]


def _in_time(reading: Reading) -> tuple[Stated, ...]:
    """For each thing asked of a circuit in time, in order, where the working states it last."""
    ends = ends_of_chains(reading.verdicts)
    found: list[Stated] = []
    count = len(times_of_moves(reading.circuit))
    every = [one for question in timed_questions(reading.circuit) for one in by_move(question, count)]
    for asked in every if count == 1 else _moving(reading.circuit, every):
        stating = [
            (equation, verdict)
            for equation, verdict in ends
            if isinstance(equation.left, Symbol)
            and (said := reading.in_time.get((verdict.line, equation.left.name))) is not None
            and _answers(said, asked)
        ]
        kind = Asked.CURRENT if asked.kind is TimedKind.CURRENT else Asked.EXPRESSION
        target = Target(kind, asked.names, written=Symbol(_called(asked)))
        found.append(Stated(target, *_with_unit(stating), asked.quantity) if stating else Stated(target))
    return tuple(found)


def _moving(circuit: Circuit, every: Sequence[TimedQuestion]) -> list[TimedQuestion]:
    """Without the functions of the time that stay what they are through a stage: nobody writes these."""
    found = stages(circuit)
    courses = [(one, value_in_stages(found, one).course) for one in every]
    return [one for one, course in courses if course is None or not course.stays]


def _answers(said: TimedQuestion, asked: TimedQuestion) -> bool:
    """Whether what is said answers what is asked: the same quantity at the same moment."""
    if said.kind is not asked.kind or asked.kind is TimedKind.WHEN:
        return said.kind is asked.kind
    if asked.move and said.move not in (0, asked.move):
        return False
    if sorted(said.names) != sorted(asked.names) or said.moment is not asked.moment:
        return False
    if asked.at is None or said.at is None:
        return said.at == asked.at
    return abs(said.at - asked.at) <= abs(asked.at) * _SAME_TIME


def _called(asked: TimedQuestion) -> str:
    """What is asked, with its moment as it stands behind a name."""
    marks = {Moment.BEFORE: "(0−)", Moment.JUST_AFTER: "(0+)", Moment.LONG_AFTER: "(∞)", Moment.COURSE: "(t)"}
    if asked.moment is Moment.AT and asked.at is not None:
        return f"{asked.quantity}({rounded(asked.at, 's', 3).text})"
    return asked.quantity + marks.get(asked.moment, "")


def ends_of_chains(verdicts: Sequence[Verdict]) -> list[tuple[Equation, Verdict]]:
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


def states(
    equation: Equation,
    asked: Target,
    names: Mapping[str, Mapping[str, int]],
    unknown: Mapping[str, object] | None = None,
) -> bool:
    """Whether an equation gives outright what is asked, in numbers, in the circuit's symbols, or in what was
    given so above. `unknown`: the names not given yet (all `names`, where it is left out)."""
    still = names if unknown is None else unknown
    if asked.written is not None:
        rest = equation.right if equation.left == asked.written else equation.left
        return asked.written in (equation.left, equation.right) and _nothing_unknown(rest, still)
    name = given_outright(equation, still)
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


def given_outright(equation: Equation, names: Mapping[str, object]) -> str:
    """The quantity that stands alone on one side, nothing unknown on the other; else an empty name."""
    for one, other in ((equation.left, equation.right), (equation.right, equation.left)):
        if isinstance(one, Symbol) and _nothing_unknown(other, names):
            return one.name
    return ""


def _nothing_unknown(side: Expr, names: Mapping[str, object]) -> bool:
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
    if len(branches) != 1 or not circuit.has_all_numbers or not set(branches) <= set(circuit.currents):
        return None
    passes = circuit.branch(next(iter(branches))).passes
    inside = [
        circuit.value(p.element).value(circuit.numbers)
        for p in passes
        if circuit.elements[p.element].kind is ElementKind.RESISTOR
    ]
    return abs(value) * max(inside) if inside else None
