"""To which part of a marking scheme a slip is charged: once, where it was made.

Goes by the slip's name in the catalogue and by where it stands: among the equations that the working sets
out from, or in what is made of them. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping

from ...expressions.nodes import Equation, numbers_in
from ...expressions.values import symbols_of
from ..verdicts import Verdict
from .scheme import MarkPart

_IN_SETTING_UP: Mapping[str, MarkPart] = {
    **dict.fromkeys(
        ("junction-sign", "branch-missing", "current-used-up", "equal-split", "junction-twice"),
        MarkPart.JUNCTIONS,
    ),
    **dict.fromkeys(
        (
            "drop-sign", "source-sign", "sources-all-plus", "terminals-swapped", "drops-all-minus",
            "sense-turned", "mesh-sum", "minus-bracket", "moved-sign", "voltage-order", "charging-voltage",
        ),
        MarkPart.SIGNS,
    ),
    **dict.fromkeys(("units-mixed", "prefix-dropped", "unit-missing"), MarkPart.UNITS),
}  # fmt: skip
_IN_WORKING_OUT: Mapping[str, MarkPart] = {
    **dict.fromkeys(("units-mixed", "prefix-dropped", "unit-missing", "figures"), MarkPart.UNITS),
    **dict.fromkeys(
        (
            "minus-dropped", "double-flip", "negative-impossible", "meter-sign", "early-rounding",
            "calculator-order", "digits", "tolerance",
        ),
        MarkPart.RESULT,
    ),
    **dict.fromkeys(
        (
            "false-series", "false-parallel", "parallel-sources-add", "bridge-balanced", "bridge-reduced",
            "net-emf", "stronger-wins", "load-sees-sum", "branch-alone", "superposed-open",
            "least-resistance", "own-mesh-only",
        ),
        MarkPart.ELEMENTS,
    ),
}  # fmt: skip
# Ideas that leave nothing of the problem: with them the several loops are one, or none.
REMOVES_THE_DIFFICULTY = frozenset((
    "too-few", "false-series", "false-parallel", "parallel-sources-add", "bridge-balanced", "bridge-reduced",
    "least-resistance", "net-emf", "stronger-wins", "load-sees-sum", "branch-alone", "own-mesh-only",
))  # fmt: skip


def charged_to(verdict: Verdict, currents: Mapping[str, object], setting_up: bool) -> MarkPart:
    """The part that the slip of an untrue claim is charged to. `currents`: the names of currents in the
    working; `setting_up`: whether it is one of the equations that the working sets out from."""
    entry = verdict.repairs[0].entry if verdict.repairs else ""
    if not setting_up:
        return _IN_WORKING_OUT.get(entry, MarkPart.ALGEBRA)
    known = _IN_SETTING_UP.get(entry)
    if known is not None:
        return known
    return MarkPart.JUNCTIONS if of_currents_only(verdict.claim.written, currents) else MarkPart.ELEMENTS


def of_currents_only(equation: Equation, currents: Mapping[str, object]) -> bool:
    """Whether an equation holds currents and nothing else, as a junction equation does."""
    held = symbols_of(equation)
    bare = not any(number.value for number in numbers_in(equation))
    return bool(held) and bare and all(name in currents for name in held)
