"""Whether the plots of a sheet are true, by ways on which they do not rest.

They were drawn from the circuit solved with its numbers in it. Here the closed form in all symbols is asked,
the circuit is solved afresh by node potentials in fractions, limits are those of the circuit drawn again, and
roots are counted by another library's enclosures. Knows no way of finding any of it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from ..algebra.ratios import Field, NoLimit, Ratio
from ..algebra.real_roots import PositiveRoot, coefficients
from ..algebra.surds import Surd
from ..checks.ledger.ledger import LedgerEntry, listed
from ..checks.ledger.root_enclosures import enclosed_positive_roots
from ..checks.limits.cases import Ending, LimitCase
from ..checks.limits.limit_of_ratio import LimitEnd, Unbounded, limit_of
from ..checks.limits.limit_variables import LimitQuantity, limit_variables, shared_symbols
from ..checks.limits.limit_variables import value_of as value_written
from ..checks.limits.limits import limit_case, symbol_case
from ..circuit.circuit import Circuit
from ..circuit.targets import Asked, Target
from ..errors import FaultyMaterial
from ..expressions.nodes import Symbol, number, put_in
from ..solve.asked import value_of
from ..solve.by_numbers import currents_by_numbers
from ..solve.currents import NoUniqueSolution
from ..solve.exact import Solution, solve_posed
from .curves import CurveData, PointName

_ZEROS = (PointName.REVERSAL, PointName.TOUCH)
_ENDS: tuple[LimitEnd, LimitEnd] = ("0", "∞")


def curve_entries(solution: Solution, curves: Sequence[CurveData]) -> tuple[LedgerEntry, ...]:
    """One entry for each thing that curves tell. `solution`: the circuit's closed forms in all symbols."""
    if not curves:
        return ()
    forms = [general_form(solution, curve) for curve in curves]
    pairs = list(zip(curves, forms, strict=True))
    return (_forms(pairs), _own(curves), _limits(pairs), _zeros(pairs), _extremes(pairs))


CurveForms = Sequence[tuple[CurveData, Ratio]]


def general_form(solution: Solution, curve: CurveData) -> Ratio:
    """The quantity in the one symbol that is moved, the numbers put into the closed form in all symbols."""
    numbers = {n: v for n, v in solution.circuit.numbers.items() if n != curve.symbol}
    return value_of(solution, curve.asked.target).at(numbers, Field((curve.symbol,)))


def afresh(circuit: Circuit, target: Target, changed: dict[str, Fraction]) -> Fraction | None:
    """What a quantity is with these numbers, by node potentials in fractions; None where the circuit then has
    no one answer, or the quantity no value."""
    numbers = {**circuit.numbers, **changed}
    whole = replace(circuit, numbers=numbers)
    if target.written is not None:
        target = replace(target, written=put_in(target.written, {n: number(v) for n, v in numbers.items()}))
    try:
        found = whole.in_numbers()
        solved = currents_by_numbers(found)
        return value_of(Solution(found, solved.by_branch, solved.determinant), target).constant()
    except (NoUniqueSolution, FaultyMaterial, ZeroDivisionError, NoLimit):
        return None


def _entry(code: str, title: str, method: str, bad: Sequence[str], good: str) -> LedgerEntry:
    result = f"Not so for {listed(list(bad))}." if bad else good
    return LedgerEntry(f"plots/{code}", title, method, result, not bad)


def _forms(pairs: CurveForms) -> LedgerEntry:
    bad = [curve.asked.as_text() for curve, form in pairs if form != curve.form]
    method = "numbers put into the closed form in all symbols, against the circuit solved with them; exact"
    return _entry(
        "forms", "Forms of curves", method, bad, f"{len(pairs)} of {len(pairs)} are those of the closed form."
    )


def _own(curves: Sequence[CurveData]) -> LedgerEntry:
    method = "the circuit in its own numbers solved afresh by node potentials, in fractions"
    bad: list[str] = []
    tried = 0
    for curve in curves:
        if curve.own is not None:
            tried += 1
            if afresh(curve.circuit, curve.asked.target, {}) != curve.own.result.exact:
                bad.append(curve.asked.as_text())
    if not tried:
        return LedgerEntry("plots/own-value", "Curves at the number given", method, "No value has one.", None)
    return _entry(
        "own-value",
        "Curves at the number given",
        method,
        bad,
        f"{tried} of {tried} values are the solution's.",
    )


# -- the ends ------------------------------------------------------------------------------------


def _limits(pairs: CurveForms) -> LedgerEntry:
    bad: list[str] = []
    redrawn = 0
    for curve, form in pairs:
        for end, to in zip(curve.ends, _ENDS, strict=True):
            by_form = _as_end(limit_of(form, curve.symbol, to))
            by_circuit = _redrawn_end(curve, to)
            redrawn += by_circuit is not None
            if any(other is not None and other != (end.limit, end.sign) for other in (by_form, by_circuit)):
                bad.append(f"{curve.asked.as_text()} at {to}")
    count = 2 * len(pairs)
    good = f"{count} of {count} ends agree with the closed form, {redrawn} also with the circuit drawn again."
    method = "the value to 0 and to infinity, from the closed form and from the circuit drawn again"
    return _entry("limits", "Ends of curves", method, bad, good)


_End = tuple[Fraction | None, int]


def _as_end(outcome: Ratio | Unbounded) -> _End | None:
    if isinstance(outcome, Unbounded):
        return (None, outcome.sign) if outcome.sign else None
    value = outcome.constant()
    return None if value is None else (value, 0)


