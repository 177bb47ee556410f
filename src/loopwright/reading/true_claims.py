"""The verdict on a claim that is true: which law it states, or what it follows from."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from ..expressions.nodes import Symbol, numbers_in
from ..expressions.said import Said
from ..expressions.values import symbols_of
from .balance import along_what_is_left, lines_that_balance
from .so_far import SoFar
from .supposed import scaled_rows, supposed_row
from .totals_named import line_of_the_total
from .truth.by_chance import otherwise_a_law
from .truth.changed import is_trial, points_tried
from .truth.consequence import ClaimRow, WantedRow, how
from .truth.implied import Implied, implied, junctions, junctions_kept
from .truth.law_made_one import law_made_one
from .truth.rounding import lone
from .truth.truth import ClaimValue, View
from .truth.which_law import StatedLaw
from .untrue_claims import untrue
from .verdicts import ClaimKind, How, Truth, Verdict
from .where_from import lines_with_its_numbers, where_from
from .wording import lines_named, of_following, of_law, of_law_made_one
from .working import AS_DRAWN, CircuitChange, Claim, WrittenLine

_REST = re.compile(
    r"\b(?:rest|remain\w*|left\s*over|difference|other\s+branch|KCL|junction\s+rule)\b", re.IGNORECASE
)


@dataclass(frozen=True, slots=True)
class _Seen:
    """A true claim looked at in one view (in symbols, or in numbers).

    `target`: what is to follow from lines above; `row`: the claim as a linear row, None where it is not
    linear; `stated`: the law that it states, if it states one; `support`: the rows above from which it
    follows, None where it does not; `above`: all the rows above it; `setting`: the circuit that it is a
    law of.
    """

    view: View
    target: WantedRow
    row: ClaimRow | None
    stated: StatedLaw | None
    support: tuple[ClaimRow, ...] | None
    above: tuple[ClaimRow, ...]
    setting: CircuitChange = AS_DRAWN


def true(so_far: SoFar, line: WrittenLine, claim: Claim, found: ClaimValue) -> Verdict:
    """The verdict on a true claim, kept for later lines to rest on."""
    exact = found.difference - found.view.meanings.field.number(found.beside)
    if not exact or (found.beside and found.view.as_rounded.rewrites(claim.written)):
        so_far.truths.note_data(claim.written)
        return _identity(so_far, line, claim, found)
    seen = [_seen(so_far, view, line, claim, found) for view in _views(so_far, found)]
    seen = [s for s in seen if s.stated is not None or s.support is not None] or seen
    best = next((s for s in seen if s.support is not None), seen[0])
    stated = next((s.stated for s in seen if s.stated is not None), None)
    if stated is None and found.truth is not Truth.ALWAYS and len(best.support or (1, 2, 3)) > 2:
        doubt = _by_chance(so_far, line, claim, found)
        if doubt is not None:
            return doubt
    so_far.keep(line, claim, found, law=stated is not None)
    if stated is None and best.support is None:
        return _by_relations(so_far, line, claim, found, seen[-1])
    return _resting(so_far, line, claim, found, best, stated)


def _by_chance(so_far: SoFar, line: WrittenLine, claim: Claim, found: ClaimValue) -> Verdict | None:
    """The verdict on what is true only because two currents happen to be equal at the numbers given; None
    for what is not of that kind."""
    truths = so_far.truths
    other = otherwise_a_law(found.view, truths.views[0], claim.written, truths.arrows.names)
    if other is None:
        return None
    if not any(number.value for number in numbers_in(claim.written)):
        view = so_far.truths.views[0]
        difference = view.meanings.difference(claim.written)
        return untrue(so_far, line, claim, ClaimValue(Truth.NO, view, difference))
    law = str(of_law(so_far.circuit, other.law)[0])
    said: Said = (
        "It could be this or that: it agrees by chance. With ", other.meant, " in the place of ",
        other.written, f" it is a {law[:1].lower()}{law[1:].rstrip('.')}",
        "; the two are equal only at these numbers.",
    )  # fmt: skip
    return Verdict(line.number, claim, ClaimKind.UNDECIDED, said)


def _views(so_far: SoFar, found: ClaimValue) -> tuple[View, ...]:
    """The views in which a true claim can be said. One that is true only for the numbers given cannot
    be said in symbols."""
    views = so_far.truths.views
    return views if found.view is views[0] else (found.view,)


def _seen(so_far: SoFar, view: View, line: WrittenLine, claim: Claim, found: ClaimValue) -> _Seen:
    """What a true claim is in one view: a law, and what it rests on."""
    difference = found.difference if view is found.view else view.meanings.difference(claim.written)
    linear = view.meanings.row(difference - view.meanings.field.number(found.beside))
    above = tuple(r for r in view.rows.near if r.true)
    target = WantedRow(difference, linear if not found.beside else None, found.beside)
    cited = so_far.cited(line)
    said = [row for row in above if row.line in cited]
    support = view.rows.support(target, said) if said else None
    support = view.rows.support(target, above) if support is None else support
    if not linear:
        return _Seen(view, target, None, None, support, above)
    named = so_far.truths.arrows.names
    spoken = {m for n in symbols_of(claim.written) for m, sign in named.get(n, {}).items() if sign > 0}
    law = view.law_of(linear, spoken)
    tried = law is not None and is_trial(so_far.circuit, law[0])  # no law of any circuit that is there
    stated = law[1] if law is not None and not tried and _is_law_by_form(so_far, claim, law[1]) else None
    row = view.rows.row(line.number, linear)
    setting = law[0] if law is not None and stated is not None else AS_DRAWN
    return _Seen(view, target, row, stated, support, above, setting)


def _is_law_by_form(so_far: SoFar, claim: Claim, stated: StatedLaw) -> bool:
    """Whether a claim that is a law with others put in is written as one: it is no bare result, and no Ohm's
    law of resistances made one."""
    if stated.plainly:
        return True
    left, right = claim.written.left, claim.written.right
    results = [b for a, b in ((left, right), (right, left)) if isinstance(a, Symbol) and not symbols_of(b)]
    bare = any(len(list(numbers_in(b))) < 2 * max(len(stated.by_potentials), 1) for b in results)
    made_one = any(n in so_far.resistances.parts for n in symbols_of(claim.written))
    return not bare and not made_one


def _resting(
    so_far: SoFar, line: WrittenLine, claim: Claim, found: ClaimValue, seen: _Seen, stated: StatedLaw | None
) -> Verdict:
    """The verdict on a law, or on what follows from lines above."""
    number, support = line.number, seen.support
    law = _law_said(so_far, seen, stated) if stated else ()
    loops, points = (stated.loops, stated.points) if stated else ((), ())
    if support and stated and len(loops) > 1 and not stated.plainly:
        law, loops, points = (), (), ()  # multipliers that happen to be whole: nobody added up these loops
    used = tuple(dict.fromkeys(r.line for r in support or ()))
    way = how(seen.row, support) if support else None
    if stated is not None and (support is None or (stated.plainly and len(support) > 1)):
        said = _with_truth(law, found.truth)
        kind = _kind(stated)
        return Verdict(number, claim, kind, said, found.truth, used, way, loops, points, setting=seen.setting)
    if support and len(support) == 1 and _same(so_far, support[0], claim):
        way = How.SAME
    said = _with_truth(of_following(way or How.COMBINATION, used), found.truth)
    if loops:
        said = (*law, " ", *said)
    return Verdict(
        number,
        claim,
        ClaimKind.FOLLOWS,
        said,
        found.truth,
        used,
        way,
        loops,
        points,
        setting=seen.setting,
    )


def _law_said(so_far: SoFar, seen: _Seen, stated: StatedLaw) -> Said:
    """Which law it is, and of which circuit."""
    circuit = seen.view.law_in(seen.setting).meanings.circuit
    law = of_law(circuit, stated, not so_far.truths.arrows.inferred)
    if not seen.setting:
        return law
    return (*law[:-1], f"{str(law[-1]).removesuffix('.')}, {seen.setting.words}.")


def _by_relations(so_far: SoFar, line: WrittenLine, claim: Claim, found: ClaimValue, seen: _Seen) -> Verdict:
    """A claim may also rest on what holds without being written: along single branches, where potentials
    are spoken of, and for the parts that each source makes."""
    rows = seen.view.rows
    under = _under_supposition(so_far, line, claim, found, seen)
    if under is not None:
        return under
    by_numbers = lines_with_its_numbers(so_far, line, claim)
    rest = lone(claim.written.right) is not None and _REST.search(line.text) is not None
    points = junctions(seen.view) if len(by_numbers) > 1 or rest else ()
    of_these = [row for row in seen.above if rest or row.line in by_numbers]
    branches = implied(seen.view, seen.target.difference.held())
    last = junctions(seen.view) if _is_current_told(so_far, claim) else ()
    worked = [row for row in seen.above if _is_worked(so_far, row.line)] if last else []
    for more, above in ((points, of_these), (branches, seen.above), *(((j,), worked) for j in last)):
        support = rows.support(seen.target, [*(i.row for i in more), *above]) if more else None
        if support is not None:
            return _with_what_holds(line, claim, found, support, [i for i in more if i.row in support])
    scaled = scaled_rows(seen.view)
    support = rows.support(seen.target, [*(i.row for i in scaled), *seen.above]) if scaled else None
    if support is not None and any(row.line for row in support):
        used = tuple(dict.fromkeys(row.line for row in support if row.line))
        told = _with_truth((f"Follows from {lines_named(used)}, scaled.",), found.truth)
        return Verdict(line.number, claim, ClaimKind.FOLLOWS, told, found.truth, used, How.COMBINATION)
    kept = junctions_kept(seen.view, so_far.truths.arrows.names)
    support = rows.support(seen.target, [*kept, *seen.above]) if kept else None
    if support is not None and any(row.line for row in support):
        used = tuple(dict.fromkeys(r.line for r in support if r.line))
        of = f"Follows from {lines_named(used)}"
        kept_said = (f"{of}: currents round loops keep the junction rule by themselves.",)
        said = _with_truth(kept_said, found.truth)
        return Verdict(line.number, claim, ClaimKind.FOLLOWS, said, found.truth, used, How.COMBINATION)
    balancing = lines_that_balance(so_far, claim.written)
    if balancing:
        told = _with_truth((f"The bridge is balanced by {lines_named(balancing)}.",), found.truth)
        return Verdict(line.number, claim, ClaimKind.FOLLOWS, told, found.truth, balancing, How.COMBINATION)
    for together in along_what_is_left(so_far, seen.view, claim.written):
        support = rows.support(seen.target, together)
        used = tuple(dict.fromkeys(row.line for row in support or () if row.line))
        if used:
            of = f"Follows from {lines_named(used)}: without a current there, the rest lies in series."
            said = _with_truth((of,), found.truth)
            return Verdict(line.number, claim, ClaimKind.FOLLOWS, said, found.truth, used, How.COMBINATION)
    used, by_source = _made_one(so_far, line, claim)
    if used:
        by = "by the equivalent source" if by_source else "with resistances made one"
        told = _with_truth((f"Follows from {lines_named(used)}, {by}.",), found.truth)
        return Verdict(line.number, claim, ClaimKind.FOLLOWS, told, found.truth, used, How.COMBINATION)
    if total := line_of_the_total(so_far, claim):
        told = _with_truth(
            (f"Follows from {lines_named((total,))}: the emf over all that it sees.",), found.truth
        )
        return Verdict(line.number, claim, ClaimKind.FOLLOWS, told, found.truth, (total,), How.COMBINATION)
    smaller = law_made_one(seen.view, seen.row.linear) if seen.row is not None else None
    if smaller is not None:
        law = smaller.stated
        told = _with_truth(of_law_made_one(smaller), found.truth)
        return Verdict(line.number, claim, _kind(law), told, found.truth, points=law.points, made_one=True)
    first = not seen.above and not any(v.line < line.number for v in so_far.verdicts)
    words = "Say where it comes from." if first else where_from(so_far, line, claim)
    told = _with_truth((f"True of this circuit. {words}",), found.truth)
    return Verdict(line.number, claim, ClaimKind.TRUE, told, found.truth)


def _is_current_told(so_far: SoFar, claim: Claim) -> bool:
    """Whether a claim tells a current of the problem and nothing of how it is found: the last at a point."""
    left, right = claim.written.left, claim.written.right
    return isinstance(left, Symbol) and left.name in so_far.circuit.currents and lone(right) is not None


def _is_worked(so_far: SoFar, number: int) -> bool:
    """Whether a line is more than results that nothing above gives."""
    of_line = (v for v in so_far.verdicts if v.line == number and v.holds and symbols_of(v.claim.written))
    return any(v.kind is not ClaimKind.TRUE or lone(v.claim.written.right) is None for v in of_line)


def _under_supposition(
    so_far: SoFar, line: WrittenLine, claim: Claim, found: ClaimValue, seen: _Seen
) -> Verdict | None:
    """The verdict on what is supposed, or worked from that and from what holds in the circuit supposed;
    None for any other claim."""
    view, setting = seen.view, claim.setting
    supposed = supposed_row(view, setting) if setting.taken else None
    if supposed is None:
        return None
    if view.rows.support(seen.target, (supposed.row,)) is not None:
        said: Said = ("What is supposed.",)
        return Verdict(line.number, claim, ClaimKind.FOLLOWS, said, found.truth, (), How.IDENTITY)
    branches = [i for i in implied(view, seen.target.difference.held()) if i.along]
    ends = points_tried(setting) if is_trial(so_far.circuit, setting) else ()
    more = [supposed, *branches, *(j for j in junctions(view, setting) if j.at not in ends)]
    for held in ([*branches], [supposed, *branches], more):
        support = view.rows.support(seen.target, [*(i.row for i in held), *seen.above])
        if support is not None:
            used = tuple(dict.fromkeys(row.line for row in support if row.line))
            of = [i for i in held if i.row in support]
            along, at = [i.along for i in of if i.along], [i.at for i in of if i.at]
            said = of_following(How.COMBINATION, used, along, at, supposed=supposed in of)
            told = _with_truth(said, found.truth)
            return Verdict(line.number, claim, ClaimKind.FOLLOWS, told, found.truth, used, How.COMBINATION)
    return None


def _with_what_holds(
    line: WrittenLine, claim: Claim, found: ClaimValue, support: Sequence[ClaimRow], more: Sequence[Implied]
) -> Verdict:
    """The verdict on what follows from lines above and from what holds without being written."""
    used = tuple(dict.fromkeys(row.line for row in support if row.line))
    along, at = [i.along for i in more if i.along], [i.at for i in more if i.at]
    sums = len(along) + len(at) < len(more)
    said = _with_truth(of_following(How.COMBINATION, used, along, at, sums=sums), found.truth)
    return Verdict(line.number, claim, ClaimKind.FOLLOWS, said, found.truth, used, How.COMBINATION)


def _made_one(so_far: SoFar, line: WrittenLine, claim: Claim) -> tuple[tuple[int, ...], bool]:
    """The lines that gave the resistances made one that a claim puts in, by name or by number, and what else
    of other lines it puts in with them; and whether that is a source. No lines where it puts in no such
    resistance."""
    view = so_far.truths.views[-1]
    circuit, home = so_far.circuit, view.meanings.home
    by_number = lines_with_its_numbers(so_far, line, claim, apart_from=set(circuit.numbers.values()))
    names = symbols_of(claim.written)
    put_in = {n: at for n, at in so_far.said_in.items() if at in by_number or n in names}
    made = [n for n in put_in if n in so_far.resistances.sizes]
    homes = {n: home[u][1] for n in (*names, *put_in) for u in so_far.truths.arrows.names.get(n, ())}
    seen = [n for n, setting in homes.items() if setting.out or setting.wired]
    seen = [n for n in seen if n in put_in] if len(set(homes.values())) > 1 else []
    return (tuple(sorted({put_in[n] for n in (*made, *seen)})) if made else ()), bool(seen)


def _kind(stated: StatedLaw) -> ClaimKind:
    if stated.path or not (stated.loops or stated.points):
        return ClaimKind.ELEMENT
    return ClaimKind.LOOP if stated.loops else ClaimKind.JUNCTION


def _same(so_far: SoFar, row: ClaimRow, claim: Claim) -> bool:
    """Whether the line that a row was made of holds this very equation."""
    written = claim.written
    others = [v.claim.written for v in so_far.verdicts if v.line == row.line]
    return any((o.left, o.right) == (written.left, written.right) for o in others)


def _identity(so_far: SoFar, line: WrittenLine, claim: Claim, found: ClaimValue) -> Verdict:
    """The verdict on a claim whose sides are equal whatever the currents are, such as a fraction
    brought to lowest terms."""
    one, other = claim.written.left, claim.written.right
    names = symbols_of(claim.written)
    value = one if isinstance(one, Symbol) else other
    given = isinstance(value, Symbol) and (
        value.name in so_far.circuit.elements or value.name in so_far.circuit.field
    )
    if given and one != other:
        said = _with_truth(("As given in the problem.",), found.truth)
        return Verdict(line.number, claim, ClaimKind.GIVEN, said, found.truth)
    words = "The same expression rewritten."
    if any(n in so_far.truths.needed for n in names):
        words = "What the source would have to give."
    elif isinstance(one, Symbol) and isinstance(other, Symbol) and one != other:
        words = "Two names for one quantity."
    if not names:
        words = "The arithmetic is right."
    elif found.truth is not Truth.ALWAYS and not found.beside:
        words = "The numbers of the problem put in."
    said = _with_truth((words,), found.truth)
    return Verdict(line.number, claim, ClaimKind.FOLLOWS, said, found.truth, (), How.IDENTITY)


def _with_truth(said: Said, truth: Truth) -> Said:
    """A sentence with what is to be said of rounded numbers."""
    rest = {
        Truth.ROUNDED: " Right as rounded.",
        Truth.CARRIED: " Right for the rounded numbers above: the rounding is carried through.",
    }.get(truth)
    return (*said, rest) if rest else said
