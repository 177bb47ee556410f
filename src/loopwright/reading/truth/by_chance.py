"""Lines that are right at the numbers given by chance alone: where two currents happen to be equal, the wrong
one in a law agrees as well as the right one.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from ...expressions.nodes import Equation, Expr, Negative, Sum, Symbol, add, put
from ...expressions.values import symbols_of
from .meaning import UnknownName
from .size import TooLong
from .truth import View
from .which_law import StatedLaw


@dataclass(frozen=True, slots=True)
class Otherwise:
    """The law that a line would be with another current of the same size in one of its terms: `written` where
    `meant` belongs (perhaps with a minus)."""

    written: Symbol
    meant: Expr
    law: StatedLaw


def otherwise_a_law(
    view: View, general: View, written: Equation, names: Mapping[str, Mapping[str, int]]
) -> Otherwise | None:
    """The law that a true line would be with another current in one term, where the two currents are equal at
    the numbers of `view` and are not for all values, of which `general` knows; None where there is none."""
    sizes = _sizes(view, names)
    for at, side in enumerate((written.left, written.right)):
        terms = side.terms if isinstance(side, Sum) else (side,)
        for i, term in enumerate(terms):
            for name in symbols_of(term):
                for other, sign in _equals(name, sizes):
                    if _always_equal(general, name, other, sign):
                        continue
                    meant: Expr = Symbol(other) if sign > 0 else Negative(Symbol(other))
                    changed = add(*terms[:i], put(term, {name: meant}), *terms[i + 1 :])
                    sides = (changed, written.right) if at == 0 else (written.left, changed)
                    law = _law(view, Equation(*sides))
                    if law is not None:
                        return Otherwise(Symbol(name), meant, law)
    return None


def _sizes(view: View, names: Mapping[str, Mapping[str, int]]) -> dict[str, Fraction]:
    """The true numbers of the currents named."""
    found: dict[str, Fraction] = {}
    currents = view.meanings.circuit.currents
    for name, meaning in names.items():
        if len(meaning) == 1 and next(iter(meaning)) in currents:
            value = view.meanings.value(view.meanings.names[name])
            number = None if value is None else value.constant()
            if number:
                found[name] = number
    return found


def _equals(name: str, sizes: Mapping[str, Fraction]) -> list[tuple[str, int]]:
    """The currents of the same size as one, and +1 where they have its sign too."""
    own = sizes.get(name)
    if own is None:
        return []
    return [(n, 1 if v == own else -1) for n, v in sizes.items() if n != name and abs(v) == abs(own)]


def _always_equal(general: View, name: str, other: str, sign: int) -> bool:
    """Whether two currents are equal for all values, as in a chain of branches: then either may stand."""
    names = general.meanings.names
    one, two = (general.meanings.value(names[n]) for n in (name, other))
    return one is not None and two is not None and one == two * sign


def _law(view: View, equation: Equation) -> StatedLaw | None:
    try:
        row = view.meanings.row(view.meanings.difference(equation))
    except (UnknownName, TooLong, ZeroDivisionError):
        return None
    if not row or len(row.coefficients) < 2:
        return None
    law = view.which_law.stated(row)
    return law if law is not None and law.plainly and (len(law.loops) == 1 or len(law.points) == 1) else None
