"""The checks of what was found backwards: values put back, the greatest power, the short circuit."""

from __future__ import annotations

from ...expressions.said import Said, names
from ...solve.exact import Solution
from ...solve.greatest import GreatestPower, ShortCircuit, matches_open_and_short
from ...solve.unknown_values import UnknownValues
from .ledger import LedgerEntry, listed


def backward_entries(
    solution: Solution,
    values: UnknownValues | None,
    greatest: tuple[GreatestPower, ...],
    shorts: tuple[ShortCircuit, ...],
) -> tuple[LedgerEntry, ...]:
    """One entry for each kind of question that was asked backwards."""
    found: list[LedgerEntry] = []
    if values is not None:
        found.append(_put_back(values))
    if greatest:
        found.append(_greatest(solution, greatest))
    if shorts:
        found.append(_shorted(shorts))
    return tuple(found)


def _put_back(values: UnknownValues) -> LedgerEntry:
    wrong = [one for one in values.solutions if not one.put_back]
    told = " and ".join(one.name for one in values.given)
    count = len(values.solutions)
    makes = f"solution{'s' if count > 1 else ''} give{'' if count > 1 else 's'} {told}"
    result = f"{count - len(wrong)} of {count} {makes} as given."
    return LedgerEntry(
        "backwards/put-back",
        "Values put back",
        "each solution put into the circuit, which is solved afresh by elimination; exact",
        result if count else "There is no real solution to put back.",
        not wrong if count else None,
    )


def _greatest(solution: Solution, greatest: tuple[GreatestPower, ...]) -> LedgerEntry:
    code, title = "backwards/greatest", "Greatest power"
    method = "the load against its open voltage over its short-circuit current, the load made a wire; exact"
    verdicts = {g.symbol: matches_open_and_short(g, solution) for g in greatest}
    wrong = [name for name, verdict in verdicts.items() if verdict is False]
    right = [name for name, verdict in verdicts.items() if verdict]
    if not wrong and not right:
        why = "The power is not that of one resistor that is varied."
        return LedgerEntry(code, title, method, why, None)
    bad: Said = (f"Not so for {listed(wrong)}.",)
    result = bad if wrong else ("Equal for ", *names(right), ", and so is the power.")
    return LedgerEntry(code, title, method, result, not wrong)


def _shorted(shorts: tuple[ShortCircuit, ...]) -> LedgerEntry:
    code, title = "backwards/short-circuit", "Short circuit"
    method = "a wire laid between the points and the circuit solved afresh; exact"
    tried = [s for s in shorts if s.afresh is not None]
    if not tried:
        return LedgerEntry(code, title, method, "No two points asked are ends of branches.", None)
    wrong = [f"{s.points[0]} to {s.points[1]}" for s in tried if s.afresh != s.current]
    result = f"Not so from {listed(wrong)}." if wrong else f"{len(tried)} of {len(tried)} currents are equal."
    return LedgerEntry(code, title, method, result, not wrong)
