"""Letters in a figure: names into base and subscript, values as they are written, and how wide it all is.

Quantities stand in italics, units and numbers upright (ISO 80000-1, from memory).
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache

from ..circuit.circuit import Circuit
from ..circuit.elements import Kind, SwitchMove
from ..expressions.nodes import Expr, Negative, Number, Symbol
from ..expressions.notation import split_name
from ..expressions.values import symbols_of
from ..expressions.writers import plain
from ..quantities import STORED, UNITS, UnreadableQuantity, read_quantity, rounded
from .drawing import Label, Run

CAPITALS = 0.66  # height of capitals to size of the type: book faces lie between 0.64 and 0.67
LOWERED = 0.72  # size of a subscript to that of its base
SCRIPT_E = "ℰ"
DROP = 0.30  # how far a subscript is lowered, to the height of the capitals

# Widths of letters in sizes of the type, rounded up over common book faces (Times, Libertinus, Latin Modern).
_WIDTHS = {
    **dict.fromkeys("ijl.,:;'′|I()[]ft/ r", 0.37),
    **dict.fromkeys("abcdeghknopqsuvxyz0123456789", 0.53),
    **dict.fromkeys("ABCDEFGKLPRSTVXYZ+=−<>≈·", 0.70),
    **dict.fromkeys("HNOQUwmΩ&", 0.80),
    **dict.fromkeys("MW", 0.96),
    " ": 0.27,
    "ℰ": 0.60,
}
_HANGING = frozenset("gjpqy,()|")
_SYMBOL = re.compile(r"[^\W\d_][^\W_]*['′]*")


def width_of(label: Label) -> float:
    """How wide a label is in mm, rather too wide than too narrow."""
    return label_size(label)[0]


def label_size(label: Label) -> tuple[float, float]:
    """How wide a label is in mm, and how far it hangs below its capitals, in their heights."""
    return _size_of(label.base, label.sub, label.aside, label.tail, label.size)


@lru_cache(maxsize=1024)
def _size_of(base: str, sub: str, aside: str, tail: tuple[Run, ...], size: float) -> tuple[float, float]:
    runs = Label(base, (0.0, 0.0), sub, aside, size=size, tail=tail).runs
    hangs = any(run.lowered or set(run.text) & _HANGING for run in runs)
    return sum(run_width(run, size) for run in runs), 0.32 if hangs else 0.06


def run_width(run: Run, size: float, *, loose: bool = True) -> float:
    """How wide a run is in mm: at most, or (not `loose`) as a rule."""
    scale = size / CAPITALS * (LOWERED if run.lowered else 1) * (1.0 if loose else 0.95)
    return scale * sum(_WIDTHS.get(letter, 0.75) for letter in run.text)


def name_label(name: str, size: float, *, emf: bool = False) -> Label:
    """A quantity by its name: `R1` is R with subscript 1; an emf E is a script ℰ as in formulas."""
    base, sub, italic = _name_parts(name, emf)
    return Label(base, (0.0, 0.0), sub, italic=italic, size=size)


def _name_parts(name: str, emf: bool = False) -> tuple[str, str, bool]:
    base, sub, primes = split_name(name)
    if emf and base == "E":
        return SCRIPT_E, sub + "′" * primes, False
    return base, sub + "′" * primes, len(base) == 1


MOVES = ("closes", "opens", "moves")  # what is written beside a switch; the last where it moves often


def value_runs(circuit: Circuit, value: Expr, name: str) -> tuple[Run, ...]:
    """What stands for the value of an element `name`: a number with its unit, an expression, or nothing."""
    if name in circuit.elements and circuit.elements[name].kind is Kind.SWITCH:
        own = [move for move in circuit.switching if move.switch == name]
        return tuple(run for move in own for run in _move_runs(move, own))
    bare = value.body if isinstance(value, Negative) else value
    if isinstance(bare, Number) and bare.unit:
        return (Run(plain.render(value)),)
    if value != Symbol(name):
        emfs = [s for s in symbols_of(value) if circuit.role(s) is Kind.BATTERY]
        return expression_runs(plain.render(value), emfs)
    number = tidy_number(circuit.written.get(name, ""))
    return (Run(number),) if number else ()


def _move_runs(move: SwitchMove, own: Sequence[SwitchMove]) -> tuple[Run, ...]:
    """What one of a switch's own moves does, and when: `opens at t1`."""
    often, first = len(own) > 2, move is own[0]
    what = f"{'' if first else ', '}{MOVES[0] if move.after else MOVES[1]} at"
    if often:  # the figure shows how it stands before the first: to and fro from there
        what = f"{MOVES[2]} at" if first else ","
    return (Run(f"{what} "), *_symbol_runs(move.at)) if move.at else (Run(f"{what} t = 0"),)


@lru_cache(maxsize=1024)
def tidy_number(text: str) -> str:
    """A number with its unit as it is printed: `"47 ohm"`, `"4k7"`, `"4.7e3 ohm"` give `"47 Ω"`, `"4.7 kΩ"`
    and `"4.7 kΩ"`."""
    try:
        quantity = read_quantity(text, (*UNITS, *STORED))
    except UnreadableQuantity:
        return text
    if "e" in quantity.digits:  # a prefix in place of a power of ten, with as many figures
        quantity = rounded(quantity.value, quantity.unit, quantity.figures)
    return f"{quantity.digits} {quantity.symbol}".strip()


def expression_runs(text: str, emfs: Sequence[str] = ()) -> tuple[Run, ...]:
    """A formula in plain signs as runs of one style each; `emfs`: the symbols in it that are emfs."""
    runs: list[Run] = []
    at = 0
    for found in _SYMBOL.finditer(text):
        if found.start() > at:
            runs.append(Run(text[at : found.start()]))
        runs.extend(_symbol_runs(found[0], found[0] in emfs))
        at = found.end()
    if at < len(text):
        runs.append(Run(text[at:]))
    return tuple(runs)


def _symbol_runs(name: str, emf: bool = False) -> tuple[Run, ...]:
    base, sub, italic = _name_parts(name, emf)
    return (Run(base, italic), Run(sub, lowered=True)) if sub else (Run(base, italic),)
