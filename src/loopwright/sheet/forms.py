"""The one table of the forms a document is written in, for `Sheet` and for every command.

It stands beside the writers and not in `show`, because a `Sheet` offers the same forms by name. What is
typed, how a file ends and who writes are said here once; a new form is one writer file and one row.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Generic, TypeVar

from . import html, latex, markdown, pdf, spoken
from .document import Document

Content = TypeVar("Content", str, bytes)


@dataclass(frozen=True, slots=True)
class OutputForm(Generic[Content]):
    """A form of output: its `name` as it is typed after `--as`, the `ending` of its files, its writer."""

    name: str
    ending: str
    write: Callable[[Document], Content]


HTML = OutputForm("html", ".html", html.write)
PDF = OutputForm("pdf", ".pdf", pdf.write)
LATEX = OutputForm("tex", ".tex", latex.write)
MARKDOWN = OutputForm("md", ".md", markdown.write)
SPOKEN = OutputForm("say", ".txt", spoken.write)

FORMS: Mapping[str, OutputForm[str] | OutputForm[bytes]] = {
    form.name: form for form in (HTML, PDF, LATEX, MARKDOWN, SPOKEN)
}
