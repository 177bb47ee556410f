"""Every limit proved twice: from the closed form, and from the changed circuit solved afresh.

For each resistance and inside resistance to 0 and to infinity, and each source to 0. Where the
changed circuit has no unique answer the case says which kind it is: a source driving a loop without
resistance (currents grow without limit), or a loop without resistance whose emfs cancel (only sums
are fixed; the split follows the ratio in which the last resistances vanish).
Stands on `solve`; what a case is, and its sentence, in `cases`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from ..algebra.ratios import Field, Ratio
from ..circuit.circuit import Circuit
from ..expressions.nodes import ONE
from ..expressions.values import ratio_of
from ..solve.closed_forms import NoUniqueSolution
from ..solve.exact import Solution, solve_posed
from .cases import Ending, LimitCase
from .leading import End, Indeterminate, Outcome, limit_of, tends_to
from .redrawn import ideal_path
from .splits import loop_emf, share_symbols, split_of
from .subjects import Subject, at_zero, subjects, value_of, with_own_symbol, with_value


def limit_cases(circuit: Circuit, solution: Solution | None = None) -> tuple[LimitCase, ...]:
    """Every limit case of a well-posed circuit: resistances first (0, then infinity), then sources."""
    known = solution or solve_posed(circuit)
    found: list[LimitCase] = []
    for subject in subjects(circuit):
        own, symbol = with_own_symbol(circuit, subject)
        currents = known.currents if own is circuit else solve_posed(own).currents
        cases = [_to_zero(own, currents, subject, symbol)]
        if subject.is_resistance:
            cases.append(_to_infinity(own, currents, subject, symbol))
        if own is not circuit:
            same = _put_back(circuit, subject, symbol, currents, known.currents)
            cases = [_in_field(case, circuit.field, case.agree and same) for case in cases]
        found.extend(cases)
    return tuple(found)


def _in_field(case: LimitCase, field: Field, agree: bool) -> LimitCase:
    """The case with its finite outcomes in the circuit's own field (they do not hold the symbol)."""

    def moved(outcomes: Mapping[str, Outcome]) -> dict[str, Outcome]:
        return {n: o.at({}, field) if isinstance(o, Ratio) else o for n, o in outcomes.items()}

    return replace(case, formula=moved(case.formula), redrawn=moved(case.redrawn), agree=agree)


def _put_back(
    circuit: Circuit, subject: Subject, symbol: str, own: Mapping[str, Ratio], known: Mapping[str, Ratio]
) -> bool:
    """Whether the currents with the element's own symbol give the known ones with its value put back."""
    value = ratio_of(value_of(circuit, subject), circuit.field)
    return all(own[name].at({symbol: value}, circuit.field) == current for name, current in known.items())


def limit_case(circuit: Circuit, subject: Subject, to: End) -> LimitCase:
    """One limit case by itself."""
    own, symbol = with_own_symbol(circuit, subject)
    currents = solve_posed(own).currents
    return (_to_zero if to == "0" else _to_infinity)(own, currents, subject, symbol)


def compare(
    currents: Mapping[str, Ratio], fresh: Mapping[str, Ratio], symbol: str, to: End
) -> tuple[Mapping[str, Outcome], bool]:
    """The limits of the closed forms beside the answers of the changed circuit (a current it lacks is
    0), and whether all agree."""
    formula: dict[str, Outcome] = {}
    agree = True
    for name, current in currents.items():
        expected = fresh.get(name, current.field.zero)
        same = tends_to(current, symbol, to, expected)
        formula[name] = expected if same else limit_of(current, symbol, to)
        agree = agree and same
    return formula, agree


