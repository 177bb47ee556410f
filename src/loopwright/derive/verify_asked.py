"""The judge of what is asked besides the currents: every line is true and follows from the laws it claims.

Knows nothing of ways, series and parallel or how a line came about. A voltage must be a combination of the
branch relations (the drop of the potential along a stretch is I R less the emf), a power what the elements
make of currents and potentials, written afresh here; the currents of a changed circuit are tried in every
junction and every stretch of it. Then the closed form must be the value of the line, identically.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ..algebra.linear import Linear, echelon, follows, linear_in
from ..algebra.ratios import Field, Ratio
from ..circuit.changed import taken_out
from ..circuit.circuit import Circuit
from ..circuit.elements import Kind, Pass
from ..circuit.targets import HEAT, Asked
from ..errors import BrokenPromise
from ..expressions.values import ratio_of, symbols_of
from .steps import AskedStep, Derivation
from .verify_seen import SeenNetwork


def verify_asked(
    steps: Sequence[AskedStep], circuit: Circuit, derivation: Derivation, currents: Mapping[str, Ratio]
) -> int:
    """Judges every line; gives the number of lines. `derivation` has been judged before; `currents` are those
    it ends in. Raises BrokenPromise at the first line that is not so."""
    known = dict(currents)
    lines = derivation.lines
    for step in steps:
        _Judge(step, circuit, derivation.names).weigh(known, lines)
        known[step.target.as_text()] = ratio_of(step.result, circuit.field, derivation.names)
        lines[step.target.as_text()] = step.number
    return len(steps)


class _Judge:
    def __init__(self, step: AskedStep, circuit: Circuit, names: Mapping[str, Ratio]) -> None:
        self.step, self.target, self.names = step, step.target, names
        self.base = circuit.field
        out = step.target.without
        self.circuit, self.ends = taken_out(circuit, out) if out else circuit, step.target.names
        self.seen: SeenNetwork | None = None
        if step.target.kind is Asked.RESISTANCE:
            a, b = self.ends
            self.seen = SeenNetwork(circuit, a, b, out)
        self.own = self.circuit.currents if self.seen is None else tuple(self.seen.pieces)
        self.levels = {point: f"φ {point}" for point in self.circuit.named_points}
        self.unknowns = (*self.own, *self.levels.values())
        self.wide = Field((*self.base.symbols, *self.unknowns))

    def weigh(self, known: Mapping[str, Ratio], lines: Mapping[str, int]) -> None:
        step = self.step
        result = ratio_of(step.result, self.base, self.names)
        drop: Ratio | None = None
        if step.currents is None:
            for name in symbols_of(step.law):
                if name in lines and lines[name] not in step.uses:
                    raise self.fault(f"does not name the line that gives {name}")
            currents = known
            drop = None if self.seen is None else self._certify(self._for_one_ampere(known))
        else:
            drop = self._certify(step.currents)
            currents = {n: c.at({}, self.base) for n, c in step.currents.items()}
        self._check_law()
        if ratio_of(step.law, self.base, self._values(currents)) != result:
            raise self.fault("is not what its law comes to")
        if ratio_of(step.shown, self.base, self._values(currents)) != result:
            raise self.fault("does not show what it comes to")
        if self.seen is not None and drop != result:
            raise self.fault("is not the drop that one ampere makes")

    def _for_one_ampere(self, known: Mapping[str, Ratio]) -> dict[str, Ratio]:
        """The currents of the circuit as it is, in the proportion in which one ampere comes in at the first
        point by the one branch whose current the line speaks of."""
        held = [n for n in symbols_of(self.step.law) if n in self.circuit.currents]
        if len(held) != 1 or not known[held[0]]:
            raise self.fault("does not say whose current comes in")
        into = 1 if self.circuit.branch(held[0]).end == self.ends[0] else -1
        whole = {name: name.partition("\0")[0] for name in self.own}  # the branch that a piece is cut from
        return {name: known[branch] / known[held[0]] * into for name, branch in whole.items()}

    def _values(self, currents: Mapping[str, Ratio]) -> dict[str, Ratio]:
        own = {n: self._value(n) for n in self.circuit.elements if n not in self.base}
        return {**own, **currents}

    def _value(self, element: str) -> Ratio:
        met = self.circuit.elements[element]
        return ratio_of(met.value, self.base) if met.kind is not Kind.SWITCH else self.base.zero

    def fault(self, why: str) -> BrokenPromise:
        return BrokenPromise(f"line {self.step.number} ({self.target.as_text()}) {why}")

    # -- the law that a line claims ----------------------------------------------------------------

    def _check_law(self) -> None:
        kind = self.target.kind
        if kind is Asked.EXPRESSION:
            if self.step.law != self.target.name:
                raise self.fault("is not the expression asked")
            return
        held = set(symbols_of(self.step.law)) & set(self.unknowns)
        if kind is Asked.RESISTANCE and (not held or self.step.currents is None):
            return  # by series and parallel, or by its source: held against one ampere alone
        fresh = self._power() if kind is Asked.POWER else self._between_ends()
        difference = ratio_of(self.step.law, self.wide) - fresh
        if not difference:
            return
        if kind is Asked.POWER and not self._holds_level(fresh):
            raise self.fault("is not the power that the elements make of their currents")
        linear = linear_in(difference, self.unknowns)
        if linear is None or not follows(linear, echelon(self._relations(), self.unknowns)):
            raise self.fault("does not follow from the laws")

    def _holds_level(self, value: Ratio) -> bool:
        """Whether a potential stands in a value, as it does where a current source delivers."""
        return bool(set(value.held()) & set(self.levels.values()))

    def _between_ends(self) -> Ratio:
        a, b = self.ends if self.seen is None else self.seen.ends
        return self._level(a) - self._level(b)

    def _relations(self) -> list[Linear]:
        if self.seen is not None:
            return self.seen.relations(self.wide, self.levels)
        found = []
        for name, start, end, passes in _stretches(self.circuit):
            if not any(self.circuit.elements[p.element].fixes_current for p in passes):
                drop = self._level(start) - self._level(end) - self._drop(name, passes)
                linear = linear_in(drop, self.unknowns)
                if linear is not None and linear.coefficients:
                    found.append(linear)
        return found

    def _level(self, point: str) -> Ratio:
        return self.wide.symbol(self.levels[point])

    def _drop(self, branch: str, passes: Sequence[Pass]) -> Ratio:
        """The drop along the arrow over elements that leave no voltage open, in the currents."""
        total, current = self.wide.zero, self.wide.symbol(branch)
        for p in passes:
            element = self.circuit.elements[p.element]
            if element.kind is Kind.RESISTOR:
                total = total + current * ratio_of(element.value, self.wide)
            elif element.kind is Kind.BATTERY:
                total = total - ratio_of(element.value, self.wide) * p.sign
                if element.internal is not None:
                    total = total + current * ratio_of(element.internal, self.wide)
        return total

    def _power(self) -> Ratio:
        names, elements = self.target.names, self.circuit.elements
        if names[0] in elements:
            return self._of_element(names[0], at_terminals=len(names) > 1)
        met = [p.element for b in self.circuit.branches for p in b.passes]
        delivered = [self._of_element(n) for n in met if elements[n].has_sign]
        if names[0] != HEAT:
            return sum(delivered, self.wide.zero)
        heat = [self._of_element(n) for n in met if elements[n].kind is Kind.RESISTOR]
        for n in met:
            internal = elements[n].internal
            if internal is not None:
                current = self.wide.symbol(self.circuit.branch_of(n).name)
                heat.append(current * current * ratio_of(internal, self.wide))
        return sum(heat, self.wide.zero)

    def _of_element(self, name: str, *, at_terminals: bool = False) -> Ratio:
        element, branch = self.circuit.elements[name], self.circuit.branch_of(name)
        current, p = self.wide.symbol(branch.name), self.circuit.pass_of(name)
        value = ratio_of(element.value, self.wide)
        if element.kind is Kind.RESISTOR:
            return value * current * current
        if element.kind is Kind.BATTERY:
            return -self._drop(branch.name, [p]) * current if at_terminals else value * current * p.sign
        others = [q for q in branch.passes if q.element != name]
        rise = self._level(branch.end) - self._level(branch.start) + self._drop(branch.name, others)
        return value * rise * p.sign

    # -- a changed circuit -------------------------------------------------------------------------

    def _certify(self, currents: Mapping[str, Ratio]) -> Ratio | None:
        """Tries currents in every junction and every stretch of the circuit they belong to. Of a resistance,
        gives the drop that one ampere makes."""
        if self.seen is not None:
            found = self.seen.drop(currents)
            if isinstance(found, str):
                raise self.fault(found)
            return found
        own = {n: c.at({}, self.base) for n, c in currents.items()}
        for point in self.circuit.points:
            into = sum((own[b.name] for b in self.circuit.branches if b.end == point), self.base.zero)
            if into != sum((own[b.name] for b in self.circuit.branches if b.start == point), self.base.zero):
                raise self.fault("is worked with currents that break the junction rule")
        for b in self.circuit.branches:
            fixed = self.circuit.fixed_current(b.name)
            if fixed is not None and fixed.at({}, self.base) != own[b.name]:
                raise self.fault("is worked with a current that an element does not allow")
        levels = self._levels_by(own)
        for b in self.circuit.branches:
            if self.circuit.fixed_current(b.name) is None:
                drop = self._drop(b.name, b.passes).at(own, self.base)
                if levels[b.start] - levels[b.end] != drop:
                    raise self.fault("is worked with currents that break the loop rule")
        return None

    def _levels_by(self, own: Mapping[str, Ratio]) -> dict[str, Ratio]:
        """The potentials that currents make, those of a part against its first point."""
        found: dict[str, Ratio] = {}
        free = [b for b in self.circuit.branches if self.circuit.fixed_current(b.name) is None]
        for origin in self.circuit.points:
            found.setdefault(origin, self.base.zero)
            growing = True
            while growing:
                growing = False
                for b in free:
                    drop = self._drop(b.name, b.passes).at(own, self.base)
                    if b.start in found and b.end not in found:
                        found[b.end], growing = found[b.start] - drop, True
                    elif b.end in found and b.start not in found:
                        found[b.start], growing = found[b.end] + drop, True
        return found


def _stretches(circuit: Circuit) -> list[tuple[str, str, str, list[Pass]]]:
    found: list[tuple[str, str, str, list[Pass]]] = []
    for b in circuit.branches:
        at, met = b.start, list[Pass]()
        for item in (*b.along, b.end):
            if isinstance(item, Pass):
                met.append(item)
            else:
                found.append((b.name, at, item, met))
                at, met = item, []
    return found
