"""From a plan to the lines a person writes, with the sentence that says why each follows."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from ..algebra.linear import Linear
from ..algebra.ratios import Field, Ratio
from ..circuit.circuit import Circuit
from ..circuit.names import listed
from ..expressions.amounts import shortened
from ..expressions.nodes import (
    ONE,
    ZERO,
    Equation,
    Expr,
    Negative,
    Number,
    Parallel,
    Power,
    Product,
    Quotient,
    Sum,
    Symbol,
    over,
    parts_of,
    written_symbols,
)
from ..expressions.said import Said, in_a_row, names
from ..expressions.tidy import tidy
from ..expressions.values import difference_of, ratio_of, symbols_of
from ..laws.equations import Law, LawEquation, junction_equation, loop_equation
from ..laws.symmetry import Alike
from .plan import Action, Combine
from .rules import cleared, collect, over_one_line, put_in, solve_for, without
from .steps import Move, Step

MOST_FACTORS = 3  # denominators put in, by which a line is said to be multiplied
SHORT = 26  # symbols: the longest line that is shown before its fractions are cleared
SHORT_OVER_ONE = 30  # symbols: the same of a line over one denominator, in which nothing is to be cleared
GUARD = 2  # figures more than a result has are kept of what is put into a line
LONG_DENOMINATOR = 8  # symbols: a longer common denominator is given a name


@dataclass
class LineInPlay:
    """A line that can still be used while the derivation is being told: its number and what is `written`
    there; `linear`, what it says by now; `pending`, what has been put into it since and is not written yet:
    the current, the number of the line it was taken from, and that line's form `I = ...`."""

    number: int
    written: Equation
    linear: Linear
    pending: list[tuple[str, int, Equation]] = field(default_factory=list)


