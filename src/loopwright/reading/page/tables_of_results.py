"""Tables of what resistors have, or of quantities: each cell is put in words as people write them in a line.

    |    | U      | I      | P      |     |      | R1  | R2   |     | I1     | I2     |
    | R1 | 9.40 V | 3.48 A | 32.7 W |     | U/V  | 9.4 | 11.7 |     | 3.48 A | 3.00 A |

`R1: 9.40 V`, `V(R1) = 9.4 V`, `I1 = 3.48 A`. Columns stand between bars, tabs or wide gaps. Common practice,
no source.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from ...circuit.elements import Kind
from .mapped import Mapped
from .naming import NamesInUse, name_of
from .tables_of_parts import RULE, CellSaid

_EDGE = re.compile(r"\s*[|;\t]\s*|\s{2,}")  # markup off, bars are semicolons
_UNIT = r"(?:[mkµ]?[AVW])"
_OF = rf"\s*(?:(?:[(\[]|/|in\s)\s*(?P<unit>{_UNIT})\s*[)\]]?)?"
_KIND = re.compile(
    rf"(?P<kind>[UuVvIiPp]|current|voltage|drop|power|strom|spannung|leistung|courant|tension|puissance|"
    rf"corriente|tensi[oó]n|potencia){_OF}",
    re.IGNORECASE,
)
_KINDS = {
    **dict.fromkeys(("u", "v", "voltage", "drop", "spannung", "tension", "tensión"), "V"),
    **dict.fromkeys(("i", "current", "strom", "courant", "corriente"), "A"),
    **dict.fromkeys(("p", "power", "leistung", "puissance", "potencia"), "W"),
}
_NAMED = re.compile(rf"(?P<name>[^\W\d_][\w{{}}′']{{0,8}}){_OF}")
_AMOUNT = re.compile(rf"(?P<number>[-−–+]?\s?\d+(?:\.\d+)?)\s?(?P<unit>{_UNIT})?")
_LEAST = 2  # columns, or quantities


@dataclass(frozen=True, slots=True)
class _Head:
    """What stands at the top of the columns of a table, by their place; `of`: the column that has the head of
    each row, none in a table of quantities."""

    columns: dict[int, str]
    of: int | None


def rows_of_results(lines: Sequence[Mapped], names: NamesInUse) -> list[tuple[CellSaid, ...]]:
    """What the cells of each line say in words, where it is a row of such a table; else nothing."""
    found: list[tuple[CellSaid, ...]] = []
    head: _Head | None = None
    for line in lines:
        told = tuple[CellSaid, ...]()
        if line.text.strip() and not RULE.fullmatch(line.text):
            cells = _cells(line)
            told = _row(cells, head, names) if head is not None else ()
            head = head if told else _head(cells, names)
        found.append(told)
    return found


def _cells(line: Mapped) -> list[Mapped]:
    """The cells of a row, also those with nothing in them, without what is outside the first and last bar."""
    text = line.text.rstrip()
    start = len(text) - len(text.lstrip()) if not text.lstrip().startswith((";", "|")) else 0
    found: list[Mapped] = []
    for edge in _EDGE.finditer(text):
        if edge.start() > start or found or edge[0].strip():
            found.append(line.part(start, edge.start()))
        start = edge.end()
    found.append(line.part(start, len(text)))
    while found and not found[-1].text.strip():
        found.pop()
    return found[1:] if found and text.lstrip().startswith((";", "|")) else found


def _head(cells: Sequence[Mapped], names: NamesInUse) -> _Head | None:
    heads = {at: cell.text.strip() for at, cell in enumerate(cells)}
    heads = {at: text for at, text in heads.items() if text}
    for test in (lambda text: _KIND.fullmatch(text), lambda text: _resistor(text, names)):
        columns = {at: text for at, text in heads.items() if test(text)}
        if len(columns) >= _LEAST and not any("=" in text for text in heads.values()):
            return _Head(columns, 0 if 0 not in columns else -1)
    quantities = {at: text for at, text in heads.items() if _quantity(text, names)}
    return _Head(quantities, None) if len(quantities) == len(heads) >= _LEAST else None


def _row(cells: Sequence[Mapped], head: _Head, names: NamesInUse) -> tuple[CellSaid, ...]:
    """What the cells of a row say; nothing where it is none of the table. A row that begins with its name is
    moved by one where the head has no cell above that."""
    of, shift = head.of, 0
    if of == -1 or (of == 0 and len(cells) == max(head.columns)):
        of, shift = 0, (1 if of == -1 else -1)
    found: list[CellSaid] = []
    for at, top in head.columns.items():
        place = at + shift
        if place >= len(cells) or place == of:
            continue
        amount = _AMOUNT.fullmatch(cells[place].text.strip())
        if amount is None:
            if "=" in cells[place].text:
                return ()
            continue
        words = _words(top, amount, names) if of is None else ""
        words = words or ("" if of is None else _of_both(cells[of].text.strip(), top, amount, names))
        if not words:
            return ()
        found.append(CellSaid(words, cells[place].places[0], cells[place].places[-1]))
    return tuple(found)


def _words(top: str, amount: re.Match[str], names: NamesInUse) -> str:
    named = _NAMED.fullmatch(top)
    unit = amount["unit"] or (named["unit"] if named else "") or ""
    return f"{named['name']} = {amount['number']} {unit}".rstrip() if named else ""


def _of_both(first: str, top: str, amount: re.Match[str], names: NamesInUse) -> str:
    """What a cell says of a resistor that is named on one edge of a table, of the kind that is named on the
    other."""
    resistor, kind = _resistor(first, names), _KIND.fullmatch(top)
    if not resistor or kind is None:
        resistor, kind = _resistor(top, names), _KIND.fullmatch(first)
    if not resistor or kind is None:
        return ""
    what, unit = _KINDS[kind["kind"].lower()], amount["unit"] or kind["unit"] or ""
    if unit and unit[-1] != what:
        return ""
    if unit:
        return f"{resistor}: {amount['number']} {unit}"
    had = {"A": names.circuit.branch_of(resistor).name}.get(
        what, f"{'V' if what == 'V' else 'P'}({resistor})"
    )
    return f"{had} = {amount['number']}"


def _resistor(written: str, names: NamesInUse) -> str:
    """The resistor of the circuit that a cell names; empty for anything else."""
    name = names.read(name_of(written))[0] if _NAMED.fullmatch(written) else ""
    is_one = name in names.met and names.circuit.elements[name].kind is Kind.RESISTOR
    return name if is_one else ""


def _quantity(written: str, names: NamesInUse) -> bool:
    """Whether a cell names a current, a voltage or a power."""
    named = _NAMED.fullmatch(written)
    read = names.readings(name_of(named["name"])) if named else ()
    return len(read) == 1 and (read[0] in names.circuit.currents or read[0].startswith(("V(", "P(")))
