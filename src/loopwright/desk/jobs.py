"""What the workers of the desk can be asked: each job by its name, with plain values in and out.

This is where the desk meets the engine. It is loaded in the workers alone, never in the process that talks
with the page: `workers` names it, and has it loaded once in the process that workers are forked from.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from .annotated import annotated, next_step
from .answer import fault_on_the_wire, first, second
from .edits import edited
from .equations import begun_loop
from .handed_out import handed_out
from .lecture import lecture
from .moved import moved
from .on_paper import on_paper
from .plotting import plotted, request
from .said import said_of
from .side_by_side import side_by_side

_WARMING = """
[branches]
I1 = "a, +E1, R1, b"
I2 = "b, R2, a"
[numbers]
E1 = "9 V"
R1 = "2 ohm"
R2 = "1 ohm"
"""


def all_edits(text: str, edits: Sequence[Mapping[str, object]]) -> str:
    """The text after these edits, one after another."""
    for edit in edits:
        text = edited(text, edit)
    return text


def changed(text: str, edits: Sequence[Mapping[str, object]], like: str) -> tuple[str, str]:
    """The text after these edits, and what is said of the last of them. `like`: the text whose picture the
    paper keeps."""
    text = all_edits(text, [on_paper(edit, text, like) for edit in edits])
    return text, said_of(edits[-1], text) if edits else ""


def look(text: str, edits: Sequence[Mapping[str, object]], like: str) -> dict[str, object]:
    """What edits would make of a text, and the first answer to that; nothing is kept. `fault`: what is wrong
    on the wire that is being written."""
    made = all_edits(text, edits)
    branch = str(edits[-1].get("branch", "")) if edits else ""
    return {"text": made, "answer": first(made, like), "fault": fault_on_the_wire(made, branch)}


def plot(
    text: str, edits: Sequence[Mapping[str, object]], chosen: tuple[str, str, str], middle: float | None
) -> dict[str, object]:
    """A plot of what is chosen: a quantity, against which value, and perhaps a second one. `edits`: what of
    the text is not as it stands, as while a value moves."""
    return plotted(all_edits(text, edits), request(*chosen), middle)


def warm() -> None:
    """Works one small circuit, so that what is loaded when it is first used is loaded."""
    first(_WARMING)
    second(_WARMING)


JOBS: Mapping[str, Callable[..., object]] = {
    "changed": changed,
    "first": first,
    "second": second,
    "look": look,
    "loop": begun_loop,
    "moved": moved,
    "plot": plot,
    "methods": side_by_side,
    "next": next_step,
    "working": annotated,
    "out": handed_out,
    "board": lecture,
    "warm": warm,
}
