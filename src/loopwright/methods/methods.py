"""The methods by which a circuit can be worked, in one table, and `derive`, which works it by any of them.

A method says whether it serves a circuit, and writes the derivation; `verify` judges what it wrote before
anybody sees it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..circuit.made_one import told_resistance
from ..circuit.names import listed, nearest
from ..circuit.page_wishes import METHODS as TO_CHOOSE
from ..derive.search import by_branch_currents, lines_by_branch_currents, plain_numbers
from ..derive.steps import Derivation, FigureNeed
from ..errors import FaultyMaterial
from ..expressions.nodes import Number, Symbol
from ..findings import Finding
from ..later import later
from ..solve.exact import Solution, solve
from .verify import verify_method

if TYPE_CHECKING:
    from . import determinants, equivalent, loop_currents, node_potentials, series_parallel, superposition
else:  # a circuit is worked by one of them
    determinants = later("loopwright.methods.determinants")
    equivalent = later("loopwright.methods.equivalent")
    loop_currents = later("loopwright.methods.loop_currents")
    node_potentials = later("loopwright.methods.node_potentials")
    series_parallel = later("loopwright.methods.series_parallel")
    superposition = later("loopwright.methods.superposition")

ONE_WAY = Finding(
    "method/one-way",
    "Methods are of steady circuits: one in time, and a ladder without end, is worked in one way of its own.",
    "Leave the method out, or take the circuit as it stands long after, with gaps for capacitors and wires "
    "for coils.",
)
NAMES: tuple[str, ...] = TO_CHOOSE
BRANCH_CURRENTS = NAMES[0]


@dataclass(frozen=True, slots=True)
class Method:
    """A way of working a circuit. `name`: in the trade's words. `why_not`: why it does not serve a circuit,
    as the end of a sentence; empty where it does. `write`: the derivation from a solution (its circuit in
    symbols or in plain numbers, whichever the derivation is to be written in), the number of its first line,
    and, for a derivation in numbers, the one in symbols that it continues, if any."""

    name: str
    why_not: Callable[[Circuit], str]
    write: Callable[[Solution, int, Derivation | None], Derivation]


_WORKED: tuple[tuple[Callable[[Circuit], str], Callable[..., Derivation]], ...] = (
    (lambda _: "", lambda s, _, like: by_branch_currents(s, like)),
    (lambda c: loop_currents.why_not(c), lambda s, first, _: loop_currents.by_loop_currents(s, first)),
    (lambda c: node_potentials.why_not(c), lambda s, first, _: node_potentials.by_node_potentials(s, first)),
    (lambda c: determinants.why_not(c), lambda s, first, _: determinants.by_determinants(s, first)),
    (lambda c: superposition.why_not(c), lambda s, first, _: superposition.by_superposition(s, first)),
    (
        lambda c: series_parallel.why_not(c),
        lambda s, first, _: series_parallel.by_series_and_parallel(s, first),
    ),
    (lambda c: equivalent.why_not(c), lambda s, first, _: equivalent.by_equivalent_source(s, first)),
)
METHODS = tuple(Method(name, *worked) for name, worked in zip(NAMES, _WORKED, strict=True))


def method_called(name: str) -> Method:
    """The method of this name. Raises FaultyMaterial, with the names there are, for another."""
    for method in METHODS:
        if method.name == name:
            return method
    near = nearest(name, NAMES)
    mend = f"Did you mean {near}?" if near else f"There are {listed(NAMES)}."
    raise FaultyMaterial(Finding("method/unknown", f'no method is called "{name}".', mend))


def lines_in_numbers(method: Method, solution: Solution) -> int:
    """How many lines the derivation by a method has, from a solution in plain numbers."""
    if method.name == BRANCH_CURRENTS:
        return lines_by_branch_currents(solution)
    return method.write(solution, 1, None).written_lines


def applicable(method: Method, circuit: Circuit) -> None:
    """Raises FaultyMaterial, with the reason, where a method does not serve a circuit."""
    why = method.why_not(circuit)
    if why:
        raise FaultyMaterial(
            Finding(
                "method/does-not-serve",
                f"The method of {method.name} does not serve here: {why}.",
                "Take another method; `loopwright methods` says which serve.",
            )
        )


def derive(
    circuit: Circuit, solution: Solution | None = None, *, method: str = BRANCH_CURRENTS
) -> Derivation:
    """The derivation in symbols by a method, every line verified: from the laws to every current.

    `method`: one of `NAMES`. Raises FaultyMaterial for an ill-posed circuit, an unknown method and one that
    does not serve this circuit; BrokenPromise if a step fails verification.
    """
    chosen = method_called(method)
    solution = solution or solve(circuit)
    applicable(chosen, circuit)
    derivation = chosen.write(solution, 1, None)
    verify_method(derivation, solution)
    return derivation


def derive_in_numbers(
    circuit: Circuit,
    solution: Solution | None = None,
    like: Derivation | None = None,
    *,
    method: str = BRANCH_CURRENTS,
) -> Derivation | None:
    """The same with the numbers put in at the start; None where a number is missing. Bare numbers are in a
    coherent set of units: V, A, Ω or V, mA, kΩ. With `like`, a derivation in symbols by the same method, it
    counts its lines on from there."""
    if not circuit.has_all_numbers:
        return None
    chosen = method_called(method)
    plain = plain_numbers(circuit, solution or solve(circuit))
    applicable(chosen, circuit)
    first = like.written_lines + 1 if like is not None else 1
    derivation = chosen.write(plain.solution, first, like)
    verify_method(derivation, plain.solution)
    size = 1000 if "milli" in plain.unit_words else 1
    figures = tuple(_with_values_as_written(need, circuit, size) for need in derivation.figures)
    return replace(derivation, unit_words=plain.unit_words, figures=figures)


def _with_values_as_written(need: FigureNeed, circuit: Circuit, size: int) -> FigureNeed:
    """A figure of a circuit in bare numbers with the values as the person wrote them; what is in it alone, as
    resistors made one, has a symbol of its own name. `size`: how many ohms its unit of resistance is."""
    elements, numbers, written = dict(need.circuit.elements), dict(circuit.numbers), dict(circuit.written)
    for name, e in need.circuit.elements.items():
        own = circuit.elements.get(name)
        if own is not None and own.kind is e.kind:
            elements[name] = own
        elif e.kind is Kind.RESISTOR and isinstance(e.value, Number):
            elements[name] = replace(e, value=Symbol(name))
            numbers[name] = e.value.value * size
            written[name] = told_resistance(numbers[name], circuit.figures)
    drawn = replace(need.circuit, elements=elements, numbers=numbers, written=written)
    return replace(need, circuit=drawn, like=circuit if need.like is not None else None)
