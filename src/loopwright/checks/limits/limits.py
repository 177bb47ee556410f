"""Every limit proved twice: from the closed form, and from the changed circuit solved afresh.

For each resistance and internal resistance to 0 and to infinity, and each source to 0; a symbol that several
elements carry goes as one, for so it does in the closed form, and then each of them alone. Where the
changed circuit has no unique answer the case says which kind it is: a source driving a loop without
resistance (currents grow without limit), or a loop without resistance whose emfs cancel (only sums
are fixed; the split follows the ratio in which the last resistances vanish).
Stands on `solve`; what a case is, and its sentence, in `cases`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from ...algebra.common_form import LimitApproach
from ...algebra.ratios import Field, Ratio
from ...circuit.circuit import Circuit
from ...expressions.nodes import ONE
from ...expressions.tidy import tidy
from ...expressions.values import ratio_of
from ...solve.currents import NoUniqueSolution
from ...solve.exact import Solution, solve_posed
from .by_scales import limits_by_scales
from .cases import Ending, LimitCase
from .limit_of_ratio import Indeterminate, LimitEnd, LimitOutcome, Unbounded, limit_of
from .limit_variables import (
    LimitQuantity,
    LimitVariable,
    SharedSymbol,
    at_zero,
    limit_variables,
    shared_symbols,
    shares_with,
    value_of,
    with_own_symbol,
    with_value,
)
from .redrawn import ideal_path
from .splits import CurrentSplit, loop_emf, share_symbols, split_of


def limit_cases(circuit: Circuit, solution: Solution | None = None) -> tuple[LimitCase, ...]:
    """Every limit case of a well-posed circuit: resistances first (0, then infinity), then sources."""
    known = solution or solve_posed(circuit)
    found: list[LimitCase] = []
    symbols = shared_symbols(circuit)
    for variable in limit_variables(circuit):
        found.extend(
            c for s in symbols if s.carriers[0] == variable for c in _symbol_cases(circuit, known, s)
        )
        own, symbol = with_own_symbol(circuit, variable)
        currents = known.currents if own is circuit else solve_posed(own).currents
        question = _Question(own, currents, variable, symbol)
        cases = [_to_zero(question)]
        if variable.is_resistance:
            cases.append(_to_infinity(question))
        if own is not circuit:
            same = _put_back(circuit, variable, symbol, currents, known.currents)
            kept = shares_with(circuit, variable)
            cases = [replace(_in_field(c, circuit.field, c.agree and same), kept=kept) for c in cases]
        found.extend(cases)
    return tuple(found)


def limit_case(
    circuit: Circuit, variable: LimitVariable, to: LimitEnd, solution: Solution | None = None
) -> LimitCase:
    """One limit case by itself. `solution` saves working out the circuit again."""
    own, symbol = with_own_symbol(circuit, variable)
    known = solution if solution is not None and own is circuit else solve_posed(own)
    question = _Question(own, known.currents, variable, symbol)
    return _to_zero(question) if to == "0" else _to_infinity(question)


def symbol_case(circuit: Circuit, known: Solution, shared: SharedSymbol, to: LimitEnd) -> LimitCase | None:
    """The limit case of a symbol that several elements carry: all of them go together, as in the closed
    form. None where the redrawn circuit cannot be told apart into two scales (see `by_scales`)."""
    redrawn = limits_by_scales(circuit, shared.symbol, to)
    if redrawn is None:
        return None
    formula: dict[str, LimitOutcome] = {
        name: limit_of(known.currents[name], shared.symbol, to) for name in circuit.currents
    }
    loop = tuple(name for name, outcome in redrawn.items() if isinstance(outcome, Unbounded))
    return LimitCase(
        circuit,
        shared,
        shared.symbol,
        to,
        Ending.UNBOUNDED if loop else Ending.SETTLED,
        formula,
        redrawn,
        _moved(circuit, shared, to),
        formula == redrawn,
        loop,
    )


def _symbol_cases(circuit: Circuit, known: Solution, shared: SharedSymbol) -> list[LimitCase]:
    """A symbol to 0 and, where it is a resistance, to infinity."""
    ends: tuple[LimitEnd, ...] = ("0", "∞") if shared.is_resistance else ("0",)
    cases = (symbol_case(circuit, known, shared, to) for to in ends)
    return [case for case in cases if case is not None]


def _moved(circuit: Circuit, shared: SharedSymbol, to: LimitEnd) -> Circuit:
    """The circuit drawn again with every carrier of the symbol at its limit."""
    changed, opened = circuit, []
    for variable in shared.carriers:
        value = ratio_of(value_of(circuit, variable), circuit.field)
        end = limit_of(value, shared.symbol, to)
        if isinstance(end, Unbounded):
            opened.append(variable.element)
        else:
            changed = with_value(changed, variable, tidy(end)) if end else at_zero(changed, variable)
    return changed.opened(*opened) if opened else changed  # last: two of them may stand in one branch


@dataclass(frozen=True)
class _Question:
    """What one element is asked about in its limits: the circuit in which the quantity has a symbol of its
    own, and the closed forms of the currents in it."""

    circuit: Circuit
    currents: Mapping[str, Ratio]
    variable: LimitVariable
    symbol: str

    @cached_property
    def approach(self) -> LimitApproach:
        return LimitApproach(self.circuit.field, self.currents, self.symbol)

    def solved(self, changed: Circuit) -> tuple[Circuit, dict[str, Ratio]]:
        """A changed circuit worked in this one's field, and its currents; a current it lacks is 0."""
        within = changed.worked_in(self.circuit.field, self.circuit)
        found = solve_posed(within).currents
        return within, {name: found.get(name, self.circuit.field.zero) for name in self.circuit.currents}

    def limit(self, name: str, to: LimitEnd) -> Ratio | Unbounded:
        """The limit of one closed form in lowest terms."""
        return limit_of(self.currents[name], self.symbol, to)

    def case(self, to: LimitEnd, ending: Ending, changed: Circuit, fresh: Mapping[str, Ratio]) -> LimitCase:
        """The case in which the changed circuit has one answer, `fresh`, for every current."""
        formula: dict[str, LimitOutcome] = {}
        agree = True
        for name, expected in fresh.items():
            same = self.approach.tends_to(name, to, expected)
            formula[name] = expected if same else self.limit(name, to)
            agree = agree and same
        return LimitCase(
            self.circuit, self.variable, self.symbol, to, ending, formula, dict(fresh), changed, agree
        )


