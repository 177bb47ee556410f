"""Sources turned into currents gone on with: what all of them drive between two points, through all that lies
there side by side, and from the voltage each current by Ohm's law.

Norton's theorem and Millman's; both in any textbook of circuits.
"""

from __future__ import annotations

import re

from ..circuit.elements import Branch
from ..circuit.targets import Asked
from ..derive.parts import Part
from ..derive.rules import positive_first
from ..expressions.nodes import ZERO, Expr, Negative, Symbol, add, negate, over, times
from ..expressions.said import Said
from ..expressions.tidy import tidy
from .by_ohm import OhmTeller, all_laws, side_by_side, signed
from .by_reduction import fixed
from .finished import Fact, FactKind, Lacking
from .whereabouts import Whereabouts

DRIVEN = ("IN", "IN′", "IN′′")
_SPOKEN = re.compile(
    r"\bnorton\w*|\bmillman\w*|\btransform\w*|\bconductances?\b|\b(?:in)?to\s+current\s+sources?\b",
    re.IGNORECASE,
)
_DRIVEN = re.compile(r"I_?(?:N|n|sc|SC|k)\d*|G\d*|Gtot\w*")


def speaks_of_norton(w: Whereabouts) -> bool:
    """Whether the working turns sources into currents, or adds conductances, and writes no equations."""
    spoken = any(_SPOKEN.search(line.text) for line in w.reading.working.lines)
    named = any(_DRIVEN.fullmatch(name) for name in (*w.given_names, *w.known))
    return (spoken or named) and not any(len(x.linear.coefficients) > 1 for x in w.lines)


def by_norton(w: Whereabouts, teller: OhmTeller) -> None:
    """Writes the lines until every current is known. Raises LookupError where not all branches lie between
    two points, or one of them without a resistance."""
    circuit = teller.letters
    if len(circuit.junctions) != 2:
        raise LookupError("not all branches lie between two points")
    start, end = _ends(teller)
    free = [b for b in circuit.branches if circuit.fixed_current(b.name) is None]
    if any({b.start, b.end} != {start, end} for b in circuit.branches) or not all(
        teller.along(b.name) for b in free
    ):
        raise LookupError("a battery stands there alone")
    voltage, way = teller.across(start, end)
    if voltage not in teller.known:
        driven = _driven(w, teller, start)
        whole = _beside(teller, free)
        if not voltage:
            part = Part(start, end, parts=tuple((Part(b.start, b.end, b.name), 1) for b in free))
            voltage, way = teller.new_voltage(start, end, part), 1
        reason: Said = (
            f"The voltage from {start} to {end}: all that is driven, through all that lies there",
        )
        form = signed(times(Symbol(driven), Symbol(whole)), way)
        teller.write(voltage, form, Asked.POTENTIAL, reason, Lacking.OUTWARDS, all_laws())
    for b in circuit.branches:
        given = circuit.fixed_current(b.name)
        if b.name in teller.known:
            continue
        if given is not None:
            fixed(teller, b.name, tidy(given), "The source fixes it")
            continue
        rise, sense = teller.rise(b.name), way if b.start == start else -way
        terms = [signed(Symbol(voltage), sense), *([] if rise == ZERO else [rise])]
        form = over(add(*positive_first(terms)), add(*teller.along(b.name)))
        facts = (Fact(FactKind.BRANCH, teller.own.of_problem(b.name)),)
        teller.write(b.name, form, Asked.CURRENT, ("Ohm's law along the branch",), Lacking.OHM, facts)


def _ends(teller: OhmTeller) -> tuple[str, str]:
    """The two junctions, that first into which the sources drive most; in letters, that into which the first
    does."""
    one, other = teller.letters.junctions
    terms = _terms(teller, one)
    if not terms:
        raise LookupError("nothing is driven")
    total = teller.worth(add(*terms)).constant()
    out = isinstance(terms[0], Negative) if total is None else total < 0
    return (other, one) if out else (one, other)


def _terms(teller: OhmTeller, start: str) -> list[Expr]:
    """What each source drives into a point, as a current source in the place of its branch."""
    terms: list[Expr] = []
    for b in teller.letters.branches:
        given, rise = teller.letters.fixed_current(b.name), teller.rise(b.name)
        if given is not None:
            driven: Expr = tidy(given)
        elif rise == ZERO:
            continue
        else:
            driven = over(rise, add(*teller.along(b.name)))
        if driven != ZERO:
            terms.append(driven if b.end == start else negate(driven))
    return terms


def _driven(w: Whereabouts, teller: OhmTeller, start: str) -> str:
    """The name of all that the sources drive into a point: the working's own, else one that is given here."""
    formula = add(*positive_first(_terms(teller, start)))
    worth = teller.worth(formula)
    own = [n for n in (*w.known, *w.given_names) if _DRIVEN.fullmatch(n) and n[0] == "I"]
    for name in own:
        if teller.values.get(name) == worth:
            return name
    parts = [(n, teller.values[n]) for n in own if n in teller.values]
    terms = [next((Symbol(n) for n, v in parts if v == teller.worth(t)), t) for t in _terms(teller, start)]
    name = next(n for n in DRIVEN if n not in teller.taken)
    reason: Said = (f"What the sources drive into {start}, each over the resistance of its branch",)
    form = add(*positive_first(terms))
    teller.write(name, form, Asked.CURRENT, reason, Lacking.DRIVEN, gives_name=True)
    return name


def _beside(teller: OhmTeller, free: list[Branch]) -> str:
    """The name of all that lies between the two points as one resistance; with what lies behind the sources
    as one where the working has made it one."""
    behind = [add(*teller.along(b.name)) for b in free if teller.rise(b.name) != ZERO]
    others = [add(*teller.along(b.name)) for b in free if teller.rise(b.name) == ZERO]
    named = teller.named(side_by_side(behind)) if len(behind) > 1 else ""
    shares = [Symbol(named), *others] if named else [*behind, *others]
    if len(shares) == 1 and isinstance(shares[0], Symbol):
        return shares[0].name
    formula = side_by_side(shares) if len(shares) > 1 else shares[0]
    if own := teller.named(formula):
        return own
    name = next(n for n in ("Rp", "Rall", "Rp′") if n not in teller.taken)
    reason: Said = ("All that lies side by side there, made one",)
    teller.write(name, formula, Asked.RESISTANCE, reason, Lacking.MADE_ONE)
    return name
