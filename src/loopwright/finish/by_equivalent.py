"""An equivalent source gone on with: the open voltage and the resistance seen, as far as they are missing,
the load put back, and the other currents from the voltage across it.

Thévenin's theorem; the open voltage by Millman's. Both in any textbook of circuits.
"""

from __future__ import annotations

from dataclasses import dataclass

from ..circuit.changed import at_rest, split_at, taken_out
from ..circuit.circuit import Circuit
from ..circuit.elements import Branch, Kind
from ..circuit.made_one import collapse
from ..circuit.targets import Asked
from ..derive.parts import Part
from ..derive.rules import positive_first
from ..expressions.nodes import ONE, ZERO, Expr, Symbol, add, negate, over, put_in, times
from ..expressions.said import Said, names
from ..reading.truth.changed import part as of_setting
from ..reading.working import CircuitChange
from .by_ohm import OhmTeller, all_laws, side_by_side, signed
from .finished import Fact, FactKind, Lacking
from .whereabouts import Whereabouts

OPEN = ("Voc", "V0", "Vth")
SEEN = ("Rth", "Ri", "R0")


@dataclass(frozen=True, slots=True)
class Load:
    """What is taken out: a resistor alone in its branch, and all other branches. `setting`: the circuit
    without it; `abreast`: whether all others lie between the same two points."""

    resistor: str
    branch: Branch
    others: tuple[Branch, ...]
    setting: CircuitChange
    abreast: bool


def speaks_of_equivalent(w: Whereabouts) -> bool:
    """Whether the working takes one element out."""
    return any(len(s.out) == 1 and not s.at_zero for s in w.meanings.changed)


def by_equivalent(w: Whereabouts, teller: OhmTeller) -> None:
    """Writes the lines until the current of the load is known; where it faces branches between its own two
    points alone, until every other is. Raises LookupError where the open voltage or the resistance seen is
    not to be had by Ohm's law and by resistances made one."""
    load = _load(w, teller.letters)
    branch = load.branch.name
    if branch not in teller.known:
        opened, way = _open_voltage(w, teller, load)
        seen = _seen(w, teller, load)
        reason: Said = (f"{load.resistor} put back: one loop of the open voltage, what it sees and itself",)
        form = signed(over(Symbol(opened), add(seen, *teller.along(branch))), way)
        facts = (*all_laws(), *all_laws(load.setting))
        teller.write(branch, form, Asked.CURRENT, reason, Lacking.LOAD, facts)
        if w.reading.working.lines[-1].setting == load.setting:
            teller.lines[-1] = teller.lines[-1].with_heading(f"{load.resistor} put back:")
    if not load.abreast or all(b.name in teller.known for b in load.others):
        return
    voltage, way = _across(teller, load)
    for b in load.others:
        if b.name not in teller.known:
            sense = way if b.start == load.branch.start else -way
            rise = teller.rise(b.name)
            terms = [signed(Symbol(voltage), sense), *([] if rise == ZERO else [rise])]
            form = over(add(*positive_first(terms)), add(*teller.along(b.name)))
            facts = (Fact(FactKind.BRANCH, teller.own.of_problem(b.name)),)
            teller.write(b.name, form, Asked.CURRENT, ("Ohm's law along the branch",), Lacking.OHM, facts)


def _load(w: Whereabouts, circuit: Circuit) -> Load:
    found = [s for s in w.meanings.changed if len(s.out) == 1 and not s.at_zero]
    if len(found) != 1 or found[0].wired:
        raise LookupError("more than one element is taken out")
    (resistor,) = found[0].out
    branch = circuit.branch_of(resistor)
    others = tuple(b for b in circuit.branches if b is not branch)
    alone = len(branch.passes) == 1 and circuit.elements[resistor].kind is Kind.RESISTOR
    ends = {branch.start, branch.end}
    plain = all({b.start, b.end} == ends and circuit.fixed_current(b.name) is None for b in others)
    if not alone or not others:
        raise LookupError("the load is not a resistor alone in its branch")
    abreast = plain and all(circuit.resistance(b.name) for b in others)
    return Load(resistor, branch, others, found[0], abreast)


