"""The smallest changes that make a false line true, and the slip that each of them undoes.

Changes of the written line, one for each way in which a slip of the catalogue can stand in it, are tried
at values of the circuit's symbols; those that pass are proved by the caller's exact judgement. A change
that would make any line true (both sides the same, nothing left of a side) is refused.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import chain

from ...algebra.modular import PRIME
from ...circuit.circuit import Circuit
from ...expressions.nodes import Equation, Expr, Number, Product, Sum, Symbol, add, numbers_in
from ...expressions.values import symbols_of
from ...laws.equations import Law
from ...slips.catalogue import CATALOGUE
from ..truth.rounding import has_values, is_decimal
from ..verdicts import Repair
from .algebra_edits import algebra_edits
from .arithmetic_slips import arithmetic_slips
from .division_ideas import equal_shares, whole_emfs
from .edits import Change, Edit, WideEdit, body_of
from .idea_edits import equal_edits, gap_edits, idea_edits
from .law_terms import monomials
from .line_view import LineShape, LineView
from .missing_edits import TermsInStyle, missing_edits, missing_in_series
from .number_edits import (
    coefficient_edits,
    divisor_parts,
    element_edits,
    number_edits,
    numbers_put_in,
    put_in_throughout,
)
from .part_slips import (
    conductance_left_out,
    drop_left_out,
    number_of_a_part_left_out,
    part_ideas,
    part_left_out,
    source_left_out,
)
from .places import Sides, in_any_order, part_at, places, replaced, signed_terms
from .product_edits import turned_products, unsquared_edits
from .repair_words import repair_said
from .row_slips import (
    bracket_edits,
    multiplied_edits,
    parts_left_out,
    put_in_wrongly,
    ratio_of,
    result_edits,
    row_edits,
    said_again_wrongly,
    sum_edits,
)
from .shares import loads_forgotten, shares_cut_short
from .subscript_sets import subscript_sets
from .term_edits import extra_edits, name_edits, order_edits, sign_edits
from .trial_values import BARE, FAR, Trial, exact, generic, in_thousands, numeric, with_other_unknowns
from .wide_edits import insides_forgotten, sign_sets, throughout_edits
from .worked_out import wrongly_worked_out

MOST_TRIED = 3000  # changes tried for one line
MOST_PROVED = 12  # changes handed to the exact judgement
A_LAW = 0.6  # a change that leaves a law of the circuit is likelier by this much
A_LINE_ABOVE = 0.5  # and one that leaves a line written above
SIDE_BY_SIDE = 0.4  # and one whose sides are those of a line just above, multiplied
NEAR_ABOVE = 3  # lines above that are looked at for that
OF_LAWS = ("drop-sign", "source-sign", "junction-sign", "moved-sign")  # signs of outer terms
OF_RESULTS = ("minus-dropped", "units-mixed", "prefix-dropped", "digits", "fraction-inverted")
FOR_TWO = 1.5  # two slips in one line are less likely by this much than their sum


@dataclass(frozen=True, slots=True)
class Search:
    """What a search for repairs gave: the `repairs`, likeliest first; how many changes were `tried`; and
    whether some were left untried because there were too many (`capped`)."""

    repairs: tuple[Repair, ...]
    tried: int
    capped: bool


@dataclass(frozen=True, slots=True)
class _Hit:
    entry: str
    size: float
    mended: Equation
    edits: tuple[Edit | WideEdit, ...]


def repairs(
    claim: Equation,
    circuit: Circuit,
    holds: Callable[[Equation], bool],
    *,
    names: Mapping[str, Mapping[str, int]] | None = None,
    above: Sequence[Equation] = (),
    meaning: Mapping[str, Expr] | None = None,
    basis: Sequence[Equation] = (),
    round_loops: Collection[str] = (),
    settled: bool = False,
    in_thousands: bool = False,
    most: int = 3,
) -> tuple[Repair, ...]:
    """The likeliest repairs of a false claim, likeliest first, at most `most`; none where no one slip
    of the catalogue (or two in one law) explains it.

    `holds` decides exactly whether an equation is true of the circuit. `names`: what the names of currents
    stand for, as sums of branch currents (by default the circuit's own); `meaning`: what other given names
    stand for; `above`: lines above, from which this one may have been copied or worked out. `basis`: where
    the claim is to follow from lines that are not all true (then `holds` decides whether it does), those
    lines; of lines that contradict one another the first are taken. `round_loops`: the currents of which the
    working says that they run round loops. `settled`: the left side is known to be
    right, so that nothing in it is changed. `in_thousands`: numbers without a unit are in mA, kΩ and mW.
    """
    if not symbols_of(claim):
        arithmetic = arithmetic_slips(claim, in_thousands)
        if arithmetic:
            return arithmetic
    found = search(
        claim, circuit, holds,
        names=names, above=above, meaning=meaning, basis=basis, round_loops=round_loops,
        settled=settled, most=most,
    )  # fmt: skip
    return found.repairs


def search(
    claim: Equation,
    circuit: Circuit,
    holds: Callable[[Equation], bool],
    *,
    names: Mapping[str, Mapping[str, int]] | None = None,
    above: Sequence[Equation] = (),
    meaning: Mapping[str, Expr] | None = None,
    basis: Sequence[Equation] = (),
    round_loops: Collection[str] = (),
    settled: bool = False,
    most: int = 3,
) -> Search:
    """The repairs as `repairs` gives them, and how far the search for them went."""
    view = LineView(
        claim, circuit, names or {}, meaning or {}, tuple(above), tuple(basis), frozenset(round_loops)
    )
    tried, capped = 0, False
    for by_chance, trials in ((False, _general(view)), (True, _numeric(view)), (True, _rounded(view))):
        attempts = [_Attempt(view, ready) for ready in map(view.prepared, trials) if ready is not None]
        hits = [hit for attempt in attempts for hit in attempt.hits()]
        tried += sum(attempt.tried for attempt in attempts)
        capped = capped or any(attempt.capped for attempt in attempts)
        if settled:
            hits = [hit for hit in hits if hit.mended.left == claim.left]
        if not view.used:  # numbers alone tell of no circuit
            hits = [hit for hit in hits if hit.entry != "divider-inverted"]
        proved = _proved(view, hits, holds, most, by_chance, settled)
        if proved:
            return Search(proved, tried, capped)
    return Search((), tried, capped)


def _general(view: LineView) -> list[Trial]:
    """A trial at random values, for a line that holds symbols; none for one that holds numbers only."""
    circuit = view.circuit
    if not view.used:
        return []
    in_symbols = not circuit.has_all_numbers or any(name in circuit.symbols for name in view.used)
    return [circuit.remembered(generic)] if in_symbols or not has_values(view.equation) else []


def _numeric(view: LineView) -> list[Trial]:
    """Trials at the circuit's numbers, for a line with numbers in it; also in mA and kΩ where none of them
    has a unit."""
    circuit = view.circuit
    if not view.used:
        return [BARE]
    if not view.has_numbers or not circuit.has_all_numbers:
        return []
    found = [circuit.remembered(numeric), circuit.remembered(exact)]
    if any(isinstance(s.expr, Number) and s.expr.unit for s in view.places):
        return found
    return [*found, *(in_thousands(trial, circuit) for trial in found)]


def _rounded(view: LineView) -> list[Trial]:
    """Trials in which rounded numbers may have carried the sides as far apart as they will; none for a line
    without a rounded number."""
    if not any(is_decimal(number) for number in numbers_in(view.equation)):
        return []
    exactly = (trial for trial in _numeric(view) if not trial.arithmetic.modular)
    return [replace(trial, slack=FAR) for trial in exactly]


_UNTRIED = (parts_left_out, put_in_wrongly, said_again_wrongly, number_of_a_part_left_out)


class _Attempt:
    """All changes of one line tried at one choice of values. `outer`: the single changes of terms that did
    not do by themselves, each with left minus right after it; two of them may do together."""

    def __init__(self, view: LineView, trial: Trial) -> None:
        self.view, self.trial = view, trial
        self.tried, self.capped = 0, False
        self.parts = TermsInStyle(view, trial)
        self.outer: list[tuple[Edit, int]] = []  # single changes of outer terms, with what each changes

    def hits(self) -> Iterator[_Hit]:
        """Every change that passes the trial; two at once only where no single one does."""
        try:
            sides = Sides(self.view.equation, self.trial)
        except (ZeroDivisionError, KeyError):
            return
        found = False
        for hit in self._single(sides):
            found = True
            yield hit
        if not found and self.trial.arithmetic.modular:
            yield from self._double(sides)

    def _single(self, sides: Sides) -> Iterator[_Hit]:
        for edit in self._edits(sides):
            self.tried += 1
            if self.tried > MOST_TRIED:
                self.capped = True
                break
            try:
                residue = sides.residue_with(edit.path, edit.new)
            except (ZeroDivisionError, KeyError):
                continue
            if self.trial.is_zero(residue, sides.scale):
                yield _Hit(edit.entry, edit.size, replaced(self.view.equation, edit.path, edit.new), (edit,))
            elif len(edit.path) <= 2 and edit.change in (Change.SIGN, Change.MISSING):
                self.outer.append((edit, int(residue)))
        if not self.trial.arithmetic.modular:
            untried = (f(self.view) for f in _UNTRIED)
            repeated = (w for w in put_in_throughout(self.view, sides) if self._passes(w.mended))
            loaded = (w for w in loads_forgotten(self.view) if self._passes(w.mended))
            worked = wrongly_worked_out(self.view)
            for wide in chain(self._ideas(sides), repeated, loaded, worked, *untried):
                yield _Hit(wide.entry, wide.size, wide.mended, (wide,))
            return
        for wide in chain(throughout_edits(self.view), insides_forgotten(self.view)):
            self.tried += 1
            if self._passes(wide.mended):
                yield _Hit(wide.entry, wide.size, wide.mended, (wide,))
        sets = (*sign_sets(self.view, sides), *subscript_sets(self.view, sides))
        for wide in (*sets, *self._ideas(sides)):
            yield _Hit(wide.entry, wide.size, wide.mended, (wide,))

    def _ideas(self, sides: Sides) -> Iterator[WideEdit]:
        """Results that come from a wrong idea of the circuit, as drawn or changed."""
        yield from idea_edits(self.view, sides)
        yield from gap_edits(self.view, sides)
        yield from equal_edits(self.view, sides)
        yield from part_ideas(self.view, sides)
        yield from equal_shares(self.view, sides)
        yield from whole_emfs(self.view, sides)

    def _edits(self, sides: Sides) -> Iterator[Edit]:
        yield from sign_edits(self.view)
        yield from order_edits(self.view)
        if not self.trial.arithmetic.modular:
            yield from number_edits(self.view, sides)
            yield from numbers_put_in(self.view, sides)
            yield from divisor_parts(self.view, sides)
            yield from row_edits(self.view)
            yield from multiplied_edits(self.view)
            yield from sum_edits(self.view)
            yield from bracket_edits(self.view)
            yield from result_edits(self.view)
            yield from unsquared_edits(self.view)
            yield from shares_cut_short(self.view)
            yield from turned_products(self.view)
            yield from missing_in_series(self.view, self.parts)
            if self.trial.slack < FAR:
                return  # all else is tried modulo the prime, with rounded numbers where nothing is found so
        yield from missing_edits(self.view, self.parts)
        yield from part_left_out(self.view)
        yield from drop_left_out(self.view, self.parts)
        yield from source_left_out(self.view, self.parts)
        yield from conductance_left_out(self.view, self.parts)
        yield from name_edits(self.view)
        yield from extra_edits(self.view)
        yield from algebra_edits(self.view, self.parts)
        if not self.trial.numbers:
            yield from coefficient_edits(self.view)
        else:
            yield from element_edits(self.view, self.trial)

    def _passes(self, equation: Equation) -> bool:
        try:
            sides = Sides(equation, self.trial)
        except (ZeroDivisionError, KeyError):
            return False
        return self.trial.is_zero(sides.residue, sides.scale)

    def _double(self, sides: Sides) -> Iterator[_Hit]:
        """Two changes of outer terms whose effects add up; only where a law of the circuit results."""
        effects: dict[int, list[Edit]] = {}
        for edit, residue in self.outer:
            effects.setdefault(_reduced(residue - int(sides.residue)), []).append(edit)
        for edit, residue in self.outer:
            for other in effects.get(_reduced(-residue), []):
                mended = _both(self.view.equation, edit, other)
                if mended is not None and self.view.law_of(mended) is not None:
                    size = edit.size + other.size + FOR_TWO
                    yield _Hit(edit.entry, size, mended, (edit, other))


def _reduced(value: int) -> int:
    return value % PRIME


def _both(equation: Equation, one: Edit, other: Edit) -> Equation | None:
    """Both changes made, each once; None where they meet at one place."""
    if one.path == other.path:
        return None
    ordered = sorted((one, other), key=lambda e: (e.change is Change.MISSING, e.path))
    if ordered[0].change is Change.MISSING or ordered[0] is not one:  # the other order comes too
        return None
    first, second = ordered
    if first.path == second.path[: len(first.path)]:  # it takes the place away
        return None
    if second.path == first.path[: len(second.path)]:
        if second.change is not Change.MISSING:
            return None
        changed = replaced(equation, first.path, first.new)
        return replaced(changed, second.path, add(part_at(changed, second.path), second.wanted))
    early, late = sorted(ordered, key=lambda e: e.path)  # the later place first, so that no place is moved
    return replaced(replaced(equation, late.path, late.new), early.path, early.new)


# -- what is kept ------------------------------------------------------------------------------------


def _proved(
    view: LineView,
    hits: Sequence[_Hit],
    holds: Callable[[Equation], bool],
    most: int,
    by_chance: bool,
    settled: bool,
) -> tuple[Repair, ...]:
    ranked = sorted((_ranked(view, hit) for hit in hits), key=lambda hit: hit.size)
    if by_chance:  # with numbers put in, many equations are true: those that are laws come before them
        known = [hit for hit in ranked if _is_known(view, hit)]
        ranked = known or ranked
    other = _elsewhere(view)
    kept: list[Repair] = []
    seen: list[tuple[Expr, Expr]] = []
    proofs = 0
    for hit in ranked:
        if len(kept) == most or proofs == MOST_PROVED:
            break
        written = (in_any_order(hit.mended.left), in_any_order(hit.mended.right))
        if written in seen or view.clashes(hit.mended) or _says_again(view, hit):
            continue
        if not settled and _is_empty(view, hit.mended, other):
            continue
        seen.append(written)
        proofs += 1
        if holds(hit.mended):
            kept.append(
                Repair(
                    hit.entry,
                    repair_said(view, hit.entry, hit.edits, hit.mended),
                    hit.mended,
                    round(hit.size, 3),
                )
            )
    return tuple(kept)


def _is_known(view: LineView, hit: _Hit) -> bool:
    """Whether a repair makes a law of the circuit, or says again what a line above says."""
    if view.law_of(hit.mended):
        return True
    return bool(view.above) and view.is_above(hit.mended) is not None and not _renames_subject(view, hit)


def _ranked(view: LineView, hit: _Hit) -> _Hit:
    """The same repair with its size set by what is usual: smaller where the line that results is a law or
    stands above."""
    size = hit.size + 0.05 * (CATALOGUE[hit.entry].usual - 1)
    entry = hit.entry
    line = view.is_above(hit.mended) if view.above else None
    if line is not None:
        if _renames_subject(view, hit):
            size += A_LINE_ABOVE  # nobody means to write a line a second time
        else:
            size -= A_LINE_ABOVE
            entry = _seen_from_above(view, hit, line)
            size -= 0.05 if entry == "moved-sign" else 0
    if _is_line_above_multiplied(view, hit.mended):
        size -= SIDE_BY_SIDE
    law = view.law_of(hit.mended)
    if law is not None:
        size -= A_LAW
        if entry == "minus-bracket" and law[0].law is Law.LOOP:
            entry = "drop-sign"  # every current with a drop of its own: there was no bracket
    return _Hit(entry, size, hit.mended, hit.edits)


def _is_line_above_multiplied(view: LineView, mended: Equation) -> bool:
    """Whether each side of a mended line is the same multiple of that side of a line just above."""
    sides = monomials(mended.left), monomials(mended.right)
    for line in view.above[-NEAR_ABOVE:]:
        ratios = [
            ratio_of(own, monomials(at)) for own, at in zip(sides, (line.left, line.right), strict=True)
        ]
        if ratios[0] is not None and ratios[0] == ratios[1] != 1:
            return True
    return False


def _says_again(view: LineView, hit: _Hit) -> bool:
    """Whether a line under another name is one that stands above, as nobody means to write it."""
    sides = (hit.mended.left, hit.mended.right)
    return _renames_subject(view, hit) and any((line.left, line.right) == sides for line in view.above)


def _renames_subject(view: LineView, hit: _Hit) -> bool:
    """Whether a change gives the quantity that a line is for another name."""
    edit = hit.edits[0]
    if view.shape not in (LineShape.RESULT, LineShape.JUNCTION) or not isinstance(edit, Edit):
        return False
    return len(edit.path) == 1 and isinstance(edit.old, Symbol) and isinstance(edit.new, Symbol)


def _seen_from_above(view: LineView, hit: _Hit, line: Equation) -> str:
    """The slip when the line was copied or rearranged from one above: a sign kept across the equals
    sign, or one thing miscopied."""
    edit = hit.edits[0]
    if len(hit.edits) > 1 or isinstance(edit, WideEdit):
        return hit.entry
    if _is_from_bracket(edit, line):
        return "bracket-lost"
    if edit.entry in ("junction-sign", "branch-missing"):
        return hit.entry
    if edit.change is Change.SIGN and edit.entry in OF_LAWS:
        sides = enumerate((line.left, line.right))
        there = {(side, sign, body) for side, e in sides for sign, body in signed_terms(e)}
        sign, body = signed_terms(edit.old)[0]
        if (1 - edit.path[0], sign, body) in there:
            return "moved-sign"
        if (edit.path[0], -sign, body) in there and _same_sides(view.equation, line):
            return "copied-wrong"
    elif hit.mended == line and hit.entry not in OF_RESULTS:
        return "copied-wrong"
    elif _is_unmultiplied(view, edit, line):
        return "one-term-multiplied"
    return hit.entry


def _is_from_bracket(edit: Edit, line: Equation) -> bool:
    """Whether a term stands in a bracket of a line above without the factor before that: 2 (6 + V) as
    12 + V."""
    if edit.change is not Change.OTHER or edit.entry not in ("shared-once", "factor-missing"):
        return False
    inside = [
        body_of(term)
        for place in places(line)
        if isinstance(place.expr, Product)
        for factor in place.expr.factors
        if isinstance(factor, Sum)
        for term in factor.terms
    ]
    return body_of(edit.old) in inside


def _is_unmultiplied(view: LineView, edit: Edit, line: Equation) -> bool:
    """Whether the term that an edit changes stands so in a line above, the mended one being a multiple of
    that."""
    place = next((p for p in view.outer_terms if p.path == edit.path[: len(p.path)]), None)
    if place is None or edit.change is not Change.OTHER:
        return False
    return body_of(place.expr) in [body for side in (line.left, line.right) for _, body in signed_terms(side)]


def _same_sides(one: Equation, other: Equation) -> bool:
    def bodies(side: Expr) -> list[Expr]:
        return [body for _, body in signed_terms(side)]

    return bodies(one.left) == bodies(other.left) and bodies(one.right) == bodies(other.right)


def _elsewhere(view: LineView) -> Trial | None:
    """A trial with random values for all unknowns of a line, at which only an identity holds."""
    own = view.circuit.remembered(generic)
    ready = view.prepared(own)
    return None if ready is None else with_other_unknowns(ready, view.circuit)


def _is_empty(view: LineView, mended: Equation, other: Trial | None) -> bool:
    """Whether a mended line would say nothing: both sides the same, or true whatever its unknowns are
    (tried in `other`)."""
    if mended.left == mended.right or not symbols_of(mended):
        return bool(symbols_of(view.equation))
    given = {*view.circuit.symbols, *view.circuit.elements}
    if given.issuperset(view.used) or other is None:
        return False
    if given.issuperset(symbols_of(mended)):
        return True
    try:
        sides = Sides(mended, other)
    except (ZeroDivisionError, KeyError):
        return True
    return other.is_zero(sides.residue)


__all__ = ["Search", "repairs", "search"]
