"""The judge of derivations by any method: every line is true of the circuit and follows from what it names.

Knows no method's way of writing. What a quantity of a method is follows from its meaning alone: a branch
current is the sum of the loop currents through the branch; the potential of a point is what is left of that
at the start of a branch after its drops and rises. These relations are written afresh here, and a line may
rest on those that its move speaks of. The quantities' own values come from the branch currents, which were
found by another route, so that no line is judged by what the method made of it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import cached_property

from ..algebra.linear import Linear, echelon, holds, linear_in
from ..algebra.ratios import Ratio
from ..circuit.changed import (
    at_rest,
    sources_in,
    split_at,
    taken_out,
    with_currents_called,
    with_ends_named,
)
from ..circuit.circuit import Circuit
from ..circuit.elements import Branch
from ..circuit.targets import Asked, Target
from ..derive.steps import AskedStep, ChangedLines, Derivation, Move, PartsMadeOne, Step
from ..derive.verify import Judge
from ..derive.verify_asked import verify_asked
from ..errors import BrokenPromise
from ..expressions.nodes import Determinant, Equation, Quotient, Symbol, put_in
from ..expressions.tidy import tidy
from ..expressions.values import difference_of, ratio_of, symbols_of
from ..graph.connections import parts
from ..laws.equations import Law, element_equations, junction_equation
from ..solve.asked import solved_without
from ..solve.exact import Solution
from ..solve.method_quantities import (
    CurrentSum,
    LoopCurrent,
    MethodQuantity,
    OpenCurrent,
    OpenVoltage,
    PartCurrent,
    PointPotential,
    SeenResistance,
    VoltageBetween,
    quantity_value,
)
from .drawn_elements import DrawnElements

_BY_THE_LAWS = (Move.LOOP_SUM, Move.OHM, Move.BETWEEN, Move.SHARE)
_CONCLUDED = (*_BY_THE_LAWS, Move.ADD_PARTS, Move.IN_SERIES, Move.LOAD)


def verify_method(derivation: Derivation, solution: Solution) -> int:
    """Judges every line of a derivation by any method; gives the number of statements verified. `solution`:
    the circuit as the derivation is written in it, with its currents by another route. Raises BrokenPromise
    at the first line that is not so."""
    return _MethodJudge(derivation, solution).weigh_all()


class _MethodJudge(Judge):
    """The judge of one derivation in quantities of a method."""

    def __init__(self, derivation: Derivation, solution: Solution) -> None:
        own = {name: quantity_value(solution, meaning) for name, meaning in derivation.meanings.items()}
        super().__init__(derivation, solution.circuit, {**solution.currents, **own})
        self.solved = solution
        self.meanings = derivation.meanings
        self.columns: dict[str, str] = {}  # unknown -> the determinant of its column; "" -> that of all
        self.whole = solution.circuit
        self.within: dict[ChangedLines, Judge] = {}
        self.seen: dict[str, DrawnElements] = {}

    @cached_property
    def drawn(self) -> DrawnElements:
        """The elements as they are drawn by then, resistors made one."""
        return DrawnElements(self.circuit, self.wide)

    def _judge_at(self, number: int) -> Judge | None:
        """The judge of the changed circuit of which a line speaks; None where it speaks of the whole."""
        for lines in self.derivation.changed:
            if lines.first <= number <= lines.last and not lines.seen_from:
                if lines not in self.within:
                    self.within[lines] = self._judge_of(lines)
                return self.within[lines]
        return None

    def _judge_of(self, lines: ChangedLines) -> Judge:
        if lines.drawn is not None:
            changed = self._drawn_last(lines.drawn).worked_in(self.whole.field)
        elif lines.without:
            changed = self._opened(lines).worked_in(self.whole.field)
        else:
            changed = self._at_work(lines).worked_in(self.whole.field)
        own = {
            name: quantity_value(self.solved, self.meanings[name])
            if name in self.meanings
            else self.solved.currents[name]
            for name in changed.currents
        }
        steps = tuple(s for s in self.derivation.steps if lines.first <= s.number <= lines.last)
        return Judge(Derivation(steps, self.derivation.field, changed.currents, own), changed, own)

    def _at_work(self, lines: ChangedLines) -> Circuit:
        """The circuit with only these sources at work, made afresh; the currents said to be its own must have
        just this meaning."""
        for name, called in lines.currents.items():
            if self.meanings.get(called) != PartCurrent(name, lines.sources):
                raise BrokenPromise(f"{called} is not the part of {name} that {lines.sources} make")
        resting = [name for name in sources_in(self.whole) if name not in lines.sources]
        return with_currents_called(at_rest(self.whole, resting), lines.currents)

    def _opened(self, lines: ChangedLines) -> Circuit:
        """The circuit with a gap in the place of an element, made afresh; the same of its currents."""
        for name, called in lines.currents.items():
            if self.meanings.get(called) != OpenCurrent(name, lines.without):
                raise BrokenPromise(f"{called} is not {name} with {lines.without} taken out")
        return with_currents_called(taken_out(self.whole, (lines.without,)), lines.currents)

    def _drawing_for(self, step: Step) -> DrawnElements:
        """The drawing in which a line makes resistors one: of the circuit, or of what is seen from the ends
        of an element, that out and all sources at rest."""
        for lines in self.derivation.changed:
            if lines.seen_from and lines.first <= step.number <= lines.last:
                if lines.seen_from not in self.seen:
                    named, ends = with_ends_named(self.whole, lines.seen_from)
                    rested = split_at(at_rest(taken_out(named, (lines.seen_from,))), ends)
                    drawn = DrawnElements(rested.worked_in(self.wide), self.wide, ends)
                    self.seen[lines.seen_from] = drawn
                return self.seen[lines.seen_from]
        return self.drawn

    def _drawn_last(self, circuit: Circuit) -> Circuit:
        """A circuit said to be drawn by then, the resistances made one put in: the same elements must stand
        in the same loops as in the drawing here, with the same values."""
        sources = sources_in(circuit)
        if any(circuit.elements[name] != self.whole.elements[name] for name in sources):
            raise BrokenPromise("a source is another in the circuit said to be drawn")
        put = {name: tidy(value) for name, value in self.names.items()}
        changed = replace(circuit.with_put_in(put), lettered=None)
        if not self.drawn.is_drawn_as(DrawnElements(changed.worked_in(self.wide), self.wide)):
            raise BrokenPromise("the circuit said to be drawn by then is another")
        return changed

    def weigh(self, step: Step) -> None:
        """As of any line; and where a current is said to be something in the quantities of the method, it
        must be that by the laws alone, and not because some of them happen to be equal here. What is said of
        a changed circuit is judged in that circuit."""
        if step.move is Move.DETERMINANT:
            self._determinant(step)
            return
        within = self._judge_at(step.number)
        if within is not None:
            self._weigh_within(step, within)
            return
        if step.made_one is not None:
            self._make_parts_one(step, step.made_one)
        if step.gives is not None:
            self._give(step, step.gives)
        if step.made_one is not None or step.gives is not None:
            return
        between = step.on_the_way
        if step.move in _CONCLUDED and between is not None and between.left != step.written.left:
            raise BrokenPromise(f"the line on the way to {step.number} speaks of something else")
        super().weigh(step)
        if between is not None and step.move is Move.CRAMER and symbols_of(between.right):
            self._check_columns(step, between)
        concluded = step.move is Move.JUNCTION and step.is_result and step.law is not None
        by_the_laws = step.move in _BY_THE_LAWS or concluded
        if by_the_laws and between is not None and self._holds_unknown(between):
            rule = [junction_equation(self.circuit, step.law.point).linear] if step.law and concluded else []
            laws = echelon(rule or self.facts(step), self.unknowns)
            self._check_follows(self.read(between, step), laws, f"the line on the way to {step.number}")

    def _check_columns(self, step: Step, between: Equation) -> None:
        """An unknown must be the determinant of its own column over that of all."""
        quotient = Quotient(*(Symbol(self.columns.get(name, "")) for name in (step.solves, "")))
        if step.written.left != Symbol(step.solves) or between != Equation(step.written.left, quotient):
            raise BrokenPromise(f"line {step.number} does not divide the determinant of its own column")

    def _determinant(self, step: Step) -> None:
        """A determinant must hold what stands in the lines it names, a row for each and a column for each
        loop current that is solved for, and every form on its line must be its value."""
        name = step.written.left
        if not isinstance(name, Symbol) or name.name in self.wide or name.name in self.names:
            raise BrokenPromise(f"line {step.number} gives a name that is taken")
        matrix, *forms = (*step.forms, step.written.right)
        if not isinstance(matrix, Determinant) or matrix != self._matrix(step):
            raise BrokenPromise(f"line {step.number} does not hold the coefficients of the lines it names")
        value = ratio_of(matrix, self.base)
        if any(ratio_of(form, self.base) != value for form in forms):
            raise BrokenPromise(f"line {step.number} is not the determinant that it shows")
        self.names[name.name] = value.at({}, self.wide)
        self.columns[step.solves] = name.name
        self.count += 1 + len(forms)

    def _matrix(self, step: Step) -> Determinant:
        """The determinant that the lines named make, the right sides in the place of one column where the
        step says so; each entry as it is written anywhere."""
        order = self.derivation.together
        rows = []
        for number in step.uses:
            if number not in self.accepted:
                raise BrokenPromise(f"line {step.number} uses a line that is not above it")
            value = difference_of(self.written[number], self.wide)
            row = linear_in(value, order)
            if row is None or not row.coefficients:
                raise BrokenPromise(f"line {step.number} names a line that is no equation of its unknowns")
            row = row * (1 / value.denominator)
            entries = [row.coefficients.get(n, self.wide.zero) for n in order]
            if step.solves:
                entries[order.index(step.solves)] = -row.constant
            rows.append(tuple(tidy(entry.at({}, self.base)) for entry in entries))
        return Determinant(tuple(rows))

    def _make_parts_one(self, step: Step, made: PartsMadeOne) -> None:
        """Resistors made one: they must lie as is said, and come to just what is written."""
        if step.written.left != Symbol(made.whole) or made.whole in self.wide or made.whole in self.names:
            raise BrokenPromise(f"line {step.number} gives a name that is taken, or another than it says")
        resistance = self._drawing_for(step).make_one(made)
        for equation in (step.written, step.on_the_way):
            if equation is None:
                continue
            if equation.left != step.written.left or not self._comes_to(equation, resistance):
                raise BrokenPromise(f"line {step.number} is not the resistance of the parts made one")
        self.count += 1 + (step.on_the_way is not None)
        self.names[made.whole] = resistance

    def _give(self, step: Step, meaning: MethodQuantity) -> None:
        """A quantity of the method given a name: every form of it must come to its value by another route,
        and what it is worked from must be told above."""
        left, between = step.written.left, step.on_the_way
        if not isinstance(left, Symbol) or left.name in self.wide:
            raise BrokenPromise(f"line {step.number} gives no name, or one that is taken")
        if step.made_one is None and left.name in self.names:
            raise BrokenPromise(f"line {step.number} gives a name that is taken")
        value = quantity_value(self.solved, meaning).at({}, self.wide)
        if set(symbols_of(step.written.right)) & set(self.unknowns):
            raise BrokenPromise(f"line {step.number} is called a result but holds a current")
        told = {name for line in self._used(step) for name in line.coefficients}
        for equation in (step.written, between):
            if equation is None:
                continue
            unknown = set(symbols_of(equation.right)) & set(self.unknowns)
            if equation.left != left or not unknown <= told:
                raise BrokenPromise(f"line {step.number} speaks of what is not told above")
            if not self._comes_to(Equation(left, equation.right), value, self.exact):
                raise BrokenPromise(f"line {step.number} is not what its quantity comes to")
        if isinstance(meaning, OpenVoltage) and between is not None:
            self._check_way(step, meaning, between, value)
        self.count += 1
        self.names[left.name] = value

    def _check_way(self, step: Step, meaning: OpenVoltage, between: Equation, value: Ratio) -> None:
        """The drops and rises from one open end to the other must be those of the circuit without the load:
        their sum follows from the relations of its branches alone."""
        lines = next((c for c in self.derivation.changed if c.without == meaning.load), None)
        if lines is None or not set(symbols_of(between.right)) & set(self.unknowns):
            return
        own = {called: Symbol(name) for name, called in lines.currents.items()}
        law = put_in(between.right, own)
        named, ends = with_ends_named(self.whole, meaning.load)
        opened = solved_without(self.whole, (meaning.load,)).currents
        asked = AskedStep(
            step.number,
            Target(Asked.POTENTIAL, ends, (meaning.load,)),
            law,
            tidy(value.at({}, self.base)),
            tidy(value.at({}, self.base)),
            (),
            (),
            opened,
        )
        verify_asked((asked,), named.worked_in(self.base), self.derivation, self.solved.currents)

    def _put_back(self, branch: str) -> Linear:
        """One loop of the equivalent source and the load: the open voltage over the resistance seen and that
        of the load is its current."""
        loads = [c.seen_from or c.without for c in self.derivation.changed if c.seen_from or c.without]
        given = [s.gives.load for s in self.derivation.steps if isinstance(s.gives, OpenVoltage)]
        load = next(iter((*given, *loads)), "")
        if not load or self.whole.branch_of(load).name != branch:
            raise BrokenPromise(f"{branch} is not the current of what was taken out")
        voltage = quantity_value(self.solved, OpenVoltage(load))
        total = quantity_value(self.solved, SeenResistance(load)) + self.solved.circuit.value(load)
        return Linear({branch: total.at({}, self.wide)}, -voltage.at({}, self.wide))

    def _comes_to(self, equation: Equation, value: Ratio, known: Mapping[str, Ratio] | None = None) -> bool:
        try:
            return ratio_of(equation.right, self.wide, {**self.names, **(known or {})}) == value
        except (KeyError, ZeroDivisionError):
            return False

    def _weigh_within(self, step: Step, within: Judge) -> None:
        before = within.count
        within.names = {n: v.at({}, within.wide) for n, v in self.names.items()}
        within.weigh(step)
        self.count += within.count - before
        if step.move in (Move.NAME, Move.MAKE_ONE):
            self.names = {n: v.at({}, self.wide) for n, v in within.names.items()}
            return
        lines = tuple(self.read(equation, step) for equation in step.equations)
        if not all(holds(line, *self.solution) for line in lines):
            raise BrokenPromise(f"line {step.number} is not true of the parts")
        self.accepted[step.number] = lines

    def _holds_unknown(self, equation: Equation) -> bool:
        return bool(set(symbols_of(equation.right)) & set(self.unknowns))

    def facts(self, step: Step) -> list[Linear]:
        """Besides what any line may rest on, how the quantities of which the move speaks hang together."""
        found = super().facts(step)
        if step.move is Move.LOOP and step.law is not None and step.law.law is Law.LOOP:
            found += [row for name, _ in step.law.loop for row in self._sums(name)]
        elif step.move is Move.GIVEN and step.law is not None:
            found += self._sums(step.law.branch)
        elif step.move is Move.LOOP_SUM:
            found += self._sums(step.solves)
        elif step.move is Move.OHM:
            found += self._drops([self.circuit.branch(step.solves), *self._wires])
        elif step.move is Move.BETWEEN:
            found += self._drops(self._wires)
        elif step.move is Move.JUNCTION and step.law is not None and self._levels:
            found += self._balance(step.law.point)
        elif step.move is Move.ADD_PARTS:
            found.append(self._superposed(step.solves))
        elif step.move is Move.LOAD:
            found.append(self._put_back(step.solves))
        elif step.move is Move.SHARE:
            found += self._shared_drops(step)
        return [*found, *self._sums_of_branches()]

    def _shared_drops(self, step: Step) -> list[Linear]:
        """The drops across resistors side by side, as the voltages of which the line speaks."""
        said = {name for equation in step.equations for name in symbols_of(equation)} | {step.solves}
        if step.on_the_way is not None:
            said |= set(symbols_of(step.on_the_way))
        used = {name for line in self._used(step) for name in line.coefficients}
        found: list[Linear] = []
        for name, meaning in self.meanings.items():
            if isinstance(meaning, VoltageBetween) and name in said | used:
                own = Linear({name: -self.wide.one}, self.wide.zero)
                for beside in self.drawn.beside:
                    found += [own + drop for drop in beside.drop_from(meaning.start, meaning.end)]
        # a point drawn into another by series has not its potential: what speaks of the two is no fact
        found = [row for row in found if holds(row, *self.solution)]
        return [*found, *self.redrawn.junctions()] if found else []

    def _used(self, step: Step) -> list[Linear]:
        return [line for n in step.uses for line in self.accepted.get(n, ())]

    def _sums_of_branches(self) -> list[Linear]:
        """What the currents are that are drawn for several."""
        one, zero = self.wide.one, self.wide.zero
        return [
            Linear({name: -one, **{n: one * s for n, s in m.terms}}, zero)
            for name, m in self.meanings.items()
            if isinstance(m, CurrentSum)
        ]

    def _superposed(self, branch: str) -> Linear:
        """That a branch current is the sum of its parts, which must be those of all sources, each once."""
        one, zero = self.wide.one, self.wide.zero
        made = {
            name: m.sources
            for name, m in self.meanings.items()
            if isinstance(m, PartCurrent) and m.branch == branch
        }
        if sorted(s for sources in made.values() for s in sources) != sorted(sources_in(self.whole)):
            raise BrokenPromise(f"the parts of {branch} are not those of every source, each once")
        return Linear({branch: -one, **dict.fromkeys(made, one)}, zero)

    @cached_property
    def _levels(self) -> dict[str, str]:
        """The name of the potential of each point that has one."""
        return {m.point: n for n, m in self.meanings.items() if isinstance(m, PointPotential)}

    @cached_property
    def _wires(self) -> list[Branch]:
        """The branches without resistance, through which any current may flow."""
        free = [b for b in self.circuit.branches if self.circuit.fixed_current(b.name) is None]
        return [b for b in free if not self.circuit.resistance(b.name)]

    def _drops(self, branches: Sequence[Branch]) -> list[Linear]:
        """That the potential at the start of each branch, less its drops and with its rises, is that at its
        end; a point without a potential of its own counts as zero. Nothing of a branch whose current an
        element fixes, which leaves the voltage open."""
        found = []
        for b in branches:
            if self.circuit.fixed_current(b.name) is not None:
                continue
            row = Linear.of({b.name: -self.circuit.resistance(b.name)}, self.circuit.rise(b.name))
            for point, sign in ((b.start, 1), (b.end, -1)):
                if point in self._levels:
                    row = row + Linear({self._levels[point]: self.wide.one * sign}, self.wide.zero)
            found.append(row)
        return found

    def _balance(self, point: str) -> list[Linear]:
        """The junction rules of a point and of all that wires join it to, what the branches there say of
        potentials, and the currents that elements fix."""
        joined = parts(self.circuit.points, self._wires)
        group = [p for p in self.circuit.points if joined.joined(p, point)]
        there = [b for b in self.circuit.branches if b.start in group or b.end in group]
        fixed = [e.linear for e in element_equations(self.circuit)]
        rules = [junction_equation(self.circuit, p).linear for p in group]
        return [*rules, *fixed, *self._drops([*there, *self._wires])]

    def _sums(self, branch: str) -> list[Linear]:
        """That a branch current is the sum of the loop currents through its branch; nothing where the
        derivation speaks of no loop currents."""
        one, zero = self.wide.one, self.wide.zero
        loops = {name: m.loop for name, m in self.meanings.items() if isinstance(m, LoopCurrent)}
        senses = {name: sense for name, loop in loops.items() for b, sense in loop if b == branch}
        return [Linear({branch: -one, **{n: one * s for n, s in senses.items()}}, zero)] if loops else []
