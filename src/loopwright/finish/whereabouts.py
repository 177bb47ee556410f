"""Where a working stands: its true lines in its own names, what it has found by now, and what is left out.

Read off the verdicts of `reading/`; nothing is judged again here. Each true line is kept as an exact linear
equation in the names of the working's own quantities, so that whoever goes on speaks of these. A number that
somebody rounded counts as the value that it is rounded from.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from ..algebra.linear import Linear, linear_in
from ..algebra.ratios import Field, Ratio
from ..errors import FaultyMaterial
from ..expressions.amounts import shortened
from ..expressions.nodes import Equation, Expr, Number, Symbol, alike, parts_of, put
from ..expressions.said import Said
from ..expressions.values import ratio_of, symbols_of
from ..reading.arrows import declared
from ..reading.loop_currents import declared_loops
from ..reading.loops_together import LoopsTogether
from ..reading.reading import Reading
from ..reading.truth.changed import each_alone
from ..reading.truth.meaning import Meanings, UnknownName
from ..reading.truth.rounding import Policy, figures, has_values, lone
from ..reading.truth.size import TooLong
from ..reading.truth.truth import Truths
from ..reading.verdicts import ClaimKind, Truth, Verdict
from ..reading.working import CircuitChange, Claim
from ..solve.exact import solve

MOST_FIGURES = 4  # of a result that is written on: more are not usual (docs/marking.md)
FEWEST_FIGURES = 2  # with fewer a rounded result is not taken for one (docs/reading.md)
EXACT = (Truth.ALWAYS, Truth.HERE)


@dataclass(frozen=True, slots=True)
class TrueLine:
    """A true line as it can be gone on with. `number`: of the line in the text; `written`: the equation in
    plain numbers or symbols; `linear`: the same in the working's own quantities."""

    number: int
    written: Equation
    linear: Linear


@dataclass(frozen=True, slots=True)
class Whereabouts:
    """Where a working stands.

    `meanings`: what its names stand for, in symbols or in numbers, whichever it went on in last
    (`in_numbers`). `quantities`: its names for currents and potentials, in order of first mention, with what
    each is made of: unknowns of the circuit as drawn or of a changed one. `values`: what each comes to.
    `lines`: the true lines; `known`: for each quantity that has its result, powers and the like included, the
    number of the line that gives it. `given_names`: the names it gave to something else
    (resistances made one, determinants). `left_out`: why a line does not count, by its number. `last`: the
    number of its last line; `figures`: significant figures of results.
    """

    reading: Reading
    meanings: Meanings
    in_numbers: bool
    quantities: Mapping[str, Mapping[str, Fraction]]
    values: Mapping[str, Ratio]
    lines: tuple[TrueLine, ...]
    known: Mapping[str, int]
    given_names: Mapping[str, int]
    left_out: Mapping[int, Said]
    last: int
    figures: int

    @property
    def taken(self) -> frozenset[str]:
        """Every name that means something in the working or the problem."""
        held = {n for v in self.reading.verdicts for n in symbols_of(v.claim.written)}
        circuit = self.reading.circuit
        own = (*circuit.symbols, *circuit.elements, *circuit.named_points, *self.reading.arrows.names)
        return frozenset((*held, *own, *self.reading.own))

    def names_in(self, setting: CircuitChange) -> dict[str, Mapping[str, Fraction]]:
        """The quantities of one circuit, as drawn or changed, in the names of its own unknowns."""
        found: dict[str, Mapping[str, Fraction]] = {}
        for name, made in self.quantities.items():
            homes = [self.meanings.home[n] for n in made]
            if all(home == setting for _, home in homes):
                found[name] = {n: x for (n, _), x in zip(homes, made.values(), strict=True)}
        return found