def _redrawn_end(curve: CurveData, to: LimitEnd) -> _End | None:
    """The limit from the changed circuit; None where there is none, or it does not fix the quantity."""
    circuit = curve.circuit.with_put_in(
        {n: number(v) for n, v in curve.circuit.numbers.items() if n != curve.symbol}
    )
    case = _case(circuit, curve.symbol, to)
    if case is None:
        return None
    target = curve.asked.target
    if target.kind is Asked.CURRENT:
        outcome = case.redrawn.get(target.names[0])
        return _as_end(outcome) if isinstance(outcome, Ratio | Unbounded) else None
    if target.kind not in (Asked.POTENTIAL, Asked.POWER) or case.ending is not Ending.SETTLED:
        return None
    if target.kind is Asked.POWER and target.names[0] in case.moved:
        return Fraction(0), 0  # what has become a wire, a gap or nothing at all takes no power
    try:
        value = value_of(solve_posed(case.changed), target).constant()
    except (FaultyMaterial, KeyError, NoUniqueSolution):
        return None
    return None if value is None else (value, 0)


def _case(circuit: Circuit, symbol: str, to: LimitEnd) -> LimitCase | None:
    carriers = [v for v in limit_variables(circuit) if symbol in _symbols(circuit, v.element)]
    if len(carriers) == 1 and value_written(circuit, carriers[0]) == Symbol(symbol):
        if to == "0" or carriers[0].is_resistance:
            return limit_case(circuit, carriers[0], to)
        return None
    shared = next((s for s in shared_symbols(circuit) if s.symbol == symbol), None)
    if shared is None or (to == "∞" and shared.quantity is not LimitQuantity.RESISTANCE):
        return None
    return symbol_case(circuit, solve_posed(circuit), shared, to)


def _symbols(circuit: Circuit, element: str) -> tuple[str, ...]:
    return (*circuit.value(element).held(), *circuit.internal_resistance(element).held())


# -- zeros and extremes --------------------------------------------------------------------------


def _zeros(pairs: CurveForms) -> LedgerEntry:
    method = (
        "each put back: a fraction into the circuit solved afresh, a root into the closed form; all counted"
    )
    bad: list[str] = []
    count = 0
    for curve, form in pairs:
        points = [p for p in curve.points if p.name in _ZEROS and p.root is not None]
        count += len(points)
        above = coefficients(form)
        for point in points:
            assert point.root is not None
            exact = point.at.exact
            if not _vanishes(form.numerator, curve.symbol, point.root):
                bad.append(f"{curve.asked.as_text()} at {float(point.at.near):.4g}")
            elif exact is not None and afresh(curve.circuit, curve.asked.target, {curve.symbol: exact}):
                bad.append(f"{curve.asked.as_text()} at {float(exact):.4g}, solved afresh")
        if above != (0,) and len(points) != len(enclosed_positive_roots(above)):
            bad.append(f"the number of zeros of {curve.asked.as_text()}")
    if not count and not bad:
        return LedgerEntry("plots/zeros", "Zeros of curves", method, "No curve has a zero, by count.", True)
    return _entry(
        "zeros", "Zeros of curves", method, bad, f"{count} of {count} give exactly zero; there are no others."
    )


def _extremes(pairs: CurveForms) -> LedgerEntry:
    method = (
        "each put into the derivative of the closed form, and its result back into the circuit; all counted"
    )
    bad: list[str] = []
    count = 0
    for curve, form in pairs:
        points = [p for p in curve.points if p.name not in (*_ZEROS, PointName.OWN) and p.root is not None]
        count += len(points)
        slope = form.derivative(curve.symbol)
        for point in points:
            assert point.root is not None
            name = f"{curve.asked.as_text()} at {float(point.at.near):.4g}"
            exact = point.at.exact
            if not _vanishes(slope.numerator, curve.symbol, point.root):
                bad.append(name)
            elif exact is not None and afresh(curve.circuit, curve.asked.target, {curve.symbol: exact}) != (
                point.result.exact
            ):
                bad.append(f"{name}, solved afresh")
            elif not _turns(slope, curve.symbol, point.root, point.name):
                bad.append(f"{name}: the slope on either side")
        if not slope:
            continue
        flat = [(near, times) for near, times in enclosed_positive_roots(coefficients(slope)) if times % 2]
        zeros = [float(p.at.near) for p in curve.points if p.name in _ZEROS]
        own = [near for near, _ in flat if not any(abs(near - z) <= 1e-9 * z for z in zeros)]
        if len(own) != len(points):
            bad.append(f"the number of extremes of {curve.asked.as_text()}")
    if not count and not bad:
        return LedgerEntry(
            "plots/extremes", "Extremes of curves", method, "No curve has one, by count.", True
        )
    return _entry(
        "extremes", "Extremes of curves", method, bad, f"{count} of {count} are true; there are no others."
    )


def _vanishes(form: Ratio, symbol: str, root: PositiveRoot) -> bool:
    """Whether a polynomial is exactly zero at a root: by its value, by arithmetic with the square root, or,
    of an interval, because its sign changes there."""
    if root.at.exact is not None:
        return not form.value({symbol: root.at.exact})
    if root.at.surd is not None:
        surd = root.at.surd
        total = Surd(surd.plain * 0, surd.factor * 0, surd.under)
        for coefficient in reversed(coefficients(form)):
            total = total * surd + surd.plain.field.number(coefficient)
        return not total
    ends = [form.value({symbol: at}) for at in (root.at.low, root.at.high)]
    return ends[0] * ends[1] < 0


def _turns(slope: Ratio, symbol: str, root: PositiveRoot, name: PointName) -> bool:
    """Whether the slope goes from plus to minus at a greatest value, from minus to plus at a least one."""
    step = root.at.near / 10**9
    before, after = (slope.value({symbol: x}) for x in (root.at.low - step, root.at.high + step))
    greatest = name in (PointName.GREATEST, PointName.LOCALLY_GREATEST)
    return before > 0 > after if greatest else before < 0 < after
