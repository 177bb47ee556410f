"""A supposition gone on with: back from what is supposed to what the source would have to give, then all of
it times the ratio of the true source to that.

Common practice for ladders, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from ..circuit.changed import sources_in
from ..circuit.elements import Kind
from ..circuit.targets import Asked, targets
from ..expressions.nodes import ZERO, Expr, Number, Symbol, add, negate, over, times
from ..expressions.said import Said
from ..graph.lines import Loop
from ..laws.equations import junction_equation
from ..reading.truth.changed import part, times_as_much
from ..reading.truth.meaning import level
from ..reading.working import CircuitChange
from .by_ohm import OhmTeller, all_laws, signed
from .finished import Fact, FactKind, Lacking
from .stages import Stage, stage
from .unknowns import plain_loops
from .whereabouts import Whereabouts

FACTORS = ("k", "f", "s", "q")
SIDE_BY_SIDE: Said = ("Side by side, the same voltage",)
BY_LOOP: Said = ("The voltage across it, by the loop that leaves the source out",)


def speaks_of_scaling(w: Whereabouts) -> bool:
    """Whether the working supposes a current or a voltage to begin with."""
    return w.in_numbers and _supposed(w) is not None


def by_scaling(w: Whereabouts, teller: OhmTeller) -> None:
    """Writes the lines until every current asked is known. Raises LookupError where what is supposed does not
    lead back to the source by one current at a time."""
    setting = _supposed(w)
    right = None if setting is None else times_as_much(w.reading.circuit, setting)
    if setting is None or not right:
        raise LookupError("nothing is supposed")
    own = stage(w, setting, mark="′")
    teller.values |= own.values
    teller.new.update({
        name: {part(branch, setting): sign}
        for branch, (name, sign) in own.called.items()
        if name not in w.quantities
    })  # fmt: skip
    wanted = [own.called[branch][0] for branch in _asked(w)]
    back = _Back(w, teller, own)
    factor = _factor_known(w, teller, 1 / right)
    open_ones = [name for name in wanted if name not in teller.known]
    if factor and open_ones:
        raise LookupError("what is scaled by now lacks a part that is not worked out")
    if not factor:
        back.from_supposed()
        back.to_the_source(wanted)
        factor = _factor(w, teller, back.needed())
        if w.reading.working.lines[-1].setting != setting:
            worth = setting.words.removeprefix("with ").replace(" taken as ", " = ")
            teller.lines[0] = teller.lines[0].with_heading(f"Suppose {worth} again:")
    for branch in _asked(w):
        name, sign = teller.own.called[branch]
        under, sense = own.called[branch]
        if name not in teller.known:
            form = times(Symbol(factor), Symbol(under))
            form = form if sign == sense else negate(form)
            reason: Said = ("Scaled like everything else",)
            facts = (Fact(FactKind.SCALED, branch, setting=setting),)
            teller.write(name, form, Asked.CURRENT, reason, Lacking.SCALED, facts)


def _supposed(w: Whereabouts) -> CircuitChange | None:
    """What is supposed last, where the working still knows of it."""
    said = [line.setting for line in w.reading.working.lines if line.setting.taken]
    return said[-1] if said and said[-1] in w.meanings.changed else None


def _asked(w: Whereabouts) -> tuple[str, ...]:
    """The branches whose currents are asked, or all where something else is."""
    asked = targets(w.reading.circuit)
    plain = tuple(t.names[0] for t in asked if t.kind is Asked.CURRENT)
    return plain if len(plain) == len(asked) else tuple(w.reading.circuit.currents)


def _factor_known(w: Whereabouts, teller: OhmTeller, right: Fraction) -> str:
    """The name that the working has given the factor; empty where it has none."""
    named = (n for n in w.given_names if n[:1] not in "RrIVUE" and n in teller.values)
    return next((n for n in named if teller.values[n].constant() == right), "")


def _factor(w: Whereabouts, teller: OhmTeller, needed: str) -> str:
    wrong = {v.claim.written.left for v in w.reading.verdicts if not v.holds}
    again = next((n for n in FACTORS if Symbol(n) in wrong and n in w.meanings.names), "")
    name = again or next(n for n in (*FACTORS, "k′") if n not in teller.taken)
    (source,) = sources_in(w.reading.circuit)
    form = over(Symbol(source), Symbol(needed))
    reason: Said = ("The true source over what it would have to give",)
    teller.write(name, form, None, reason, Lacking.SCALED, gives_name=not again)
    return name


class _Back:
    """The way from what is supposed to the source, a current at a time."""

    def __init__(self, w: Whereabouts, teller: OhmTeller, own: Stage) -> None:
        self.w, self.teller, self.own = w, teller, own
        circuit = own.letters
        (self.source,) = sources_in(w.reading.circuit)
        self.at_source = circuit.branch_of(self.source).name
        self.loops = sorted(plain_loops(circuit), key=len)
        self.ohms = {b.name: add(*self._along(b.name)) for b in circuit.branches}

    def _along(self, branch: str) -> list[Expr]:
        return self.teller.along(self.teller.own.called[self.own.of_problem(branch)][0])

    def from_supposed(self) -> None:
        """Says what is supposed, where that is a current of which the working has only words."""
        setting = self.own.setting
        name, sign = self.own.called.get(setting.taken, ("", 1))
        if name and name not in self.teller.known:
            kilo = 1000 if self.w.meanings.thousands else 1
            form = signed(Number(setting.worth * kilo), sign)
            fact = Fact(FactKind.SUPPOSED, setting=setting)
            self.teller.write(name, form, Asked.CURRENT, ("What is supposed",), Lacking.BACK, (fact,))

    def to_the_source(self, wanted: list[str]) -> None:
        """Tells currents until those wanted and those of some loop through the source are known."""
        while not (all(n in self.teller.known for n in wanted) and self._loop_at_source() is not None):
            name, form, reason, fact = next(self._next(), ("", ZERO, ("",), None))
            if fact is None:
                raise LookupError("no current follows by itself")
            self.teller.write(name, form, Asked.CURRENT, reason, Lacking.BACK, (fact,))

    def _next(self) -> Iterator[tuple[str, Expr, Said, Fact]]:
        """The currents that follow from those known: by a voltage, at a junction, or round a loop without the
        source."""
        known, setting = self.teller.known, self.own.setting
        for voltage, points in self._voltages():
            for b in self.own.letters.branches:
                ohms = self.ohms[b.name]
                if {b.start, b.end} == set(points) and b.name not in known and ohms != ZERO:
                    if b.name == self.at_source:
                        continue
                    turned = (b.start, b.end) != points
                    form = over(Symbol(voltage), ohms)
                    fact = Fact(FactKind.BRANCH, self.own.of_problem(b.name), setting=setting)
                    yield b.name, negate(form) if turned else form, ("Ohm's law",), fact
        for point in self.own.letters.junctions:
            law = junction_equation(self.own.letters, point).linear
            missing = [n for n in law.coefficients if n not in known]
            if len(missing) == 1:
                signs = {n: int(c.constant() or 0) for n, c in law.coefficients.items()}
                rest = (signed(Symbol(n), -s * signs[missing[0]]) for n, s in signs.items() if n in known)
                fact = Fact(FactKind.JUNCTION, point, setting=setting)
                yield missing[0], add(*rest), ("The junction rule at ", point), fact
        for loop in self.loops:
            open_ones = [(n, s) for n, s in loop if n not in known]
            if len(open_ones) != 1 or any(n == self.at_source for n, _ in loop):
                continue
            ((name, sense),) = open_ones
            if self.ohms[name] == ZERO:
                continue
            drops = [signed(self._drop(n), -s * sense) for n, s in loop if n in known]
            fact = Fact(FactKind.LOOP, loop=self.own.original(loop), setting=setting)
            reason: Said = BY_LOOP if len(loop) > 2 else SIDE_BY_SIDE
            yield name, over(add(*(d for d in drops if d != ZERO)), self.ohms[name]), reason, fact

    def _drop(self, name: str) -> Expr:
        return times(Symbol(name), self.ohms[name]) if self.ohms[name] != ZERO else ZERO

    def _voltages(self) -> Iterator[tuple[str, tuple[str, str]]]:
        """The voltages between two points that are known, each with these."""
        for name, made in self.w.names_in(self.own.setting).items():
            if name in self.teller.known and sorted(made.values()) == [-1, 1]:
                ends = sorted(made, key=lambda n: -made[n])
                points = [p for n in ends for p in self.own.letters.named_points if level(p) == n]
                if len(points) == 2:
                    yield name, (points[0], points[1])

    def _loop_at_source(self) -> Loop | None:
        if self.own.letters.elements[self.source].kind is Kind.CURRENT_SOURCE:
            return () if self.at_source in self.teller.known else None
        through = (x for x in self.loops if any(n == self.at_source for n, _ in x))
        return next((x for x in through if all(n in self.teller.known for n, _ in x)), None)

    def needed(self) -> str:
        """The name of what the source would have to give, told where it is not known yet."""
        for verdict in self.w.reading.verdicts:
            left = verdict.claim.written.left
            told = isinstance(left, Symbol) and left.name.rstrip("′") in self._called_so()
            if told and verdict.holds and verdict.line in self._under_it() and isinstance(left, Symbol):
                worth = self.w.meanings.needed(self.source, self.own.setting)
                value = self.w.meanings.value(worth)
                if left.name != self.source and value is not None:
                    self.w.meanings.names[left.name] = worth
                    self.teller.values[left.name] = value.at({}, self.w.meanings.symbols)
                    self.teller.known[left.name] = verdict.line
                    return left.name
        name, is_new = self._name_of_it()
        facts = () if is_new else all_laws(self.own.setting)
        loop = self._loop_at_source()
        reason: Said = ("What the source would have to give",)
        circuit = self.own.letters
        along = next(p.sign for p in circuit.branch(self.at_source).passes if p.element == self.source)
        if not loop:
            form = signed(Symbol(self.at_source), along)
            self.teller.write(name, form, Asked.CURRENT, reason, Lacking.BACK, facts, gives_name=is_new)
            return name
        sense = dict(loop)[self.at_source] * along
        drops = (signed(self._drop(n), s * sense) for n, s in loop)
        form = add(*(d for d in drops if d != ZERO))
        self.teller.write(name, form, Asked.POTENTIAL, reason, Lacking.BACK, facts, gives_name=is_new)
        return name

    def _name_of_it(self) -> tuple[str, bool]:
        """A name for what the source would have to give, and whether it is new: that of the working, where it
        has told that wrongly."""
        name = f"{self.source}′"
        told = (v for v in self.w.reading.verdicts if v.line in self._under_it() and not v.holds)
        if any(v.claim.written.left == Symbol(name) for v in told):
            self.w.meanings.names[name] = self.w.meanings.needed(self.source, self.own.setting)
            return name, False
        while name in self.teller.taken:
            name += "′"
        return name, True

    def _under_it(self) -> set[int]:
        return {x.number for x in self.w.reading.working.lines if x.setting == self.own.setting}

    def _called_so(self) -> set[str]:
        return {self.source, *self.w.reading.circuit.value(self.source).held()}
