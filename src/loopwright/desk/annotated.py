"""Somebody's working, line by line, as the page shows it beside their text: what is said of each line, which
elements and currents it is about, the mend that can be taken over, and what would be the next step. In HTML.
Knows no web.
"""

from __future__ import annotations

from html import escape

from ..circuit.circuit import Circuit
from ..errors import FaultyMaterial
from ..expressions.nodes import Equation, Expr
from ..expressions.said import Said, as_text
from ..expressions.values import symbols_of
from ..finish.finish import finish
from ..finish.finished import LEVELS
from ..reading.judge import read_working
from ..reading.remarks import Remarked, Standing
from ..reading.verdicts import Verdict
from ..sheet.html import running_text
from ..sheet.sheets import roles
from .equations import ForPage
from .read_once import sound


def annotated(text: str, working: str) -> str:
    """A working of the circuit of a text, read; or why it cannot be."""
    try:
        circuit = sound(text)
        reading = read_working(circuit, working)
    except FaultyMaterial as trouble:
        return "".join(f'<li class="untrue">{escape(f"{f.message} {f.mend}")}</li>' for f in trouble.findings)
    lines = [_line(circuit, each, reading.verdicts) for each in reading.remarks if each.line.text.strip()]
    closing = [f"<li><p>{running_text(said, roles(circuit))}</p></li>" for said in reading.closing]
    return "".join((*lines, *closing))


def next_step(text: str, working: str, level: int) -> ForPage:
    """The next step of a working at a level of help: which law is missing, where, its equation, the line.
    `line`: the line itself, at the last level. Raises FaultyMaterial where there is none to tell."""
    circuit = sound(text)
    rest = finish(read_working(circuit, working))
    said = rest.what_next(level)
    last = level == LEVELS[-1] and not rest.is_finished
    head = "" if rest.is_finished else f"<strong>Next step, {level} of {len(LEVELS)}.</strong> "
    return {
        "html": f"{head}{running_text(said, roles(circuit))}",
        "said": as_text(said),
        "line": rest.lines[0].as_text() if last else "",
    }


def _line(circuit: Circuit, each: Remarked, verdicts: tuple[Verdict, ...]) -> str:
    own = [v for v in verdicts if v.line == each.line.number]
    wrong = next((v for v in own if not v.holds), None)
    untrue = each.standing in (Standing.UNTRUE, Standing.CARRIED, Standing.UNREAD)
    mended = "" if wrong is None else _mended(each.line.text, wrong)
    said = " ".join(map(as_text, each.remarks))
    heard = escape(f"Line {each.line.number}: {each.line.text}. {each.standing}. {said}")
    mend = f'<button type="button" class="mend">take over {escape(mended)} (m)</button>' if mended else ""
    remarks = "".join(f"<p>{running_text(remark, roles(circuit))}</p>" for remark in each.remarks)
    return (
        f'<li id="line:{each.line.number}"{" class=untrue" if untrue else ""} tabindex="0" '
        f'aria-label="{heard}" '
        f'data-lights="{escape(" ".join(_about(circuit, each, wrong)))}" data-number="{each.line.number}" '
        f'data-mended="{escape(mended)}"><code>{escape(each.line.text)}</code> '
        f"<strong{' class=fault' if untrue else ''}>{escape(each.standing)}</strong>{remarks}{mend}</li>"
    )


def _mended(text: str, wrong: Verdict) -> str:
    """The line with its false claim put right; empty where no mend was found."""
    if not wrong.repairs:
        return ""
    claim = wrong.claim
    return text[: claim.start] + as_text((wrong.repairs[0].mended,)) + text[claim.end :]


def _about(circuit: Circuit, each: Remarked, wrong: Verdict | None) -> list[str]:
    """What is lit in the figure: where a line is wrong what the slip names, else all that the line names."""
    said: Said = wrong.repairs[0].said if wrong is not None and wrong.repairs else each.read
    named = {name for piece in said if not isinstance(piece, str) for name in _names(piece)}
    known = (*circuit.currents, *circuit.elements)
    found = [name for name in known if name in named]
    return [name for name in found if name in circuit.elements] or found


def _names(piece: Expr | Equation) -> tuple[str, ...]:
    if isinstance(piece, Equation):
        return (*symbols_of(piece.left), *symbols_of(piece.right))
    return symbols_of(piece)