def _to_zero(own: Circuit, currents: Mapping[str, Ratio], subject: Subject, symbol: str) -> LimitCase:
    changed = at_zero(own, subject).worked_in(own.field)
    if subject.is_resistance:
        b = changed.branch(own.branch_of(subject.element).name)
        path = None
        if changed.fixed_current(b.name) is None and not changed.resistance(b.name):
            path = ideal_path(changed, b.end, b.start, b.name)
        if path is not None:
            return _closed_loop(own, currents, subject, symbol, changed, {b.name: 1, **path})
    fresh = solve_posed(changed).currents
    return _settled(own, currents, subject, symbol, "0", changed, fresh)


def _to_infinity(own: Circuit, currents: Mapping[str, Ratio], subject: Subject, symbol: str) -> LimitCase:
    branch = own.branch_of(subject.element)
    forced = own.fixed_current(branch.name)
    if not forced:
        changed = own.opened(subject.element).worked_in(own.field)
        try:
            fresh = solve_posed(changed).currents
        except NoUniqueSolution:
            pass  # a current source would be left open: its current goes through all the same
        else:
            return _settled(own, currents, subject, symbol, "oo", changed, fresh)
    changed = with_value(own, subject, ONE).worked_in(own.field)
    fresh = solve_posed(changed).currents
    formula, agree = compare(currents, fresh, symbol, "oo")
    return LimitCase(own, subject, symbol, "oo", Ending.FORCED, formula, dict(fresh), changed, agree)


def _settled(
    own: Circuit,
    currents: Mapping[str, Ratio],
    subject: Subject,
    symbol: str,
    to: End,
    changed: Circuit,
    fresh: Mapping[str, Ratio],
) -> LimitCase:
    formula, agree = compare(currents, fresh, symbol, to)
    redrawn = {name: fresh.get(name, own.field.zero) for name in own.currents}
    return LimitCase(own, subject, symbol, to, Ending.SETTLED, formula, redrawn, changed, agree)


def _closed_loop(
    own: Circuit,
    currents: Mapping[str, Ratio],
    subject: Subject,
    symbol: str,
    changed: Circuit,
    loop: Mapping[str, int],
) -> LimitCase:
    """The case in which the branch at zero closes a loop that has no resistance.

    The rest of that loop fixes the voltage across the branch, so all other currents are those of the
    circuit without the branch; round the loop flows the sum of its emfs over what resistance is left.
    """
    cut = own.opened(subject.element).worked_in(own.field)
    fresh = dict.fromkeys(own.currents, own.field.zero) | dict(solve_posed(cut).currents)
    emf, around = loop_emf(own, loop), tuple(loop)
    formula: dict[str, Outcome] = {name: limit_of(c, symbol, "0") for name, c in currents.items()}
    redrawn: dict[str, Outcome] = dict(fresh)
    if emf:
        for name, sense in loop.items():
            grown = limit_of(emf * sense / own.field.symbol(symbol), symbol, "0")
            redrawn[name] = grown
        return LimitCase(
            own, subject, symbol, "0", Ending.UNBOUNDED, formula, redrawn, changed, formula == redrawn, around
        )
    for name, sense in loop.items():
        redrawn[name] = Indeterminate(fresh[name], sense)
    agree = _same_but_for_the_split(formula, fresh, loop)
    shares, factor, field = share_symbols(own, around)
    split = split_of({name: value.at({}, field) for name, value in fresh.items()}, loop, shares, factor)
    return LimitCase(
        own, subject, symbol, "0", Ending.SPLIT_OPEN, formula, redrawn, changed, agree, around, split
    )


def _same_but_for_the_split(
    formula: Mapping[str, Outcome], fresh: Mapping[str, Ratio], loop: Mapping[str, int]
) -> bool:
    """Whether the limits differ from `fresh` by one current round the loop and nothing else."""
    extra: Ratio | None = None
    for name, outcome in formula.items():
        if not isinstance(outcome, Ratio):
            return False
        more = (outcome - fresh[name]) * loop.get(name, 1)
        if name not in loop:
            if more:
                return False
        elif extra is not None and more != extra:
            return False
        else:
            extra = more
    return True