@dataclass
class Teller:
    """Builds the numbered steps of a derivation by following a plan. `rows` are the lines in play by the
    numbers that the plan speaks of, `told` every line so far, `known` the line number of each result."""

    circuit: Circuit
    order: tuple[str, ...]
    values: Mapping[str, Ratio]
    taken: frozenset[str]  # names that may not be given again
    first: int = 1  # the number of the first line
    names_at_once: bool = False  # name a shared denominator also before a line solved as it is collected
    steps: list[Step] = field(default_factory=list)
    rows: dict[int, LineInPlay] = field(default_factory=dict)
    told: list[LineInPlay] = field(default_factory=list)
    known: dict[str, int] = field(default_factory=dict)  # current -> number of its result line
    classes: tuple[Alike, ...] = ()
    name: str = ""
    named: Ratio | None = None
    name_line: int = 0  # the line above the first that gave the name, if one did
    made: Mapping[str, Ratio] = field(default_factory=dict)  # resistances made one above, by their names
    forms: dict[str, Expr] = field(default_factory=dict)  # current -> its closed form as it is written

    # -- beginning -------------------------------------------------------------------------------

    def begin(self, classes: Sequence[Alike], laws: Sequence[LawEquation], reasons: Sequence[Said]) -> None:
        """Writes down what symmetry says, one line a class, and the laws, as the first lines."""
        self.classes = tuple(classes)
        for group in classes:
            equations = symmetry_lines(group)
            first = len(self.rows)
            number = self.first + len(self.steps)
            reason: Said = ("By symmetry: exchanging equal parts leaves the circuit as it is.",)
            self.steps.append(
                Step(number, Move.SYMMETRY, equations[0], (), reason, also=equations[1:], group=group)
            )
            for index, (equation, linear) in enumerate(
                zip(equations, group.equations(self.circuit), strict=True)
            ):
                line = LineInPlay(number, equation, linear)
                self.rows[first + index] = line
                self.told.append(LineInPlay(number, equation, linear))
                if group.zero and isinstance(equation.left, Symbol):
                    self.known[equation.left.name] = number
        moves = {Law.JUNCTION: Move.JUNCTION, Law.LOOP: Move.LOOP, Law.ELEMENT: Move.GIVEN}
        for index, (law, reason) in enumerate(zip(laws, reasons, strict=True), len(self.rows)):
            uses = self._given_in(law)
            said = (
                (
                    *reason[:-1],
                    f"{str(reason[-1]).removesuffix('.')}; ",
                    *in_a_row([(f"({n})",) for n in uses]),
                    " put in.",
                )
                if uses
                else reason
            )
            line = self.write(moves[law.law], law.written, law.linear, uses, said, law=law)
            self.rows[index] = line
            left = law.written.left
            if (
                isinstance(left, Symbol)
                and left.name in law.linear.coefficients
                and len(law.linear.coefficients) == 1
            ):
                self._mark_known(left.name)

    def _given_in(self, law: LawEquation) -> tuple[int, ...]:
        """The lines above that fix currents which the law holds and the line no longer."""
        fresh = (
            junction_equation(self.circuit, law.point)
            if law.law is Law.JUNCTION
            else loop_equation(self.circuit, law.loop)
            if law.law is Law.LOOP
            else law
        )
        gone = [n for n in fresh.linear.coefficients if n not in law.linear.coefficients]
        return tuple(dict.fromkeys(self.known[n] for n in gone if n in self.known))

    @property
    def next_number(self) -> int:
        """The number of the line to be written next."""
        return self.first + len(self.steps)

    def state(
        self,
        law: LawEquation,
        line: Equation,
        linear: Linear,
        reason: Said,
        *,
        uses: tuple[int, ...] = (),
        on_the_way: Equation | None = None,
    ) -> int:
        """Writes down a law in other unknowns than the branch currents, `line`, and puts it into play; gives
        the number of the line."""
        move = Move.JUNCTION if law.law is Law.JUNCTION else Move.LOOP
        made = self.write(move, line, linear, uses, reason, law=law, on_the_way=on_the_way)
        self.rows[len(self.rows)] = made
        return made.number

    def conclude(
        self,
        move: Move,
        unknown: str,
        by: Expr,
        reason: Said,
        uses: tuple[int, ...] = (),
        law: LawEquation | None = None,
        rests_on: tuple[int, ...] = (),
    ) -> None:
        """Writes a result that follows at once from what is known: `I3 = Ia − Ib = ...`. `by`: the form in
        known quantities; in numbers these are put in, and the form is told in the sentence. `reason`: the
        sentence without its end. `uses`: lines put in besides those of the known quantities;
        `rests_on`: lines that it follows from with nothing put in."""
        held = [name for name in symbols_of(by) if name in self.values]
        result = Equation(Symbol(unknown), self.closed(unknown))
        between = Equation(Symbol(unknown), by)
        if held and not self.circuit.field.symbols:
            reason = (*reason, ", ", between)
            between = put_in(between, {name: self.put(name) for name in held})
        put = sorted({*uses, *(self.known[name] for name in held if name in self.known)})
        told = f"; {listed(f'({n})' for n in put)} put in." if put else "."
        reason = (*reason, told)
        used = tuple(dict.fromkeys((*rests_on, *put, *self.naming())))
        self.write(
            move,
            result,
            Linear({}, self.values[unknown]),
            used,
            reason,
            on_the_way=between if between != result else None,
            solves=unknown,
            is_result=True,
            law=law,
        )

    def give(self, law: LawEquation, reason: Said) -> None:
        """Writes down a current that an element fixes."""
        self.write(Move.GIVEN, law.written, law.linear, (), reason, law=law)
        self._mark_known(law.branch)

    def _mark_known(self, name: str) -> None:
        self.steps[-1] = replace(self.steps[-1], solves=name, is_result=True)
        self.known[name] = self.steps[-1].number

    # -- the plan --------------------------------------------------------------------------------

    def follow(self, actions: Sequence[Action]) -> None:
        """Writes the lines for these actions, in order."""
        for action in actions:
            if isinstance(action, Combine):
                self._combine(action)
            else:
                self._eliminate(action.row, action.unknown)

    def _eliminate(self, row: int, unknown: str) -> None:
        line = self.rows.pop(row)
        if line.pending or not self._at_sight(line, unknown):
            line = self._write_out(line, solving=unknown)
        if line.written.left != Symbol(unknown) and not self._at_sight(line, unknown):
            line = self._solve(line, unknown)
        solved = line.written.left == Symbol(unknown)
        inline = line.written if solved else solve_for(line.linear, unknown, self.order)
        for other in self.rows.values():
            if unknown in other.linear.coefficients:
                other.linear = without(other.linear, unknown, line.linear)
                other.pending.append((unknown, line.number, inline))

    def _at_sight(self, line: LineInPlay, unknown: str) -> bool:
        """Whether the current can be read off the line: a junction equation, or `I = ...` already."""
        return line.written.left == Symbol(unknown) or (is_bare(line.linear) and not line.pending)

    def _combine(self, action: Combine) -> None:
        one = self._write_out(self.rows.pop(action.row))
        other = self._write_out(self.rows[action.other])
        self.rows[action.other] = other
        total = cleared(one.linear + other.linear * action.sign)
        move, word = (Move.ADD, "Add") if action.sign > 0 else (Move.SUBTRACT, "Subtract")
        gone = [n for n in one.linear.coefficients if n not in total.coefficients]
        first, second = (one, other) if action.sign > 0 else (other, one)
        joint = "and" if action.sign > 0 else "from"
        reason: Said = (
            f"{word} ({first.number}) {joint} ({second.number}): ",
            *names(gone),
            f" drop{'s' if len(gone) == 1 else ''} out.",
        )
        written = collect(total, self.order)
        self.rows[action.made] = self.write(move, written, total, (one.number, other.number), reason)

    # -- writing out what was put in -------------------------------------------------------------

    def _write_out(self, line: LineInPlay, solving: str = "") -> LineInPlay:
        """Writes the line with everything put in: collected, or, where `solving` names a current and the
        line is short, at once solved for it. Where fractions came in, the line with them is written first
        if it is short."""
        if not line.pending:
            return line
        raw = line.written
        for unknown, _, inline in line.pending:
            raw = put_in(raw, {unknown: inline.right})
        uses = tuple(dict.fromkeys([line.number, *(number for _, number, _ in line.pending)]))
        said = self._put_words(line)
        short = written_symbols(raw.left) + written_symbols(raw.right) <= SHORT
        short = short and not (is_nested(raw.left) or is_nested(raw.right))
        fractions = _has_fraction(raw) and not _has_fraction(line.written)
        last = len(line.linear.coefficients) == 1
        if solving and not fractions:
            if last and self.names_at_once:
                self.name_denominator()
            solved = solve_for(line.linear, solving, self.order)
            on_the_way = raw if short and raw != solved else None
            tail: Said = (": ", raw) if on_the_way else ()
            words = (*said, *tail, "; solve for ", Symbol(solving), ".")
            return self.write(
                Move.PUT_IN,
                self._shown(solved, solving, last),
                line.linear,
                uses,
                words,
                on_the_way=on_the_way,
                solves=solving,
                is_result=last,
            )
        written = collect(line.linear, self.order)
        if fractions and short:
            between = self.write(Move.PUT_IN, raw, line.linear, uses, (*said, "."))
            solves = written.left.name if last and isinstance(written.left, Symbol) else ""
            cleared_by = None if solves else self._clearing(raw, written)
            reason: Said = ("Multiply out, collect the terms and solve for ", Symbol(solves), ".")
            if cleared_by is not None:
                reason = cleared_by[0]
            return self.write(
                Move.COLLECT,
                written,
                line.linear,
                (between.number,),
                reason,
                solves=solves,
                is_result=bool(solves),
                factor=None if cleared_by is None else cleared_by[1],
            )
        if raw == written:
            return self.write(Move.PUT_IN, written, line.linear, uses, (*said, "."))
        tail = (": ", raw, "; collect.") if short else (", clear the fractions and collect.",)
        return self.write(
            Move.PUT_IN, written, line.linear, uses, (*said, *tail), on_the_way=raw if short else None
        )

    def _put_words(self, line: LineInPlay) -> Said:
        """`Put (4) and (5) into (3)`, with the form used where it is not the line itself."""
        parts: list[Said] = []
        for _, number, inline in line.pending:
            step = self.steps[number - self.first] if number >= self.first else None
            told = [t.written for t in self.told if t.number == number] if step is None else [step.written]
            plain = inline in told or (step is not None and step.move is Move.SYMMETRY)
            part: Said = (f"({number})",) if plain else (inline, f" from ({number})")
            if part not in parts:
                parts.append(part)
        return ("Put ", *in_a_row(parts), f" into ({line.number})")

    def _clearing(self, raw: Equation, collected: Equation) -> tuple[Said, Expr]:
        """How a line with fractions becomes the collected one, in a sentence, and by what it is multiplied in
        all: by the denominators put in, less what all terms then share and are divided by."""
        bottoms: list[Expr] = []
        _denominators(raw.left, bottoms)
        _denominators(raw.right, bottoms)
        distinct = list(dict.fromkeys(bottoms))
        factor = Product(tuple(distinct)) if len(distinct) > 1 else distinct[0]
        wide = Field((*self.circuit.field.symbols, *self.order))
        whole = difference_of(collected, wide) / difference_of(raw, wide)
        shared = ratio_of(factor, wide) / whole
        plain, left = whole.constant(), shared.constant()
        if plain is not None and abs(plain) == 1:
            return ("Multiply out and collect the terms.",), ONE
        if left is not None and abs(left) == 1:
            return ("Multiply by ", factor, " and collect the terms."), factor
        if (shared.is_polynomial or left is not None) and len(distinct) <= MOST_FACTORS:
            divisor = Number(abs(left)) if left is not None else unsigned(tidy(shared))
            words: Said = ("Multiply by ", factor, ", collect the terms and divide by ", divisor, ".")
            return words, over(factor, divisor)
        times = unsigned(tidy(whole))
        return ("Multiply by ", times, " and collect the terms."), times

    def _solve(self, line: LineInPlay, unknown: str) -> LineInPlay:
        last = len(line.linear.coefficients) == 1
        written = solve_for(line.linear, unknown, self.order)
        if last:
            self.name_denominator()
        return self.write(
            Move.SOLVE,
            self._shown(written, unknown, last),
            line.linear,
            (line.number,),
            (f"Solve ({line.number}) for ", Symbol(unknown), "."),
            solves=unknown,
            is_result=last,
        )

    # -- results ---------------------------------------------------------------------------------

    def _shown(self, solved: Equation, unknown: str, last: bool) -> Equation:
        """The solved line; a result in its tidy closed form."""
        return Equation(Symbol(unknown), self.closed(unknown)) if last else solved

    def closed(self, unknown: str) -> Expr:
        """The closed form of a current, over the named denominator where there is one."""
        if unknown not in self.forms:
            self.forms[unknown] = self._closed(unknown)
        return self.forms[unknown]

    def put(self, unknown: str) -> Expr:
        """The closed form as it is put into another line: a number then keeps two figures more than a result,
        so that the line comes out as it is written."""
        plain = self.values[unknown].constant()
        if plain is None or self.circuit.field.symbols:
            return self.closed(unknown)
        return shortened(plain, self.circuit.figures + GUARD)

    def _closed(self, unknown: str) -> Expr:
        value = self.values[unknown]
        plain = value.constant()
        if plain is not None and not self.circuit.field.symbols:
            return shortened(plain, self.circuit.figures)
        if self.named is not None:
            above = value * self.named
            if above.is_polynomial and above and written_symbols(tidy(value.denominator)) > 2:
                return over(tidy(above), Symbol(self.name))
        return tidy(value)

    def name_denominator(self) -> None:
        """Gives the common denominator a name when it is long and comes more than once."""
        if self.named is not None or len(self.values) < 3 or not self.circuit.field.symbols:
            return
        denominators = [v.denominator for v in self.values.values() if not v.is_polynomial]
        counted = [(denominators.count(d), i) for i, d in enumerate(denominators)]
        if not counted or max(counted)[0] < 2:
            return
        common = denominators[max(counted, key=lambda pair: (pair[0], -pair[1]))[1]]
        shape = tidy(common)
        name = next((n for n in ("D", "Δ", "N") if n not in self.taken), "")
        if not name or written_symbols(shape) <= LONG_DENOMINATOR:
            return
        self.name, self.named = name, common
        self.forms.clear()
        number = self.first + len(self.steps)
        reason: Said = ("A name for the denominator that all the results share.",)
        self.steps.append(Step(number, Move.NAME, Equation(Symbol(name), shape), (), reason))

    def put_back(self) -> None:
        """Finds the remaining currents from those known, each from the line that costs least."""
        costs: dict[int, float] = {}  # of the lines told so far in which one current is not known yet
        while missing := [n for n in self.order if n not in self.known]:
            if self._told_by_symmetry():
                continue
            best: tuple[float, int, str] | None = None
            for i, line in enumerate(self.told):
                held = [n for n in line.linear.coefficients if n not in self.known]
                if len(held) != 1:
                    continue
                if i not in costs:
                    costs[i] = self._cost_of_putting(line, held[0])
                if best is None or costs[i] < best[0]:
                    best = (costs[i], i, held[0])
            if best is None:
                raise LookupError(", ".join(missing))
            self._put_back_into(self.told[best[1]], best[2])

    def _cost_of_putting(self, line: LineInPlay, unknown: str) -> float:
        """About how many symbols it takes to find a current from a line in which all others are known."""
        own, others = line.linear.coefficients[unknown], line.linear.coefficients.items()
        cost = sum(self._weight(n) + size(c) for n, c in others if n != unknown)
        cost += size(line.linear.constant) + 2 * size(own)
        return cost - (0.5 if line.written.left == Symbol(unknown) else 0.0)

    def _told_by_symmetry(self) -> bool:
        """Writes, once one current of a class is known, one line for the others of it; whether there was
        anything to write."""
        for group in self.classes:
            members = (group.leader, *(n for n, _ in group.others))
            known = [n for n in members if n in self.known]
            missing = [n for n in members if n not in self.known]
            if not known or not missing:
                continue
            line = next(s.number for s in self.steps if s.group is group)
            first, *rest = (Equation(Symbol(n), self.closed(n)) for n in missing)
            number = self.next_number
            uses = tuple(dict.fromkeys((line, *(self.known[n] for n in known[:1]), *self.naming())))
            reason: Said = (f"The same by ({line}).",)
            self.steps.append(
                Step(number, Move.PUT_BACK, first, uses, reason, None, missing[0], True, None, tuple(rest))
            )
            self.known.update(dict.fromkeys(missing, number))
            return True
        return False

    def naming(self) -> tuple[int, ...]:
        """The lines that give a name to a denominator."""
        above = (self.name_line,) if self.name_line else ()
        return (*above, *(s.number for s in self.steps if s.move is Move.NAME))

    def _weight(self, name: str) -> float:
        value = self.values[name]
        return size(value.numerator) + 0.2 * size(value.denominator)

    def _put_back_into(self, line: LineInPlay, unknown: str) -> None:
        used = [n for n in line.linear.coefficients if n != unknown]
        numbers = sorted({self.known[n] for n in used} - {line.number})
        base = (
            line.written
            if line.written.left == Symbol(unknown)
            else solve_for(line.linear, unknown, self.order, divided=False)
        )
        closed = {n: self.put(n) for n in used}
        raw = put_in(base, closed)
        most = SHORT
        if is_nested(raw.right):
            raw, most = Equation(raw.left, over_one_line(base.right, closed)), SHORT_OVER_ONE
        written = Equation(Symbol(unknown), self.closed(unknown))
        put = listed(f"({n})" for n in numbers)
        into = f"Put {put} into ({line.number})" if numbers else f"Solve ({line.number})"
        words: list[str | Expr | Equation] = [into]
        show = raw != written and written_symbols(raw.right) <= most and not is_nested(raw.right)
        show = show and not isinstance(unsigned(raw.right), Number)
        cancelled = self._cancelled(line.linear, unknown)
        if cancelled is not None:
            words.extend(("; a factor ", cancelled, " cancels"))
        words.append(".")
        uses = tuple(dict.fromkeys((line.number, *numbers, *self.naming())))
        self.write(
            Move.PUT_BACK,
            written,
            line.linear,
            uses,
            tuple(words),
            on_the_way=raw if show else None,
            solves=unknown,
            is_result=True,
        )

    def _cancelled(self, linear: Linear, unknown: str) -> Expr | None:
        """The factor that drops out when the known currents, over one denominator, are put into a line that
        gives `unknown`; None where there is none to tell."""
        if not linear.field.symbols:
            return None
        linear = cleared(linear)
        bottom = linear.coefficients[unknown]
        for name in linear.coefficients:
            if name != unknown:
                below = self.values[name].denominator
                common = bottom.above.gcd(below.above)
                bottom = bottom * below / Ratio(bottom.field, common, bottom.below, reduced=True)
        left = bottom / self.values[unknown].denominator
        if not left.is_polynomial or left.constant() is not None:
            return None
        shape = tidy(left)
        return shape.body if isinstance(shape, Negative) else shape

    # -- one step --------------------------------------------------------------------------------

    def write(
        self,
        move: Move,
        written: Equation,
        linear: Linear,
        uses: tuple[int, ...],
        reason: Said,
        *,
        on_the_way: Equation | None = None,
        solves: str = "",
        is_result: bool = False,
        law: LawEquation | None = None,
        factor: Expr | None = None,
    ) -> LineInPlay:
        """Writes down a line, and gives it as it can be used from there."""
        number = self.next_number
        if self.named is not None and is_result and move is Move.SOLVE:
            uses = (*uses, *self.naming())
        self.steps.append(
            Step(number, move, written, uses, reason, on_the_way, solves, is_result, law, factor=factor)
        )
        if is_result:
            self.known[solves] = number
        line = LineInPlay(number, written, linear)
        if not is_result or move is not Move.PUT_BACK:
            self.told.append(LineInPlay(number, written, linear))
        return line


