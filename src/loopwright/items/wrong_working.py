"""Complete workings in numbers with one slip carried through: at a line of one's choice, and nowhere else.

The laws are put down, unknowns put in one by one, the last one found and the others put back. At one line
another thing is written than what is right; all lines after it are worked from what stands there. Knows
nothing of `derive` and of `reading`: the reader that looks for the slip has not written it.
Stands on `slips` for the equations as terms.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import lcm

from ..circuit.circuit import natural
from ..expressions.amounts import joint
from ..expressions.nodes import ZERO, Equation, Expr, Negative, Number, Symbol, add, number, times
from ..graph.lines import Loop
from ..quantities import simple
from ..slips.equation_slips import EquationRow, EquationTerm
from ..slips.settings import SettingInNumbers, turned
from .number_forms import CommonUnit

LONGEST_NUMBER = 7  # signs of a number in a line; a working with longer ones is not fit to be read
MOST_LINES = 32  # a bridge of six branches takes 29
THOUSAND = Fraction(1000)

NumberTerms = tuple[tuple[Fraction, str], ...]  # terms that add up to zero: a number and a current, or none
WriteTerms = Callable[[NumberTerms], tuple[Expr, ...]]  # how the terms of a law are set on both sides


@dataclass(frozen=True, slots=True)
class SlipInLine:
    """What is done wrong in a line: the key of the slip, where it is made, and the line as it then stands."""

    entry: str
    place: str
    terms: NumberTerms
    sides: tuple[Expr, ...]


@dataclass(frozen=True, slots=True)
class LineOfWorking:
    """One line. `said`: what is done; `sides`: what is written, a chain; `terms`: the same as terms that add
    up to zero; `slips`: what could be written in its place by one slip; `uses`: the lines it is made of."""

    number: int
    said: str
    sides: tuple[Expr, ...]
    terms: NumberTerms
    uses: tuple[int, ...] = ()
    slips: tuple[SlipInLine, ...] = ()

    @property
    def equations(self) -> tuple[Equation, ...]:
        """The line as equations, one for each relation sign of the chain."""
        return tuple(
            Equation(one, other, joint(one, other))
            for one, other in zip(self.sides, self.sides[1:], strict=False)
        )


@dataclass(frozen=True, slots=True)
class WrittenWorking:
    """A complete working. `wrong`: the number of the line with the slip, 0 where there is none; `slip`: what
    is wrong there; `units`: the units of its bare numbers; `values`: the currents it comes to, in amperes."""

    lines: tuple[LineOfWorking, ...]
    wrong: int
    slip: SlipInLine | None
    units: str
    values: dict[str, Fraction]


class NotWorked(ArithmeticError):
    """The lines come to no answer, or to numbers that nobody would write."""


def worked(here: SettingInNumbers, wrong: int = 0, which: int = 0) -> WrittenWorking:
    """The working of a circuit in its numbers, with slip `which` of those that line `wrong` lets be made (0:
    no slip). Raises NotWorked where it comes to no answer or to unwieldy numbers, and IndexError where the
    line or the slip is not to be had."""
    return _Worker(here, wrong, which).work()


def slipped(here: SettingInNumbers, line: int = 0) -> Iterator[WrittenWorking]:
    """Every working with one slip, by the line it is made in (`line`: only those) and what it is there. Left
    out are those that come to nothing, and slips that leave their line true."""
    right = worked(here)
    for at in right.lines:
        for which in range(len(at.slips)) if line in (0, at.number) else ():
            try:
                found = worked(here, at.number, which)
            except NotWorked:
                continue
            if _off(found.lines[at.number - 1].terms, right.values, found.units):
                yield found


def _off(terms: NumberTerms, values: dict[str, Fraction], units: str) -> Fraction:
    """What a line comes to for the right currents: zero where it is true."""
    scale = THOUSAND if "mA" in units else Fraction(1)
    return sum((c * values[name] * scale if name else c for c, name in terms), Fraction(0))


class _Worker:
    """One working being written: what is known of each line, and the slip to be made on the way."""

    def __init__(self, here: SettingInNumbers, wrong: int, which: int) -> None:
        self.here, self.wrong, self.which = here, wrong, which
        self.circuit = here.setting.circuit
        resistances = [here.resistance(b.name) for b in self.circuit.branches]
        self.milli = all(r == 0 or r >= 100 for r in resistances) and any(r >= THOUSAND for r in resistances)
        self.lines: list[LineOfWorking] = []
        self.slip: SlipInLine | None = None

    def work(self) -> WrittenWorking:
        """Writes it all."""
        given = dict(map(self._given, self.here.setting.fixed))
        open_rows = [*map(self._junction, self.here.setting.junctions)]
        open_rows += map(self._loop, self.here.setting.loops, self.here.setting.loop_rows)
        for name, (value, line) in given.items():
            known: NumberTerms = ((value, ""),) if value else ()
            open_rows = [
                self._replaced(row, name, known, line) if name in _held(row[0]) else row for row in open_rows
            ]
        solved: list[tuple[str, NumberTerms, int]] = []
        while len(open_rows) > 1:
            open_rows = self._put_in(open_rows, solved)
        values = self._put_back(open_rows[0], solved, given)
        if self.wrong > len(self.lines):
            raise IndexError(self.wrong)
        units = "V, mA and kΩ" if self.milli else "V, A and Ω"
        return WrittenWorking(tuple(self.lines), self.wrong, self.slip, units, values)

    # -- one line ----------------------------------------------------------------------------------

    def write(
        self,
        said: str,
        sides: tuple[Expr, ...],
        terms: NumberTerms,
        uses: tuple[int, ...] = (),
        slips: Sequence[SlipInLine] = (),
    ) -> tuple[NumberTerms, int]:
        """Puts down a line, with the slip where it is its turn; gives what it says, and its number."""
        at = len(self.lines) + 1
        if at == self.wrong:
            self.slip = slips[self.which]
            sides, terms = self.slip.sides, self.slip.terms
        held = _held(terms)
        if at > MOST_LINES or not held or any(len(simple(abs(c))) > LONGEST_NUMBER for c, _ in terms):
            raise NotWorked(said)
        self.lines.append(LineOfWorking(at, said, sides, terms, uses, tuple(slips)))
        return terms, at

    # -- what is given -----------------------------------------------------------------------------

    def _given(self, row: EquationRow) -> tuple[str, tuple[Fraction, int]]:
        """A current that a current source or a gap fixes: its name, its value and the line that says so."""
        current, *source = row.terms
        scale = THOUSAND if self.milli else Fraction(1)
        name, value = current.current, -scale * sum((self.here.coefficient(t) for t in source), Fraction(0))
        slips = [self._result("source-sign", f"{name} turned round", name, -value)] if value else []
        return name, self._found(f"Current in {name}", name, value, (), slips)

    # -- laws --------------------------------------------------------------------------------------

    def _junction(self, row: EquationRow) -> tuple[NumberTerms, int]:
        slips = [
            self._of_row("junction-sign", f"sign of {t.written}", _with(row, i, turned(t)), _balance)
            for i, t in enumerate(row.terms)
        ]
        if len(row.terms) > 2:
            slips += [
                self._of_row("branch-missing", f"{t.written} left out", _with(row, i), _balance)
                for i, t in enumerate(row.terms)
            ]
        terms = self._terms(row)
        return self.write(f"Junction {row.name.removeprefix('junction ')}", _balance(terms), terms, (), slips)

    def _loop(self, loop: Loop, row: EquationRow) -> tuple[NumberTerms, int]:
        slips: list[SlipInLine] = []
        for i, t in enumerate(row.terms):
            kind = "drop" if t.current else "source"
            slips.append(
                self._of_row(f"{kind}-sign", f"sign of {t.written}", _with(row, i, turned(t)), _to_zero)
            )
            if len(row.terms) > 2:
                slips.append(
                    self._of_row(f"{kind}-missing", f"{t.written} left out", _with(row, i), _to_zero)
                )
            for other, _ in loop if t.current else ():
                if other != t.current:
                    taken = _with(row, i, replace(t, current=other))
                    place = f"{other} for {t.current} in its drop"
                    slips.append(self._of_row("wrong-current", place, taken, _to_zero))
        ways = [f"{'along' if sense > 0 else 'against'} {name}" for name, sense in loop]
        terms = self._terms(row)
        said = f"Loop {ways[0]}" if len(ways) == 1 else f"Loop {', '.join(ways[:-1])} and {ways[-1]}"
        return self.write(said, _to_zero(terms), terms, (), slips)

    def _terms(self, row: EquationRow) -> NumberTerms:
        scale = 1 / THOUSAND if self.milli else Fraction(1)
        return tuple(
            (self.here.coefficient(t) * (scale if t.current and t.element else 1), t.current)
            for t in row.terms
            if self.here.coefficient(t)
        )

    def _of_row(self, entry: str, place: str, row: EquationRow, write: WriteTerms) -> SlipInLine:
        terms = self._terms(row)
        return SlipInLine(entry, place, terms, write(terms))

    # -- putting in --------------------------------------------------------------------------------

    def _put_in(
        self, rows: list[tuple[NumberTerms, int]], solved: list[tuple[str, NumberTerms, int]]
    ) -> list[tuple[NumberTerms, int]]:
        """Solves one row for one unknown and puts it into the others; these are left."""
        at, name = self._pivot(rows)
        (terms, line), rest = rows[at], [*rows[:at], *rows[at + 1 :]]
        holding = [row for row in rest if name in _held(row[0])]
        value, line = self._solved(terms, line, name)
        solved.append((name, value, line))
        return [self._replaced(row, name, value, line) if row in holding else row for row in rest]

    def _pivot(self, rows: list[tuple[NumberTerms, int]]) -> tuple[int, str]:
        """Which row to solve for what: a short one, a plain coefficient, an unknown met in few others."""
        choices: list[tuple[int, bool, int, int, str]] = []
        for i, (terms, _) in enumerate(rows):
            for name, c in _held(terms).items():
                others = sum(name in _held(other) for j, (other, _) in enumerate(rows) if j != i)
                choices.append((others, abs(c) != 1, len(terms), i, name))
        used = [choice for choice in choices if choice[0]] or choices
        _, _, _, at, name = min(used, key=lambda c: (c[1], c[0], c[2], c[3]))
        return at, name

    def _solved(self, terms: NumberTerms, line: int, name: str) -> tuple[NumberTerms, int]:
        """What the unknown is by a row: its other terms; a line of its own unless it stands so already."""
        value = _value_of(terms, name)
        written = self.lines[line - 1].sides
        if Symbol(name) in written and not _held(value).get(name):
            return value, line
        slips = [
            SlipInLine(
                "moved-sign",
                f"the term {_said(c, n)} keeps its sign",
                _as_row(name, moved),
                (Symbol(name), _sum(moved)),
            )
            for i, (c, n) in enumerate(value)
            for moved in [(*value[:i], (-c, n), *value[i + 1 :])]
        ]
        found, at = self.write(
            f"From ({line})", (Symbol(name), _sum(value)), _as_row(name, value), (line,), slips
        )
        return _value_of(found, name), at

    def _replaced(
        self, row: tuple[NumberTerms, int], name: str, value: NumberTerms, line: int
    ) -> tuple[NumberTerms, int]:
        """A row with the unknown's value put in: first in brackets, then collected."""
        terms, old = row
        factor = _held(terms)[name]
        rest = tuple((c, n) for c, n in terms if n != name)
        inside = _sum(value)
        put = tuple(
            times(number(c), inside) if n == name else times(number(c), Symbol(n)) if n else number(c)
            for c, n in terms
        )
        whole = (*rest, *((factor * c, n) for c, n in value))
        uses = (line, old)
        collected, said = _collected(whole)
        if len(value) < 2:
            return self.write(f"({line}) in ({old})", _to_zero(collected), collected, uses)
        _, middle = self.write(f"({line}) in ({old})", (add(*put), ZERO), whole, uses)
        return self.write(
            said, _to_zero(collected), collected, (middle,), list(_bracket_slips(rest, value, factor))
        )

    # -- the last unknown, and back ------------------------------------------------------------------

    def _put_back(
        self,
        last: tuple[NumberTerms, int],
        solved: Sequence[tuple[str, NumberTerms, int]],
        given: Mapping[str, tuple[Fraction, int]],
    ) -> dict[str, Fraction]:
        """The last unknown's value and that of each other, the latest solved for first, with those given."""
        terms, line = last
        held = _held(terms)
        if len(held) != 1:
            raise NotWorked("not one unknown is left")
        ((name, factor),) = held.items()
        constant = sum((c for c, n in terms if not n), Fraction(0))
        if not factor or not constant:
            raise NotWorked("nothing is left of the last line")
        slips = [
            self._result(
                "moved-sign", f"the number {simple(abs(constant))} keeps its sign", name, constant / factor
            ),
            self._result("fraction-inverted", "divided the other way round", name, -factor / constant),
        ]
        values = {**given, name: (-constant / factor, line)}
        values[name] = self._found(f"From ({line})", name, -constant / factor, (line,), slips)
        for name, value, source in reversed(solved):
            values[name] = self._back(name, value, source, values)
        scale = THOUSAND if self.milli else Fraction(1)
        return {n: values[n][0] / scale for n in self.circuit.currents}

    def _back(
        self, name: str, value: NumberTerms, source: int, values: dict[str, tuple[Fraction, int]]
    ) -> tuple[Fraction, int]:
        uses = tuple(dict.fromkeys([source, *(values[n][1] for _, n in value if n)]))
        right = sum((c * values[n][0] if n else c for c, n in value), Fraction(0))
        slips = [
            self._result(
                "minus-dropped",
                f"the minus of {n} is dropped",
                name,
                right - 2 * c * values[n][0],
                _put_numbers(value, {**values, n: (-values[n][0], 0)}),
            )
            for c, n in value
            if n and values[n][0] < 0
        ]
        told = ", ".join(f"({n})" for n in uses[1:])
        said = f"{told} in ({source})" if told else f"From ({source})"
        return self._found(said, name, right, uses, slips, _put_numbers(value, values))

    def _found(
        self,
        said: str,
        name: str,
        value: Fraction,
        uses: tuple[int, ...],
        slips: Sequence[SlipInLine],
        way: Expr | None = None,
    ) -> tuple[Fraction, int]:
        terms, line = self.write(said, self._chain(name, value, way), _result_row(name, value), uses, slips)
        return -sum((c for c, n in terms if not n), Fraction(0)), line

    def _result(
        self, entry: str, place: str, name: str, value: Fraction, way: Expr | None = None
    ) -> SlipInLine:
        return SlipInLine(entry, place, _result_row(name, value), self._chain(name, value, way))

    def _chain(self, name: str, value: Fraction, way: Expr | None) -> tuple[Expr, ...]:
        """The current, the way to its value, the value, and the value rounded where it is a fraction."""
        exact = number(value)
        ways = () if way is None or way == exact else (way,)
        unit = "mA" if self.milli else "A"
        if "/" not in simple(value):
            return (Symbol(name), *ways, _with_unit(value, unit, simple(abs(value))))
        rounded = CommonUnit("", Fraction(1), max(3, self.circuit.figures)).digits(abs(value))
        return (Symbol(name), *ways, exact, _with_unit(value, unit, rounded))


