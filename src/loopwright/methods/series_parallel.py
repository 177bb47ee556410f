"""Series and parallel, step by step: resistors made one from inside outwards, the circuit drawn again each
time; what is left worked by junction and loop equations; and the way back outwards, by Ohm's law.

A circuit of one source and parts in series and side by side comes down to one loop; another as far as it
goes. Common practice, in any textbook of circuits.
"""

from __future__ import annotations

from ..algebra.ratios import Field, Ratio
from ..circuit.circuit import Circuit
from ..circuit.elements import UNIT_OF
from ..circuit.made_one import Collapse, LiesIn, MadeOne, collapse
from ..circuit.names import listed
from ..derive.narrate import Teller
from ..derive.search import Onward, by_branch_currents, reason_of
from ..derive.steps import ChangedLines, Derivation, FigureNeed, Move
from ..expressions.nodes import Symbol, negate, over, times
from ..expressions.said import Said
from ..expressions.values import ratio_of
from ..laws.equations import element_equations
from ..solve.exact import Solution, solve_posed
from ..solve.method_quantities import CurrentSum, MethodQuantity, VoltageBetween
from .making_one import made_one_step
from .naming import free_name, taken_names

METHOD = "series and parallel"
MOST_DRAWN = 4  # figures of circuits drawn again; of more steps only those side by side are drawn


def why_not(circuit: Circuit) -> str:
    """Why the method does not serve; empty where it does."""
    found = circuit.remembered(collapse)
    if found.start.wires:
        return "a plain wire joins two junctions"
    still = [n for n in found.start.idle if circuit.fixed_current(n) is None]
    if still:
        return f"{listed(still)} {'is' if len(still) == 1 else 'are'} driven by no source"
    return "" if found.steps else "no two resistors are in series or side by side"


def by_series_and_parallel(solution: Solution, first: int = 1) -> Derivation:
    """The derivation by series and parallel; its line numbers begin at `first`."""
    circuit = solution.circuit
    found = circuit.remembered(collapse)
    told = _Told(found, first)
    for law in element_equations(circuit):
        if law.branch in found.start.idle:
            told.teller.give(law, reason_of(circuit, law))
    for step in found.steps:
        told.make_one(step)
    lines = told.solve_what_is_left()
    told.go_back()
    return Derivation(
        tuple(told.teller.steps),
        circuit.field,
        circuit.currents,
        dict(solution.currents),
        told.named,
        method=METHOD,
        meanings=told.meanings,
        opening=_opening(found),
        figures=tuple(told.figures),
        changed=(lines,),
        together=told.together,
    )


