"""A bridge that is shown to be balanced before its middle is left out: by two quotients or products of its
arms that are equal, and what then lies in series.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from ..circuit.circuit import Circuit
from ..circuit.elements import Branch, Kind
from ..expressions.nodes import Equation, Expr, Number, Product, Quotient, Symbol, parts_within
from ..laws.laws import laws
from .so_far import SoFar
from .truth.consequence import ClaimRow
from .truth.implied import junctions, law_row
from .truth.truth import View

Arms = tuple[Fraction, Fraction, Fraction, Fraction]


def lines_that_balance(so_far: SoFar, written: Equation) -> tuple[int, ...]:
    """The lines above by which a bridge is balanced, where a claim says that its middle carries nothing; none
    where it says anything else, or nothing above shows it."""
    circuit = so_far.circuit
    branch = so_far.at_nothing(written)
    arms = _arms(circuit, circuit.branch(branch)) if branch and circuit.has_all_numbers else None
    if arms is None:
        return ()
    shown: dict[tuple[str, Fraction, Fraction], int] = {}
    for verdict in so_far.verdicts:
        if verdict.holds:
            for kind, one, other in _pairs(circuit, verdict.claim.written):
                shown.setdefault((kind, one, other), verdict.line)
    for pair in _ways(*arms):
        lines = [shown.get(one) for one in pair]
        if None not in lines:
            return tuple(sorted({line for line in lines if line is not None}))
    return ()


def _arms(circuit: Circuit, middle: Branch) -> Arms | None:
    """The four resistances round the middle of a bridge: from one end of the supply to each of its ends, and
    on from there to the other end of the supply; None where it is no such bridge."""
    ends = (middle.start, middle.end)
    others = [p for p in circuit.junctions if p not in ends]
    if len(circuit.junctions) != 4 or len(others) != 2:
        return None
    found: list[Fraction] = []
    for there in others:
        for end in ends:
            between = [b for b in circuit.branches if {b.start, b.end} == {there, end}]
            kinds = {circuit.elements[p.element].kind for b in between for p in b.passes}
            if len(between) != 1 or kinds != {Kind.RESISTOR}:
                return None
            found.append(circuit.resistance(between[0].name).value(circuit.numbers))
    return found[0], found[1], found[2], found[3]


def _ways(
    a: Fraction, b: Fraction, c: Fraction, d: Fraction
) -> Iterator[tuple[tuple[str, Fraction, Fraction], ...]]:
    """The pairs of quotients and of products that are equal where arms a, b and c, d are balanced."""
    for one, other in (((a, c), (b, d)), ((a, b), (c, d))):
        yield ("/", *one), ("/", *other)
        yield ("/", *one[::-1]), ("/", *other[::-1])
    yield ("*", min(a, d), max(a, d)), ("*", min(b, c), max(b, c))


def _pairs(circuit: Circuit, written: Equation) -> Iterator[tuple[str, Fraction, Fraction]]:
    """The quotients and products of two resistances that stand in a claim."""
    for part in parts_within(written):
        is_quotient = isinstance(part, Quotient)
        two: tuple[Expr, ...] = (part.above, part.below) if isinstance(part, Quotient) else ()
        two = part.factors if isinstance(part, Product) else two
        values = [v for v in (_resistance(circuit, one) for one in two) if v is not None]
        if len(two) == len(values) == 2:
            one, other = values if is_quotient else sorted(values)
            yield "/" if is_quotient else "*", one, other


def _resistance(circuit: Circuit, expr: Expr) -> Fraction | None:
    if isinstance(expr, Number):
        return expr.value
    is_given = isinstance(expr, Symbol) and circuit.role(expr.name) is Kind.RESISTOR
    return circuit.numbers.get(expr.name) if is_given and isinstance(expr, Symbol) else None


def along_what_is_left(so_far: SoFar, view: View, written: Equation) -> Iterator[tuple[ClaimRow, ...]]:
    """For a current that is an emf over resistances: the lines above that leave a branch without current,
    with the junction rule and each loop, since the rest of the loop then lies in series."""
    if not isinstance(written.left, Symbol) or not isinstance(written.right, Quotient):
        return
    still = [r for r in view.rows.near if r.true and r.line and len(r.linear.coefficients) == 1]
    still = [r for r in still if not r.linear.constant]
    if still:
        points = [i.row for i in junctions(view)]
        unknowns = set(view.meanings.unknowns)
        plain = (law for law in laws(so_far.circuit).every_loop if law.linear.coefficients.keys() <= unknowns)
        for law in plain:  # no loop over a gap, whose voltage no line need speak of
            yield (*still, *points, law_row(view, law.linear))
