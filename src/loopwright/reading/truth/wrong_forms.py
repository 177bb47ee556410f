"""What untrue results above look like on the page, so that what is made of them can be told from a new slip.

After `V = 25.2 V` for 18 V the line `I3 = 25.2/9` is not true, and yet nothing is wrong in it: with the
name in the
place of the wrong value, `I3 = V/9`, it is. Each result that is untrue, or rests on one, is kept with
every form
that its line gives it: formula, fraction, number. A line with one of these in it is judged again with the
name.
"""

from __future__ import annotations

from bisect import bisect_left, insort
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations

from ...expressions.nodes import (
    Equation,
    Expr,
    Negative,
    Number,
    Product,
    Quotient,
    Sum,
    Symbol,
    alike,
    negate,
    parts_of,
    parts_within,
)
from ...expressions.tokens import scale_of
from ...expressions.values import symbols_of
from .rounding import digits_of, figures, half_unit, is_decimal, lone

MOST_AT_ONCE = 3  # wrong results put back into one line
MOST_TRIED = 40
_SCALES = (1.0, 1e-3, 1e3, 1e-6, 1e6)  # of the units that a number may be written without
_WIDEST = 0.08  # relative: more than half a unit in the last of two figures
KILOHMS = 100  # ohms from which people write kilohms


@dataclass(frozen=True, slots=True)
class WrongForm:
    """One way in which a line writes an untrue result: the `name` that has it, and what is written for it.
    `added`: a resistor that it is added to without a word, as in 6.611 for R1 + R23."""

    line: int
    name: str
    written: Expr
    added: str = ""

    @property
    def meant(self) -> Expr:
        """What the form stands for."""
        return Sum((Symbol(self.added), Symbol(self.name))) if self.added else Symbol(self.name)

    @property
    def number(self) -> tuple[Number, int] | None:
        """What is written for the name, where it is one number, and its sign."""
        own = lone(self.written)
        if own is None or self.added:
            return None
        return own, 1 if self.written is own else -1

    def in_equation(self, written: Equation) -> Equation:
        """A claim with the name wherever this form stands."""
        return Equation(self.put_in(written.left), self.put_in(written.right), written.relation)

    def put_in(self, expr: Expr) -> Expr:
        """The expression with the name wherever this form stands."""
        if expr == self.written:
            return self.meant
        if isinstance(expr, Number | Negative | Quotient) and (sign := self._rounded(as_number(expr))):
            return self.meant if sign > 0 else negate(self.meant)
        parts = parts_of(expr)
        if not parts:
            return expr
        put = [self.put_in(part) for part in parts]
        return alike(expr, put) if put != list(parts) else expr

    def _rounded(self, expr: Expr) -> int:
        """+1 where a number is this one, written to fewer figures or more; −1 where it is minus this one,
        else
        0."""
        own, other = lone(self.written), lone(expr)
        if own is None or other is None or not own.value:
            return 0
        value = own.value if self.written is own else -own.value
        shown = other.value if expr is other else -other.value
        units = other.unit == own.unit or not (other.unit and own.unit)
        bare = scale_of(own.unit) if own.unit and not other.unit else Fraction(1)  # 0.203 for 0.203 kΩ
        for scale in dict.fromkeys((Fraction(1), bare)):
            for sign in (1, -1):
                near = max(_half(own) / scale, _half(other)) if units else Fraction(0)
                if abs(shown * sign - value / scale) <= near:
                    return sign
        return 0


def _half(number: Number) -> Fraction:
    return half_unit(number) if is_decimal(number) and figures(number) > 1 else Fraction(0)


def as_number(expr: Expr) -> Expr:
    """A fraction of two numbers, with its unit behind it or without, as one number: 9/16, (17/2) Ω; any other
    expression as it is."""
    match expr:
        case Quotient(Number(above, "", top), Number(below, "", under)) if below and not (top or under):
            return Number(above / below, "", f"{above}/{below}")
        case Product((Quotient() as inner, Number(scale, unit, ""))) if scale == scale_of(unit):
            number = as_number(inner)
            return Number(number.value * scale, unit, number.text) if isinstance(number, Number) else expr
        case Negative(body):
            return Negative(as_number(body)) if isinstance(body, Quotient | Product) else expr
    return expr