def _with(row: EquationRow, at: int, *new: EquationTerm) -> EquationRow:
    """The row with other terms in the place of one."""
    return replace(row, terms=(*row.terms[:at], *new, *row.terms[at + 1 :]))


def _held(terms: NumberTerms) -> dict[str, Fraction]:
    """The currents in these terms, each with what it is multiplied by."""
    found: dict[str, Fraction] = {}
    for c, name in terms:
        if name:
            found[name] = found.get(name, Fraction(0)) + c
    return {name: c for name, c in found.items() if c}


def _value_of(terms: NumberTerms, name: str) -> NumberTerms:
    """What a current is by terms that add up to zero."""
    factor = _held(terms)[name]
    return tuple((-c / factor, n) for c, n in _together(tuple((c, n) for c, n in terms if n != name)))


def _together(terms: NumberTerms) -> NumberTerms:
    """The terms collected: the number first, then the currents in the order of their names."""
    constant = sum((c for c, n in terms if not n), Fraction(0))
    numbers = ((constant, ""),) if constant else ()
    held = sorted(_held(terms).items(), key=lambda each: natural(each[0]))
    return (*numbers, *((c, n) for n, c in held))


def _collected(terms: NumberTerms) -> tuple[NumberTerms, str]:
    """The terms collected, multiplied so that no fractions are left, and how that is said."""
    found = _together(terms)
    factor = lcm(*(c.denominator for c, _ in found if "/" in simple(c)), 1)
    said = "Collected" if factor == 1 else f"Collected, times {factor}"
    return tuple((c * factor, n) for c, n in found), said


