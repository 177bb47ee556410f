"""Determinants that a working names: `D = 15·11 − 9·9` is a claim on the equations above it.

Any set of as many equations above as they hold unknowns is one that the name may belong to, in any order
of rows
and columns, and with a row divided by a whole number. A numerator belongs to it where it is the determinant
times one of the unknowns (G. Cramer, 1750; from memory).
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import chain, combinations, permutations

from ...algebra.ratios import Field, Ratio
from ...expressions.nodes import Equation, Expr, Quotient, Symbol, numbers_in
from ...expressions.values import ratio_of, symbols_of
from .meaning import Meanings
from .size import TooLong, check_length

NEAREST = 8  # equations above that are looked at
LARGEST = 4  # unknowns
MOST_DIVIDED = 100  # by which the rows of a set may have been divided without a word
_NAME = re.compile(r"(?:[DΔ]\w{0,2}|det\w{0,2})")
_WHOLE = re.compile(r"(?:[DΔ]|det)")
_BETWEEN_SIGNS = re.compile(r"[_{}\s]")
_HEAD = re.compile(r"^(?:det|[DΔ])_?(?:x(?=\d))?")  # D1, and Dx1 of x1


def is_determinant(name: str) -> bool:
    """Whether a name is that of a determinant: D, Δ, det, or one of these with a mark."""
    return _NAME.fullmatch(name) is not None


def is_whole(name: str) -> bool:
    """Whether it is that of all coefficients, D, and not a numerator, D1."""
    return _WHOLE.fullmatch(name) is not None


SignedProduct = tuple[int, tuple[Ratio, ...]]  # +1 or −1, and one entry of each row


@dataclass(frozen=True, slots=True)
class WrittenSet:
    """As many equations as they hold unknowns: the lines, the `matrix` of the coefficients and what it comes
    to, and the determinants with a column replaced by the `constants`, one for each unknown."""

    lines: tuple[int, ...]
    names: tuple[str, ...]
    matrix: tuple[tuple[Ratio, ...], ...]
    constants: tuple[Ratio, ...]
    whole: Ratio
    numerators: tuple[Ratio, ...]

    @property
    def entries(self) -> tuple[Ratio, ...]:
        """The numbers of the set of equations, each once."""
        return tuple(dict.fromkeys((*(x for row in self.matrix for x in row), *self.constants)))

    def products(self, column: int | None = None) -> tuple[SignedProduct, ...]:
        """The products that make up the determinant of the coefficients, or the one with the constants in a
        column, without those that are zero."""
        rows = zip(self.matrix, self.constants, strict=True)
        return signed_products([r if column is None else _with_constant(r, c, column) for r, c in rows])


@dataclass(frozen=True, slots=True)
class Meant:
    """What a determinant is to come to, and the lines that it is of. `columns`: where what is written is a
    numerator of another unknown, that and the one whose it should be; `entries`: the numbers of the set of
    equations; `products`: those that it is the sum of."""

    worth: Ratio
    lines: tuple[int, ...]
    columns: tuple[tuple[str, str], ...] = ()
    entries: tuple[Ratio, ...] = ()
    products: tuple[SignedProduct, ...] = ()


class Determinants:
    """The equations written so far in one view, as they are written, and the sets found in them.
    `unknown`: the names of currents and potentials; `typed`: the working as it was typed; `written`: all
    that it says, of which quotients below tell which unknown a numerator is of."""

    def __init__(
        self, meanings: Meanings, unknown: Mapping[str, object], typed: str, written: Iterable[Equation]
    ) -> None:
        self.meanings, self.unknown = meanings, unknown
        self._told = dict(_quotients(written))
        self._typed = _BETWEEN_SIGNS.sub("", unicodedata.normalize("NFKC", typed)).lower()
        self.equations: list[tuple[int, dict[str, Ratio], Ratio]] = []
        self.chosen: tuple[WrittenSet, Ratio] | None = None  # the set that D is of, and what D comes to
        self.quotients: dict[str, Expr] = {}  # what the unknowns are by the determinants named for them
        self._taken: set[int] = set()  # columns whose numerators have been written
        self._whole = ""  # the name of D

    def meant(self, name: str, value: Ratio, given: Expr) -> Meant | None:
        """What a determinant of this name should come to, given what is written for it; None where nothing
        above says so."""
        if not _is_plain(value, self.meanings.symbols):
            return None
        value = value.at({}, self.meanings.symbols)
        if is_whole(name):
            sets = self.sets()
            if not sets:
                return None
            exactly = (s for s in sets if value in (s.whole, -s.whole))
            divided = (s for s in sets if fits(value, s.whole) and not _is_made_of(given, s))
            found = next(chain(exactly, divided), None)
            self.chosen = (found, value) if found is not None else (sets[0], _likelier(value, sets[0]))
            self._taken, self._whole = set(), name
            own = self.chosen[0]
            return Meant(self.chosen[1], own.lines, (), own.entries, own.products())
        if self.chosen is None:
            return None
        chosen, whole = self.chosen
        every = [numerator * whole / chosen.whole for numerator in chosen.numerators]
        may_be = self._columns(name, chosen.names)
        if may_be and may_be <= self._taken:  # D2 was of m3, so that D3 is of the next, m4
            may_be |= _by_place(name, chosen.names)
        if may_be and may_be <= self._taken:  # both places that its mark can mean are had already
            may_be = frozenset(range(len(every))) - self._taken or may_be
        here = [at for at, one in enumerate(every) if one == value]
        told = self._told.get(name)
        if told in chosen.names:
            may_be |= {chosen.names.index(told)}
            at = next((at for at in here if at in may_be), None)
        elif len(may_be) == 1:
            at = next((at for at in here if at in may_be), None)
        else:
            at = next((at for at in here if at not in self._taken), None)
        if at is not None:
            self._taken.add(at)
            self._note_quotient(name, at)
            return Meant(value, chosen.lines)
        if not may_be:
            return None
        at = min(may_be - self._taken or may_be)
        self._note_quotient(name, at)
        columns = tuple((chosen.names[other], chosen.names[at]) for other in here)
        return Meant(every[at], chosen.lines, columns, chosen.entries, chosen.products(at))

    def _columns(self, name: str, names: Sequence[str]) -> frozenset[int]:
        """Which unknowns a numerator can be of by its mark: the one whose name ends so, D1 of I1, where the
        working calls it that; else the first for D1, Da, DA or Dx, in the order written or in that of the
        alphabet."""
        mark = _HEAD.sub("", name).lower()
        own = [at for at, unknown in enumerate(names) if unknown.lower().endswith(mark)]
        said = [at for at in own if re.search(rf"{re.escape(names[at].lower())}(?!\d)", self._typed)]
        return frozenset(said) if len(said) == 1 else _by_place(name, names)

    def _note_quotient(self, name: str, at: int) -> None:
        """Keeps which unknown a numerator, right or wrong, is of."""
        if self.chosen is not None:
            self.quotients[self.chosen[0].names[at]] = Quotient(Symbol(name), Symbol(self._whole))

    def note(self, line: int, written: Equation) -> None:
        """Keeps a claim that is linear in several names of unknowns."""
        names = [n for n in symbols_of(written) if n in self.unknown]
        if not names or len(names) > LARGEST or written.relation != "=":
            return
        if len(names) == 1 and any(isinstance(side, Symbol) for side in (written.left, written.right)):
            return  # a result
        symbols = self.meanings.symbols
        within = Field((*symbols.symbols, *names))
        table = {n: r.at({}, within) for n, r in self.meanings.names.items() if _is_plain(r, symbols)}
        table.update({n: within.symbol(n) for n in names})
        sides: list[Expr] = [written.left, written.right]
        if self.meanings.thousands:
            sides = [self.meanings.in_its_units(side) for side in sides]
        if any(not _is_short(side) for side in sides):
            return
        try:
            left, right = (ratio_of(side, within, table) for side in sides)
            row = _row(left - right, names, symbols)
        except (KeyError, ArithmeticError):  # a name without a value; over what may be nothing
            return
        if row is not None:
            self.equations.append((line, *row))

    def sets(self) -> tuple[WrittenSet, ...]:
        """Every set of near equations that fixes its unknowns, the latest first."""
        near = self.equations[: -NEAREST - 1 : -1]
        found: list[WrittenSet] = []
        for size in range(2, LARGEST + 1):
            for rows in combinations(near, size):
                names = list(dict.fromkeys(n for _, row, _ in reversed(rows) for n in row))
                if len(names) != size:
                    continue
                zero = self.meanings.symbols.zero
                matrix = [[row.get(n, zero) for n in names] for _, row, _ in reversed(rows)]
                whole = determinant(matrix)
                if not whole:
                    continue
                constants = tuple(-constant for _, _, constant in reversed(rows))
                numerators = tuple(
                    determinant([_with_constant(m, c, at) for m, c in zip(matrix, constants, strict=True)])
                    for at in range(size)
                )
                lines = tuple(sorted(line for line, _, _ in rows))
                held = tuple(map(tuple, matrix))
                found.append(WrittenSet(lines, tuple(names), held, constants, whole, numerators))
        return tuple(found)


def _quotients(written: Iterable[Equation]) -> Iterator[tuple[str, str]]:
    """Each numerator with the unknown that it is divided for: D1 of `I2 = D1/D`."""
    for each in written:
        match each.right:
            case Quotient(Symbol(above), Symbol(below)) if is_whole(below) and isinstance(each.left, Symbol):
                yield above, each.left.name


def _is_made_of(given: Expr, written: WrittenSet) -> bool:
    """Whether every number in a determinant is one of a set of equations, so that no row was divided."""
    own = {abs(x) for one in written.entries if (x := one.constant()) is not None}
    return all(abs(number.value) in own for number in numbers_in(given) if number.value)


def _with_constant(row: Sequence[Ratio], constant: Ratio, column: int) -> tuple[Ratio, ...]:
    """A row with the constant in one column."""
    return (*row[:column], constant, *row[column + 1 :])


def _likelier(value: Ratio, of: WrittenSet) -> Ratio:
    """The determinant wanted with the sign that what is written has: that in which no more than one product
    is missing, or has the other sign, first the one above zero, as of resistances; else the nearer."""
    wanted = of.whole
    size = wanted.constant()
    first = -1 if size is not None and size < 0 else 1
    for times in (1, 2):
        for sign in (first, -first):
            for own, factors in of.products():
                if value == (wanted - product_of(factors) * (own * times)) * sign:
                    return wanted * sign
    one, other = (value - wanted).constant(), (value + wanted).constant()
    return -wanted if one is not None and other is not None and abs(other) < abs(one) else wanted


def signed_products(matrix: Sequence[Sequence[Ratio]]) -> tuple[SignedProduct, ...]:
    """The products that a determinant is the sum of, without those that are zero."""
    found: list[SignedProduct] = []
    for columns in permutations(range(len(matrix))):
        factors = tuple(row[at] for row, at in zip(matrix, columns, strict=True))
        if all(factors):
            turned = sum(a > b for a, b in combinations(columns, 2))
            found.append((-1 if turned % 2 else 1, factors))
    return tuple(found)


def product_of(factors: Sequence[Ratio]) -> Ratio:
    """The entries of a product multiplied."""
    total = factors[0]
    for factor in factors[1:]:
        total = total * factor
    return total


def _by_place(name: str, names: Sequence[str]) -> frozenset[int]:
    """Which unknowns a numerator can be of by the place of its mark alone."""
    mark = _HEAD.sub("", name).lower()
    for marks in ("123456", "abcdef", "xyz"):
        if mark in marks and marks.index(mark) < len(names):
            place = marks.index(mark)
            return frozenset((place, list(names).index(sorted(names)[place])))
    return frozenset()


def fits(value: Ratio, wanted: Ratio) -> bool:
    """Whether a determinant is the one wanted, but for its sign and for rows divided by whole numbers."""
    if not value or not wanted:
        return not value and not wanted
    share = (value / wanted).constant()
    if share is None:
        return False
    share = abs(share)
    return (
        1 in (share.numerator, share.denominator) and max(share.numerator, share.denominator) <= MOST_DIVIDED
    )


def determinant(matrix: Sequence[Sequence[Ratio]]) -> Ratio:
    """By the first row; the matrices are small."""
    if len(matrix) == 1:
        return matrix[0][0]
    total = matrix[0][0] * 0
    for at, entry in enumerate(matrix[0]):
        if entry:
            rest = [[*row[:at], *row[at + 1 :]] for row in matrix[1:]]
            total = total + entry * determinant(rest) * (-1) ** at
    return total


def _is_short(side: Expr) -> bool:
    """Whether a side may be multiplied out: no equation of a set to be solved is long."""
    try:
        check_length(side, LARGEST)
    except TooLong:
        return False
    return True


def _is_plain(ratio: Ratio, symbols: Field) -> bool:
    return set(ratio.held()) <= set(symbols.symbols)


def _row(difference: Ratio, names: Sequence[str], symbols: Field) -> tuple[dict[str, Ratio], Ratio] | None:
    """The coefficients and the constant of an equation linear in the names; None where it is not."""
    zeros = dict.fromkeys(names, 0)
    constant = difference.at(zeros, symbols)
    row: dict[str, Ratio] = {}
    for name in names:
        one = difference.at({**zeros, name: 1}, symbols) - constant
        two = difference.at({**zeros, name: 2}, symbols) - constant
        if two != one * 2:
            return None
        if one:
            row[name] = one
    together = difference.at(dict.fromkeys(names, 1), symbols) - constant
    whole = symbols.zero
    for one in row.values():
        whole = whole + one
    return (row, constant) if together == whole else None
