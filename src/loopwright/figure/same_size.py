"""Figures of one circuit in other numbers: all digits take the same room, so numbers of as many digits are
put where others stood.

The figure is made with one digit for every digit, remembered by the circuit that then remains, and the true
numbers are written in. A memory of bounded size; what is in it follows from the circuit alone.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Hashable, Mapping
from dataclasses import replace

from ..circuit.circuit import Circuit
from .drawing import Drawing, Drawn, Label, Whose
from .lettering import tidy_number
from .slots import written_internal

ANY = "8"  # the digit that stands for every other
MOST = 16  # figures remembered
_DIGIT = re.compile(r"\d")
_made: list[tuple[Hashable, Circuit, Drawing]] = []


def drawn_alike(circuit: Circuit, how: Hashable, make: Callable[[Circuit], Drawing]) -> Drawing:
    """What `make` draws of a circuit, taken from memory where it has been drawn in numbers of as many digits.
    `how`: all else that the drawing depends on."""
    shown = {name: tidy_number(text) for name, text in circuit.written.items()}
    written = {name: _masked(text) for name, text in circuit.written.items()}
    if any(tidy_number(text) != _masked(shown[name]) for name, text in written.items()):
        return make(circuit)  # a number of another look, such as a power of ten
    changes = circuit.numbers or written != circuit.written
    alike = replace(circuit, numbers={}, written=written) if changes else circuit
    drawing = next((drawing for by, of, drawing in _made if by == how and of == alike), None)
    if drawing is None:
        drawing = make(alike)
        _made.append((how, alike, drawing))
        del _made[:-MOST]
    numbers = {
        name: [shown[n] for n in (name, written_internal(circuit, name)) if n in shown]
        for name in circuit.elements
    }
    marks = (_true(mark, whose, numbers) for mark, whose in zip(drawing.marks, drawing.whose, strict=True))
    return replace(drawing, marks=tuple(marks))


def forget() -> None:
    """Forgets all figures; for measuring what it takes to draw one."""
    _made.clear()


def _masked(text: str) -> str:
    return _DIGIT.sub(ANY, text)


def _true(mark: Drawn, whose: Whose, numbers: Mapping[str, list[str]]) -> Drawn:
    """A mark with the number of its own element, or of the resistance inside it, in the place of the one
    drawn."""
    if not isinstance(mark, Label) or whose[0] != "element":
        return mark
    own = {_masked(number): number for number in numbers.get(whose[1], ())}
    return replace(mark, tail=tuple(replace(run, text=own.get(run.text, run.text)) for run in mark.tail))
