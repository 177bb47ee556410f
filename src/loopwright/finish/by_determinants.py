"""Determinants gone on with: those that are still open, of the equations as they stand, then the quotients.

The equations are those of the working, in its order, and the missing laws after them; each column belongs
to an unknown. A determinant that the working has worked out keeps its name; the others are called like it.
Source: Cramer's rule, in any textbook of linear algebra.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

from ..algebra.ratios import Ratio
from ..circuit.names import listed
from ..derive.steps import Move
from ..expressions.nodes import Determinant, Equation, Expr, Symbol, over
from ..expressions.said import Said
from ..expressions.tidy import tidy
from ..expressions.values import ratio_of
from ..methods.determinants import MOST_ROWS, write_out
from .going_on import Rest, complete, put_into_play, solve_on, write_law
from .unknowns import Ground
from .whereabouts import Whereabouts

STEMS = ("det", "D", "Δ")


def speaks_of_determinants(w: Whereabouts) -> bool:
    """Whether the working has given a determinant a name."""
    return bool(_named(w))


def _named(w: Whereabouts) -> dict[str, Ratio]:
    """The names that the working has given to determinants, with what they come to."""
    found: dict[str, Ratio] = {}
    for name in w.given_names:
        value = w.meanings.names.get(name)
        if name.startswith(STEMS) and value is not None:
            found[name] = value.at({}, w.meanings.symbols)
    return found


@dataclass(frozen=True, slots=True)
class _Row:
    """An equation as its determinant has it: the coefficient of each unknown and the right side."""

    number: int
    coefficients: tuple[Ratio, ...]
    side: Ratio


def solve_by_determinants(w: Whereabouts, rest: Rest, ground: Ground) -> None:
    """Tells the rest until every unknown is known. Raises LookupError where the equations do not stand as
    the working's determinants have them, or are more than somebody writes out."""
    teller = rest.teller
    unknown = teller.order
    if all(name in teller.known for name in unknown):
        return
    if not 1 < len(unknown) <= MOST_ROWS:
        raise LookupError("nobody writes out a determinant of so many rows")
    fewer = _of_fewer(w, rest)
    if fewer is not None:
        _by_quotients(w, rest, *fewer)
        solve_on(rest, w.lines, ground.laws)
        return
    inside = [x for x in w.lines if set(x.linear.coefficients) <= set(unknown)]
    named = _named(w)
    for latest in (True, False):
        played = complete(unknown, inside, ground.laws, latest)
        rows = [_as_written(line.number, line.written, rest, unknown) for line in played.standing]
        if played.missing or _determinant(_columns(rows)) in named.values():
            break
    put_into_play(rest, played.standing)
    for law in played.missing:
        write_law(rest, law)
        line = list(teller.rows.values())[-1]
        rows.append(_as_written(line.number, line.written, rest, unknown))
    _by_quotients(w, rest, unknown, rows)


def _of_fewer(w: Whereabouts, rest: Rest) -> tuple[tuple[str, ...], list[_Row]] | None:
    """The equations, in fewer unknowns than there are, of which the working has its determinant: from two of
    three some people go on when one is put into the others. The fewest unknowns first."""
    named = _named(w).values()
    for count in range(2, len(rest.teller.order)):
        for some in combinations(rest.teller.order, count):
            inside = [x for x in w.lines if set(x.linear.coefficients) <= set(some)]
            if any(name in rest.teller.known for name in some) or len(inside) < count:
                continue
            for latest in (True, False):
                try:
                    played = complete(some, inside, (), latest)
                    rows = [_as_written(line.number, line.written, rest, some) for line in played.standing]
                except LookupError:
                    break
                if _determinant(_columns(rows)) in named:
                    return some, rows
    return None


