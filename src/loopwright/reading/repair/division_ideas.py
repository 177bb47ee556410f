"""Wrong ideas of how a current or a voltage divides: the current equally, whatever the resistances; the emf
not at all, so that all of it is across one resistor.

Nothing in such a line is wrong by itself: the right result is put in the place of what the idea gives.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from ...algebra.ratios import Ratio
from ...circuit.circuit import Circuit
from ...circuit.elements import Branch, Kind
from ...errors import FaultyMaterial
from ...expressions.nodes import Equation, Expr, Number, Quotient, Symbol, times
from ...expressions.tidy import tidy
from ...solve.exact import Solution, solve
from ..truth.changed import home_of, in_setting
from ..truth.dimensions import thousands
from ..truth.rounding import lone
from .edits import Change, WideEdit, body_of, signed
from .idea_values import right_result
from .line_view import LineView, NameSort
from .places import Sides
from .trial_values import value_called

MOST_PARTS = 6  # into which a current is divided
ROUNDED = Fraction(1, 20)  # relative: how far off the number of a current that is divided may be


def equal_shares(view: LineView, sides: Sides) -> Iterator[WideEdit]:
    """The true current in the place of a third of the one that divides into three, and so on."""
    for name, given, turned in _ways(view):
        below = body_of(given)
        count = lone(below.below) if isinstance(below, Quotient) else None
        own = _branch(view, name.name) if count is not None and 2 <= count.value <= MOST_PARTS else None
        if own is None or count is None or not isinstance(below, Quotient):
            continue
        found, branch, sign = own
        for feeding in _feeding(found, branch, count.value):
            if not _is_its_current(view, sides, below.above, found, feeding):
                continue
            right = found.currents[branch.name] * sign
            if sides.trial.numbers and not view.used[1:]:
                meant = right_result(view, sides, right, given, "A")
            else:
                share = right / found.currents[feeding.name] * _sense(view, below.above, feeding)
                meant = _share(below.above, share)
            pair = (meant, name) if turned else (name, meant)
            yield WideEdit("equal-split", Equation(*pair), Change.OTHER, (given,))
            break


def whole_emfs(view: LineView, sides: Sides) -> Iterator[WideEdit]:
    """The true voltage across a resistor in the place of the emf of the only battery."""
    kinds = [e.kind for e in view.circuit.elements.values()]
    if kinds.count(Kind.BATTERY) != 1 or Kind.CURRENT_SOURCE in kinds:
        return
    for name, given, turned in _ways(view):
        if not _is_emf(view, body_of(given)):
            continue
        true = _voltage(view, name.name)
        if true is not None:
            meant = right_result(view, sides, true, given, "V")
            pair = (meant, name) if turned else (name, meant)
            yield WideEdit("whole-emf-each", Equation(*pair), Change.OTHER, (given,))


def _ways(view: LineView) -> Iterator[tuple[Symbol, Expr, bool]]:
    """The name that a line is for, what it gives it, and whether that stands before it."""
    one, other = view.equation.left, view.equation.right
    if isinstance(one, Symbol):
        yield one, other, False
    elif isinstance(other, Symbol):
        yield other, one, True


def _branch(view: LineView, name: str) -> tuple[Solution, Branch, int] | None:
    """The branch whose current a name stands for, in the circuit that it is of, and its sense."""
    meaning = view.names.get(name, {name: 1})
    ((own, sign), *more) = meaning.items()
    if more or view.sort(name) is not NameSort.CURRENT:
        return None
    home = home_of(view.circuit, own)
    found = _solved(view.circuit) if not home.setting else in_setting(view.circuit, home.setting)
    if found is None or home.name not in found.currents:
        return None
    return found, found.circuit.branch(home.name), sign


def _solved(circuit: Circuit) -> Solution | None:
    try:
        return circuit.remembered(solve)
    except FaultyMaterial:
        return None


def _feeding(found: Solution, branch: Branch, count: Fraction) -> Iterator[Branch]:
    """The branches whose current divides into so many, this branch among them: it flows to the point where it
    does, and all others away from that, or the other way round, as far as numbers tell."""
    for point in (branch.start, branch.end):
        here = [b for b in found.circuit.branches if point in (b.start, b.end)]
        for feeding in here if len(here) == count + 1 else ():
            rest = [b for b in here if b is not feeding]
            away = {_away(found, b, point) for b in rest}
            if feeding is not branch and (None in away or away == {not _away(found, feeding, point)}):
                yield feeding


def _away(found: Solution, branch: Branch, point: str) -> bool | None:
    """Whether the current of a branch flows away from a point; None where no numbers tell."""
    if not found.circuit.has_all_numbers:
        return None
    current = found.currents[branch.name].value(found.circuit.numbers)
    return (current > 0) == (branch.start == point)


def _is_its_current(view: LineView, sides: Sides, above: Expr, found: Solution, feeding: Branch) -> bool:
    """Whether what is divided is the current of a branch, by its name or its number."""
    size = lone(above)
    if size is None and isinstance(above, Symbol) and above.name in view.circuit.symbols:
        return any(p.element == above.name for p in feeding.passes)  # of a current source
    if size is None:
        own = _branch(view, above.name) if isinstance(above, Symbol) else None
        return own is not None and own[0] is found and own[1].name == feeding.name
    if not sides.trial.numbers:
        return False
    value = abs(found.currents[feeding.name].value(sides.trial.numbers))
    value = value * thousands("A") if sides.trial.thousands else value
    return abs(Fraction(sides.trial.number(size)) - value) <= ROUNDED * value


def _sense(view: LineView, above: Expr, feeding: Branch) -> int:
    if isinstance(above, Symbol) and above.name in view.circuit.symbols:
        return next((p.sign for p in feeding.passes if p.element == above.name), 1)
    own = _branch(view, above.name) if isinstance(above, Symbol) else None
    return own[2] if own is not None else 1


def _share(above: Expr, share: Ratio) -> Expr:
    meant = tidy(share)
    return signed(times(above, body_of(meant)), meant)


def _is_emf(view: LineView, expr: Expr) -> bool:
    if isinstance(expr, Symbol):
        return view.sort(expr.name) is NameSort.SOURCE
    return isinstance(expr, Number) and expr.unit in ("", "V") and view.is_worth_a(expr, Kind.BATTERY)


def _voltage(view: LineView, name: str) -> Ratio | None:
    """The true value of a voltage of the circuit as drawn by its name; None for what is none."""
    meaning = view.names.get(name)
    if meaning is not None and view.sort(name) is NameSort.VOLTAGE:
        homes = [home_of(view.circuit, part) for part in meaning]
        found = _solved(view.circuit)
        if found is None or any(home.setting for home in homes):
            return None
        total = view.circuit.field.zero
        for home, sign in zip(homes, meaning.values(), strict=True):
            total = total + home.value(found) * sign
        return total
    meant = view.meaning.get(name, Symbol(name))
    own = body_of(meant)
    if not isinstance(own, Symbol) or not own.name.startswith("V("):
        return None
    value = value_called(own.name, view.circuit)
    return None if value is None else value if own is meant else -value
