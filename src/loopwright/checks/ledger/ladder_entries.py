"""The independent checks of a ladder without end: its ledger."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from ...expressions.said import counted
from ...quantities import rounded
from ...solve.endless_ladder import EndlessLadder, finite_resistance
from ..limits.ladder_limits import LadderLimit
from .ledger import Ledger, LedgerEntry

SUCCESSIVE = 12  # finite ladders of 1, 2, ... sections are compared one with the next
LONGEST = 60  # sections of one more, for a ladder that changes little from section to section
_FIRST_TRIAL = 2  # trial numbers are 2, 3, 4, ... ohms
_ROUNDING = Fraction(1, 10**20)  # roots are worked to forty decimals


@dataclass(frozen=True, slots=True)
class FiniteLadders:
    """Finite ladders held against the one without end, for the `numbers` of the symbols.

    `finite`: number of sections -> exact resistance in ohms. `limit`: the resistance without end, the
    greater root of the quadratic; `lesser`: the other root. `share`: what one section more leaves of the
    gap to the limit in the long run, as the closed form predicts it (a pure number below 1).
    """

    numbers: Mapping[str, Fraction]
    finite: Mapping[int, Fraction]
    limit: Fraction
    lesser: Fraction
    share: Fraction


def approach(found: EndlessLadder) -> FiniteLadders:
    """Lays out finite ladders and solves each from scratch, in the circuit's numbers or, where it has none,
    in trial numbers."""
    circuit = found.circuit
    numbers = {
        name: circuit.numbers.get(name, Fraction(n)) for n, name in enumerate(circuit.symbols, _FIRST_TRIAL)
    }
    seen = {n: finite_resistance(circuit, n, numbers) for n in (*range(1, SUCCESSIVE + 1), LONGEST)}
    finite = {n: r for n, r in seen.items() if r is not None}
    limit, lesser = (root.value(numbers) for root in (found.resistance, found.resistance.conjugate()))
    return FiniteLadders(numbers, finite, limit, lesser, found.gap_factor(numbers))


def examine_ladder(found: EndlessLadder, near: FiniteLadders, limits: tuple[LadderLimit, ...]) -> Ledger:
    """Every check of a ladder without end, each by a way of its own."""
    return Ledger((_put_back(found), _positive(found), _finite(near), _scaled(found), *_limits(limits)))


def _put_back(found: EndlessLadder) -> LedgerEntry:
    left = found.residue(found.resistance)
    return LedgerEntry(
        "ladder/put-back",
        "Root put back",
        "put into the quadratic and multiplied out exactly, root times root being what is under it",
        "nothing is left" if not left else "something is left: it is no root",
        not left,
    )


def _positive(found: EndlessLadder) -> LedgerEntry:
    square, _, constant = found.equation
    alone = all(n > 0 for _, n in square.terms()) and all(n < 0 for _, n in constant.terms())
    trial = {name: Fraction(n) for n, name in enumerate(found.circuit.symbols, _FIRST_TRIAL)}
    taken = found.resistance.value(trial)
    return LedgerEntry(
        "ladder/one-positive-root",
        "The only positive root",
        "signs of the quadratic: the product of its roots is its constant term over its leading coefficient",
        "there is one root: nothing of the rest is seen"
        if not square
        else "the product is negative for all resistances, and the root taken is the positive one"
        if alone
        else "the signs do not tell",
        (alone and taken > 0) if square else None,
    )


def _finite(near: FiniteLadders) -> LedgerEntry:
    """That each section more brings the resistance nearer to the limit by one and the same share. For a
    resistance r, (r − greater root)/(r − lesser root) is multiplied by that share with every section, as
    for every map that is linear over linear."""
    gaps = [r - near.limit for r in near.finite.values()]
    falling = near.share < 1 and all(0 < after < before for before, after in pairwise(gaps))
    constant = near.share == 0 and not any(gaps)  # nothing of the rest is seen: there is no other root
    few = [] if constant else [r for n, r in near.finite.items() if n <= SUCCESSIVE]
    ratios = [(r - near.limit) / (r - near.lesser) for r in few]
    alike = all(abs(after - near.share * before) < _ROUNDING for before, after in pairwise(ratios))
    first, last = next(iter(near.finite.values())), near.finite[LONGEST]
    figures = [rounded(r, "Ω", 6).text for r in (first, last, near.limit)]
    result = (
        f"{figures[0]} for one section, {figures[1]} for {LONGEST}, {figures[2]} without end; each "
        f"section leaves {float(near.share):.4f} of the excess in the end, by closed form and ladders alike"
    )
    return LedgerEntry(
        "ladder/finite",
        "Finite ladders",
        f"1 to {SUCCESSIVE} and {LONGEST} sections laid out in branches, solved exactly by node potentials",
        "all are alike" if constant else result if falling and alike else "they do not fall to the result",
        constant or (falling and alike),
    )


def _scaled(found: EndlessLadder) -> LedgerEntry:
    field, resistance = found.circuit.field, found.resistance
    twice = {name: field.symbol(name) * 2 for name in field.symbols}
    rooted = resistance.factor**2 * resistance.under
    same = resistance.plain.at(twice) == resistance.plain * 2 and rooted.at(twice) == rooted * 4
    return LedgerEntry(
        "ladder/unit",
        "Unit",
        "every resistance doubled in the closed form",
        "the result is doubled: it is a resistance" if same else "the result is not doubled",
        same if field.symbols else None,
    )


def _limits(limits: tuple[LadderLimit, ...]) -> tuple[LedgerEntry, ...]:
    if not limits:
        return ()
    differing = [case.symbol for case in limits if not case.agree]
    return (
        LedgerEntry(
            "ladder/limits",
            "Limits",
            "each resistance to 0 and to infinity: the changed section afresh, against the quadratic's limit",
            f"{counted(len(limits), 'limit')} agree"
            if not differing
            else f"differing for {', '.join(differing)}",
            not differing,
        ),
    )
