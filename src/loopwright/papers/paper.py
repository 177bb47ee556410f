"""One paper and its key, as documents: several problems one after another, each with its own numbers.

What a problem says, and its working in the key, are the blocks of its sheet; nothing is worked here. A key is
given out only if the ledger of every sheet in it has passed, and if the numbers of the table of answers,
which are found by another route, are those of its sheet.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from fractions import Fraction

from ..circuit.circuit import Circuit
from ..errors import BrokenPromise
from ..expressions.said import OwnWords, as_text, counted
from ..expressions.terms import LANGUAGE, in_terms
from ..sheet.build import FullSheet, sheet
from ..sheet.document import (
    Block,
    Document,
    Listing,
    Masthead,
    Paragraph,
    ProblemHead,
    Table,
    Text,
    WorkingRoom,
)
from ..sheet.document_terms import document_in_terms
from ..sheet.problem_sheet import BUILT, ProblemSheet
from ..sheet.sheets import Sheet
from ..sheet.storage_sheet import StorageSheet
from ..transients.timed_numbers import number_of
from .answers import SEE_KEY, PaperAnswer, paper_answers
from .codes import drawn
from .plan import PaperPlan, PaperWishes, StudentPaper

BLANK = "_" * 22  # what is filled in by hand
HOW = (
    "Show your working. Arrows and loops of your own are right as well if you draw them. "
    "Give every result with its sign and its unit."
)


def student_paper(plan: PaperPlan, paper: StudentPaper) -> Document:
    """The paper that is handed out."""
    wishes = plan.wishes
    told = f"{counted(len(plan.problems), 'problem')}, {counted(sum(plan.points), 'point')}."
    opening: list[Block] = [
        Masthead((*_whose(plan, paper), (told.capitalize(),)), paper.code, drawn(paper.code))
    ]
    parts: list[Block] = []
    for at, circuit in enumerate(paper.circuits):
        made = _sheet(circuit, wishes.edition, wishes)
        parts.append(_head(plan, at, circuit, made, leaf=at > 0 and wishes.room > 0))
        if isinstance(made, ProblemSheet):
            built = in_terms(BUILT, wishes.terms)
            parts += [block for block in made.document.blocks if block != Paragraph((built,))]
            parts += [WorkingRoom("Working", wishes.room)] if wishes.room else []
            parts.append(_to_fill_in(circuit))
        else:
            parts += made.document.blocks
    if wishes.edition == "problem":
        opening.append(Paragraph((f"{HOW} {BUILT}",)))
    return set_of(wishes, wishes.title, opening, parts, paper.code)


def paper_key(plan: PaperPlan, paper: StudentPaper) -> Document:
    """Its key. Raises BrokenPromise where a check of ours fails."""
    wishes = plan.wishes
    opening: list[Block] = [
        Masthead((("For whoever marks; not to be handed out.",),), paper.code, drawn(paper.code))
    ]
    parts: list[Block] = []
    for at, circuit in enumerate(paper.circuits):
        made = _sheet(circuit, wishes.key, wishes)
        found = paper_answers(circuit)
        _hold(made, found, paper.code)
        parts.append(_head(plan, at, circuit, made, leaf=at > 0))
        parts += in_terms_of(wishes, [_answers(found)], circuit.own_words)
        parts += made.document.blocks
    return set_of(wishes, f"{wishes.title}: key", opening, parts, paper.code)


def _whose(plan: PaperPlan, paper: StudentPaper) -> tuple[Text, ...]:
    """The lines that say whose paper it is; where it bears a code in place of a name, that it does."""
    if not plan.wishes.named:
        return (("Write no name: the code stands for you.",),)
    name: Text = ("Name: ", OwnWords(paper.entry.name)) if paper.entry.name else (f"Name: {BLANK}",)
    return (name, ("Student: ", OwnWords(paper.entry.student)))


def heading(plan: PaperPlan, at: int, circuit: Circuit) -> str:
    """The head of a problem: its number, title and points."""
    title = circuit.title or "Circuit"
    word = "point" if plan.points[at] == 1 else "points"
    return f"{at + 1}. {title} ({plan.points[at]} {word})"


def _head(plan: PaperPlan, at: int, circuit: Circuit, made: Sheet, *, leaf: bool) -> ProblemHead:
    return ProblemHead(heading(plan, at, circuit), made.document.roles, leaf)


def _sheet(circuit: Circuit, edition: str, wishes: PaperWishes) -> Sheet:
    return sheet(circuit, edition=edition, paper=wishes.paper, terms=wishes.terms, resistors=wishes.resistors)


def _to_fill_in(circuit: Circuit) -> Listing:
    """A line for each answer, below the room for working; a question with an equals sign of its own ends in a
    colon."""
    return Listing(
        tuple(
            (*answer.asked, f"{':' if '=' in as_text(answer.asked) else ' ='} {BLANK}")
            for answer in paper_answers(circuit)
        )
    )


def _answers(found: Sequence[PaperAnswer]) -> Table:
    rows = tuple(
        (answer.asked, ("see below" if answer.shown == SEE_KEY else answer.shown,), (answer.within,))
        for answer in found
    )
    return Table("Answers", (("asked",), ("answer",), ("right within",)), rows)


def _hold(made: Sheet, found: Sequence[PaperAnswer], code: str) -> None:
    """Raises BrokenPromise unless the sheet has a ledger that passed and, worked in closed forms, the answers
    of the table."""
    ledger = getattr(made, "ledger", None)
    if ledger is None or not ledger.passed:
        raise BrokenPromise(f"the key of {code} is not proved by a ledger")
    if isinstance(made, FullSheet) and made.circuit.has_all_numbers:
        numbers = made.circuit.numbers
        own: list[Fraction | None] = [
            a.value.value({name: numbers[name] for name in a.value.held()}) for a in made.answers
        ]
    elif isinstance(made, StorageSheet) and made.circuit.has_all_numbers:
        circuit = made.stages[-1].circuit
        own = [number_of(value, circuit) for value in made.values]
    else:
        return
    if own != [answer.value for answer in found[: len(own)]]:
        raise BrokenPromise(f"the answers of the key of {code} differ by two routes")


def set_of(
    wishes: PaperWishes, title: str, opening: Sequence[Block], parts: Sequence[Block], code: str = ""
) -> Document:
    """A document of the set: `opening` is ours and still in British terms, `parts` are ready."""
    foot = f"{wishes.title} · {code}" if code else wishes.title
    blocks = (*in_terms_of(wishes, opening), *parts)
    return Document(title, blocks, language=LANGUAGE[wishes.terms], paper=wishes.paper, foot=foot)


def in_terms_of(wishes: PaperWishes, blocks: Sequence[Block], own: Collection[str] = ()) -> tuple[Block, ...]:
    """Blocks of ours in the terms wished for; those of sheets are in them already."""
    return document_in_terms(Document("", tuple(blocks)), wishes.terms, own).blocks
