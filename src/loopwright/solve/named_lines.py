"""What named forms are made of: lines that each give a name its meaning, and the names still free.

A list of such lines is a straight way from the values of a circuit to its currents: short where the
closed forms written out are long. Knows no circuit.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import count

from ..algebra.ratios import Field, Ratio
from ..expressions.fold import by_signs, fold
from ..expressions.nodes import Expr, Symbol, written_symbols
from ..expressions.said import Said


@dataclass(frozen=True, slots=True)
class Definition:
    """One line: `name` is `body`, which holds only symbols of the circuit and names of lines above.

    `role`: what it stands for (`"resistance"`, `"conductance"`, `"potential"`, `"current"`, `"emf"`);
    `why`: the sentence that says why the line holds.
    """

    name: str
    body: Expr
    role: str
    why: Said = ()


class Naming:
    """The lines written so far, and which names are still free: no new name is one that the circuit
    uses."""

    def __init__(self, taken: Iterable[str]) -> None:
        self.taken = set(taken)
        self.lines: list[Definition] = []

    def lettered(self, letter: str) -> str:
        """The next free name of the row Ra, Rb, ..., Rz, Raa, ..."""
        return next(name for n in count() if (name := letter + _letters(n)) not in self.taken)

    def numbered(self, letter: str, wanted: str = "") -> str:
        """The name `letter` + `wanted` where that is free, else the letter with the next free number."""
        if wanted and letter + wanted not in self.taken:
            return letter + wanted
        return next(name for n in count(1) if (name := f"{letter}{n}") not in self.taken)

    def give(self, name: str, body: Expr, role: str, why: Said = ()) -> Symbol:
        """Writes the line down; its name is used up."""
        self.taken.add(name)
        self.lines.append(Definition(name, body, role, why))
        return Symbol(name)


def values_along(lines: Iterable[Definition], field: Field, names: Mapping[str, Ratio]) -> dict[str, Ratio]:
    """The exact value in `field` of every name that the lines give, line by line. `names`: values known
    before the first line.

    Raises ZeroDivisionError where a line divides by zero.
    """
    known = dict(names)
    for line in lines:
        known[line.name] = value_in(line.body, field, known)
    return known


def value_in(expr: Expr, field: Field, known: Mapping[str, Ratio]) -> Ratio:
    """The value of an expression, in lowest terms at every step: the lines share long denominators."""

    def called(name: str) -> Ratio:
        return known[name] if name in known else field.symbol(name)

    return fold(expr, by_signs(lambda number: field.number(number.value), called))


def written_length(lines: Sequence[Definition]) -> int:
    """How many symbols it takes to write the lines down, names included."""
    return sum(1 + written_symbols(line.body) for line in lines)


def _letters(number: int) -> str:
    text = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, 26)
        text = chr(ord("a") + rest) + text
    return text