def _by_quotients(w: Whereabouts, rest: Rest, unknown: Sequence[str], rows: Sequence[_Row]) -> None:
    """Writes the determinants of these equations that are still open, and the quotient for each unknown."""
    teller = rest.teller
    columns, sides = _columns(rows), [row.side for row in rows]
    matrices = {"": columns}
    for at, name in enumerate(unknown):
        matrices[name] = [sides if at == column else entries for column, entries in enumerate(columns)]
    wanted = ["", *(name for name in unknown if name not in teller.known)]
    lines = tuple(row.number for row in rows)
    worth = {name: _determinant(matrix) for name, matrix in matrices.items()}
    called = _called(w, {name: worth[name] for name in unknown}, worth[""])
    for name in wanted:
        teller.values = {**teller.values, called[name]: worth[name]}
        if called[name] in w.given_names:
            teller.known[called[name]] = w.given_names[called[name]]
            continue
        rows_said = listed(f"({n})" for n in lines)
        why: Said = (f"The coefficients of {rows_said}, a column for each unknown.",)
        if name:
            why = ("The right sides in the place of the column of ", Symbol(name), ".")
        write_out(teller, called[name], _matrix(matrices[name]), teller.closed(called[name]), lines, why)
    for name in wanted[1:]:
        quotient = over(Symbol(called[name]), Symbol(called[""]))
        teller.conclude(Move.CRAMER, name, quotient, ("Cramer's rule",), rests_on=lines)


def _as_written(number: int, written: Equation, rest: Rest, unknown: Sequence[str]) -> _Row:
    """The coefficients of an equation as it stands, neither cleared nor divided; those of its right side
    where all unknowns stand there."""
    field = rest.teller.circuit.field

    def coefficients(side: Expr) -> tuple[tuple[Ratio, ...], Ratio]:
        """Those of the unknowns, and what is left without them."""
        nothing = dict.fromkeys(unknown, field.zero)
        bare = ratio_of(side, field, nothing)
        return tuple(ratio_of(side, field, {**nothing, n: field.one}) - bare for n in unknown), bare

    try:
        (left, one), (right, other) = coefficients(written.left), coefficients(written.right)
        if not any(left):
            return _Row(number, right, one - other)
        return _Row(number, tuple(a - b for a, b in zip(left, right, strict=True)), other - one)
    except (KeyError, ZeroDivisionError) as trouble:
        raise LookupError("a line is not in the unknowns alone") from trouble


def _columns(rows: Sequence[_Row]) -> list[list[Ratio]]:
    return [list(column) for column in zip(*(row.coefficients for row in rows), strict=True)]


def _called(w: Whereabouts, parts: dict[str, Ratio], whole: Ratio) -> dict[str, str]:
    """What each determinant is called, by its unknown, that of all the coefficients by nothing: as the
    working has it, else like what it has."""
    named = _named(w)
    found: dict[str, str] = {}
    for name, value in named.items():
        bare = name in STEMS
        if value == whole and (bare or "" not in found):
            found[""] = name
    if "" not in found:
        raise LookupError("the determinant is not that of the equations")
    for name, value in named.items():
        fits = [n for n, part in parts.items() if part == value and n not in found]
        fits.sort(key=lambda n: _ending(n) != _ending(name))
        if name not in found.values() and fits:
            found[fits[0]] = name
    taken = set(w.taken)
    stem = next(s for s in STEMS if found[""].startswith(s))
    for unknown in parts:
        if unknown not in found:
            name = stem + (_ending(unknown) or unknown)
            while name in taken:
                name += "′"
            found[unknown] = name
        taken.add(found[unknown])
    return found


def _ending(name: str) -> str:
    """What stands after the letter of a name: 1 in i_1, A in DA."""
    stem = next((s for s in STEMS if name.startswith(s)), name[:1])
    return name.removeprefix(stem).removeprefix("_")


def _determinant(columns: Sequence[Sequence[Ratio]]) -> Ratio:
    field = columns[0][0].field
    return ratio_of(_matrix(columns), field)


def _matrix(columns: Sequence[Sequence[Ratio]]) -> Determinant:
    return Determinant(tuple(zip(*([tidy(x) for x in column] for column in columns), strict=True)))
