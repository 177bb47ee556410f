"""Series and parallel parts made one: the way a person works a circuit that one source drives.

The resistances that the source faces are read as parts in series and side by side. The parts are made one
from the inside outwards, the one loop that is left gives the current of the source, and this is divided
back among the parts. No junction or loop equation is written, and no line is longer than it need be. Where
the circuit is not of this kind (more sources, a bridge) nothing is told here, and the search has its turn.

Every line says in `together` or `ring` which parts it speaks of; `verify` redraws the circuit with them.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction

from ..algebra.ratios import Ratio
from ..circuit.circuit import Circuit
from ..circuit.elements import Branch, Kind
from ..circuit.made_one import LETTERS, name_for
from ..expressions.amounts import shortened
from ..expressions.nodes import (
    ONE,
    ZERO,
    Equation,
    Expr,
    Symbol,
    add,
    negate,
    over,
    times,
    written_symbols,
)
from ..expressions.order import added
from ..expressions.said import Said, in_a_row, names
from ..expressions.tidy import tidy
from ..laws.equations import LawEquation, junction_equation
from .narrate import GUARD, SHORT, Teller
from .parts import Part, SeriesParallel, read_from
from .steps import Move, SideBySide, Step


class CannotDivide(LookupError):
    """Some part in series holds no branch of its own, so that its current has no name."""


class ReductionTeller:
    """Tells the lines of a reduction through a `Teller`, which keeps the steps and the closed forms.

    `in_numbers`: bare numbers are put in as they are found. `made`: the parts side by side made one so far,
    each with its name and its line. `value`: the resistance of such a name.
    """

    def __init__(self, teller: Teller, elements: Sequence[LawEquation], *, in_numbers: bool) -> None:
        self.teller, self.elements, self.in_numbers = teller, elements, in_numbers
        self.made: dict[Part, tuple[SideBySide, int]] = {}
        self.value: dict[str, Ratio] = {}

    @property
    def circuit(self) -> Circuit:
        """The circuit that is worked."""
        return self.teller.circuit

    def tell(self, found: SeriesParallel, reasons: Mapping[str, Said]) -> None:
        """Writes every line. `reasons`: why an element fixes the current of a branch, by branch."""
        for law in self.elements:
            self.teller.give(law, reasons[law.branch])
        source, load = found.source, found.load
        if self.circuit.fixed_current(source.name) is not None:
            self._divide_in(load, source.name, 1)
        elif not load.in_series and not load.branch and not self.circuit.resistance(source.name):
            for part, sense in load.parts:
                self._ring(source, read_from(part, load.start) if sense < 0 else part, across=True)
            self._total(source, load)
        else:
            self._ring(source, load, across=False)

    # -- making one ------------------------------------------------------------------------------

    def _named(self, part: Part) -> SideBySide:
        """The parts side by side made one, with a line of its own."""
        if part in self.made:
            return self.made[part][0]
        shares = [self._resistance(p) for p, _ in part.parts]
        amounts = [self._amount(p) for p, _ in part.parts]
        inverse = amounts[0].field.zero
        for share in amounts:
            inverse = inverse + 1 / share
        whole = 1 / inverse
        together = self._beside(part, self._new_name(part, whole))
        self.value[together.whole] = whole
        form = _side_by_side(shares)
        written = form if len(shares) == 2 and not self.in_numbers else tidy(whole)
        if self.in_numbers:
            written = shortened(whole.constant() or Fraction(0), self.circuit.figures)
        number = self._write(
            Move.MAKE_ONE,
            (Equation(Symbol(together.whole), written),),
            tuple(self.made[p][1] for chain, _ in part.parts for p, _ in chain.met if p in self.made),
            self._beside_words(part),
            Equation(Symbol(together.whole), form),
            together=together,
            in_letters=self._in_letters(_side_by_side, [self._letters(p) for p, _ in part.parts]),
        )
        self.made[part] = together, number
        return together

    def _beside(self, part: Part, whole: str) -> SideBySide:
        chains = tuple(
            tuple(p.branch or self._named(p).whole for p, _ in chain.met) for chain, _ in part.parts
        )
        return SideBySide(whole, chains)

    def _new_name(self, part: Part, whole: Ratio) -> str:
        """A name for the parts made one: R23 for R2 and R3, R with a letter where that is no name. What was
        made one above, in another circuit, keeps its name."""
        resistors = [
            p.element
            for name in part.branches
            for p in self.circuit.branch(name).passes
            if self.circuit.elements[p.element].kind is Kind.RESISTOR
        ]
        taken = {*self.teller.taken, *self.circuit.elements, *self.value}
        wanted = name_for(resistors, ())
        if self.teller.made.get(wanted) == whole and wanted[1:] not in LETTERS:
            taken.discard(wanted)
        return name_for(resistors, taken | self.value.keys())

    def _amount(self, part: Part) -> Ratio:
        """The resistance of a part, exactly."""
        total = self.circuit.field.zero
        for p, _ in part.met:
            total = total + (
                self.circuit.resistance(p.branch) if p.branch else self.value[self._named(p).whole]
            )
        return total

    def _shown(self, amount: Ratio) -> Expr:
        """A number as it is written on the way."""
        return shortened(amount.constant() or Fraction(0), self.circuit.figures + GUARD)

    def _resistance(self, part: Part) -> Expr:
        """The resistance of a part as it is written."""
        if self.in_numbers:
            return self._shown(self._amount(part))
        pieces: list[Expr] = [
            tidy(self.circuit.resistance(p.branch)) if p.branch else Symbol(self._named(p).whole)
            for p, _ in part.met
        ]
        return added(*[piece for piece in pieces if piece != ZERO])

    def _letters(self, part: Part) -> Expr | None:
        """The resistance of a part in letters, in a working with numbers; None where there are none."""
        found = [
            self._branch_letters(p.branch) if p.branch else Symbol(self._named(p).whole) for p, _ in part.met
        ]
        known = [letters for letters in found if letters is not None]
        return add(*known) if len(known) == len(found) else None

    def _branch_letters(self, name: str) -> Expr | None:
        """The resistances met along a branch, in letters."""
        lettered = self.circuit.lettered
        if lettered is None:
            return None
        found: list[Expr] = []
        for p in lettered.branch(name).passes:
            element = lettered.elements[p.element]
            if element.kind is Kind.RESISTOR:
                found.append(element.value if isinstance(element.value, Symbol) else Symbol(element.name))
            elif element.internal is not None:
                if not isinstance(element.internal, Symbol):
                    return None
                found.append(element.internal)
        return add(*found)

    def _rise_letters(self, name: str) -> Expr | None:
        """The emfs met along a branch, in letters, as they help or oppose."""
        lettered = self.circuit.lettered
        if lettered is None:
            return None
        terms: list[Expr] = []
        for p in lettered.branch(name).passes:
            element = lettered.elements[p.element]
            if element.kind is Kind.BATTERY:
                letter = element.value if isinstance(element.value, Symbol) else Symbol(element.name)
                terms.append(_signed(letter, p.sign))
        return add(*terms)

    def _in_letters(
        self, form: Callable[[Sequence[Expr]], Expr], parts: Sequence[Expr | None]
    ) -> Expr | None:
        """A form made of parts in letters, where all have letters and it is short enough for the line."""
        known = [part for part in parts if part is not None]
        made = form(known) if self.in_numbers and len(known) == len(parts) else None
        return made if made is not None and written_symbols(made) <= SHORT else None

    def _beside_words(self, part: Part) -> Said:
        """Why they may be made one."""
        points = f"{part.start} and {part.end}"
        chains = [self._members(chain) for chain, _ in part.parts]
        if all(len(members) == 1 for members in chains):
            return (
                *names([n for c in chains for n in c]),
                f" join the same two points, {points}: side by side.",
            )
        told = [
            (*names(members), " in series (the same current)") if len(members) > 1 else names(members)
            for members in chains
        ]
        return (f"Side by side between {points}: ", *in_a_row(told, last="; "), ".")

    def _members(self, part: Part) -> list[str]:
        """The resistances met along a part, by name."""
        found: list[str] = []
        for p, sense in part.met:
            if not p.branch:
                found.append(self._named(p).whole)
                continue
            passes = self.circuit.branch(p.branch).passes[::sense]
            found.extend(
                q.element
                for q in passes
                if self.circuit.elements[q.element].kind is Kind.RESISTOR
                or self.circuit.elements[q.element].internal is not None
            )
        return found

    # -- one loop --------------------------------------------------------------------------------

    def _ring(self, source: Branch, load: Part, *, across: bool) -> None:
        """The loop of the source and what it faces: one current in all of it, or, where the source is ideal
        and other parts lie `across` it too, in this part."""
        ring = (source.name, *(p.branch or self._named(p).whole for p, _ in load.met))
        carriers = [(p.branch, sense) for p, sense in load.met if p.branch]
        if not across:
            carriers = [(source.name, 1), *carriers]
        (first, sense), *rest = self._carriers(carriers)
        rise = tidy(self.circuit.rise(source.name))
        own = tidy(self.circuit.resistance(source.name))
        if self.in_numbers:
            pieces = [own, *(self._shown(self._amount(p)) for p, _ in load.met)]
        else:
            pieces = [own, self._resistance(load)]
        total = add(*pieces) if self.in_numbers else added(*[p for p in pieces if p != ZERO])
        form = _signed(over(rise, total), sense)
        made = [self.made[p] for p, _ in load.met if p in self.made]
        through = [*self._own_resistances(source), *self._members(load)]
        driver = self._sources(source)
        what = "lies straight across" if across else "One loop is left:"
        reason: Said = (
            (*driver, f" {what} ", *names(through))
            if across
            else (f"{what} ", *driver, " drives one current through ", *names(through))
        )
        if len(through) > 1 and across:
            reason = (*reason, " in series (the same current)")
        if made and not self.in_numbers:
            reason = (
                *reason,
                "; put ",
                *in_a_row([(f"({n})",) for _, n in made]),
                " in and clear the fractions",
            )
        letters = self._in_letters(
            lambda parts: over(parts[0], add(*parts[1:])),
            [self._rise_letters(source.name), self._branch_letters(source.name), self._letters(load)],
        )
        self._results(
            Move.ONE_LOOP,
            first,
            form,
            tuple(n for _, n in made),
            (*reason, "."),
            rest,
            sense,
            ring=ring,
            in_letters=None if letters is None else _signed(letters, sense),
        )
        for p, turn in load.met:
            if not p.branch:
                self._divide(p, first, sense * turn)

    def _sources(self, source: Branch) -> Said:
        return names(
            [p.element for p in source.passes if self.circuit.elements[p.element].kind is Kind.BATTERY]
        )

    def _own_resistances(self, source: Branch) -> list[str]:
        found: list[str] = []
        for p in source.passes:
            element = self.circuit.elements[p.element]
            if element.kind is Kind.RESISTOR:
                found.append(p.element)
        return found

    # -- dividing back ---------------------------------------------------------------------------

    def _divide_in(self, part: Part, current: str, sense: int) -> None:
        """The current known in a part is the same in all that is met along it, and divides where parts lie
        side by side."""
        carriers = [(p.branch, turn) for p, turn in part.met if p.branch]
        if carriers:
            equal = [Equation(Symbol(n), _signed(Symbol(current), turn * sense)) for n, turn in carriers]
            self._results(
                Move.IN_SERIES,
                carriers[0][0],
                equal[0].right,
                (self.teller.known[current],),
                ("In series: the same current.",),
                carriers[1:],
                carriers[0][1],
            )
        for p, turn in part.met:
            if not p.branch:
                self._divide(p, current, sense * turn)

    def _divide(self, part: Part, current: str, sense: int) -> None:
        """The shares of a current among parts side by side, one line each, and on into the parts."""
        if len(part.parts) > 2:
            self._named(part)
        together = self.made[part][0] if part in self.made else self._beside(part, "")
        line = self.teller.known[current]
        whole = self.teller.put(current) if self.in_numbers else Symbol(current)
        shares = [self._resistance(p) for p, _ in part.parts]
        letters = [self._letters(p) for p, _ in part.parts]
        for index, (chain, turn) in enumerate(part.parts):
            (first, own), *rest = self._carriers([(p.branch, s) for p, s in chain.met if p.branch])
            turned = sense * turn * own
            if len(shares) == 2:
                form = over(times(whole, shares[1 - index]), _summed(shares))
                in_letters = self._in_letters(_share, [Symbol(current), letters[1 - index], *letters])
                told = "with one voltage across both, they are in the inverse ratio of the resistances"
            else:
                combined = (
                    self._shown(self.value[together.whole]) if self.in_numbers else Symbol(together.whole)
                )
                form = over(times(whole, combined), shares[index])
                in_letters = self._in_letters(
                    _share, [Symbol(current), Symbol(together.whole), letters[index]]
                )
                told = "with one voltage across all, each share is this voltage over its own resistance"
            uses = [line, *(self.made[q][1] for c, _ in part.parts for q, _ in c.met if q in self.made)]
            if part in self.made:
                uses.append(self.made[part][1])
            reason: Said = (Symbol(current), f" divides between {part.start} and {part.end}: {told}.")
            if index:
                reason = (
                    ("The rest of ", Symbol(current), ", by the same rule.")
                    if len(shares) == 2
                    else ("Likewise.",)
                )
            self._results(
                Move.DIVIDE,
                first,
                _signed(form, turned),
                tuple(dict.fromkeys(uses)),
                reason,
                [(n, s * own) for n, s in rest],
                1,
                together=together,
                in_letters=None if in_letters is None else _signed(in_letters, turned),
            )
            for p, s in chain.met:
                if not p.branch:
                    self._divide(p, first, s * own)

    def _total(self, source: Branch, load: Part) -> None:
        """The current of a source that parts lie straight across: the sum of theirs."""
        law = junction_equation(self.circuit, load.start)
        carried = [(n, c) for n, c in law.linear.coefficients.items() if n != source.name]
        lead = law.linear.coefficients[source.name]
        live = [(n, -c / lead) for n, c in carried if self.teller.values[n]]
        amounts = [
            _signed(self.teller.put(n) if self.in_numbers else Symbol(n), 1 if c.constant() == 1 else -1)
            for n, c in live
        ]
        self._results(
            Move.TOTAL,
            source.name,
            add(*amounts),
            tuple(dict.fromkeys(self.teller.known[n] for n, _ in live)),
            (f"Junction {load.start}: currents in = currents out.",),
            [],
            1,
            in_letters=self._in_letters(
                lambda parts: add(*parts),
                [_signed(Symbol(n), 1 if c.constant() == 1 else -1) for n, c in live],
            ),
        )

    # -- one line --------------------------------------------------------------------------------

    def _carriers(self, carriers: Sequence[tuple[str, int]]) -> Sequence[tuple[str, int]]:
        if not carriers:
            raise CannotDivide("a part has no branch whose current it carries")
        return carriers

    def _results(
        self,
        move: Move,
        first: str,
        form: Expr,
        uses: tuple[int, ...],
        reason: Said,
        rest: Sequence[tuple[str, int]],
        sense: int,
        *,
        ring: tuple[str, ...] = (),
        together: SideBySide | None = None,
        in_letters: Expr | None = None,
    ) -> None:
        """A line that gives the current `first` as `form` and in closed form, and with it those of the `rest`
        in series, each with its sense beside that of `first`."""
        self.teller.name_denominator()
        closed = self.teller.closed(first)
        equations = [Equation(Symbol(first), closed)]
        equations += [Equation(Symbol(n), _signed(closed, s * sense)) for n, s in rest]
        on_the_way = Equation(Symbol(first), form) if form != closed else None
        number = self._write(
            move,
            tuple(equations),
            uses,
            reason,
            on_the_way,
            solves=first,
            ring=ring,
            together=together,
            in_letters=in_letters,
        )
        for name in (first, *(n for n, _ in rest)):
            self.teller.known[name] = number

    def _write(
        self,
        move: Move,
        equations: tuple[Equation, ...],
        uses: tuple[int, ...],
        reason: Said,
        on_the_way: Equation | None,
        *,
        solves: str = "",
        ring: tuple[str, ...] = (),
        together: SideBySide | None = None,
        in_letters: Expr | None = None,
    ) -> int:
        number = self.teller.next_number
        if on_the_way is not None and on_the_way == equations[0]:
            on_the_way = None
        self.teller.steps.append(
            Step(
                number,
                move,
                equations[0],
                (*uses, *self.teller.naming()),
                reason,
                on_the_way,
                solves,
                bool(solves),
                also=equations[1:],
                ring=ring,
                together=together,
                in_letters=in_letters,
            )
        )
        return number


def _side_by_side(shares: Sequence[Expr]) -> Expr:
    """Resistances side by side as one: product over sum of two, else one over the sum of the inverses."""
    if len(shares) == 2:
        return over(times(*shares), _summed(shares))
    return over(ONE, _summed([over(ONE, share) for share in shares]))


def _share(parts: Sequence[Expr]) -> Expr:
    """A share of a current: the current times a resistance over the sum of the others given."""
    return over(times(parts[0], parts[1]), _summed(parts[2:]))


def _summed(shares: Sequence[Expr]) -> Expr:
    """The sum of resistances, numbers left as they stand."""
    return add(*shares)


def _signed(expr: Expr, sense: int) -> Expr:
    return expr if sense > 0 else negate(expr)
