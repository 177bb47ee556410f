"""Whether the equations of a working fix the currents; which repeat others; what is missing."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from ..algebra.linear import Linear, reduce_rows
from ..circuit.circuit import Circuit
from ..circuit.names import listed
from ..expressions.nodes import Equation, Symbol
from ..expressions.said import Said, counted
from ..laws.equations import Law
from ..laws.laws import laws
from .truth.meaning import Meanings
from .verdicts import ClaimKind, Enough, Verdict
from .wording import lines_named

LAWS = (ClaimKind.JUNCTION, ClaimKind.LOOP, ClaimKind.ELEMENT)


def enough(
    circuit: Circuit,
    meanings: Meanings,
    verdicts: Sequence[Verdict],
    rows: Mapping[int, Linear],
    *,
    takes_apart: bool = False,
) -> Enough:
    """What the true equations of a working come to as a set: enough for the currents or not, which repeat
    others, what is missing.

    `rows`: by its place among the verdicts, each claim as a linear form, untrue ones included, since the
    currents in them count as named; `takes_apart`: the working speaks of changed circuits or of resistances
    made one, so that it needs no such set.

    Junction equations that are put into a loop equation count as used, and so does the junction rule where a
    current was never named: a set is enough when every current follows with these. Equations in potentials
    are enough with what holds along each branch.
    """
    rows = {i: row for i, row in rows.items() if all(not meanings.home[n][1] for n in row.coefficients)}
    chosen = [i for i, v in enumerate(verdicts) if i in rows and (v.kind in LAWS or sets_up(v))]
    unknowns = tuple(n for n, (_, setting) in meanings.home.items() if not setting)
    stated = [i for i, v in enumerate(verdicts) if i in chosen or (i in rows and v.kind is ClaimKind.UNTRUE)]
    used = {n for i in stated for n in rows[i].coefficients}
    unnamed = [n for n in circuit.currents if n not in used and circuit.fixed_current(n) is None]
    start = [_in_meanings(e.linear, meanings) for e in laws(circuit).elements]
    by_potentials = any(n not in circuit.currents for i in chosen for n in rows[i].coefficients)
    if used and (by_potentials or len(unnamed) == len(circuit.currents)):
        start += meanings.relations().values()
    else:
        start += [
            _in_meanings(e.linear, meanings)
            for e in laws(circuit).junctions
            if not set(e.linear.coefficients).isdisjoint(unnamed)
        ]
    written = [i for i in stated if not verdicts[i].carried]
    spoken = {n for i in written for n in rows[i].coefficients}
    whole = _fix_what_they_name([rows[i] for i in written], [verdicts[i] for i in written], spoken)
    start = [] if whole else start  # in parts that were made one in silence no current is spoken of
    have = [*start, *(rows[i] for i in chosen)]
    reduction = reduce_rows(have, unknowns)
    potentials = {n for row in have for n in row.coefficients if n not in circuit.currents}
    needed = _to_fix(spoken) if whole else len(circuit.currents) + max(len(potentials) - 1, 0)
    redundant = {
        verdicts[i].line: tuple(
            verdicts[chosen[j]].line for j, m in enumerate(combination[len(start) :]) if m
        )
        for i, combination in zip(chosen, reduction.combinations[len(start) :], strict=True)
        if combination is not None and verdicts[i].kind is not ClaimKind.ELEMENT
    }
    missing: list[tuple[Law, Equation]] = []
    rank = reduction.rank
    for law in laws(circuit).chosen:
        if rank >= needed or law.law is Law.ELEMENT or whole:
            continue
        more = reduce_rows([*have, _in_meanings(law.linear, meanings)], unknowns).rank
        if more > rank:
            rank = more
            have.append(_in_meanings(law.linear, meanings))
            missing.append((law.law, law.written))
    said = _said(verdicts, chosen, redundant, missing, needed - reduction.rank, takes_apart)
    fixed = reduction.rank >= needed or not (whole or missing)
    return Enough(fixed, reduction.rank, needed, redundant, tuple(e for _, e in missing), said)


def _fix_what_they_name(rows: Sequence[Linear], verdicts: Sequence[Verdict], used: Collection[str]) -> bool:
    """Whether equations, one of them of parts made one, fix all that they speak of, were they all true."""
    if not any(verdict.kind is ClaimKind.TRUE or verdict.made_one for verdict in verdicts):
        return False
    return reduce_rows(rows, tuple(used)).rank == _to_fix(used)


def _to_fix(used: Collection[str]) -> int:
    """How many equations fix currents and potentials; of these, one may be chosen freely."""
    return len(used) - any(name.startswith("φ ") for name in used)


def not_told(circuit: Circuit) -> Enough:
    """What stands in place of an answer where a fault of ours kept it from being found."""
    said: Said = ("Whether the equations are enough could not be told: a fault of Loopwright's own.",)
    return Enough(False, 0, len(circuit.currents), {}, (), (said,))


def sets_up(verdict: Verdict) -> bool:
    """Whether a claim that is true, and comes from nothing above, is an equation and not a result: a
    junction equation in potentials is no single law, yet one of those that fix them."""
    written = verdict.claim.written
    sides = (written.left, written.right)
    results = any(isinstance(side, Symbol) for side in sides)
    return verdict.kind is ClaimKind.TRUE and not verdict.claim.case and not results


def _is_set_up(verdict: Verdict) -> bool:
    """Whether a loop equation is one of a set, and no division of a current or a voltage."""
    divides = isinstance(verdict.claim.written.left, Symbol) or verdict.made_one
    return verdict.kind is ClaimKind.LOOP and not divides


def _in_meanings(linear: Linear, meanings: Meanings) -> Linear:
    plain = {
        n: c.at(meanings.numbers, meanings.symbols)
        for n, c in linear.coefficients.items()
        if n in meanings.unknowns
    }
    return Linear.of(plain, linear.constant.at(meanings.numbers, meanings.symbols))


def _said(
    verdicts: Sequence[Verdict],
    chosen: Sequence[int],
    redundant: Mapping[int, tuple[int, ...]],
    missing: Sequence[tuple[Law, Equation]],
    short: int,
    takes_apart: bool,
) -> tuple[Said, ...]:
    junctions = sum(verdicts[i].kind is ClaimKind.JUNCTION for i in chosen)
    loops = sum(verdicts[i].kind is ClaimKind.LOOP for i in chosen)
    more = sum(verdicts[i].kind is ClaimKind.TRUE for i in chosen)
    found = [(junctions, "true junction equation"), (loops, "true loop equation")]
    told = [
        counted(count, noun)
        for count, noun in found
        if count or ((missing or short > 0) and junctions + loops)
    ]
    if more:
        neither = f" that {'is' if more == 1 else 'are'} neither"
        told.append(counted(more, "true equation") + (neither if told else ""))
    have = listed(told)
    sentences: list[Said] = []
    if not junctions + loops + more:
        sentences.append(("No junction or loop equation is written out.",))
    elif missing and takes_apart and not any(_is_set_up(verdicts[i]) for i in chosen):
        sentences.append(("No full set of junction and loop equations is written out.",))
    elif short > 0 and not missing:
        verb = "is" if short == 1 else "are"
        sentences.append((f"{have.capitalize()}: not enough; {counted(short, 'equation')} {verb} missing.",))
    elif not missing:
        sentences.append((f"{have.capitalize()}: enough to fix the currents.",))
    else:
        kinds = [law for law, _ in missing]
        lacking = [
            counted(kinds.count(law), f"{law} equation") for law in (Law.JUNCTION, Law.LOOP) if law in kinds
        ]
        verb = "is" if len(missing) == 1 else "are"
        said: Said = (
            f"{have.capitalize()}: not enough; {' and '.join(lacking)} {verb} missing, for instance ",
        )
        for i, (_, equation) in enumerate(missing):
            said = (*said, *((", ",) if i else ()), equation)
        sentences.append((*said, "."))
    for line, others in redundant.items():
        if others:
            above = lines_named(tuple(dict.fromkeys(others)))
            sentences.append((f"The equation of line {line} follows from {above}: it adds nothing.",))
        else:
            sentences.append((f"The equation of line {line} adds nothing.",))
    return tuple(sentences)
