"""The one table of the forms in which a quiz is handed out: what is typed, how files end, who writes them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import PurePath

from ..legible import legible
from ..sheet.forms import FORMS, with_figures_beside
from . import qti_package
from .listed_items import as_csv, as_json
from .printed import PrintedQuiz, printed
from .qti_tree import QTI_22, QTI_30
from .quiz import Quiz

QuizFiles = dict[str, str | bytes]  # what is written, by the names of files


@dataclass(frozen=True, slots=True)
class QuizForm:
    """A form of output: its `name` as it is typed after `--as`, the `ending` of its file, who writes it.
    `printed`: it is a paper, and its key stands in a file beside it."""

    name: str
    ending: str
    write: Callable[[Quiz], str | bytes] | None = None

    @property
    def printed(self) -> bool:
        """Whether it is a paper with a key beside it."""
        return self.write is None


QUIZ_FORMS: Mapping[str, QuizForm] = {
    form.name: form
    for form in (
        QuizForm("qti30", ".zip", lambda quiz: qti_package.write(quiz, QTI_30)),
        QuizForm("qti22", ".zip", lambda quiz: qti_package.write(quiz, QTI_22)),
        QuizForm("json", ".json", lambda quiz: legible(as_json(quiz))),
        QuizForm("csv", ".csv", lambda quiz: legible(as_csv(quiz).replace("\r", "")).replace("\n", "\r\n")),
        *(QuizForm(form.name, form.ending) for form in FORMS.values()),
    )
}


def written(quiz: Quiz, form: str, name: str, *, resistors: str = "iec", paper: str = "") -> QuizFiles:
    """The files of one form, by their names: `name` is that of the first; a paper's key and figures stand
    beside. Raises KeyError for a form that there is not."""
    made = QUIZ_FORMS[form]
    if made.write is not None:
        return {name: made.write(quiz)}
    both = printed(quiz, resistors=resistors, paper=paper)
    return _paper(both, form, PurePath(name))


def _paper(both: PrintedQuiz, form: str, path: PurePath) -> QuizFiles:
    found: QuizFiles = {}
    for document, name in ((both.paper, path.name), (both.key, f"{path.stem}-key{path.suffix}")):
        shown, beside = document, dict[str, str]()
        if FORMS[form].links_figures:
            shown, beside = with_figures_beside(document, PurePath(name).stem)
        found[name] = FORMS[form].write(shown)
        found |= beside
    return found
