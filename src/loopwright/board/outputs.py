"""What is made of a lecture, in one table: what it is called, in which forms, and who writes it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from ..later import later
from ..sheet.document import Document
from ..sheet.forms import FORMS, with_figures_beside
from . import beamer, frames, html
from .captions import captions, chapters
from .handout import handout
from .room import USUAL_SHAPE
from .script import script
from .stage import Plan
from .timeline import Showing, planned
from .told_stages import description, recording

if TYPE_CHECKING:
    from .film import film
else:  # needs what only an extra brings
    film = later("loopwright.board.film", "film")

DOCUMENT = ("html", "pdf", "md", "tex", "say")
Files = dict[str, str | bytes]  # name -> content; the first is what was asked for


@dataclass(frozen=True, slots=True)
class OutputWishes:
    """How something is made of a lecture. `stem`: the beginning of the names of files; `form`: its form;
    `look`: `"dark"` or `"light"`; `shape`: of pictures, `"16:9"` or `"4:3"`; `paper`: `"a4"` or `"letter"`;
    `gaps`: what a handout leaves empty. `showings`: when which stage is shown, as reckoned where nothing is
    given."""

    stem: str
    form: str
    look: str = "dark"
    shape: str = USUAL_SHAPE
    paper: str = "a4"
    gaps: Sequence[str | int] = ()
    showings: Sequence[Showing] = ()


@dataclass(frozen=True, slots=True)
class BoardOutput:
    """Something made of a lecture: its `forms`, the usual one first, and its writer; `what` it is."""

    name: str
    what: str
    forms: tuple[str, ...]
    write: Callable[[Plan, OutputWishes], Files]


def _page(plan: Plan, wishes: OutputWishes) -> Files:
    return {f"{wishes.stem}.html": html.write(plan, look=wishes.look)}


def _document(document: Document, wishes: OutputWishes) -> Files:
    """A document in its form, with its figures beside where the form links them."""
    form = FORMS[wishes.form]
    beside: dict[str, str] = {}
    if form.links_figures:
        document, beside = with_figures_beside(document, wishes.stem)
    return {f"{wishes.stem}{form.ending}": form.write(document), **beside}


def _script(plan: Plan, wishes: OutputWishes) -> Files:
    return _document(script(plan, paper=wishes.paper), wishes)


def _handout(plan: Plan, wishes: OutputWishes) -> Files:
    return _document(handout(plan, wishes.gaps, paper=wishes.paper), wishes)


def _key(plan: Plan, wishes: OutputWishes) -> Files:
    return _document(handout(plan, wishes.gaps, filled=True, paper=wishes.paper), wishes)


def _slides(plan: Plan, wishes: OutputWishes) -> Files:
    return {f"{wishes.stem}.pdf": frames.slides(plan, look=wishes.look, shape=wishes.shape)}


def _beamer(plan: Plan, wishes: OutputWishes) -> Files:
    return {f"{wishes.stem}.tex": beamer.write(plan, shape=wishes.shape)}


def _notes(plan: Plan, wishes: OutputWishes) -> Files:
    return {f"{wishes.stem}.pdf": frames.notes(plan, paper=wishes.paper, shape=wishes.shape)}


def _frames(plan: Plan, wishes: OutputWishes) -> Files:
    form: Literal["png", "svg"] = "png" if wishes.form == "png" else "svg"
    made = frames.frames(plan, form, look=wishes.look, shape=wishes.shape)
    return {f"{wishes.stem}-{at:03}.{wishes.form}": content for at, content in enumerate(made, 1)}


def _description(plan: Plan, wishes: OutputWishes) -> Files:
    return _document(description(plan, wishes.showings, paper=wishes.paper), wishes)


def _recording(plan: Plan, wishes: OutputWishes) -> Files:
    return _document(recording(plan, wishes.showings, paper=wishes.paper), wishes)


def _captions(plan: Plan, wishes: OutputWishes) -> Files:
    stem, showings = wishes.stem, wishes.showings or planned(plan)
    return {
        f"{stem}.vtt": captions(showings),
        f"{stem.removesuffix('-captions')}-chapters.vtt": chapters(showings),
    }


def _film(plan: Plan, wishes: OutputWishes) -> Files:
    showings = wishes.showings or planned(plan)
    return {f"{wishes.stem}.mp4": film(plan, showings, look=wishes.look, shape=wishes.shape)}


OUTPUTS: Mapping[str, BoardOutput] = {
    output.name: output
    for output in (
        BoardOutput("board", "the page for the lecture hall", ("html",), _page),
        BoardOutput("script", "what is said, with times", DOCUMENT, _script),
        BoardOutput("handout", "its lines, chosen ones left empty", DOCUMENT, _handout),
        BoardOutput("key", "the handout filled in", DOCUMENT, _key),
        BoardOutput("slides", "one page a stage", ("pdf",), _slides),
        BoardOutput("notes", "four frames on a page, with rules to write on", ("pdf",), _notes),
        BoardOutput("beamer", "source for slides in LaTeX, an overlay a stage", ("tex",), _beamer),
        BoardOutput("frames", "every stage as a picture, numbered", ("svg", "png"), _frames),
        BoardOutput("description", "what is to be seen, for those who cannot", DOCUMENT, _description),
        BoardOutput("recording", "the page beside a recording", DOCUMENT, _recording),
        BoardOutput("captions", "captions and chapters of a recording", ("vtt",), _captions),
        BoardOutput("film", "a silent film with captions and chapters", ("mp4",), _film),
    )
}


def made_of(plan: Plan, name: str, wishes: OutputWishes) -> Files:
    """What is asked for by its name, as files by name."""
    return OUTPUTS[name].write(plan, wishes)
