"""Acts on what a file asks for by itself: the loops that are travelled, and the plots on the sheet."""

from __future__ import annotations

from ..errors import FaultyMaterial
from ..findings import Finding
from ..problem.loops_key import loop_text, read_loop
from ..problem.problem_text import quoted
from .kept_layout import with_item, with_items, with_value, without_key
from .looking import Act, Tables, texts_of, word_of


def choose_loops(text: str, content: Tables, edit: Act) -> str:
    """Names the loops that are to be travelled, or, with none, leaves them to be chosen."""
    wanted = edit.get("loops")
    loops = (
        [read_loop(x) if isinstance(x, str) else None for x in wanted] if isinstance(wanted, list) else [None]
    )
    if not loops:
        return without_key(text, ("loops",))
    told = [quoted(loop_text(loop)) for loop in loops if loop is not None]
    if len(told) < len(loops):
        mend = 'A loop is its currents in the order of travel, such as "I1 - I2".'
        raise FaultyMaterial(Finding("desk/no-loop", "loops is no list of loops.", mend))
    return with_value(text, ("loops",), f"[{', '.join(told)}]")


def choose_plot(text: str, content: Tables, edit: Act) -> str:
    """Puts a plot on the sheet, or takes it off; what is there, or not there, already stays so."""
    request = word_of(edit, "request")
    there = texts_of(content.get("plots", []))
    at = [number for number, each in enumerate(there) if _same(each, request)]
    if not edit.get("keep"):
        return (
            without_key(text, ("plots",))
            if len(at) == len(there)
            else with_items(text, ("plots",), dict.fromkeys(at))
        )
    return text if at else with_item(text, "plots", request)


def _same(one: str, other: str) -> bool:
    """Whether two requests say the same but for blanks."""
    return "".join(one.split()) == "".join(other.split())