def _in_field(case: LimitCase, field: Field, agree: bool) -> LimitCase:
    """The case with its finite outcomes in the circuit's own field (they do not hold the symbol)."""

    def moved(outcomes: Mapping[str, LimitOutcome]) -> dict[str, LimitOutcome]:
        return {n: o.at({}, field) if isinstance(o, Ratio) else o for n, o in outcomes.items()}

    return replace(case, formula=moved(case.formula), redrawn=moved(case.redrawn), agree=agree)


def _put_back(
    circuit: Circuit,
    variable: LimitVariable,
    symbol: str,
    own: Mapping[str, Ratio],
    known: Mapping[str, Ratio],
) -> bool:
    """Whether the currents worked with the element's own symbol are the known ones once its value is put
    back: proof that the new closed forms belong to the circuit."""
    value = ratio_of(value_of(circuit, variable), circuit.field)
    return all(own[name].at({symbol: value}, circuit.field) == current for name, current in known.items())


def _to_zero(question: _Question) -> LimitCase:
    own, variable = question.circuit, question.variable
    changed = at_zero(own, variable)
    if variable.is_resistance:
        b = own.branch_of(variable.element)
        if own.fixed_current(b.name) is None and _is_all(own, variable, b.name):
            path = ideal_path(own, b.end, b.start, b.name)
            if path is not None:
                return _closed_loop(question, changed.worked_in(own.field, own), {b.name: 1, **path})
    changed, fresh = question.solved(changed)
    return question.case("0", Ending.SETTLED, changed, fresh)


def _is_all(circuit: Circuit, variable: LimitVariable, branch: str) -> bool:
    """Whether the variable is all the resistance of its branch."""
    internal = variable.quantity is LimitQuantity.INTERNAL
    own = circuit.internal_resistance(variable.element) if internal else circuit.value(variable.element)
    return circuit.resistance(branch) == own


def _to_infinity(question: _Question) -> LimitCase:
    own, variable = question.circuit, question.variable
    if not own.fixed_current(own.branch_of(variable.element).name):
        try:
            changed, fresh = question.solved(own.opened(variable.element))
        except NoUniqueSolution:
            pass  # a current source would be left open: its current goes through all the same
        else:
            return question.case("∞", Ending.SETTLED, changed, fresh)
    changed, fresh = question.solved(with_value(own, variable, ONE))
    return question.case("∞", Ending.FORCED, changed, fresh)


def _closed_loop(question: _Question, changed: Circuit, loop: Mapping[str, int]) -> LimitCase:
    """The case in which the branch at zero closes a loop that has no resistance.

    The rest of that loop fixes the voltage across the branch, so all other currents are those of the
    circuit without the branch; round the loop flows the sum of its emfs over what resistance is left.
    """
    own, symbol = question.circuit, question.symbol
    _, fresh = question.solved(own.opened(question.variable.element))
    emf, around = loop_emf(own, loop), tuple(loop)
    if len(loop) == 1 and not emf:  # a closed chain that nothing drives
        return question.case("0", Ending.SETTLED, changed, fresh)
    formula: dict[str, LimitOutcome] = {name: question.limit(name, "0") for name in question.currents}
    redrawn: dict[str, LimitOutcome] = dict(fresh)
    split: CurrentSplit | None = None
    if emf:
        for name, sense in loop.items():
            redrawn[name] = limit_of(emf * sense / own.field.symbol(symbol), symbol, "0")
        agree, ending = formula == redrawn, Ending.UNBOUNDED
    else:
        for name, sense in loop.items():
            redrawn[name] = Indeterminate(fresh[name], sense)
        agree, ending = _same_but_for_the_split(formula, fresh, loop), Ending.SPLIT_OPEN
        shares, factor, field = share_symbols(own, around)
        split = split_of({name: value.at({}, field) for name, value in fresh.items()}, loop, shares, factor)
    return LimitCase(
        own, question.variable, symbol, "0", ending, formula, redrawn, changed, agree, around, split
    )


def _same_but_for_the_split(
    formula: Mapping[str, LimitOutcome], fresh: Mapping[str, Ratio], loop: Mapping[str, int]
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