def _open_voltage(w: Whereabouts, teller: OhmTeller, load: Load) -> tuple[str, int]:
    """The open voltage, by the working's name if it has one, and +1 where it is counted along the load's
    arrow."""
    start, end = load.branch.start, load.branch.end
    for name, made in w.names_in(load.setting).items():
        for one, other, way in ((start, end, 1), (end, start, -1)):
            if name in teller.known and dict(made) == {f"φ {one}": 1, f"φ {other}": -1}:
                return name, way
    name = next(n for n in (*OPEN, "Voc′") if n not in teller.taken)
    teller.new[name] = {of_setting(f"φ {start}", load.setting): 1, of_setting(f"φ {end}", load.setting): -1}
    facts = all_laws(load.setting)
    if not load.abreast:
        form = _between_potentials(w, teller, load)
        said: Said = (f"The open voltage from {start} to {end}: the difference of the potentials",)
        teller.write(name, form, Asked.POTENTIAL, said, Lacking.OPEN, facts)
        return name, 1
    terms: list[Expr] = []
    for b in load.others:
        rise = teller.rise(b.name)
        if rise != ZERO:
            driven = over(rise, add(*teller.along(b.name)))
            terms.append(driven if b.end == start else negate(driven))
    whole = add(*(over(ONE, add(*teller.along(b.name))) for b in load.others))
    reason: Said = (f"The open voltage from {start} to {end}: what the sources drive, over the conductances",)
    form = over(add(*positive_first(terms)), whole)
    teller.write(name, form, Asked.POTENTIAL, reason, Lacking.OPEN, facts)
    return name, 1


def _between_potentials(w: Whereabouts, teller: OhmTeller, load: Load) -> Expr:
    """The open voltage along the load's arrow as the difference of two potentials that the working has
    found. Raises LookupError where it has not."""
    start, end = f"φ {load.branch.start}", f"φ {load.branch.end}"
    levels = {n: dict(made) for n, made in w.names_in(load.setting).items() if n in teller.known}
    for one, made in levels.items():
        zero = next((point for point, share in made.items() if share == -1), "")
        if made != {start: 1, zero: -1}:
            continue
        other = next((n for n, x in levels.items() if x == {end: 1, zero: -1}), "")
        if other:
            return add(Symbol(one), negate(Symbol(other)))
    raise LookupError("the potentials of both ends are not found")


def _seen(w: Whereabouts, teller: OhmTeller, load: Load) -> Expr:
    """The resistance that the load sees, by the working's name if it has one."""
    if not load.abreast:
        return Symbol(_made_one(teller, load))
    formula = side_by_side([add(*teller.along(b.name)) for b in load.others])
    if len(load.others) == 1:
        formula = add(*teller.along(load.others[0].name))
    named = teller.named(formula)
    if not named:
        named = next(n for n in (*SEEN, "Rth′") if n not in teller.taken)
        reason: Said = ("Every source a wire: what ", *names([load.resistor]), " sees")
        teller.write(named, formula, Asked.RESISTANCE, reason, Lacking.SEEN)
    return Symbol(named)


def _made_one(teller: OhmTeller, load: Load) -> str:
    """The name of the resistance that the load sees, made one step by step with every source at rest."""
    ends = (load.branch.start, load.branch.end)
    rested = at_rest(taken_out(teller.letters, (load.resistor,)))
    found = collapse(split_at(rested, ends), keep=ends, avoiding=teller.taken)
    left = [p.element for b in found.last.branches for p in b.passes]
    if len(found.last.branches) != 1 or len(left) != 1:
        raise LookupError("the resistance seen is not in series and parallel alone")
    called: dict[str, Expr] = {}
    name = left[0]
    for step in found.steps:
        formula = put_in(step.formula, called)
        name = teller.named(formula)
        if not name:
            last = step is found.steps[-1]
            name = next((n for n in (*SEEN, "Rth′") if last and n not in teller.taken), step.whole)
            how = "in series" if step.in_series else "side by side"
            reason: Said = ("Every source a wire: ", *names(step.parts), f" lie {how}")
            teller.write(name, formula, Asked.RESISTANCE, reason, Lacking.SEEN)
        called[step.whole] = Symbol(name)
    return name


def _across(teller: OhmTeller, load: Load) -> tuple[str, int]:
    """The voltage across the load, and +1 where it is counted along the load's arrow."""
    start, end = load.branch.start, load.branch.end
    name, way = teller.across(start, end)
    if name in teller.known:
        return name, way
    if not name:
        whole = Part(start, end, parts=((Part(start, end, load.branch.name), 1),))
        name, way = teller.new_voltage(start, end, whole), 1
    reason: Said = (f"Ohm's law from {start} to {end}",)
    form = signed(times(Symbol(load.branch.name), add(*teller.along(load.branch.name))), way)
    facts = (Fact(FactKind.BRANCH, teller.own.of_problem(load.branch.name)),)
    teller.write(name, form, Asked.POTENTIAL, reason, Lacking.OUTWARDS, facts)
    return name, way