def where_it_stands(reading: Reading, *, numbers_only: bool = False) -> Whereabouts:
    """Where a working stands by now. `numbers_only`: it is gone on with in numbers, although it stands in
    letters. Raises FaultyMaterial when the circuit has no unique answer."""
    circuit = reading.circuit
    claims = [claim for line in reading.working.lines for claim in line.claims]
    declared_too = {**_declared(reading), **reading.arrows.names}
    alone = each_alone(circuit)
    settings = {line.setting for line in reading.working.lines} | set(reading.arrows.changed)
    more = alone if settings & set(alone) else ()
    said = [line.setting for line in reading.working.lines if line.setting.out or line.setting.taken]
    changed = tuple(dict.fromkeys((*reading.arrows.changed, *more, *said)))
    arrows = replace(reading.arrows, names=declared_too, changed=changed)
    truths = Truths(solve(circuit), arrows, Policy(), claims)
    for verdict in reading.verdicts:
        _learn(truths, verdict.claim, {**_defined(verdict), **reading.own})
    in_numbers = circuit.has_all_numbers and (
        numbers_only or _in_numbers(reading) or any(s.taken for s in said)
    )
    meanings = truths.views[-1 if in_numbers else 0].meanings
    quantities = _quantities(reading, meanings)
    values = {}
    for name in quantities:
        value = meanings.value(meanings.names[name])
        if value is not None:
            values[name] = value.at({}, meanings.symbols)
    names = {n: _constant(r, meanings) for n, r in meanings.names.items() if n not in quantities}
    wide = Field((*meanings.symbols.symbols, *quantities))
    reader = _LineReader(meanings, wide, names, tuple(quantities), _figures(reading))
    lines: list[TrueLine] = []
    known: dict[str, int] = {}
    in_steps = not in_numbers and bool(reading.own or any(settings))
    for verdict, whole in _with_chains(reading.verdicts):
        if not verdict.holds or verdict.claim.case:
            continue
        result = reader.result(whole, known if in_steps else ())
        if result is not None:
            known.setdefault(result, verdict.line)
            continue
        if verdict.truth in EXACT and whole is verdict.claim.written:
            linear = reader.linear(whole)
            if linear is not None and _is_true(linear, values):
                lines.append(TrueLine(verdict.line, reader.plain(whole), linear))
    given: dict[str, int] = {}
    aside = left_out(reading)
    for v in reading.verdicts:
        left = v.claim.written.left
        if v.line not in aside and isinstance(left, Symbol) and left.name in reading.own:
            given.setdefault(left.name, v.line)
    last = max((line.number for line in reading.working.lines), default=0)
    return Whereabouts(
        reading,
        meanings,
        in_numbers,
        quantities,
        values,
        tuple(lines),
        known,
        given,
        aside,
        last,
        _figures(reading),
    )


def _declared(reading: Reading) -> dict[str, Mapping[str, int]]:
    """The names that the working declares, whether it has used them by now or not."""
    lines = reading.working.lines
    arrows = declared(reading.circuit, [arrow for line in lines for arrow in line.arrows])
    loops = declared_loops(reading.circuit, [loop for line in lines for loop in line.loops])
    senses = dict.fromkeys(loops, 0)
    if any(line.one_way for line in lines):
        senses = reading.circuit.remembered_of_shape(LoopsTogether).one_way(loops, senses, lambda _: 0)
    return {**arrows, **{name: loops[name][at] for name, at in senses.items()}}


def _defined(verdict: Verdict) -> dict[str, Expr]:
    """A name that a line gives, with what it stands for there."""
    if verdict.kind is not ClaimKind.NAMED:
        return {}
    left, right = verdict.claim.written.left, verdict.claim.written.right
    return {left.name: right} if isinstance(left, Symbol) else {}


def _learn(truths: Truths, claim: Claim, own: Mapping[str, Expr]) -> None:
    """Sees to it that the names of a claim stand for what they stood for when it was judged."""
    for name in symbols_of(claim.written):
        try:
            if name in own and all(name not in view.meanings.names for view in truths.every):
                truths.define(name, own[name])
            truths.learn([name])
        except (UnknownName, TooLong, ZeroDivisionError, FaultyMaterial):
            continue


def _in_numbers(reading: Reading) -> bool:
    """Whether the working goes on in numbers: with those of the problem put in somewhere, or a result in
    figures; or since nothing stands yet."""
    judged = [v for v in reading.verdicts if v.holds and not v.claim.case]
    return not judged or any(
        has_values(v.claim.written) or v.truth not in (Truth.ALWAYS, Truth.NO) for v in judged
    )


def _figures(reading: Reading) -> int:
    """To how many figures results are written: as most of the working's own rounded ones are, else as the
    problem wishes."""
    told = [
        figures(number)
        for v in reading.verdicts
        if v.holds and v.truth in (Truth.ROUNDED, Truth.CARRIED)
        for number in (lone(v.claim.written.right),)
        if number is not None
    ]
    if not told:
        return reading.circuit.figures
    usual = max(told, key=lambda count: (told.count(count), count))
    return max(FEWEST_FIGURES, min(usual, MOST_FIGURES))


def _quantities(reading: Reading, meanings: Meanings) -> dict[str, Mapping[str, Fraction]]:
    """The names of the working that stand for whole sums of unknowns, in order of first mention: those that
    lines hold, then those that are declared only."""
    claims = [v.claim.written for v in reading.verdicts if v.holds]
    met = dict.fromkeys((*(n for c in claims for n in symbols_of(c)), *_declared(reading)))
    found: dict[str, Mapping[str, Fraction]] = {}
    for name in (*met, *(n for n in reading.arrows.names if n not in met)):
        if name not in meanings.names:
            continue
        row = meanings.row(meanings.names[name])
        if row is None or not row.coefficients or row.constant:
            continue
        made = {n: c.constant() for n, c in row.coefficients.items()}
        if all(made.values()):
            found[name] = {n: x for n, x in made.items() if x is not None}
    return found


