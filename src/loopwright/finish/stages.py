"""The circuits that a working speaks of, each with the working's own names and arrows for its currents.

One is the circuit as drawn; the others are those that it changes, one source alone or an element out. Laws
written for such a circuit come out in the names and along the arrows of whoever wrote the working.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from ..algebra.linear import Linear
from ..algebra.number_rows import solve_number_rows
from ..algebra.ratios import Ratio
from ..circuit.changed import with_currents_called
from ..circuit.circuit import Circuit
from ..graph.lines import Loop
from ..laws.equations import junction_equation
from ..reading.truth.meaning import Meanings
from ..reading.working import AS_DRAWN, CircuitChange
from .whereabouts import Whereabouts


@dataclass(frozen=True, slots=True)
class Stage:
    """One circuit in a working's own names.

    `setting`: which it is; `circuit`: with the working's names and arrows, in symbols or in plain numbers;
    `letters`: the same in symbols; `called`: for each branch of the problem its name here and +1, or −1 where
    the arrow runs the other way; `values`: what its currents come to.
    """

    setting: CircuitChange
    circuit: Circuit
    letters: Circuit
    called: Mapping[str, tuple[str, int]]
    values: Mapping[str, Ratio]

    def of_problem(self, name: str) -> str:
        """What the problem calls the branch whose current has this name."""
        return next(branch for branch, (called, _) in self.called.items() if called == name)

    def original(self, loop: Loop) -> Loop:
        """A loop in the names of the problem's branches."""
        back = {name: (branch, sign) for branch, (name, sign) in self.called.items()}
        return tuple((back[name][0], sense * back[name][1]) for name, sense in loop)


def stage(
    w: Whereabouts, setting: CircuitChange = AS_DRAWN, avoid: Collection[str] = (), mark: str = ""
) -> Stage:
    """The circuit of a setting in the working's names. `avoid`: names that are not those of branches (of
    loop currents); `mark`: what a current that has no name yet gets after that of the problem."""
    meanings = w.meanings
    letters = meanings.changed[setting].circuit if setting else w.reading.circuit
    scale = Fraction(1, 1000) if meanings.thousands else Fraction(1)
    whole = replace(letters.in_numbers(scale) if w.in_numbers else letters, figures=w.figures)
    called = _called(w, setting, avoid, mark, letters)
    turned = [b for b, (_, sign) in called.items() if sign < 0]
    names = {b: name for b, (name, _) in called.items()}
    values = {name: _value(meanings, setting, b, sign) for b, (name, sign) in called.items()}
    return Stage(
        setting,
        _named(whole, turned, names).worked_in(meanings.symbols),
        _named(letters, turned, names),
        called,
        values,
    )


def _named(circuit: Circuit, turned: Collection[str], names: Mapping[str, str]) -> Circuit:
    return replace(with_currents_called(circuit.flipped(*turned), names), lettered=None)


def _called(
    w: Whereabouts, setting: CircuitChange, avoid: Collection[str], mark: str, circuit: Circuit
) -> dict[str, tuple[str, int]]:
    """For each branch what the working calls its current, of two names the one that stands in more of its
    equations, of these the first; else what the problem calls it, unless that stands for something else by
    now."""
    found: dict[str, tuple[str, int]] = {}
    whole = 1000 if w.meanings.thousands else 1
    equations = [line.linear.coefficients for line in w.lines if len(line.linear.coefficients) > 1]
    spoken = sorted(w.names_in(setting).items(), key=lambda named: -sum(named[0] in x for x in equations))
    for name, made in spoken:
        if len(made) == 1 and name not in avoid and "(" not in name:  # V(R1) is R1 I1, and no current
            ((branch, share),) = made.items()
            if abs(share) == whole and branch in circuit.currents and branch not in found:
                found[branch] = name, 1 if share > 0 else -1
    taken = w.taken | {name for name, _ in found.values()}
    for branch in circuit.currents:
        if branch in found:
            continue
        name = branch + mark
        if mark or w.reading.arrows.names.get(branch, {branch: 1}) != {branch: 1} or branch in avoid:
            while name in taken:
                name += "′"
        found[branch] = name, 1
        taken |= {name}
    return found


def _value(meanings: Meanings, setting: CircuitChange, branch: str, sign: int) -> Ratio:
    """What the current of a branch comes to, in the units of bare numbers."""
    true = meanings.true[f"{branch} {setting.words}" if setting else branch]
    return true * (1000 * sign if meanings.thousands else sign)


def as_loop_currents(own: Stage, loops: Mapping[str, Mapping[str, Fraction]]) -> dict[str, Linear] | None:
    """Each branch current of a stage as a sum of loop currents; None where these are not enough for it, or
    more than are needed. `loops`: what each is made of, in the problem's branches."""
    circuit, field = own.circuit, own.circuit.field
    rows: list[dict[str, Fraction]] = []
    for name, made in loops.items():
        scale = max(abs(x) for x in made.values())
        row = {name: Fraction(-1)}
        for branch, share in made.items():
            if branch not in own.called:
                return None
            called, sign = own.called[branch]
            row[called] = row.get(called, Fraction(0)) + share / scale * sign
        rows.append(row)
    for point in circuit.points:
        linear = junction_equation(circuit, point).linear
        rows.append({n: c.constant() or Fraction(0) for n, c in linear.coefficients.items()})
    answers = solve_number_rows(rows, (*circuit.currents, *loops))
    if answers.open != tuple(loops):
        return None
    forms: dict[str, Linear] = {}
    for name in circuit.currents:
        made_of = answers.settled[name]
        forms[name] = Linear.of({n: field.number(x) for n, x in made_of.items() if n}, field.zero)
    return forms