def symmetry_lines(group: Alike) -> tuple[Equation, ...]:
    """The equalities of a class as written: `I2 = I1`, `I3 = −I1`, or `I5 = 0`."""
    if group.zero:
        return tuple(Equation(Symbol(n), ZERO) for n in (group.leader, *(n for n, _ in group.others)))
    leader = Symbol(group.leader)
    return tuple(Equation(Symbol(n), leader if sign > 0 else Negative(leader)) for n, sign in group.others)


def _has_fraction(item: Expr | Equation) -> bool:
    match item:
        case Equation(left, right):
            return _has_fraction(left) or _has_fraction(right)
        case Quotient(above, below):
            return not (isinstance(above, Number) and isinstance(below, Number))
        case Sum(parts) | Product(parts) | Parallel(parts):
            return any(map(_has_fraction, parts))
        case Negative(body) | Power(body):
            return _has_fraction(body)
    return False


def is_nested(expr: Expr) -> bool:
    """Whether a fraction stands within a fraction; numbers aside, which are read as one."""
    if isinstance(expr, Quotient):
        return _has_fraction(expr.above) or _has_fraction(expr.below)
    return any(map(is_nested, parts_of(expr)))


def unsigned(expr: Expr) -> Expr:
    """The expression without a minus before it."""
    return expr.body if isinstance(expr, Negative) else expr


def _denominators(expr: Expr, found: list[Expr]) -> None:
    match expr:
        case Quotient(_, below):
            found.append(below)
        case Sum(parts) | Product(parts):
            for part in parts:
                _denominators(part, found)
        case Negative(body):
            _denominators(body, found)


def is_bare(row: Linear) -> bool:
    """Whether every current stands in the line with +1 or −1 and there is no constant: a junction equation,
    from which a current can be read off."""
    return all(abs(c.constant() or 0) == 1 for c in row.coefficients.values())


def size(part: Ratio) -> float:
    """About how many symbols a person writes for a polynomial."""
    terms = len(part.above)
    degree = int(part.above.total_degree()) if terms else 0
    return float(min(terms * degree, terms + 2 * degree) if degree else terms)