def _constant(ratio: Ratio, meanings: Meanings) -> Ratio | None:
    """What a name stands for where no unknown is in it."""
    if any(name in meanings.unknowns for name in ratio.held()):
        return None
    return ratio.at({}, meanings.symbols)


def _is_true(linear: Linear, values: Mapping[str, Ratio]) -> bool:
    return all(n in values for n in linear.coefficients) and not linear.residue(values)


@dataclass(frozen=True, slots=True)
class _LineReader:
    """Reads equations as linear ones in the quantities of a working. `wide`: the field of its symbols and
    quantities; `names`: what all other names stand for."""

    meanings: Meanings
    wide: Field
    names: Mapping[str, Ratio | None]
    unknowns: tuple[str, ...]
    figures: int

    def plain(self, written: Equation) -> Equation:
        """The equation as it can be gone on with: numbers in its own units, and in a working in numbers
        those of the problem for its symbols."""
        sides = (written.left, written.right)
        if self.meanings.thousands:
            sides = (self.meanings.in_its_units(sides[0]), self.meanings.in_its_units(sides[1]))
        if not self.meanings.numbers:
            return Equation(*sides)
        worth = {n: r.constant() for n in symbols_of(written) if (r := self.names.get(n)) is not None}
        numbers = {n: shortened(x, self.figures) for n, x in worth.items() if x is not None}
        return Equation(_bare(put(sides[0], numbers)), _bare(put(sides[1], numbers)))

    def linear(self, written: Equation) -> Linear | None:
        """The equation in the quantities; None where it is none in these alone, or says nothing of them."""
        plain = self.plain(written)
        known = {n: r.at({}, self.wide) for n, r in self.names.items() if r is not None}
        try:
            left, right = (ratio_of(side, self.wide, known) for side in (plain.left, plain.right))
        except (KeyError, ZeroDivisionError):
            return None
        found = linear_in(left - right, self.unknowns) if left != right else None
        if found is None or not found.coefficients:
            return None
        own = {n: c.at({}, self.meanings.symbols) for n, c in found.coefficients.items()}
        return Linear(own, found.constant.at({}, self.meanings.symbols))

    def result(self, written: Equation, known: Collection[str] = ()) -> str | None:
        """The quantity that an equation gives with nothing unknown on the other side. `known`: quantities
        that do not count as unknown there."""
        for one, other in ((written.left, written.right), (written.right, written.left)):
            held = symbols_of(other)
            named = isinstance(one, Symbol) and (one.name in self.unknowns or "(" in one.name)
            told = all(self.names.get(n) is not None or n in known for n in held)
            plain = told and (not isinstance(other, Symbol) or other.name in known)
            if named and plain and isinstance(one, Symbol):
                return one.name
        return None


def _bare(expr: Expr) -> Expr:
    """The expression with its numbers without units: in those of the working."""
    if isinstance(expr, Number):
        return Number(expr.value, "", "" if expr.unit else expr.text)
    held = parts_of(expr)
    return alike(expr, [_bare(part) for part in held]) if held else expr


def _with_chains(verdicts: Sequence[Verdict]) -> list[tuple[Verdict, Equation]]:
    """Every claim; and after the links of a chain a = b, b = c what it gives as a whole: a = c, where all of
    them hold."""
    found: list[tuple[Verdict, Equation]] = []
    start: Expr | None = None
    above: Verdict | None = None
    for verdict in verdicts:
        written = verdict.claim.written
        goes_on = (
            above is not None and above.line == verdict.line and above.claim.written.right == written.left
        )
        if not goes_on:
            start = written.left
        if not verdict.holds:
            start = None
        found.append((verdict, written))
        if goes_on and start is not None:
            found.append((verdict, Equation(start, written.right)))
        above = verdict
    return found


def left_out(reading: Reading) -> dict[int, Said]:
    """The lines that do not count, with why."""
    found: dict[int, Said] = {}
    for verdict in reading.verdicts:
        if verdict.holds or verdict.line in found:
            continue
        if verdict.kind is ClaimKind.UNDECIDED:
            found[verdict.line] = ("not decided whether true; see above.",)
        elif verdict.carried and verdict.cause is not None:
            found[verdict.line] = (f"what follows from line {verdict.cause}, which does not hold.",)
        else:
            found[verdict.line] = ("not true; see above.",)
    for line in reading.working.lines:
        if line.trouble is not None and line.number not in found:
            found[line.number] = ("not read; see above.",)
    return dict(sorted(found.items()))
