"""Reads a working as an expert reads it: a verdict on every claim, in the order written.

True or not is decided exactly: a claim is true when it vanishes for the currents of the solved circuit,
as fractions of polynomials in the symbols or, where it is written in numbers, as fractions. It is never
compared with a key.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from ..circuit.circuit import Circuit
from ..circuit.in_time import moves
from ..expressions.nodes import Symbol
from ..expressions.said import Said
from ..expressions.values import symbols_of
from ..solve.exact import solve
from .arrows import arrows_of, of_problem, with_turned
from .combinations_said import as_combination
from .contradictions import said_in_words
from .enough import enough, not_told
from .faults import COULD_NOT, OwnFault, own_fault
from .in_time.by_stages import read_in_time
from .judging_order import judging_order
from .limit_claims import limit_verdict
from .loads_taken import with_loads_out
from .names_given import named
from .names_given_again import given_again, set_apart, taken_up
from .new_names import new_names
from .page.equivalents_said import speaks_of_equivalents
from .page.lines import working as read_lines
from .potentials_named import potentials_named, zero_of
from .quantities import in_their_circuits
from .reading import Reading
from .results_at_once import by_calculator, holds_results
from .signs_told import with_signs_told
from .so_far import SoFar
from .source_currents import source_currents_apart
from .supposed import needed, settled
from .totals_named import unnamed_current
from .true_claims import true
from .truth.meaning import UnknownName
from .truth.rounding import Policy, lone
from .truth.size import TooLong
from .truth.truth import ClaimValue, Truths
from .unnamed_resistances import unnamed_resistance
from .untrue_claims import followed, units_mended, untrue
from .verdicts import Arrows, ClaimKind, Truth, Verdict
from .wording import of_units
from .working import Claim, Working, WrittenLine
from .wrong_units import unit_of_another_kind


def read_working(
    circuit: Circuit,
    text: str | Working,
    *,
    arrows_unsaid: bool = False,
    policy: Policy | None = None,
    decimal_comma: bool = False,
) -> Reading:
    """Reads a working of a circuit line by line.

    `arrows_unsaid`: the writer was free to choose the arrows, so that the directions of currents named as
    in the problem are inferred too. `policy`: how rounded numbers are judged. Raises FaultyMaterial when
    the circuit itself has no unique answer.
    """
    if moves(circuit) and isinstance(text, str):
        return read_in_time(circuit, text, policy=policy, decimal_comma=decimal_comma)
    working = read_lines(text, circuit, decimal_comma=decimal_comma) if isinstance(text, str) else text
    working = source_currents_apart(working, circuit)
    reading = _read(circuit, working, arrows_unsaid=arrows_unsaid, policy=policy)
    again = given_again(reading)
    while again:  # with fewer names set apart each time, until all that are stand for something
        apart = _read(circuit, set_apart(working, again), arrows_unsaid=arrows_unsaid, policy=policy)
        kept = taken_up(apart, again)
        if len(kept) == len(again):
            return apart
        again = kept
    return reading


def _read(circuit: Circuit, working: Working, *, arrows_unsaid: bool, policy: Policy | None) -> Reading:
    """Reads a working whose lines are read, each name standing for one thing."""
    solution = solve(circuit)
    working, known = in_their_circuits(with_loads_out(settled(working, circuit), circuit), circuit)
    claims = [claim for line in working.lines for claim in line.claims]
    said = [arrow for line in working.lines for arrow in line.arrows]
    loops = [loop for line in working.lines for loop in line.loops]
    rounds = {name for line in working.lines for name in line.round_loops} | {loop.name for loop in loops}
    one_way = any(line.one_way for line in working.lines)
    potentials = [p for line in working.lines for p in line.potentials]
    levels = potentials_named(circuit, claims, potentials)
    zero = zero_of(circuit, claims, potentials)
    new, defined = new_names(solution, claims, {arrow.name for arrow in said}, known)
    equivalents = speaks_of_equivalents(working)
    amid: list[OwnFault] = []
    try:
        arrows = arrows_of(
            solution,
            claims,
            said,
            new,
            arrows_unsaid,
            known,
            defined,
            rounds,
            loops,
            one_way,
            levels,
            zero,
            equivalents,
        )
    except Exception as trouble:
        amid.append(own_fault(trouble))
        arrows = Arrows(of_problem(circuit))
    so_far = SoFar(circuit, working, Truths(solution, arrows, policy or Policy(), claims))
    for name, (source, setting) in needed(known, circuit).items():
        so_far.truths.need(name, source, setting)
    for line in working.lines:
        _begin(so_far, line)
        for chain in judging_order(line.claims, so_far.truths.views[0].meanings.names):
            _settle_units(so_far, line, chain)
            for claim in chain:
                _take(so_far, line, claim)
        _note_contradiction(so_far, line)
    rows = {i: row.linear for i, row in so_far.kept.items()}
    try:
        apart = bool(arrows.changed or so_far.resistances.parts)
        meanings = so_far.truths.views[-1].meanings
        told = enough(circuit, meanings, so_far.verdicts, rows, takes_apart=apart)
        if not arrows.inferred and any(v.kind is ClaimKind.UNTRUE for v in so_far.verdicts):
            arrows = with_turned(solution, arrows, claims, said)
    except Exception as trouble:
        amid.append(own_fault(trouble))
        told = not_told(circuit)
    working = with_signs_told(working, so_far.truths.views[-1].meanings)
    verdicts = sorted(so_far.verdicts, key=lambda v: (v.line, v.claim.start))
    return Reading(circuit, working, arrows, tuple(verdicts), told, tuple(amid), so_far.meaning)


def _begin(so_far: SoFar, line: WrittenLine) -> None:
    """Settles how the numbers of the next line are read, and what they may be rounded from."""
    so_far.by_calculator = by_calculator(line, so_far.by_calculator)
    at_once = so_far.by_calculator and holds_results(line)
    so_far.at_once_from = (so_far.at_once_from or line.number) if at_once else 0
    for view in so_far.truths.every:
        view.as_rounded.at_once = at_once


def _settle_units(so_far: SoFar, line: WrittenLine, chain: Sequence[Claim]) -> None:
    """Settles in which units the bare numbers of the next chain of a line are read."""
    try:
        so_far.truths.begin(chain)
    except Exception as trouble:
        own_fault(trouble, line.number)  # they are read as in the rest of the working


def _take(so_far: SoFar, line: WrittenLine, claim: Claim) -> None:
    """Judges the next claim, and what its line says that it rests on. A fault of ours costs this claim
    alone."""
    try:
        _judge(so_far, line, claim)
    except Exception as trouble:
        fault = own_fault(trouble, line.number)
        said: Said = (f"{COULD_NOT}.",)
        so_far.add(Verdict(line.number, claim, ClaimKind.UNDECIDED, said, fault=fault))


def _note_contradiction(so_far: SoFar, line: WrittenLine) -> None:
    """Puts down where a line of words says rightly that the lines above contradict one another."""
    try:
        verdict = said_in_words(so_far, line)
    except Exception as trouble:
        own_fault(trouble, line.number)
    else:
        if verdict is not None:
            so_far.add(verdict)


def _judge(so_far: SoFar, line: WrittenLine, claim: Claim) -> None:
    meant = _meant(so_far, line, claim)
    verdict = _verdict(so_far, line, meant)
    if meant is not claim:
        verdict = replace(verdict, said=(*verdict.said, " Read as ", meant.written, "."))
    same = line.source is not None and line.claims and claim is line.claims[0]
    remark = as_combination(so_far, line, claim) if same else ()
    so_far.note_wrong(line, verdict)
    so_far.truths.share_rounded()
    so_far.determinants.note(line.number, verdict.claim.written)
    so_far.add(replace(verdict, said=(*verdict.said, *remark)) if remark else verdict)


def _meant(so_far: SoFar, line: WrittenLine, claim: Claim) -> Claim:
    """The claim in the first of its possible meanings that is true, else in the first that follows from an
    untrue line; where none does, in the first that can be decided: as it is read first, as a rule."""
    decided: list[Claim] = []
    wrong: list[tuple[Claim, ClaimValue]] = []
    for written in (claim.written, *claim.otherwise) if claim.otherwise else ():
        meant = claim if written is claim.written else replace(claim, written=written, otherwise=())
        try:
            so_far.truths.learn(symbols_of(written))
            found = so_far.truths.value_of(written)
        except (UnknownName, TooLong, ZeroDivisionError):
            decided.append(meant)  # what it is, or is not, is told in words of its own
            continue
        if found is None or so_far.truths.clash(written):
            continue
        if found.truth is not Truth.NO:
            return meant
        decided.append(meant)
        wrong.append((meant, found))
    if len(wrong) > 1:
        rows = ((meant, found, found.view.meanings.row(found.difference)) for meant, found in wrong)
        carried = next((row[0] for row in rows if followed(so_far, line, *row)), None)
        if carried is not None:
            return carried
    return claim if not decided or claim in decided else decided[0]


def _verdict(so_far: SoFar, line: WrittenLine, claim: Claim) -> Verdict:
    if claim.case and symbols_of(claim.written):  # numbers alone are arithmetic in any case
        return limit_verdict(so_far.truths, line, claim)
    unlike = unit_of_another_kind(so_far, line, claim, _verdict)
    unlike = unlike or unnamed_resistance(so_far, line, claim) or unnamed_current(so_far, line, claim)
    if unlike is not None:
        return unlike
    try:
        so_far.truths.learn(symbols_of(claim.written))
        found = so_far.truths.value_of(claim.written)
    except UnknownName as stranger:
        verdict = named(so_far, line, claim, str(stranger.args[0]))
        if verdict is None:
            return _verdict(so_far, line, claim)
        if verdict.kind is ClaimKind.NAMED:
            so_far.truths.views[-1].as_rounded.note(claim.written, true=True)
        return verdict
    except ZeroDivisionError:
        return Verdict(line.number, claim, ClaimKind.UNTRUE, ("It divides by something that is zero.",))
    except TooLong:
        said_: Said = ("It would be too long, multiplied out, to be decided.",)
        return Verdict(line.number, claim, ClaimKind.UNDECIDED, said_)
    wrong = so_far.truths.clash(claim.written)
    if wrong is not None:
        if found is not None and found.truth is Truth.NO:
            carried = untrue(so_far, line, claim, found)
            if carried.carried:  # the units were wrong above
                return carried
        mends = units_mended(so_far, claim)
        return Verdict(
            line.number, claim, ClaimKind.UNTRUE, of_units(*wrong), repairs=mends, cause=line.number
        )
    if found is None:
        meanings = so_far.truths.views[-1].meanings
        lacking = next(s for s in meanings.symbols.symbols if s not in so_far.circuit.numbers)
        said: Said = ("No number is given for ", Symbol(lacking), ", so this cannot be decided.")
        return Verdict(line.number, claim, ClaimKind.UNDECIDED, said)
    if found.truth is Truth.NO and so_far.follows_as_written(found, claim.written):
        off = found.view.meanings.value(found.difference)
        beside = None if off is None else off.constant()
        found = found if beside is None else replace(found, truth=Truth.CARRIED, beside=beside)
    verdict = (untrue if found.truth is Truth.NO else true)(so_far, line, claim, found)
    as_rounded = so_far.truths.views[-1].as_rounded
    as_rounded.note(claim.written, true=found.truth is not Truth.NO)
    number = lone(claim.written.right)
    if as_rounded.gives and number is not None:
        so_far.truths.note_unit(as_rounded.gives, number)
    return verdict
