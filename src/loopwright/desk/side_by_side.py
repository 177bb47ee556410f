"""The methods of working a circuit side by side, in HTML: what each takes to write, which is the shortest and
why, and two derivations beside one another. Knows no web.
"""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from ..circuit.circuit import Circuit
from ..methods.compare import Comparison, MethodLength, compare
from ..methods.methods import derive, derive_in_numbers
from ..sheet.document import Block, Document, Heading
from ..sheet.html import fragments
from ..sheet.method_blocks import method_blocks
from ..sheet.printable import is_printable
from ..sheet.sheets import roles
from ..solve.exact import solve, well_posed
from .answer import formulas_of, own_lines
from .equations import ForPage
from .read_once import sound

MOST_BESIDE = 2


def side_by_side(text: str, beside: Sequence[str] = ()) -> ForPage:
    """All methods for the circuit of a text, and the derivations by those named in `beside`, two at most.

    Raises FaultyMaterial where the text is no sound circuit with one answer, or a method does not serve it.
    """
    circuit = sound(text)
    in_numbers = not is_printable(well_posed(circuit)) and circuit.has_all_numbers
    compared = compare(circuit, solve(circuit), in_numbers=in_numbers)
    chosen = [e.method for e in compared.serving if e.method in beside][:MOST_BESIDE]
    blocks = [b for method in chosen for b in _working(circuit, method, in_numbers=in_numbers)]
    document = Document(circuit.title, tuple(blocks), roles(circuit))
    sections, _ = fragments(document)
    formulas = formulas_of(document)
    ways = "".join(
        f"<div><h3>{escape(title)}</h3>{own_lines(html, f'way-{number}', formulas)}</div>"
        for number, (title, html) in enumerate(sections)
    )
    return {"html": f'{_table(compared, chosen)}<div class="sides">{ways}</div>'}


def _table(compared: Comparison, chosen: Sequence[str]) -> str:
    kind = "in numbers" if compared.in_numbers else "in symbols"
    head = "".join(
        f'<th scope="col">{name}</th>' for name in ("Method", "Unknowns", "Lines", "Symbols", "Beside")
    )
    rows = "".join(_row(each, compared, chosen) for each in compared.lengths)
    return (
        '<div class="table" tabindex="0" role="group" aria-label="Methods compared"><table>'
        "<caption>Each worked out "
        f"{kind}, every line proved</caption><thead><tr>{head}</tr></thead><tbody>{rows}</tbody>"
        "</table></div>"
        f"<p>{escape(compared.reason)} {escape(compared.agreement)}</p>"
    )


def _row(each: MethodLength, compared: Comparison, chosen: Sequence[str]) -> str:
    name = escape(each.method)
    if not each.serves:
        return (
            f'<tr><th scope="row">{name}</th><td colspan="4">does not serve: {escape(each.why_not)}</td></tr>'
        )
    shortest = " (shortest)" if each.method == compared.shortest else ""
    box = (
        f'<input type="checkbox" id="beside:{name}"{" checked" if each.method in chosen else ""} '
        f'aria-label="Show {name} beside" data-beside="{name}">'
    )
    numbers = "".join(f"<td>{number}</td>" for number in (each.unknowns or "none", each.lines, each.symbols))
    return f'<tr><th scope="row">{name}{shortest}</th>{numbers}<td>{box}</td></tr>'


def _working(circuit: Circuit, method: str, *, in_numbers: bool) -> list[Block]:
    """One derivation under the name of its method."""
    symbols = None if in_numbers else derive(circuit, method=method)
    numbers = derive_in_numbers(circuit, method=method) if in_numbers else None
    shown = method_blocks(circuit, symbols, numbers, "iec")
    return [Heading(method.capitalize()), *(block for block in shown if not isinstance(block, Heading))]