class _Kept:
    """Forms in the order in which they were written, found by what stands in a claim."""

    def __init__(self) -> None:
        self.forms: list[WrongForm] = []
        self.of_expr: dict[Expr, list[int]] = {}
        self.by_size: list[tuple[float, int]] = []  # of those that are a number, with their places

    def add(self, form: WrongForm) -> None:
        """Keeps one more."""
        place = len(self.forms)
        self.forms.append(form)
        number = lone(form.written)
        self.of_expr.setdefault(form.written, []).append(place)
        if number is not None:
            insort(self.by_size, (float(abs(number.value)), place))

    def near(self, written: Equation) -> list[WrongForm]:
        """The forms that may stand in a claim, the latest first: no more of them are looked at in a long
        working than in a short one."""
        found: set[int] = set()
        for part in parts_within(written):
            found.update(self.of_expr.get(part, ()))
            number = lone(as_number(part))
            if number is None or not number.value:
                continue
            for scale in _SCALES:
                size = float(abs(number.value)) * scale
                low = bisect_left(self.by_size, (size * (1 - _WIDEST), -1))
                high = bisect_left(self.by_size, (size * (1 + _WIDEST), -1))
                found.update(place for _, place in self.by_size[low:high])
        return [self.forms[place] for place in sorted(found, reverse=True)]


class WrongForms:
    """The untrue results of a working so far. `given`: the numbers of the problem, which are never taken for
    a wrong result; `resistances`: those of its resistors."""

    def __init__(self, given: frozenset[Fraction], resistances: Mapping[str, Fraction]) -> None:
        self.given, self.resistances = given, resistances
        self.forms = _Kept()
        self.alike = _Kept()  # that look like numbers of the problem
        self.numbers: dict[str, tuple[int, tuple[Number, int]]] = {}  # of names, with their lines
        self.formulas: dict[str, tuple[int, Expr]] = {}  # in letters, the last of each name, with their lines
        self._chain: tuple[int, str, bool] = (0, "", False)  # the line, what it gives, whether that is untrue

    @property
    def of_line(self) -> str:
        """What the line of the last claim gives; empty where that is no name."""
        return self._chain[1]

    def note(self, line: int, written: Equation, *, goes_on: bool, untrue: bool) -> str:
        """Keeps what a claim says of an untrue result, and gives the name of that; empty where it says
        nothing of
        one. `goes_on`: it goes on in the chain of the claim before; `untrue`: it is not true of the
        circuit."""
        name, off = (self._chain[1], self._chain[2]) if goes_on else ("", False)
        if not name and isinstance(written.left, Symbol):
            name = written.left.name
        off = off or untrue
        self._chain = (line, name, off)
        if not (name and off) or name in symbols_of(written.right):
            return ""
        right = as_number(written.right)
        number = lone(right)
        if number is not None:
            self.numbers[name] = (line, (number, 1 if right is number else -1))
        elif symbols_of(right):
            self.formulas[name] = (line, right)
        if self._is_telling(right):
            self.forms.add(WrongForm(line, name, right))
            self._note_sums(line, name, right)
        elif number is not None and number.value:
            self.alike.add(WrongForm(line, name, right))
        return name

    def note_unnamed(self, line: int, name: str, written: Expr) -> None:
        """Keeps a wrong number that the working gives no name to, under one of ours."""
        kept = self.forms if self._is_telling(written) else self.alike
        kept.add(WrongForm(line, name, written))
        if name.startswith("resistance"):
            self._note_sums(line, name, written)

    def _note_sums(self, line: int, name: str, written: Expr) -> None:
        """Keeps what a wrong resistance comes to with each resistor, in the unit it is written in."""
        number = lone(written)
        if number is None or not name.startswith(("R", "r")):
            return
        scale = scale_of(number.unit) if number.unit else Fraction(1)
        decimals = len(digits_of(number).partition(".")[2])
        for added, value in self.resistances.items():
            kilo = scale == 1 and value >= KILOHMS  # bare numbers may be kilohms
            for factor in (1, 1000) if kilo else (1,):
                total = number.value + value / factor
                text = f"{float(total / scale):.{decimals}f}"
                self.forms.add(WrongForm(line, name, Number(total, number.unit, text), added))

    def values(self) -> dict[str, tuple[int, tuple[Number, int]]]:
        """The last number that each name was wrongly given, and its sign, with its line."""
        return self.numbers

    def _is_telling(self, expr: Expr) -> bool:
        """Whether an expression stands for the result it was given for and for nothing else: a formula, or a
        number that is none of the problem's, by its sign or its noughts if not by its size."""
        number = lone(expr)
        if number is not None:
            plain = number is expr and not (is_decimal(number) and digits_of(number).endswith("0"))
            given = number.value in self.given and plain
            return not given and (bool(number.unit) or number.value not in (0, 1))
        return not isinstance(expr, Symbol)

    def without(self, written: Equation) -> Iterator[tuple[Equation, tuple[int, ...]]]:
        """The claim with names in the place of wrong results, in each way that changes it, and the lines that
        these are of; the latest first, all together before some."""
        telling = [f for f in self.forms.near(written) if self._in(f, written)]
        subject = written.left.name if isinstance(written.left, Symbol) else ""
        telling.sort(key=lambda f: not (subject and f.name.startswith(subject)))  # its own parts first
        names = list(dict.fromkeys(f.name for f in telling))[:MOST_AT_ONCE]
        tried = 0
        for size in range(len(names), 0, -1):
            for chosen in combinations(names, size):
                put = written
                lines: list[int] = []
                for form in telling:
                    if form.name not in chosen:
                        continue
                    changed = _put(form, put)
                    if changed != put:
                        put, lines = changed, [*lines, form.line]
                tried += 1
                if put != written and lines and tried < MOST_TRIED:
                    yield put, tuple(sorted(dict.fromkeys(lines)))

        for form in (*telling, *(f for f in self.alike.near(written) if self._in(f, written))):
            if form.number is not None:
                for put in _each_place(form, written, 1 if form in telling else 0):
                    yield put, (form.line,)
                    others, lines = put, [form.line]
                    for other in telling:
                        changed = _put(other, others) if other.name != form.name else others
                        if changed != others:
                            others, lines = changed, [*lines, other.line]
                    if others != put:
                        yield others, tuple(sorted(dict.fromkeys(lines)))

    def _in(self, form: WrongForm, written: Equation) -> bool:
        return _put(form, written) != written