def _as_row(name: str, value: NumberTerms) -> NumberTerms:
    """A current and its value as terms that add up to zero."""
    return ((Fraction(1), name), *((-c, n) for c, n in value))


def _result_row(name: str, value: Fraction) -> NumberTerms:
    return ((Fraction(1), name), (-value, ""))


def _sum(terms: NumberTerms) -> Expr:
    return add(*(_term(c, n) for c, n in terms))


def _term(c: Fraction, name: str) -> Expr:
    return times(number(c), Symbol(name)) if name else number(c)


def _said(c: Fraction, name: str) -> str:
    size = simple(abs(c))
    return f"{size} {name}".strip() if size != "1" or not name else name


def _to_zero(terms: NumberTerms) -> tuple[Expr, ...]:
    return (_sum(terms), ZERO)


def _balance(terms: NumberTerms) -> tuple[Expr, ...]:
    """The terms as currents in on the left and currents out on the right."""
    into = _sum(tuple((c, n) for c, n in terms if c > 0))
    out = _sum(tuple((-c, n) for c, n in terms if c < 0))
    return (out, into) if into == ZERO else (into, out)


def _bracket_slips(rest: NumberTerms, value: NumberTerms, factor: Fraction) -> Iterator[SlipInLine]:
    """What is done wrong in multiplying out: a factor or a minus that reaches the first term only."""
    first, *others = value
    sign = 1 if factor > 0 else -1
    kept: list[tuple[str, str, Fraction]] = []
    if abs(factor) != 1:
        kept.append(
            ("bracket-lost", f"{simple(abs(factor))} multiplies {_said(*first)} only", Fraction(sign))
        )
    if factor < 0:
        kept.append(("minus-bracket", f"the minus goes to {_said(*first)} only", -factor))
    for entry, place, left in kept:
        terms, _ = _collected((*rest, (factor * first[0], first[1]), *((left * c, n) for c, n in others)))
        yield SlipInLine(entry, place, terms, _to_zero(terms))


def _put_numbers(value: NumberTerms, values: Mapping[str, tuple[Fraction, int]]) -> Expr:
    """A current's value with numbers in the place of other currents."""
    return add(*(times(number(c), number(values[n][0])) if n else number(c) for c, n in value))


def _with_unit(value: Fraction, unit: str, digits: str) -> Expr:
    scale = THOUSAND if unit == "mA" else Fraction(1)
    shown = Number(abs(value) / scale, unit, digits)
    return Negative(shown) if value < 0 else shown