class _Told:
    """The lines told so far, kept by a `teller` whose values lie in a field that has among its symbols
    everything made one. `named`: what has a name on the way, in the circuit's own field; `same`: for a
    current that gets no line the current that it is, with its sense."""

    def __init__(self, found: Collapse, first: int) -> None:
        self.found = found
        self.named: dict[str, Ratio] = {}
        self.meanings: dict[str, MethodQuantity] = {}
        self.figures: list[FigureNeed] = []
        self.same: dict[str, tuple[str, int]] = {}
        self.together: tuple[str, ...] = ()
        circuit = found.circuit
        taken = {*taken_names(circuit), *(step.whole for step in found.steps)}
        taken |= {name for step in found.steps for name in step.after.currents}
        values: dict[str, Ratio] = {}
        if self.in_numbers:
            values = {e.name: circuit.value(e.name) for e in circuit.elements.values() if e.kind in UNIT_OF}
        self.teller = Teller(circuit, circuit.currents, values, frozenset(taken), first)

    @property
    def circuit(self) -> Circuit:
        return self.found.circuit

    @property
    def in_numbers(self) -> bool:
        return not self.circuit.field.symbols

    # -- inwards ---------------------------------------------------------------------------------

    def make_one(self, made: MadeOne) -> None:
        """The line that gives the resistance of resistors made one, and the circuit drawn with it."""
        value = self.found.values[made.whole]
        number = self.teller.next_number
        self.teller.steps.append(
            made_one_step(number, made, self.teller.known, self.teller.values, self.circuit)
        )
        self.named[made.whole] = value
        self.teller.known[made.whole] = number
        if self.in_numbers:
            self._value(made.whole, value)
        self._draw(made, number + 1)

    def _draw(self, made: MadeOne, before: int) -> None:
        """The circuit with the resistors made one; of many, only where some lay side by side."""
        if len(self.found.steps) > MOST_DRAWN and made.in_series and made is not self.found.steps[-1]:
            return
        caption = f"{made.whole} in the place of {listed(made.parts)}."
        self.figures.append(FigureNeed(made.after, before, caption=caption, like=self.circuit))

    def _value(self, name: str, value: Ratio) -> None:
        self.teller.values = {**self.teller.values, name: value}

    # -- what is left ----------------------------------------------------------------------------

    def solve_what_is_left(self) -> ChangedLines:
        """The lines for the circuit as it is drawn last, by junction and loop equations."""
        last, teller = self.found.last, self.teller
        start = teller.next_number
        worked = by_branch_currents(solve_posed(last), None, Onward(start, teller.taken))
        teller.steps += worked.steps
        self.together = worked.together
        teller.known |= worked.lines
        wide = Field((*self.circuit.field.symbols, *(() if self.in_numbers else self.named)))
        for name, value in worked.values.items():
            self._value(name, value.at({}, wide))
        for name, value in worked.names.items():
            self.named[name] = value.at(
                {n: self.found.values[n] for n in value.held() if n in self.found.values}, self.circuit.field
            )
        self.meanings |= {n: self._sum(n) for n in last.currents if n not in self.circuit.currents}
        return ChangedLines(start, worked.steps[-1].number, drawn=last)

    def _sum(self, name: str) -> CurrentSum:
        """A current drawn for several as the sum of branch currents of the circuit."""
        made = next(
            s for s in self.found.steps if name in s.redrawn.lies_in and name not in s.before.currents
        )
        terms: list[tuple[str, int]] = []
        for chain, sense in made.chains:
            own = ((chain, 1),) if chain in self.circuit.currents else self._sum(chain).terms
            terms += [(n, s * sense) for n, s in own]
        return CurrentSum(tuple(terms))

    # -- outwards --------------------------------------------------------------------------------

    def go_back(self) -> None:
        """The voltage across resistors side by side, and the current of each, from the last made one to the
        first; and the currents of what lies in series."""
        for made in reversed(self.found.steps):
            if made.chains:
                self._divide(made)
            inside = {name for name, _ in made.chains}
            self._in_series(
                {
                    n: to
                    for n, to in made.redrawn.lies_in.items()
                    if n not in inside and n in made.before.currents
                }
            )
        self._in_series(self.found.start.lies_in)

    def _divide(self, made: MadeOne) -> None:
        name, sense = self._known(made.branch, made.sense)
        start, end = made.ends if sense > 0 else made.ends[::-1]
        voltage = free_name({*self.teller.taken, *self.meanings}, f"V{made.whole[1:]}")
        self.meanings[voltage] = VoltageBetween(start, end)
        resistance = self.named[made.whole] if self.in_numbers else self._symbol(made.whole)
        self._value(voltage, self.teller.values[name] * resistance)
        told: Said = (f"Ohm's law from {start} to {end}",)
        self.teller.conclude(Move.SHARE, voltage, times(Symbol(name), Symbol(made.whole)), told)
        for index, ((chain, turn), part) in enumerate(zip(made.chains, made.parts, strict=True)):
            if chain not in self.circuit.currents:
                self.meanings[chain] = self._sum(chain)
            share = made.before.elements[part].value
            form = over(Symbol(voltage), share if not self.in_numbers else Symbol(part))
            amount = ratio_of(share, self._field)
            self._value(chain, self.teller.values[voltage] / amount * (turn * sense))
            reason: Said = ("Likewise",) if index else ("The same voltage drives the current of each",)
            self.teller.conclude(Move.SHARE, chain, form if turn * sense > 0 else negate(form), reason)

    def _in_series(self, lies_in: LiesIn) -> None:
        """A line for every current of the circuit that is another by now."""
        for name, (branch, sense) in lies_in.items():
            if name in self.teller.known:
                continue
            known, turn = self._known(branch, sense)
            if name not in self.circuit.currents:
                self.same[name] = known, turn
                continue
            self._value(name, self.teller.values[known] * turn)
            form = Symbol(known) if turn > 0 else negate(Symbol(known))
            self.teller.conclude(Move.IN_SERIES, name, form, ("In series, one current",))

    def _known(self, name: str, sense: int) -> tuple[str, int]:
        """The current with a line that a current is, and its sense."""
        if name in self.same:
            known, turn = self.same[name]
            return known, turn * sense
        return name, sense

    @property
    def _field(self) -> Field:
        return next(iter(self.teller.values.values())).field

    def _symbol(self, name: str) -> Ratio:
        return self._field.symbol(name)


def _opening(found: Collapse) -> tuple[Said, ...]:
    """How far the circuit comes down, and how the way back is gone."""
    left = "until one loop is left" if len(found.last.branches) == 1 else "as far as that goes"
    rest = "" if len(found.last.branches) == 1 else " What is left is worked by junction and loop equations."
    return (
        (
            f"Resistors in series or side by side are made one, from inside outwards, {left}.{rest} Then the "
            "way is gone back outwards: a current times a resistance is the voltage across it, and this over "
            "each resistance side by side is its current.",
        ),
    )