def _each_place(form: WrongForm, written: Equation, most_whole: int) -> list[Equation]:
    """The claim with the name for a number that stands in it more than `most_whole` times, at one place at a
    time, and last wherever it stands: R/(R + 2) with a wrong R that is another's right one."""
    found: list[Equation] = []
    for at, side in enumerate((written.left, written.right)):
        for changed in _one_put(form, side):
            sides = (changed, written.right) if at == 0 else (written.left, changed)
            found.append(Equation(*sides, written.relation))
    if not most_whole < len(found) <= MOST_AT_ONCE + 1:
        return []
    return [*found, *([_put(form, written)] if len(found) > 1 else ())]


def _one_put(form: WrongForm, expr: Expr) -> Iterator[Expr]:
    """An expression with the name at one of its places, for each of them."""
    put = form.put_in(expr) if lone(expr) is not None else expr
    if put != expr:
        yield put
        return
    parts = list(parts_of(expr))
    for at, part in enumerate(parts):
        for changed in _one_put(form, part):
            yield alike(expr, [*parts[:at], changed, *parts[at + 1 :]])


def _put(form: WrongForm, written: Equation) -> Equation:
    """A claim with the name for the form, but not where the claim itself gives the name its value."""
    put = form.in_equation(written)
    return written if put.left == put.right == Symbol(form.name) else put  # the same result said again


def brackets(written: Equation) -> list[Expr]:
    """The sums with a name in them that stand in a claim as factors of something, in order."""

    def inside(expr: Expr) -> Iterator[Expr]:
        for part in parts_of(expr):
            if isinstance(part, Sum) and not isinstance(expr, Sum) and symbols_of(part):
                yield part
            yield from inside(part)

    return list(dict.fromkeys((*inside(written.left), *inside(written.right))))
