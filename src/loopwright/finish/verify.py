"""The judge of the rest of a working: every line is true of the circuit and follows from what it names.

Knows no way of writing. Each side of a line is valued afresh from the unknowns of the circuit, by what the
working's names stand for; the laws that a line rests on are written afresh from the circuit; and a number
that is shown shorter than it is must be what it is rounded to. A line that fails any of this is never shown.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from ..algebra.linear import Linear, echelon, follows
from ..algebra.ratios import Ratio
from ..circuit.changed import sources_in
from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..errors import BrokenPromise
from ..expressions.nodes import Equation, Expr, Symbol, numbers_in
from ..expressions.tokens import scale_of
from ..expressions.values import symbols_of
from ..laws.equations import element_equations, junction_equation, loop_equation
from ..reading.reading import Reading
from ..reading.truth.changed import each_alone, in_setting, part
from ..reading.truth.meaning import Meanings, UnknownName, level
from ..reading.truth.rounding import half_unit
from ..reading.truth.size import TooLong
from ..reading.verdicts import Verdict
from ..reading.working import CircuitChange
from .finished import Fact, FactKind, FinishedLine


def verify_rest(
    reading: Reading,
    meanings: Meanings,
    lines: Sequence[FinishedLine],
    new: Mapping[str, Mapping[str, int]] | None = None,
) -> int:
    """Judges every line; gives the number of statements verified. `meanings`: what the names of the working
    stand for, in symbols or in numbers as the rest is written; `new`: quantities that the rest has named, as
    sums of unknowns. Raises BrokenPromise at the first line that is not true, does not follow, or shows a
    number that is not the one behind it, and TooLong at one that is too long to be multiplied out."""
    for name, made in (new or {}).items():
        meanings.name_quantity(name, made)
    judge = _RestJudge(reading, meanings)
    for line in lines:
        judge.weigh(line)
    return judge.count


class _RestJudge:
    """The judge of one rest. `accepted`: by number of the line, what it says as rows in the unknowns."""

    def __init__(self, reading: Reading, meanings: Meanings) -> None:
        self.meanings = meanings
        self.count = 0
        self.accepted: dict[int, list[Linear]] = {}
        start: Expr | None = None
        above: Verdict | None = None
        for verdict in reading.verdicts:
            written = verdict.claim.written
            goes_on = above is not None and above.line == verdict.line
            if not (goes_on and above is not None and above.claim.written.right == written.left):
                start = written.left
            if not verdict.holds:
                start = None
            elif not verdict.claim.case:
                self._take_up(verdict.line, written)
                if start is not None:
                    self._take_result(verdict.line, Equation(start, written.right))
            above = verdict

    def _take_up(self, number: int, written: Equation) -> None:
        """A true line of the working, where it holds exactly."""
        rows = self.accepted.setdefault(number, [])
        try:
            difference = self.meanings.difference(written)
        except (UnknownName, TooLong, ZeroDivisionError, KeyError):
            return
        if self.meanings.holds(difference):
            row = self.meanings.row(difference)
            if row is not None and row.coefficients:
                rows.append(row)

    def _take_result(self, number: int, written: Equation) -> None:
        """A line that gives a quantity with nothing unknown on the other side, rounded or not, or nothing
        but what the lines down to it give: it is known from then on."""
        for one, other in ((written.left, written.right), (written.right, written.left)):
            if not isinstance(one, Symbol) or isinstance(other, Symbol):
                continue
            worth = self.meanings.names.get(one.name)
            true = None if worth is None else self.meanings.value(worth)
            if worth is None or true is None:
                continue
            row = self.meanings.row(worth - true.at({}, self.meanings.field))
            if row is None or not row.coefficients:
                continue
            if any(self._is_unknown(n) for n in symbols_of(other)):
                above = [x for rows in self.accepted.values() for x in rows]
                if not follows(row, echelon(above, self.meanings.unknowns)):
                    continue
            self.accepted.setdefault(number, []).append(row)

    def _is_unknown(self, name: str) -> bool:
        worth = self.meanings.names.get(name)
        return worth is not None and bool(set(worth.held()) & set(self.meanings.unknowns))

    def weigh(self, line: FinishedLine) -> None:
        """Judges one line; one that holds is accepted, so that later lines may use it."""
        for side in line.sides:
            self._check_numbers(line, side)
        if line.gives_name:
            self._name(line)
            return
        if not all(n < line.number for n in line.uses):
            raise BrokenPromise(f"line {line.number} uses a line that is not above it")
        used = [row for n in line.uses for row in self.accepted.get(n, ())]
        given = [row for fact in line.facts for row in self._rows(fact)]
        above = echelon([*used, *given], self.meanings.unknowns)
        rows: list[Linear] = []
        for side in line.sides[1:]:
            difference = self._difference(line, Equation(line.sides[0], side))
            if not self.meanings.holds(difference):
                raise BrokenPromise(f"line {line.number} is not true of the circuit")
            row = self.meanings.row(difference)
            if row is not None and row.coefficients:
                if not follows(row, above):
                    raise BrokenPromise(f"line {line.number} does not follow from what it names")
                rows.append(row)
            self.count += 1
        self.accepted[line.number] = rows

    def _difference(self, line: FinishedLine, written: Equation) -> Ratio:
        try:
            return self.meanings.difference(written)
        except (UnknownName, ZeroDivisionError, KeyError) as trouble:
            raise BrokenPromise(f"line {line.number} cannot be read: {trouble}") from trouble

    def _name(self, line: FinishedLine) -> None:
        """A name given to something new; what it stands for must be the same in every form written."""
        left = line.sides[0]
        if not isinstance(left, Symbol) or left.name in self.meanings.names:
            raise BrokenPromise(f"line {line.number} gives a name that is taken")
        worth = [self.meanings.ratio(side) for side in line.sides[1:]]
        true = [self.meanings.value(ratio) for ratio in worth]
        if any(value is None or value != true[0] for value in true):
            raise BrokenPromise(f"line {line.number} gives two values to one name")
        self.meanings.names[left.name] = worth[0]
        self.count += 1

    def _check_numbers(self, line: FinishedLine, side: Expr) -> None:
        """Every number shown must be the one behind it, as far as its figures go."""
        for number in numbers_in(side):
            if not number.text:
                continue
            shown = Fraction(number.text) * scale_of(number.unit)
            if abs(shown - number.value) > half_unit(number):
                raise BrokenPromise(f"line {line.number} shows {number.text} for {number.value}")

    # -- the laws, written afresh ------------------------------------------------------------------

    def _rows(self, fact: Fact) -> list[Linear]:
        setting = fact.setting
        circuit = self._circuit(setting)
        if fact.kind is FactKind.PARTS:
            return self._parts(fact.place)
        if fact.kind is FactKind.SCALED:
            return self._scaled(fact.place, setting)
        if fact.kind is FactKind.SUPPOSED:
            one = self.meanings.symbols.one
            return [Linear.of({part(setting.taken, setting): one}, one * -setting.worth)]
        if fact.kind is FactKind.BRANCH:
            return self._relations(setting, fact.place)
        if fact.kind is FactKind.JUNCTION:
            points = [fact.place] if fact.place else list(circuit.points)
            return [self._named(junction_equation(circuit, p).linear, setting) for p in points]
        if fact.kind is FactKind.ELEMENT:
            return [
                self._named(e.linear, setting)
                for e in element_equations(circuit)
                if fact.place in ("", e.branch)
            ]
        return [self._named(loop_equation(circuit, fact.loop).linear, setting)]

    def _circuit(self, setting: CircuitChange) -> Circuit:
        if not setting:
            return self.meanings.circuit
        found = in_setting(self.meanings.circuit, setting)
        if found is None or setting not in self.meanings.changed:
            raise BrokenPromise(f"the circuit {setting.words} has no one answer")
        return found.circuit

    def _named(self, linear: Linear, setting: CircuitChange) -> Linear:
        """A law of one circuit in the unknowns of all, with the numbers put in where there are any."""
        numbers, symbols = self.meanings.numbers, self.meanings.symbols
        own = {part(n, setting): c.at(numbers, symbols) for n, c in linear.coefficients.items()}
        return Linear.of(own, linear.constant.at(numbers, symbols))

    def _relations(self, setting: CircuitChange, branch: str) -> list[Linear]:
        if not setting:
            found = {**self.meanings.relations(), **self._on_the_way()}
        else:
            solved = in_setting(self.meanings.circuit, setting)
            if solved is None:
                raise BrokenPromise(f"the circuit {setting.words} has no one answer")
            numbers = self.meanings.numbers
            held = {n: v for n, v in numbers.items() if n in solved.circuit.field}
            found = Meanings(solved, {}, held, self.meanings.thousands).relations()
        rows = [row for name, row in found.items() if branch in ("", name)]
        symbols = self.meanings.symbols
        return [
            Linear.of(
                {part(n, setting): c.at({}, symbols) for n, c in row.coefficients.items()},
                row.constant.at({}, symbols),
            )
            for row in rows
        ]

    def _on_the_way(self) -> dict[str, Linear]:
        """What drops between the ends of each branch and the points named on its way, as far as no gap and no
        current source leaves it open."""
        meanings, found = self.meanings, {}
        for b in meanings.circuit.branches:
            for end, sense, along in ((b.start, 1, b.along), (b.end, -1, b.along[::-1])):
                drop = meanings.field.zero
                for item in along:
                    if isinstance(item, str):
                        ends = meanings.field.symbol(level(end)) - meanings.field.symbol(level(item))
                        row = meanings.row(ends - drop * sense)
                        if row is not None and row.coefficients:
                            found[f"{b.name} from {end} to {item}"] = row
                        continue
                    element = meanings.circuit.elements[item.element]
                    if element.fixes_current:
                        break
                    own = meanings.across(item.element)
                    drop = drop - own * item.sign if element.kind is Kind.BATTERY else drop + own
        return found

    def _parts(self, name: str) -> list[Linear]:
        """That a current is the sum of what each source alone makes."""
        one = self.meanings.symbols.one
        alone = each_alone(self.meanings.circuit)
        parts = {part(name, setting): -one for setting in alone}
        return [Linear.of({name: one, **parts}, self.meanings.symbols.zero)]

    def _scaled(self, name: str, setting: CircuitChange) -> list[Linear]:
        """That with one source a current is to what it is under a supposition as the source is to what it
        would have to give."""
        circuit = self.meanings.circuit
        (source,) = sources_in(circuit)
        needed, true = self._circuit(setting).value(source), circuit.value(source)
        numbers, symbols = self.meanings.numbers, self.meanings.symbols
        shares = {name: needed.at(numbers, symbols), part(name, setting): -true.at(numbers, symbols)}
        return [Linear.of(shares, symbols.zero)]
