"""The one table of the forms a document is written in, for `Sheet` and for every command.

It stands beside the writers and not in `show`, because a `Sheet` offers the same forms by name. What is
typed, how a file ends and who writes are said here once; a new form is one writer file and one row.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Generic, TypeVar

from ..figure.svg import svg
from ..later import later
from ..legible import legible
from .document import Block, Document, Picture

if TYPE_CHECKING:
    from . import html, latex, markdown, pdf, spoken
else:  # of the five writers a run needs one, as a rule
    html = later("loopwright.sheet.html")
    latex = later("loopwright.sheet.latex")
    markdown = later("loopwright.sheet.markdown")
    pdf = later("loopwright.sheet.pdf")
    spoken = later("loopwright.sheet.spoken")

Content = TypeVar("Content", str, bytes)


@dataclass(frozen=True, slots=True)
class OutputForm(Generic[Content]):
    """A form of output: its `name` as it is typed after `--as`, the `ending` of its files, its writer.
    `links_figures`: it cannot hold a drawing, and links one that stands in a file beside."""

    name: str
    ending: str
    write: Callable[[Document], Content]
    links_figures: bool = False


def _legible(write: Callable[[Document], str]) -> Callable[[Document], str]:
    """A writer of text that leaves nothing in it by which a title or a working could steer who shows it."""
    return lambda document: legible(write(document))


HTML = OutputForm("html", ".html", _legible(lambda document: html.write(document)))
PDF = OutputForm(
    "pdf", ".pdf", lambda document: pdf.write(document)
)  # set there is nothing that cannot be seen
LATEX = OutputForm("tex", ".tex", _legible(lambda document: latex.write(document)))
MARKDOWN = OutputForm("md", ".md", _legible(lambda document: markdown.write(document)), links_figures=True)
SPOKEN = OutputForm("say", ".txt", _legible(lambda document: spoken.write(document)))

FORMS: Mapping[str, OutputForm[str] | OutputForm[bytes]] = {
    form.name: form for form in (HTML, PDF, LATEX, MARKDOWN, SPOKEN)
}


def with_figures_beside(document: Document, stem: str) -> tuple[Document, dict[str, str]]:
    """The document with its pictures in files of their own (`STEM-figure.svg`), and what these hold."""
    beside: dict[str, str] = {}
    blocks: list[Block] = []
    for block in document.blocks:
        if isinstance(block, Picture):
            number = f"-{len(beside) + 1}" if beside else ""
            name = f"{stem}-figure{number}.svg"
            beside[name] = svg(block.drawing, block.caption or document.title, block.alternative)
            blocks.append(replace(block, file=name))
        else:
            blocks.append(block)
    return replace(document, blocks=tuple(blocks)), beside
