"""The methods of working one circuit side by side: which serve, what each takes to write, which is shortest.

Every derivation compared has been judged line by line, and every current in which it ends is one that the
circuit's solution has; so all that are compared end alike.
"""

from __future__ import annotations

from dataclasses import dataclass

from ..circuit.circuit import Circuit
from ..circuit.in_time import moves
from ..derive.search import plain_numbers
from ..derive.steps import Derivation
from ..errors import BrokenPromise, FaultyMaterial
from ..expressions.said import counted
from ..shown import Shown
from ..solve.exact import Solution, solve
from .methods import METHODS, ONE_WAY
from .verify import verify_method

NOT_PROVED = "a line of it failed our own check"


@dataclass(frozen=True, slots=True)
class MethodLength:
    """What working a circuit by one method takes. `why_not`: why the method does not serve; all else is
    zero then. `unknowns`: how many are solved for together; `lines`: how many lines are written, with
    `symbols` symbols and numbers in them; `proved`: how many statements of it were judged."""

    method: str
    why_not: str = ""
    unknowns: int = 0
    lines: int = 0
    symbols: int = 0
    proved: int = 0

    @property
    def serves(self) -> bool:
        """Whether the circuit can be worked by it."""
        return not self.why_not


@dataclass(frozen=True)
class Comparison(Shown):
    """All methods for one circuit, in the order of the table. `in_numbers`: their derivations were compared
    with the numbers put in at the start, otherwise in symbols."""

    lengths: tuple[MethodLength, ...]
    in_numbers: bool

    @property
    def serving(self) -> tuple[MethodLength, ...]:
        """Those that serve, the shortest first: fewest symbols written, then fewest lines, then as in the
        table."""
        return tuple(sorted((e for e in self.lengths if e.serves), key=lambda e: (e.symbols, e.lines)))

    @property
    def shortest(self) -> str:
        """The method that takes the least to write."""
        return self.serving[0].method

    @property
    def reason(self) -> str:
        """Why it is the shortest, in a sentence or two."""
        best, *others = self.serving
        told = f"{best.method.capitalize()}: {_much(best)}"
        if not others:
            return f"{told}. No other method serves this circuit."
        other = others[0]
        told += f", against {_much(other)} by {other.method}."
        if not best.unknowns:
            return f"{told} No equations have to be solved together."
        if best.unknowns < other.unknowns:
            return (
                f"{told} It solves for {counted(best.unknowns, 'unknown')} together, "
                f"where {other.method} {'have' if other.method.endswith('s') else 'has'} {other.unknowns}."
            )
        if best.unknowns == other.unknowns:
            return f"{told} Both solve for {counted(best.unknowns, 'unknown')}; its lines are shorter."
        return f"{told} It solves for more unknowns, but its lines are shorter."

    @property
    def agreement(self) -> str:
        """That all lead to the same currents, and how that is known."""
        count = len(self.serving)
        proved = sum(e.proved for e in self.serving)
        if count == 1:
            return f"Its {proved} statements were proved one by one."
        return (
            f"{'Both' if count == 2 else f'All {count}'} derivations end in the same currents: each of their "
            f"{proved} statements was proved against currents found by another route."
        )


def compare(circuit: Circuit, solution: Solution | None = None, *, in_numbers: bool = False) -> Comparison:
    """Works a circuit by every method that serves it, in symbols or with the numbers put in at the start, and
    judges every line.

    Raises FaultyMaterial for an ill-posed circuit and for one in time, KeyError (the symbol) where a number
    is missing that is to be put in. A method of which a line fails its proof is told as one that does not
    serve.
    """
    if moves(circuit):
        raise FaultyMaterial(ONE_WAY)
    solution = solution or solve(circuit)
    if in_numbers:
        solution = plain_numbers(circuit, solution).solution
    lengths: list[MethodLength] = []
    for method in METHODS:
        why_not = method.why_not(circuit)
        if why_not:
            lengths.append(MethodLength(method.name, why_not))
            continue
        derivation = method.write(solution, 1, None)
        try:
            proved = verify_method(derivation, solution)
        except BrokenPromise as fault:  # a fault of ours in one method is told, and costs that method alone
            lengths.append(MethodLength(method.name, f"{NOT_PROVED} ({fault})"))
            continue
        lengths.append(_length(derivation, proved))
    return Comparison(tuple(lengths), in_numbers)


def shortest(circuit: Circuit, solution: Solution | None = None) -> str:
    """The name of the method by which a circuit takes the least to write, in symbols."""
    return compare(circuit, solution).shortest


def _length(derivation: Derivation, proved: int) -> MethodLength:
    return MethodLength(
        derivation.method,
        unknowns=len(derivation.together),
        lines=derivation.written_lines,
        symbols=derivation.written_symbols,
        proved=proved,
    )


def _much(length: MethodLength) -> str:
    return f"{length.symbols} symbols in {counted(length.lines, 'line')}"
