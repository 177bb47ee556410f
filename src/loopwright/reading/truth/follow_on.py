"""Whether an untrue claim is what untrue lines above give: correct as following from the slip."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import chain, combinations, islice, product

from ...algebra.linear import Linear
from ...expressions.values import symbols_of
from ..working import Claim
from .changed import is_trial
from .consequence import NEAREST, ClaimRow, WantedRow
from .implied import implied, junctions
from .rounding import has_values
from .truth import ClaimValue, View

LAST_RESULTS, MOST_CHOICES = 2, 8  # of each current at a junction, and of all of them together
MOST_WITH_LAWS = 4  # untrue lines that laws are put to
MOST_PUT_BACK = 3  # unknowns of a claim for which results are put back
MOST_TRIED = 40  # choices of such results


@dataclass(frozen=True, slots=True)
class FollowOn:
    """The lines that an untrue claim follows from, untrue ones among them; `beside`: by how much its sides
    differ by what those lines give, where it follows as rounded."""

    used: tuple[int, ...]
    beside: Fraction = Fraction(0)


def follow_on(
    view: View,
    found: ClaimValue,
    linear: Linear | None,
    claim: Claim,
    cited: Collection[int] = (),
    *,
    by_laws: bool = False,
) -> FollowOn | None:
    """What an untrue claim follows from; None when it follows from nothing written. `cited`: the lines that
    it says it rests on, which are tried first. `by_laws`: a junction or a branch or two may be put to untrue
    lines without a word.

    Lines that contradict one another give anything. So one untrue line is tried by itself, with one and
    with two others; then as many lines as agree, the untrue ones taken first, and true ones the nearest
    first, in the order written, or the laws before what was made of them.
    """
    rows = view.rows.near
    wrong = [row for row in rows if not row.true]
    if not wrong:
        return None
    in_numbers = not view.meanings.symbols.symbols and has_values(claim.written)
    at_junctions = _at_junctions(view, linear, rows) if linear is not None else []
    at_junctions += _of_parts(view, linear, rows) if linear is not None else []
    said = [tuple(row for row in rows if row.line in cited)] if cited else []
    laws = _with_laws(view, found, wrong, rows) if by_laws else ()
    back = chain(_put_back(linear, rows), _put_into_a_law(linear, rows)) if linear is not None else ()
    for together in chain(
        said, _along(view, found, wrong, rows), _sets(view, wrong, rows), at_junctions, back, laws
    ):
        support, beside = view.rows.support(WantedRow(found.difference, linear), together), Fraction(0)
        if support is None and in_numbers:
            support, beside = _rounded(view, claim, together)
        if support is not None and not all(row.true for row in support):
            return FollowOn(tuple(dict.fromkeys(row.line for row in support if row.line)), beside)
    return None


def _along(
    view: View, found: ClaimValue, wrong: Sequence[ClaimRow], rows: Sequence[ClaimRow]
) -> list[tuple[ClaimRow, ...]]:
    """For a claim on potentials, or on currents below untrue potentials: sets of one untrue line (the latest
    first) and what holds along one branch, for currents their own; with the potential last written for the
    other end of the branch too."""
    held = found.difference.held()
    on_potentials = any(name.startswith("φ") for name in held)
    given = [row for row in wrong if on_potentials or any(n.startswith("φ") for n in row.linear.coefficients)]
    if not given:
        return []
    relations = [
        i.row
        for i in implied(view, held)
        if i.along and (on_potentials or i.row.linear.coefficients.keys() & held)
    ]
    ends = {frozenset(row.linear.coefficients): row for row in rows if _is_of_potentials(row)}
    sets: list[tuple[ClaimRow, ...]] = []
    for row in reversed(given):
        own = row.linear.coefficients.keys()
        for relation in relations:
            sets.append((relation, row))
            others = (r for at, r in ends.items() if at != own and at & relation.linear.coefficients.keys())
            if _is_of_potentials(row) and (more := tuple(others)):
                sets.append((relation, row, *more))
    return sets


def _is_of_potentials(row: ClaimRow) -> bool:
    """Whether a row speaks of potentials alone, of two points at most."""
    names = row.linear.coefficients
    return 0 < len(names) < 3 and all(name.startswith("φ") for name in names)


def _with_laws(
    view: View, found: ClaimValue, wrong: Sequence[ClaimRow], rows: Sequence[ClaimRow]
) -> Iterator[tuple[ClaimRow, ...]]:
    """Sets of one or two untrue lines, the latest, with the junction rule at a point, with what holds along a
    branch, or along two branches that meet; and of an untrue line, a true one near by and the junction rule,
    which may have been written long before."""
    latest = list(reversed(wrong))[:MOST_WITH_LAWS]
    latest += [row for row in wrong[:1] if row not in latest]
    some = [*((row,) for row in latest), *combinations(latest, 2)]
    along = [i.row for i in implied(view, found.difference.held()) if i.along]
    points = [i.row for i in junctions(view)]
    for law in (*points, *along):
        for each in some:
            yield (law, *each)
    near = [row for row in reversed(rows) if row.true and row.linear.coefficients][:NEAREST]
    for law, row, other in product(points, latest, near):
        if len(other.linear.coefficients) > 1 and view.rows.consistent([law, row, other]):
            yield (law, *sorted((row, other), key=lambda r: r.line))
    for one, other in combinations(along, 2):
        shared = one.linear.coefficients.keys() & other.linear.coefficients.keys()
        for row in latest if any(name.startswith("φ") for name in shared) else ():
            yield (one, other, row)


def _at_junctions(view: View, linear: Linear, rows: Sequence[ClaimRow]) -> list[tuple[ClaimRow, ...]]:
    """For a claim of one current: the junction rule at each of its ends, with the last result above for each
    other current there; and with the untrue lines above, the latest first, as far as they agree."""
    if len(linear.coefficients) != 1:
        return []
    own = next(iter(linear.coefficients))
    results: dict[str, list[ClaimRow]] = {}
    for row in rows:
        if len(row.linear.coefficients) == 1:
            results.setdefault(next(iter(row.linear.coefficients)), []).append(row)
    found: list[tuple[ClaimRow, ...]] = []
    setting = view.meanings.home[own][1]
    if is_trial(view.meanings.circuit, setting):
        return []
    for one in junctions(view, setting):
        others = [n for n in one.row.linear.coefficients if n != own]
        if own in one.row.linear.coefficients and all(n in results for n in others):
            each = [results[n][: -LAST_RESULTS - 1 : -1] for n in others]  # a fraction, and what it comes to
            found += [(one.row, *chosen) for chosen in islice(product(*each), MOST_CHOICES)]
        together = [one.row]
        for row in reversed(rows) if own in one.row.linear.coefficients else ():
            if not row.true and view.rows.consistent([*together, row]):
                together.append(row)
        if len(together) > 1:
            found.append(tuple(together))
    return found


def _put_back(linear: Linear, rows: Sequence[ClaimRow]) -> Iterator[tuple[ClaimRow, ...]]:
    """For a claim of up to three unknowns: for each of them its last result, or the one before, which may be
    the same not yet rounded, or a line above that holds it beside others, with results for these."""
    results: dict[str, list[ClaimRow]] = {}
    for row in rows:
        if len(row.linear.coefficients) == 1:
            results.setdefault(next(iter(row.linear.coefficients)), []).append(row)
    if not 0 < len(linear.coefficients) <= MOST_PUT_BACK:
        return
    ways = [_ways_to(name, rows, results) for name in linear.coefficients]
    for chosen in islice(product(*ways), MOST_TRIED):
        put = tuple({id(row): row for one in chosen for row in one}.values())
        if not all(row.true for row in put):
            yield put


def _put_into_a_law(linear: Linear, rows: Sequence[ClaimRow]) -> Iterator[tuple[ClaimRow, ...]]:
    """For a claim of one or two unknowns: a true line above of three or four, the latest first, with what was
    last put down for each other one of them in these: I1 = I2 + I3 with all three in I4."""
    own = linear.coefficients.keys()
    laws = [row for row in reversed(rows) if row.true and len(row.linear.coefficients) in (3, 4)]
    for law in laws[:NEAREST] if 0 < len(own) < 3 else ():
        others = [n for n in law.linear.coefficients if n not in own]
        ways = [
            next(
                (r for r in reversed(rows) if n in (at := r.linear.coefficients.keys()) and at <= {n, *own}),
                None,
            )
            for n in others
        ]
        put = [row for row in ways if row is not None]
        if len(put) == len(others) > 1 and not all(row.true for row in put):
            yield (law, *put)


def _ways_to(
    own: str, rows: Sequence[ClaimRow], results: Mapping[str, Sequence[ClaimRow]]
) -> list[tuple[ClaimRow, ...]]:
    """The rows that give an unknown a value: a result, or an equation above with results put back."""
    found: list[tuple[ClaimRow, ...]] = [(row,) for row in reversed(results.get(own, ())[-2:])]
    for row in reversed(rows):
        others = [results.get(n, ()) for n in row.linear.coefficients if n != own]
        if own not in row.linear.coefficients or not others or not all(others):
            continue
        found.append((row, *(each[-1] for each in others)))
        if any(len(each) > 1 for each in others):
            found.append((row, *(each[-min(2, len(each))] for each in others)))
    return found


def _of_parts(view: View, linear: Linear, rows: Sequence[ClaimRow]) -> list[tuple[ClaimRow, ...]]:
    """For a claim of one current or potential: that it is the sum of its parts, with the last result above
    for each of them."""
    if len(linear.coefficients) != 1:
        return []
    results = {next(iter(r.linear.coefficients)): r for r in rows if len(r.linear.coefficients) == 1}
    found: list[tuple[ClaimRow, ...]] = []
    for one in implied(view, linear.coefficients):
        parts = [n for n in one.row.linear.coefficients if n not in linear.coefficients]
        a_sum = not (one.along or one.at) and len(parts) < len(one.row.linear.coefficients)
        if a_sum and all(n in results for n in parts):
            found.append((one.row, *(results[n] for n in parts)))
    return found


def _sets(view: View, wrong: Sequence[ClaimRow], rows: Sequence[ClaimRow]) -> Iterator[tuple[ClaimRow, ...]]:
    """Sets of rows that agree with one another, each with an untrue one."""
    latest = list(reversed(wrong))
    for row in latest:
        yield (row,)
    near = list(reversed(rows))[:NEAREST]
    for size in (1, 2):
        for row in latest[:NEAREST]:
            for others in combinations([r for r in near if r is not row], size):
                if view.rows.consistent([row, *others]):
                    yield tuple(sorted((row, *others), key=lambda r: r.line))
    true = [row for row in rows if row.true]
    for row in latest[:NEAREST]:  # without the line that it may have been made of
        before = next((r for r in reversed(true) if r.line <= row.line), None)
        rest = [r for r in true if r is not before]
        if before is not None and view.rows.consistent([row, *rest]):
            yield tuple(sorted((row, *rest), key=lambda r: r.line))
    laws_first = sorted(true, key=lambda row: not row.law)
    for order in (true[::-1], true, laws_first):
        for untrue in (latest, wrong):
            together: list[ClaimRow] = []
            for row in (*untrue, *order):
                if view.rows.consistent([*together, row]):
                    together.append(row)
            yield tuple(sorted(together, key=lambda r: r.line))


def _rounded(
    view: View, claim: Claim, rows: Sequence[ClaimRow]
) -> tuple[tuple[ClaimRow, ...] | None, Fraction]:
    """The rows that give the names in a claim numbers for which its sides agree as rounded, and by how much
    the sides differ as written; no rows where they do not."""
    nothing = Fraction(0)
    names = symbols_of(claim.written)
    values = view.rows.fixed([view.meanings.names[n] for n in names], rows) if names else None
    if values is None:
        return None, nothing
    off = view.as_rounded.off_after_slips(claim.written, dict(zip(names, values, strict=True)))
    if off is None:
        return None, nothing
    return view.rows.support(WantedRow(view.meanings.difference(claim.written), None, off), rows), off
