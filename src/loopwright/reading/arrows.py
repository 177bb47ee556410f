"""Which arrows a working goes by: those it declares, those of the problem, or those that fit it best.

Names that nothing explains, and all names where arrows are left unsaid, are matched with the currents
of the circuit either way along, with mesh currents, and with potential differences: the choice
that makes most of the claims true is taken.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

from ..circuit.circuit import Circuit
from ..expressions.nodes import Equation, Expr, Negative, Sum, Symbol
from ..expressions.said import Said, in_a_row
from ..expressions.values import symbols_of
from ..solve.exact import Solution
from .choice import MOST_TOGETHER, Choice
from .loop_currents import Meaning, declared_loops, round_what_is_left
from .names_left import (
    as_called,
    as_given,
    called_currents,
    in_one_branch,
    last_of_meshes,
    of_numbers_alone,
    sum_called,
)
from .new_names import is_first_across
from .numbers_named import by_their_numbers, parts_by_their_numbers
from .potentials_named import as_potentials
from .quantities import (
    Origin,
    candidates,
    is_across_own,
    is_open_voltage,
    is_short_current,
    letters_for_currents,
    may_be_open,
    settings_in,
)  # fmt: skip
from .short_currents import shorted_loads
from .truth.changed import part
from .truth.combined import is_seen, load_of, sums_in
from .truth.rounding import lone
from .truth.truth import in_kilohms
from .verdicts import Arrows
from .working import ArrowSaid, CircuitChange, Claim, LoopSaid

MOST_TIES = 4
_NOWHERE: Mapping[str, Origin] = {}


def declared(circuit: Circuit, arrows: Sequence[ArrowSaid]) -> dict[str, Meaning]:
    """What the arrows declared in a working stand for; those that fit no branch are left out."""
    found: dict[str, Meaning] = {}
    for arrow in arrows:
        fits: list[Meaning] = []
        for b in circuit.branches:
            elements = [p.element for p in b.passes]
            if not set(arrow.through) <= set(elements):
                continue
            points = list(b.points)
            if arrow.start in points and arrow.end in points:
                forward = points.index(arrow.start) < len(points) - 1 - points[::-1].index(arrow.end)
                fits.append({b.name: 1 if forward else -1})
        if len(fits) == 1 or (fits and not arrow.through):
            found[arrow.name] = fits[0]
    return found


def of_problem(circuit: Circuit) -> dict[str, Meaning]:
    """The names and arrows of the problem file."""
    return {name: {name: 1} for name in circuit.currents}


def arrows_of(
    solution: Solution,
    claims: Sequence[Claim],
    said: Sequence[ArrowSaid],
    new_names: Collection[str],
    unsaid: bool,
    origins: Mapping[str, Origin] = _NOWHERE,
    defined: Collection[str] = (),
    round_loops: Collection[str] = (),
    loops: Sequence[LoopSaid] = (),
    one_way: bool = False,
    levels: Mapping[str, Meaning] | None = None,
    zero: str = "",
    equivalents: bool = False,
) -> Arrows:
    """The arrows a working goes by. `new_names`: names it uses that stand for nothing in the problem;
    `unsaid`: the arrows of the problem were not given to the writer, so that directions are open too;
    `origins`: where names come from; `defined`: those of the new names that would do as shorthands for what
    they are first said to be, and are that where no quantity makes a line with them true; `round_loops`:
    those of the problem's own names that the working gives to currents round loops; `loops`: the currents
    of which it says round what they go; `one_way`: they run round meshes, all in one sense; `levels`:
    potentials of which it says whose they are, counted from the point `zero`; `equivalents`: it speaks of
    sources that stand for others."""
    circuit = solution.circuit
    told = declared(circuit, said)
    rounds = {n: m for n, m in declared_loops(circuit, loops).items() if n not in told}
    told.update({n: m[0] for n, m in rounds.items() if len(m) == 1})
    told.update({n: m for n, m in (levels or {}).items() if m and n in new_names})
    told.update(
        {n: told.get(c, {c: 1}) for n, c in called_currents(circuit, claims, new_names) if n not in told}
    )
    known: dict[str, Meaning] = {**of_problem(circuit), **told}
    used = {n for claim in claims for n in symbols_of(claim.written)}
    turned = [n for n in circuit.currents if unsaid and n in used and n not in told]
    open_names = {n: candidates(circuit, n, turned_only=True) for n in turned}
    letters = letters_for_currents(circuit, claims)
    shared = _together(claims, new_names, letters)
    opened = equivalents or any(map(is_open_voltage, new_names))
    for n in new_names:
        levelled = as_potentials(circuit, n, zero)
        of_point = bool(levelled) and n in circuit.named_points
        if (may_be_open(n) or of_point or n in letters) and n not in told and n not in (levels or {}):
            plain = candidates(circuit, n, origins.get(n), shared=n in shared, opened=opened, counted=told)
            open_names[n] = (*levelled, *plain) if n in circuit.named_points else (*plain, *levelled)
            if is_across_own(circuit, n) and is_first_across(circuit, n, claims):
                open_names[n] = plain[:2]  # one way and the other
    rest = {loop.name: loop for loop in loops} if opened and not rounds else {}
    for n in rest.keys() & open_names.keys():
        open_names[n] = round_what_is_left(circuit, rest[n], open_names[n]) or open_names[n]
    for n in round_loops:
        if n not in rest and n in used and n not in told and not _is_of(circuit, n):
            open_names[n] = candidates(circuit, "i", shared=True)
    open_names.update({n: m for n, m in rounds.items() if n in used and len(m) > 1})
    settings = tuple(dict.fromkeys(o.setting for o in origins.values() if o.setting))
    if not open_names:
        return Arrows(known)
    fixed = {n: m for n, m in known.items() if n not in open_names}
    unknown = {n for n in used if not (n in known or n in open_names or _is_of(circuit, n))}
    without = {n for n in open_names if opened or (n in origins and origins[n].setting.out)}
    known_by_numbers = {n for n in open_names if n[0] in "VUvu" or n in without}
    written, named = list(claims), by_their_numbers(claims, known_by_numbers)
    parts = (*parts_by_their_numbers(claims, origins), *_by_their_ends(claims, open_names, unknown))
    claims = [*written, *named, *parts]
    every_way = _either_way(claims, open_names)
    counted = _once_a_chain(every_way, open_names)
    choice, most, best = _best_choice(solution, fixed, open_names, settings, counted)
    odd = {n for n in best[0] if not choice.serves(written, best[0], n)}
    if any(_is_sum_of_odd(c.written, odd) for c in named):
        claims = [*written, *(c for c in named if not _is_sum_of_odd(c.written, odd)), *parts]
        every_way = _either_way(claims, open_names)
        counted = _once_a_chain(every_way, open_names)
        choice, most, best = _best_choice(solution, fixed, open_names, settings, counted)
    best = as_given(solution, claims, open_names, choice.earliest_first(counted, best))
    if one_way:
        best[0] = choice.together.one_way(open_names, best[0], lambda chosen: choice.score(claims, chosen))
    marked: dict[str, tuple[int, ...]] = {n: (0, 1) for n in open_names if is_across_own(circuit, n)}
    marked.update({n: (0,) for n in open_names if _is_summed(n, origins, counted)})
    if marked and most < choice.countable(counted):
        best = _by_their_marks(choice, counted, most, best, marked)
    idle = [n for n in defined if n in open_names and not choice.serves(every_way, best[0], n)]
    first = {n: 0 for n in open_names if n in origins and origins[n].tells(circuit, told)}
    of_rest = [n for n in open_names if is_open_voltage(n) or is_short_current(n)]
    left = [n for n in of_rest if n in origins and (origins[n].setting.out or origins[n].setting.wired)]
    first.update(dict.fromkeys(left, 0))
    chosen = {n: open_names[n][i] for n, i in {**first, **best[0]}.items() if n not in idle}
    left = [n for n in open_names if n not in chosen]
    chosen = {**as_called(circuit, left, chosen.values(), origins), **chosen}
    chosen.update(last_of_meshes(circuit, [n for n in open_names if n not in (*chosen, *idle)], chosen))
    shorts = {n: open_names[n] for n in open_names if is_short_current(n) and n not in chosen}
    chosen.update(shorted_loads(circuit, claims, shorts))
    lone_ones = [n for n in ("V", "U") if n in open_names and n not in chosen and n not in idle]
    chosen.update({n: m for n in lone_ones for m in of_numbers_alone(solution, n, claims)})
    chosen = {n: in_one_branch(circuit, m) for n, m in chosen.items()}
    names: dict[str, Meaning] = dict(known)
    names.update(chosen)
    others = tuple(
        {**names, **{n: open_names[n][i] for n, i in other.items() if n not in idle}}
        for other in best[1 : MOST_TIES + 1]
        if set(other) == set(best[0])
    )
    changed = settings_in(circuit, names.values(), settings)
    guessed = {n: m for n, m in chosen.items() if n not in origins or not _is_told(m, origins[n])}
    return Arrows(names, tuple(guessed), others, _told(circuit, guessed, bool(others)), changed)


def _by_their_marks(
    choice: Choice,
    claims: Sequence[Claim],
    most: int,
    best: list[dict[str, int]],
    marked: Mapping[str, tuple[int, ...]],
) -> list[dict[str, int]]:
    """The best choices, under which not every claim holds but `most` do, with names that bear a mark read by
    it (`marked`: the choices that fit): U2 across R2, and I2a along the arrow of I2, where that makes some
    claim true and at most one more false."""
    settled: dict[str, int] = {}
    for name, fitting in marked.items():
        if best[0].get(name, fitting[0]) in fitting:
            continue
        tried = [choice.best(claims, {**settled, name: at}) for at in fitting]
        total, others = max(tried, key=lambda found: found[0])
        if total >= most - 1 and choice.serves(claims, others[0], name):
            settled[name], most, best = others[0][name], total, others
    return best


def _best_choice(
    solution: Solution,
    fixed: Mapping[str, Meaning],
    open_names: Mapping[str, Sequence[Meaning]],
    settings: Sequence[CircuitChange],
    claims: Sequence[Claim],
) -> tuple[Choice, int, list[dict[str, int]]]:
    """The search, how many claims hold under the best choices it finds, and these; in a circuit of kilohms,
    with bare numbers in the units that make more claims true."""
    shorthands = {**_shorthands(claims, {*fixed, *open_names}), **_seen(solution.circuit, claims)}
    choice = Choice(solution, fixed, open_names, settings, shorthands=shorthands)
    most, best = choice.best(claims)
    if in_kilohms(solution.circuit) and most < choice.countable(claims):
        other = Choice(solution, fixed, open_names, settings, True, shorthands)
        more, found = other.best(claims)
        if more > most:
            return other, more, found
    return choice, most, best


def _together(claims: Sequence[Claim], new_names: Collection[str], letters: Collection[str]) -> set[str]:
    """The new names that stand in a claim with others like them, as currents round loops do. `letters`: those
    that stand for currents whichever letters they are."""
    found: set[str] = set()
    for claim in claims:
        met = [n for n in symbols_of(claim.written) if n in new_names and n[:1] not in "VvUuφ"]
        met = [n for n in met if may_be_open(n) or n in letters]
        if len(met) > 1:
            found.update(met)
    return found


def _shorthands(claims: Sequence[Claim], meant: Collection[str]) -> dict[str, Expr]:
    """What names that mean no current and no voltage are first said to be: `Ri = R1 R2/(R1 + R2)`."""
    found: dict[str, Expr] = {}
    for claim in claims:
        name = claim.written.left
        if isinstance(name, Symbol) and name.name not in meant and lone(claim.written.right) is None:
            found.setdefault(name.name, claim.written.right)
    return found


def _seen(circuit: Circuit, claims: Sequence[Claim]) -> dict[str, Expr]:
    """What names such as Rth stand for, whatever the working says they are: the resistance that the resistor
    sees to which they are added."""
    sums = [frozenset(symbols_of(e)) for c in claims for e in sums_in(c.written)]
    found: dict[str, Expr] = {}
    for name in {name for one in sums for name in one if is_seen(name)}:
        load = load_of(name, sums, circuit)
        branch = circuit.branch_of(load) if load else None
        if branch is not None and len(branch.passes) == 1:
            found[name] = Symbol(f"R({branch.start}, {branch.end}) without {load}")
    return found


def _either_way(claims: Sequence[Claim], open_names: Collection[str]) -> list[Claim]:
    """The claims, and others that they can be meant to make of open names."""
    found: list[Claim] = []
    for claim in claims:
        found.append(claim)
        own = set(symbols_of(claim.written))
        changed = bool(claim.setting.out or claim.setting.wired)  # of that circuit, or back in the whole
        for other in claim.otherwise:
            held = set(symbols_of(other))
            if (held - own) & set(open_names) or (changed and held != own and held & set(open_names)):
                found.append(replace(claim, written=other, otherwise=()))
    return found


def _once_a_chain(claims: Sequence[Claim], open_names: Collection[str]) -> list[Claim]:
    """The claims without those that only go on in a chain `a = b = c` from a side with open names: a chain
    has one voice."""
    found: list[Claim] = []
    for before, claim in zip([None, *claims], claims, strict=False):
        goes_on = before is not None and before.written.right == claim.written.left
        if not goes_on or not set(symbols_of(claim.written.left)) & set(open_names):
            found.append(claim)
    return found


def _is_sum_of_odd(written: Equation, odd: Collection[str]) -> bool:
    """Whether a claim holds a sum with two of some names (`odd`) by which no line as it is written is true: a
    difference of two voltages is one between many points."""
    terms = written.right.terms if isinstance(written.right, Sum) else ()
    names = [term.body if isinstance(term, Negative) else term for term in terms]
    return len({n.name for n in names if isinstance(n, Symbol)} & set(odd)) > 1


def _is_summed(name: str, origins: Mapping[str, Origin], claims: Sequence[Claim]) -> bool:
    """Whether a name is a part of a current, and the working adds it up to that current."""
    origin = origins.get(name)
    if origin is None or not origin.marked:
        return False
    sums = (c.written for c in claims if c.written.left == Symbol(origin.base))
    return any(name in symbols_of(written.right) for written in sums)


def _is_of(circuit: Circuit, name: str) -> bool:
    return name in circuit.elements or name in circuit.symbols or "(" in name


def _by_their_ends(
    claims: Sequence[Claim], open_names: Collection[str], unknown: Collection[str]
) -> list[Claim]:
    """What chains give an open name by names that nothing is known of, and then in others or in a number:
    `U2 = 16 V` for U2 = I1 R2345 = 16 V."""
    found: list[Claim] = []
    head: Symbol | None = None
    for before, claim in zip([None, *claims], claims, strict=False):
        left, right = claim.written.left, claim.written.right
        if before is None or before.written.right != left:
            opens = isinstance(left, Symbol) and left.name in open_names
            head = left if isinstance(left, Symbol) and opens and _holds_any(right, unknown) else None
        elif head is not None and not _holds_any(right, unknown):
            found.append(replace(claim, written=replace(claim.written, left=head), otherwise=()))
            head = None
    return found


def _holds_any(expr: Expr, names: Collection[str]) -> bool:
    return any(name in names for name in symbols_of(expr))


def _is_told(meaning: Meaning, origin: Origin) -> bool:
    """Whether a name is a part of the current whose letter it bears, along that current's arrow, so that
    nothing of it is guessed but what its line says."""
    return origin.marked and meaning == {part(origin.base, origin.setting): 1}


def with_turned(
    solution: Solution, arrows: Arrows, claims: Sequence[Claim], said: Sequence[ArrowSaid]
) -> Arrows:
    """The same arrows, with a word on it where all claims would hold if some of the problem's ran the other
    way: the writer may have drawn them so."""
    circuit = solution.circuit
    told = {arrow.name for arrow in said}
    used = {n for claim in claims for n in symbols_of(claim.written)}
    open_names = {
        n: candidates(circuit, n, turned_only=True) for n in circuit.currents if n in used and n not in told
    }
    if not open_names or 2 ** len(open_names) > MOST_TOGETHER:
        return arrows
    fixed = {n: m for n, m in arrows.names.items() if n not in open_names}
    choice = Choice(solution, fixed, open_names, arrows.changed)
    best, choices = choice.best(claims)
    if best < choice.countable(claims) or best <= choice.score(claims, dict.fromkeys(open_names, 0)):
        return arrows
    turned = [n for n, i in choices[0].items() if i]
    names = {**arrows.names, **{n: {n: -1} for n in turned}}
    verb = "runs" if len(turned) == 1 else "run"
    listed = in_a_row([(Symbol(n),) for n in turned])
    sentence: Said = ("Every line holds if ", *listed, f" {verb} the other way: look at the arrows drawn.")
    return Arrows(arrows.names, arrows.inferred, (names,), sentence, arrows.changed)


def _told(circuit: Circuit, chosen: Mapping[str, Meaning], tie: bool) -> Said:
    """The choice in a sentence."""
    items = [told_meaning(circuit, n, m) for n, m in chosen.items()]
    if not items:
        return ()
    rest = "; another choice makes as many lines true." if tie else "."
    return ("Arrows as they make most lines true: ", *in_a_row(items), rest)


def told_meaning(circuit: Circuit, name: str, meaning: Meaning) -> Said:
    """One name in words: `Ib from bus to rail through R2`."""
    where = "".join(next(iter(meaning)).removeprefix("φ ").partition(" ")[1:])
    meaning = {n.removesuffix(where): m for n, m in meaning.items()}
    if len(meaning) == 2 and all(n.startswith("φ ") for n in meaning):
        ends = {m: n.removeprefix("φ ") for n, m in meaning.items()}
        return (Symbol(name), f" the potential of {ends[1]} against {ends[-1]}{where}")
    if len(meaning) > 1:
        sums = " + ".join(n if m > 0 else f"(−{n})" for n, m in meaning.items())
        return (Symbol(name), f" {sum_called(circuit, meaning)}, {sums}")
    ((branch, sign),) = meaning.items()
    b = circuit.branch(branch)
    start, end = (b.start, b.end) if sign > 0 else (b.end, b.start)
    through = ", ".join(p.element for p in (b.passes if sign > 0 else b.passes[::-1]))
    return (Symbol(name), f" from {start} to {end}" + (f" through {through}" if through else "") + where)
