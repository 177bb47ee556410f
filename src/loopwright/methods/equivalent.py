"""The equivalent source: the rest of a circuit, seen from the two ends of one resistor, as one emf and one
resistance.

The resistor is taken out: the voltage between the open points is the emf, the resistance seen between them
with every source at rest the resistance; the current through a wire laid there is their quotient, and makes
with the same resistance the like current source. The resistor put back takes its current from the one loop
that is left, and the other currents follow from that one. Sources: `solve/two_points`.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from ..algebra.ratios import Ratio
from ..circuit.changed import at_rest, sources_in, split_at, taken_out, with_currents_called
from ..circuit.circuit import Circuit
from ..circuit.elements import UNIT_OF, Branch, Element, Kind, Pass
from ..circuit.made_one import Collapse, collapse
from ..circuit.targets import targets
from ..derive.asked import way_between
from ..derive.narrate import GUARD, Teller
from ..derive.search import Onward, by_branch_currents
from ..derive.steps import ChangedLines, Derivation, FigureNeed, Move, Step
from ..errors import FaultyMaterial
from ..expressions.amounts import shortened
from ..expressions.nodes import (
    Equation,
    Expr,
    Number,
    Power,
    Symbol,
    add,
    negate,
    number,
    over,
    put_in,
    times,
)
from ..expressions.said import Said
from ..expressions.tidy import tidy
from ..expressions.values import symbols_of
from ..solve.exact import Solution, solve_posed
from ..solve.method_quantities import (
    GreatestLoadPower,
    MethodQuantity,
    OpenCurrent,
    OpenVoltage,
    SeenResistance,
    WireCurrent,
)
from ..solve.two_points import LoadPutBack, put_back
from .making_one import made_one_step
from .naming import free_name, primed_currents, taken_names

METHOD = "equivalent source"


def why_not(circuit: Circuit) -> str:
    """Why the method does not serve; empty where it does."""
    if len(circuit.branches) == 1:
        return "there is a single loop"
    if not sources_in(circuit):
        return "no source drives it"
    return "" if circuit.remembered(load_of) else "no resistor sees an emf with a resistance"


def load_of(circuit: Circuit) -> str:
    """The resistor that is taken out: one of what is asked for, if any is, else one alone in its branch, the
    last for choice; empty where the rest is no emf with a resistance for any."""
    free = [b for b in circuit.branches if circuit.fixed_current(b.name) is None]
    held = [(b, p.element) for b in free for p in b.passes]
    resistors = [(b, name) for b, name in held if circuit.elements[name].kind is Kind.RESISTOR]
    asked = [n for t in targets(circuit) for n in t.names] if circuit.find else []
    resistors.reverse()
    order = sorted(
        resistors,
        key=lambda r: (r[1] not in asked and r[0].name not in asked, len(r[0].passes) > 1),
    )
    return next((name for _, name in order if _seen_from(circuit, name) is not None), "")


def _seen_from(circuit: Circuit, name: str) -> LoadPutBack | None:
    try:
        found = put_back(solve_posed(circuit), name)
    except FaultyMaterial:
        return None
    source = (
        found.source
    )  # without a voltage nothing drives the load: a balanced bridge has its own short way
    return found if source.voltage and source.resistance and source.short_current is not None else None


def by_equivalent_source(solution: Solution, first: int = 1) -> Derivation:
    """The derivation by an equivalent source; its line numbers begin at `first`."""
    load = solution.circuit.remembered(load_of)
    told = _Told(solution, put_back(solution, load), first)
    told.open_voltage()
    told.seen_resistance()
    told.put_load_back()
    told.other_currents()
    circuit = solution.circuit
    return Derivation(
        tuple(told.teller.steps),
        circuit.field,
        circuit.currents,
        dict(solution.currents),
        told.named,
        method=METHOD,
        meanings=told.meanings,
        opening=told.opening(),
        figures=tuple(told.figures),
        changed=tuple(told.changed),
    )


class _Told:
    """The lines told so far, kept by a `teller`. `named`: what has a name on the way, exactly."""

    def __init__(self, solution: Solution, found: LoadPutBack, first: int) -> None:
        self.solution, self.found = solution, found
        self.circuit, self.load = solution.circuit, found.load
        self.in_numbers = not self.circuit.field.symbols
        self.branch = self.circuit.branch_of(self.load).name
        taken = taken_names(self.circuit)
        self.voltage, self.resistance, self.wire, self.power = (
            free_name(taken, name) for name in ("Voc", "Req", "Isc", "Pmax")
        )
        self.teller = Teller(
            self.circuit,
            self.circuit.currents,
            dict(solution.currents),
            taken | {self.voltage, self.resistance, self.wire, self.power},
            first,
        )
        self.named: dict[str, Ratio] = {}
        self.meanings: dict[str, MethodQuantity] = {}
        self.figures: list[FigureNeed] = []
        self.changed: list[ChangedLines] = []

    @property
    def points(self) -> tuple[str, str]:
        """The ends of the load, by the arrow of its branch."""
        return self.found.source.points

    # -- the open voltage ------------------------------------------------------------------------

    def open_voltage(self) -> None:
        """The currents with the load taken out, and the voltage that they leave between its ends."""
        a, b = self.points
        opened = taken_out(self.found.circuit, (self.load,))
        called = primed_currents(self.circuit, 1)
        circuit = with_currents_called(opened, called).worked_in(self.circuit.field)
        solved = solve_posed(circuit)
        own = {name: value.at({}, self.circuit.field) for name, value in solved.currents.items()}
        start = self.teller.next_number
        onward = Onward(start, self.teller.taken | own.keys())
        worked = by_branch_currents(Solution(circuit, own, solved.determinant), None, onward)
        met, way = way_between(circuit, a, b)
        law = add(*(negate(step.term) for step in met))
        needed = [n for n in symbols_of(law) if n in own]
        lines = worked.lines
        steps = [replace(s, reason=self._without_load(s, called)) for s in worked.steps]
        last = max((lines[n] for n in needed), default=start - 1)
        self.teller.steps += [s for s in steps if s.number <= last]
        if needed:
            self.changed.append(ChangedLines(start, last, without=self.load, currents=called))
            self.meanings |= {called[n]: OpenCurrent(n, self.load) for n in self.circuit.currents}
            self.named |= worked.names
        caption = f"{self.load} taken out: open between {a} and {b}."
        self.figures.append(FigureNeed(circuit, start, caption=caption, like=self.circuit))
        known = {n: self._shown(own[n]) for n in needed} if self.in_numbers else {}
        told = (*way[:-1], f"{str(way[-1]).removesuffix('.')}, ", Equation(Symbol(self.voltage), law), ".")
        self._give(
            self.voltage,
            OpenVoltage(self.load),
            put_in(law, known),
            self.found.source.voltage,
            told if self.in_numbers else way,
            tuple(dict.fromkeys(lines[n] for n in needed)),
        )

    def _without_load(self, step: Step, called: dict[str, str]) -> Said:
        if step.move is Move.GIVEN and step.law is not None and step.law.branch == called[self.branch]:
            return (Symbol(self.load), " is taken out: no current.")
        return step.reason

    def _shown(self, value: Ratio) -> Expr:
        return shortened(value.constant() or Fraction(0), self.circuit.figures + GUARD)

    def _give(
        self,
        name: str,
        meaning: MethodQuantity,
        form: Expr,
        value: Ratio,
        reason: Said,
        uses: tuple[int, ...],
    ) -> None:
        """A line that gives a quantity a name, as `form` and in closed form."""
        number_ = self.teller.next_number
        closed = (
            shortened(value.constant() or Fraction(0), self.circuit.figures)
            if self.in_numbers
            else tidy(value)
        )
        left = Symbol(name)
        between = Equation(left, form) if form != closed else None
        self.teller.steps.append(
            Step(number_, Move.NAME, Equation(left, closed), uses, reason, between, gives=meaning)
        )
        self.named[name] = value
        self.teller.known[name] = number_

    # -- the resistance seen ---------------------------------------------------------------------

    def seen_resistance(self) -> None:
        """The resistance between the ends with every source at rest, the load still out."""
        a, b = self.points
        rested = at_rest(taken_out(self.found.circuit, (self.load,)))
        split = split_at(rested, (a, b))
        made = {s.written.left.name for s in self.teller.steps if isinstance(s.written.left, Symbol)}
        found = collapse(split, keep=(a, b), avoiding=self.teller.taken | made)
        start = self.teller.next_number
        sources = "Every source at rest" if self.circuit.symbols or self.in_numbers else "At rest"
        caption = f"{sources}, {self.load} taken out: the resistance seen between {a} and {b}."
        if split.currents == rested.currents:
            drawn = replace(rested, branches=tuple(x for x in rested.branches if x.name != self.branch))
            gaps = (self.branch,) if len(drawn.branches) < len(rested.branches) else ()
            self.figures.append(FigureNeed(drawn, start, caption=caption, like=self.circuit, gaps=gaps))
        value = self.found.source.resistance
        only = [p.element for x in found.last.branches for p in x.passes]
        if len(found.last.branches) != 1 or len(only) != 1 or not found.steps:
            said: Said = (f"{caption[:-1]}, from one ampere sent in at {a} and taken out at {b}.",)
            form = self._shown(value) if self.in_numbers else tidy(value)
            self._give(self.resistance, SeenResistance(self.load), form, value, said, ())
            return
        self._made_one(found, value)
        self.changed.append(ChangedLines(start, self.teller.next_number - 1, seen_from=self.load))

    def _made_one(self, found: Collapse, value: Ratio) -> None:
        values: dict[str, Ratio] = {}
        if self.in_numbers:
            circuit = found.circuit
            values = {e.name: circuit.value(e.name) for e in circuit.elements.values() if e.kind in UNIT_OF}
        for made in found.steps:
            is_last = made is found.steps[-1]
            step = made_one_step(
                self.teller.next_number, made, self.teller.known, {**values, **self.named}, self.circuit
            )
            if is_last:
                step = _called(step, self.resistance)
                step = replace(step, gives=SeenResistance(self.load))
            name = self.resistance if is_last else made.whole
            self.teller.steps.append(step)
            self.teller.known[name] = step.number
            self.named[name] = value if is_last else found.values[made.whole].at({}, self.circuit.field)

    # -- the load put back -----------------------------------------------------------------------

    def put_load_back(self) -> None:
        """The current through a wire between the ends, as a check, and the greatest power."""
        source = self.found.source
        a, b = self.points
        assert source.short_current is not None
        both = (self.teller.known[self.voltage], self.teller.known[self.resistance])
        voltage, resistance = self._part(self.voltage), self._part(self.resistance)
        self._give(
            self.wire,
            WireCurrent(self.load),
            over(voltage, resistance),
            source.short_current,
            (
                f"A wire from {a} to {b} would carry it, as the circuit with the wire confirms. A source of ",
                "this current with ",
                Symbol(self.resistance),
                " beside it is the same to the load.",
            ),
            both,
        )
        four = Number(Fraction(4))
        self._give(
            self.power,
            GreatestLoadPower(self.load),
            over(Power(voltage, 2), times(four, resistance)),
            source.greatest_power,
            (
                f"The greatest power that a resistance between {a} and {b} can take: when it equals ",
                Symbol(self.resistance),
                ".",
            ),
            both,
        )

    def _part(self, name: str) -> Expr:
        return self._shown(self.named[name]) if self.in_numbers else Symbol(name)

    def _load_step(self, number_: int) -> Step:
        """The current of the load put back: one loop of the source, its resistance and the load."""
        value = self.circuit.value(self.load)
        share = self._shown(value) if self.in_numbers else self.circuit.elements[self.load].value
        form = over(self._part(self.voltage), add(self._part(self.resistance), share))
        closed = self.teller.closed(self.branch)
        left = Symbol(self.branch)
        told: Said = (
            *(Symbol(self.load), " put back: one loop of "),
            *(Symbol(self.voltage), ", ", Symbol(self.resistance), " and ", Symbol(self.load), "."),
        )
        uses = (self.teller.known[self.voltage], self.teller.known[self.resistance], *self.teller.naming())
        return Step(
            number_,
            Move.LOAD,
            Equation(left, closed),
            uses,
            told,
            Equation(left, form) if form != closed else None,
            solves=self.branch,
            is_result=True,
        )

    def _loop(self) -> Circuit:
        """The one source, its resistance and the load in a loop."""
        a, b = self.points
        circuit = self.circuit
        emf = Element(self.voltage, Kind.BATTERY, Symbol(self.voltage))
        seen = Element(self.resistance, Kind.RESISTOR, Symbol(self.resistance))
        along = (Pass(self.voltage, 1), Pass(self.resistance), a, Pass(self.load))
        elements = {self.voltage: emf, self.resistance: seen, self.load: circuit.elements[self.load]}
        numbers, written = {}, {}
        if self.load in circuit.numbers:
            numbers, written = (
                {self.load: circuit.numbers[self.load]},
                {self.load: circuit.written[self.load]} if self.load in circuit.written else {},
            )
        return Circuit(
            (Branch(self.branch, b, b, along),), elements, numbers, written, figures=circuit.figures
        )

    # -- the other currents ----------------------------------------------------------------------

    def other_currents(self) -> None:
        """The other currents by the laws, with the current of the load known."""
        self.figures.append(
            FigureNeed(
                self._loop(), self.teller.next_number, caption=f"{self.load} put back.", like=self.circuit
            )
        )
        own = self.solution.currents[self.branch]
        known: Expr = number(own.constant() or Fraction(0)) if self.in_numbers else Symbol(self.branch)
        source = Element(self.load, Kind.CURRENT_SOURCE, known)
        branch = self.circuit.branch(self.branch)
        along = tuple(Pass(self.load, 1) if i == Pass(self.load) else i for i in branch.along)
        circuit = replace(
            self.circuit,
            branches=tuple(replace(b, along=along) if b is branch else b for b in self.circuit.branches),
            elements={**self.circuit.elements, self.load: source},
        )
        solved = solve_posed(circuit)
        onward = Onward(self.teller.next_number, self.teller.taken | self.named.keys(), by_symmetry=False)
        worked = by_branch_currents(solved, None, onward)
        steps = [self._load_step(s.number) if s.solves == self.branch else s for s in worked.steps]
        open_ = [
            s
            for s in steps
            if s.solves != self.branch and any(self.branch in symbols_of(e.right) for e in s.equations)
        ]
        self.teller.steps += [replace(s, is_result=False) if s in open_ else s for s in steps]
        self.teller.known |= worked.lines
        put = {} if self.in_numbers else {self.branch: own}
        for name, value in worked.names.items():
            self.named[name] = value.at(put, self.circuit.field)
        for step in open_:
            for equation in step.equations if step.is_result else ():
                if isinstance(equation.left, Symbol):
                    reason: Said = (f"({step.number}) with the current of the load",)
                    self.teller.conclude(
                        Move.PUT_BACK, equation.left.name, equation.right, reason, rests_on=(step.number,)
                    )

    def opening(self) -> tuple[Said, ...]:
        """What is done to the circuit, in a sentence."""
        a, b = self.points
        return (
            (
                Symbol(self.load),
                f" is taken out. Seen from its ends {a} and {b}, all the rest is one source: its emf ",
                Symbol(self.voltage),
                " is the voltage between the open points, its resistance ",
                Symbol(self.resistance),
                " that seen there with every source at rest.",
            ),
        )


def _called(step: Step, name: str) -> Step:
    """The line of resistors made one, with another name for their resistance."""
    assert step.made_one is not None
    left = Symbol(name)
    between = step.on_the_way
    return replace(
        step,
        written=Equation(left, step.written.right),
        on_the_way=None if between is None else Equation(left, between.right),
        made_one=replace(step.made_one, whole=name),
    )
