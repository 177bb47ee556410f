"""The judge of derivations: every line is true of the circuit and follows from the lines it uses.

Knows nothing of rules, plans or how a line came about. A line is read back from what is written,
as an exact linear equation in the unknowns over the field of the circuit's symbols; then
(1) the exact solution satisfies it identically; (2) it is a combination of the lines named, with
multipliers from the field of fractions; a law must be a law of the circuit, written afresh here.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

from ..algebra.common_form import over_one_denominator
from ..algebra.linear import EliminationSteps, Linear, echelon, follows, holds, linear_in
from ..algebra.ratios import Field, Ratio
from ..circuit.circuit import Circuit
from ..errors import BrokenPromise
from ..expressions.nodes import ZERO, Equation, Symbol
from ..expressions.values import is_multiple, over_one_line, ratio_of, symbols_of
from ..laws.equations import Law, element_equations, junction_equation, loop_equation
from ..laws.symmetry import alike
from .redrawn import DrawnByThen
from .steps import Derivation, Move, Step


def verify(derivation: Derivation, circuit: Circuit, solution: Mapping[str, Ratio]) -> int:
    """Judges every line; gives the number of statements verified. Raises BrokenPromise at the first
    line that is not true, does not follow, or is not a law of the circuit though it claims to be.

    `circuit` is the circuit whose symbols (or numbers) the derivation is written in; `solution` its
    currents by another route, in the field of the derivation.
    """
    return Judge(derivation, circuit, solution).weigh_all()


class Judge:
    """The judge of one derivation. What a line may rest on besides the lines that it names is for `facts`;
    the judge of a method that speaks of more quantities than branch currents adds to it."""

    def __init__(self, derivation: Derivation, circuit: Circuit, solution: Mapping[str, Ratio]) -> None:
        self.derivation = derivation
        self.base = derivation.field
        self.unknowns = (*derivation.unknowns, *derivation.meanings)
        self.wide = Field((*self.base.symbols, *self.unknowns))
        self.circuit = circuit.worked_in(self.wide)
        self.exact = {name: value.at({}, self.wide) for name, value in solution.items()}
        self.solution = over_one_denominator(self.wide, self.exact)
        self.names: dict[str, Ratio] = {}
        self.accepted: dict[int, tuple[Linear, ...]] = {}
        self.written = {step.number: step.written for step in derivation.steps}
        self.count = 0

    @cached_property
    def redrawn(self) -> DrawnByThen:
        """The circuit as it is drawn by then, parts made one."""
        return DrawnByThen(self.circuit, self.wide)

    @cached_property
    def letters(self) -> dict[str, Ratio]:
        """What stands for a number in letters."""
        return {**_letters(self.circuit), **self.exact}

    def weigh_all(self) -> int:
        """Judges every line, and that no unknown is left without a result; gives the number of statements
        verified. Raises BrokenPromise at the first that does not hold."""
        steps = self.derivation.steps
        for step in steps:
            self.weigh(step)
        given = {e.left for s in steps for e in s.equations if s.is_result or e.right == ZERO}
        for unknown in self.derivation.unknowns:
            if Symbol(unknown) not in given:
                raise BrokenPromise(f"the derivation ends without {unknown}")
        return self.count

    def weigh(self, step: Step) -> None:
        """Judges one line; one that holds is accepted, so that later lines may use it. Raises BrokenPromise
        otherwise."""
        if step.move is Move.NAME:
            self._name(step)
            return
        if step.move is Move.MAKE_ONE:
            self._make_one(step)
            self._check_letters(step)
            return
        self._check_letters(step)
        linear = self.read(step.written, step)
        if step.law is not None:
            self._check_law(step, linear)
        elif step.move is Move.SYMMETRY:
            self._accept_symmetry(step)
            return
        else:
            used = [line for n in step.uses for line in self.accepted.get(n, ())]
            above = echelon([*used, *self.facts(step)], self.unknowns)
            if not all(n < step.number for n in step.uses):
                raise BrokenPromise(f"line {step.number} uses a line that is not above it")
            self._check_follows(linear, above, f"line {step.number}")
            if step.on_the_way is not None:
                self._check_follows(
                    self.read(step.on_the_way, step), above, f"the line on the way to {step.number}"
                )
            self._check_factor(step)
            further = [self.read(equation, step) for equation in step.also]
            for line in further:
                self._check_follows(line, above, f"line {step.number}")
            self.accepted[step.number] = (linear, *further)
            self._check_result(step)
            return
        self._check_result(step)
        self.accepted[step.number] = (linear,)
        if step.move is Move.GIVEN and step.written.right == ZERO:
            self.redrawn.leave_out(linear_name(linear))

    def facts(self, step: Step) -> list[Linear]:
        """What a line may rest on besides the lines it names: what the circuit as it is drawn by then says
        on the parts of which it speaks."""
        if step.move is Move.ONE_LOOP:
            return self.redrawn.round(step.ring)
        if step.move is Move.DIVIDE and step.together is not None:
            return self.redrawn.shares(step.together)
        if step.move in (Move.IN_SERIES, Move.TOTAL):
            return self.redrawn.junctions()
        return []

    def _make_one(self, step: Step) -> None:
        """Parts made one: they must lie as is said, and come to just what is written."""
        together, left = step.together, step.written.left
        if together is None or left != Symbol(together.whole):
            raise BrokenPromise(f"line {step.number} does not say what it makes one")
        resistance = self.redrawn.make_one(together)
        if together.whole in self.wide or self.names.get(together.whole, resistance) != resistance:
            raise BrokenPromise(f"line {step.number} gives a name that is taken")
        for equation in (step.written, step.on_the_way):
            if equation is None:
                continue
            try:
                amount = ratio_of(equation.right, self.wide, self.names)
            except (KeyError, ZeroDivisionError) as trouble:
                raise BrokenPromise(f"line {step.number} cannot be read: {trouble}") from trouble
            if amount != resistance:
                raise BrokenPromise(f"line {step.number} is not the resistance of the parts made one")
            self.count += 1
        self.names[together.whole] = resistance

    def _check_factor(self, step: Step) -> None:
        """Where a line is said to be another multiplied by something, it must be just that."""
        if step.factor is None:
            return
        used = self.written.get(step.uses[0]) if len(step.uses) == 1 else None
        if used is None or not is_multiple(used, step.factor, step.written, self.wide, self.names):
            raise BrokenPromise(f"line {step.number} is not what its sentence says it was multiplied by")
        self.count += 1

    def _check_letters(self, step: Step) -> None:
        """What stands in letters before numbers are put in must come to what is written."""
        if step.in_letters is None:
            return
        try:
            amount = ratio_of(step.in_letters, self.wide, {**self.letters, **self.names})
            written = ratio_of(step.written.right, self.wide, self.names)
        except (KeyError, ZeroDivisionError) as trouble:
            raise BrokenPromise(f"line {step.number} cannot be read in letters: {trouble}") from trouble
        if amount != written:
            raise BrokenPromise(f"line {step.number} in letters is not what is written")
        self.count += 1

    def _check_result(self, step: Step) -> None:
        held = {name for equation in step.equations for name in symbols_of(equation.right)}
        if step.is_result and held & set(self.unknowns):
            raise BrokenPromise(f"line {step.number} is called a result but holds a current")

    def _accept_symmetry(self, step: Step) -> None:
        """Symmetry is found again here; each equality must follow from what is found."""
        found = [e for group in alike(self.circuit) for e in group.equations(self.circuit)]
        fresh = echelon(found, self.unknowns)
        lines = tuple(self.read(equation, step) for equation in step.equations)
        for line in lines:
            self._check_follows(line, fresh, f"line {step.number}")
        self.accepted[step.number] = lines

    def read(self, equation: Equation, step: Step) -> Linear:
        """What is written, as a linear equation; an equation that says nothing (0 = 0) is refused."""
        try:
            whole = over_one_line(equation, self.wide, self.names)
        except (KeyError, ZeroDivisionError) as trouble:
            raise BrokenPromise(f"line {step.number} cannot be read: {trouble}") from trouble
        linear = linear_in(whole, self.unknowns)
        if linear is None:
            raise BrokenPromise(f"line {step.number} is not linear in the currents")
        if not linear.coefficients:
            raise BrokenPromise(f"line {step.number} says nothing about the currents")
        return linear

    def _check_law(self, step: Step, linear: Linear) -> None:
        """A law is written afresh; besides it the line may rest on currents given above."""
        law = step.law
        if law is None:
            return
        if law.law is Law.JUNCTION:
            fresh = junction_equation(self.circuit, law.point).linear
        elif law.law is Law.LOOP:
            fresh = loop_equation(self.circuit, law.loop).linear
        else:
            fresh = next(e.linear for e in element_equations(self.circuit) if e.branch == law.branch)
        given = [line for n in step.uses for line in self.accepted.get(n, ())]
        above = echelon([fresh, *given, *self.facts(step)], self.unknowns)
        self._check_follows(linear, above, f"line {step.number}")
        if step.on_the_way is not None:
            on_the_way = self.read(step.on_the_way, step)
            self._check_follows(on_the_way, above, f"the line on the way to {step.number}")

    def _check_follows(self, claim: Linear, above: EliminationSteps, what: str) -> None:
        """Sees to it that a line is true of the circuit and is a combination of the lines `above`; `what`
        names it in the message."""
        if not holds(claim, *self.solution):
            raise BrokenPromise(f"{what} is not true of the circuit")
        if not follows(claim, above):
            raise BrokenPromise(f"{what} does not follow from the lines it names")
        self.count += 1

    def _name(self, step: Step) -> None:
        left = step.written.left
        if not isinstance(left, Symbol) or left.name in self.wide or left.name in self.names:
            raise BrokenPromise(f"line {step.number} gives a name that is taken")
        value = ratio_of(step.written.right, self.wide, self.names)
        if set(value.held()) & set(self.unknowns):
            raise BrokenPromise(f"line {step.number} gives a name to what is not known")
        self.names[left.name] = value
        self.count += 1


def linear_name(linear: Linear) -> str:
    """The one current in an equation that holds no other."""
    (name,) = linear.coefficients
    return name


def _letters(circuit: Circuit) -> dict[str, Ratio]:
    """What the designators of a circuit in plain numbers stand for, and the letters it had for values."""
    found: dict[str, Ratio] = {}
    if circuit.lettered is None:
        return found
    for name, element in circuit.lettered.elements.items():
        for letter, value in (
            (element.value, circuit.value(name)),
            (element.internal, circuit.internal_resistance(name)),
        ):
            if isinstance(letter, Symbol):
                found[letter.name] = value
    for name in circuit.lettered.elements:
        found.setdefault(name, circuit.value(name))
    return found
