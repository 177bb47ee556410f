"""The cover of a set: for whoever hands the papers out, and for whoever marks them, what to look for.

It holds nothing of any student. What it says of a problem holds for all its versions, and is worked from the
problem itself: the closed forms, the signs that all versions share, between what the answers lie, the slips
most usual in such equations, and the checks that catch them.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from contextlib import suppress
from dataclasses import replace
from fractions import Fraction

from ..algebra.ratios import Ratio
from ..circuit.circuit import Circuit
from ..circuit.in_time import changes
from ..circuit.targets import targets
from ..errors import FaultyMaterial
from ..expressions.nodes import Symbol
from ..expressions.said import counted, in_a_row
from ..expressions.tidy import tidy
from ..figure.describe import describe
from ..figure.figure import draw, is_drawn
from ..sheet.document import (
    Block,
    DisplayedLine,
    Document,
    Heading,
    Listing,
    Paragraph,
    Picture,
    ProblemHead,
    Table,
    Text,
)
from ..sheet.printable import is_printable
from ..sheet.sheets import roles
from ..sheet.timed_words import asked_in_time
from ..slips.catalogue import CATALOGUE
from ..slips.slip_table import slip_table
from ..slips.slips_in_time import SlipsInTime
from ..solve.asked import value_of
from ..solve.exact import solve
from ..transients.transient import before
from .answers import PaperAnswer, is_steady, paper_answers
from .paper import heading, in_terms_of, set_of
from .plan import PaperPlan

SLIPS_TOLD = 6  # of the most usual ones


def cover(plan: PaperPlan) -> Document:
    """The cover of a set of papers."""
    parts: list[Block] = []
    for at, problem in enumerate(plan.problems):
        parts.append(ProblemHead(heading(plan, at, problem), roles(problem)))
        parts += in_terms_of(plan.wishes, _problem(plan, at, problem), problem.own_words)
    return set_of(plan.wishes, f"{plan.wishes.title}: cover", _opening(plan), parts)


def _opening(plan: PaperPlan) -> list[Block]:
    papers = counted(len(plan.papers), "paper")
    example = plan.papers[0].code
    points = ", ".join(map(str, plan.points))
    whose = (
        "Each bears the name and number of the student whose it is."
        if plan.wishes.named
        else "They bear a code in place of a name: hand each to the student beside its code in who.csv, and "
        "keep that file from whoever marks."
    )
    out: list[Text] = [
        (whose,),
        (f"A code such as {example} stands at the head of each paper and at the foot of each of its pages.",),
        (
            "Its last sign checks the others: a code with one sign read wrongly, or with two that have "
            "changed places, does not fit. No code has a 0, 1, I, L or O in it.",
        ),
        ("Arrows and loops of one's own are right as well, if they are drawn.",),
    ]
    marking: list[Text] = [
        (f"The key of a paper is the file with its code in the folder keys. Points: {points}.",),
        (
            "answers.csv holds the numbers of all papers. A number is right within a hundredth of it, or "
            "within the rounding to the figures of the data where that is more.",
        ),
        ("A current of the other sign is right where its arrow is drawn the other way.",),
        ("What follows correctly from a wrong line is worth its points: look for the first wrong line.",),
    ]
    return [
        Paragraph((f"{papers.capitalize()} of {counted(len(plan.problems), 'problem')}.",)),
        Heading("Handing out"),
        Listing(tuple(out)),
        Heading("Marking"),
        Listing(tuple(marking)),
    ]


def _problem(plan: PaperPlan, at: int, problem: Circuit) -> list[Block]:
    """What is said of one problem."""
    dealt = [paper.circuits[at] for paper in plan.papers]
    versions = len({tuple(circuit.numbers.items()) for circuit in dealt})
    told = f"There are {versions} versions on {counted(len(dealt), 'paper')}."
    blocks: list[Block] = [Paragraph((told if versions > 1 else "The numbers are the same on every paper.",))]
    as_begun = replace(before(problem), switching=problem.switching)
    plain = replace(as_begun, numbers={}, written={}, ratings={})
    if is_drawn(plain):
        blocks.insert(0, Picture(draw(plain, resistors=plan.wishes.resistors), describe(plain)))
    found = [paper_answers(circuit) for circuit in dealt]
    blocks += _signs(found)
    if versions > 1:
        blocks.append(_ranges(found))
    if is_steady(problem) and is_printable(problem):
        blocks += _forms(plain)
        blocks += _slips(dealt[0]) if dealt[0].has_all_numbers else []
    elif changes(problem) and is_printable(problem):
        with suppress(FaultyMaterial):  # no form in symbols: nothing is said of it
            blocks += _in_time(SlipsInTime(replace(problem, numbers={}, written={})))
    return blocks


def _signs(found: Sequence[Sequence[PaperAnswer]]) -> list[Block]:
    """Which answers have one sign on all papers."""
    signs = [{_sign(answer.value) for answer in column} for column in zip(*found, strict=True)]
    told: list[Text] = []
    for which, words in (({1}, "positive"), ({-1}, "negative: the sign is part of the answer")):
        names = [first.asked for first, met in zip(found[0], signs, strict=True) if met == which]
        if names:
            told.append(
                ("On every paper ", *in_a_row(names), f" {'is' if len(names) == 1 else 'are'} {words}.")
            )
    return [Listing(tuple(told))] if told else []


def _sign(value: Fraction | None) -> int | None:
    return None if value is None else (value > 0) - (value < 0)


def _ranges(found: Sequence[Sequence[PaperAnswer]]) -> Table:
    """Between what the answers of all papers lie."""
    rows: list[tuple[Text, ...]] = []
    for column in zip(*found, strict=True):
        numbers = [answer for answer in column if answer.value is not None]
        least = min(numbers, key=lambda a: a.value or 0, default=column[0])
        greatest = max(numbers, key=lambda a: a.value or 0, default=column[0])
        rows.append((column[0].asked, (least.shown,), (greatest.shown,)))
    return Table("Answers on all papers", (("asked",), ("least",), ("greatest",)), tuple(rows))


def _forms(plain: Circuit) -> list[Block]:
    """What is asked for, in closed form."""
    solution = solve(plain)
    asked = [t for t in targets(plain) if not t.without] if not plain.sought else []
    lines = [DisplayedLine((t.name, tidy(value_of(solution, t)))) for t in asked]
    return [Heading("In symbols"), *lines] if lines else []


def _slips(circuit: Circuit) -> list[Block]:
    """The slips most usual in these equations, and checks that show them."""
    table = slip_table(circuit)
    entries = dict.fromkeys(m.entry for c in table.classes if not c.hidden for m in c.members)
    told = _most_usual(entries)
    if told is None:
        return []
    checks = "; ".join(table.smallest_set)
    enough = (
        [Paragraph((f"These checks together show every one that any shows: {checks}.",))] if checks else []
    )
    return [Heading("What goes wrong most often"), told, *enough]


def _most_usual(entries: Iterable[str]) -> Listing | None:
    """The most usual of these slips; nothing where there is none."""
    usual = sorted(entries, key=lambda key: CATALOGUE[key].usual)[:SLIPS_TOLD]
    told = [(f"{CATALOGUE[key].name}: {CATALOGUE[key].said}",) for key in usual]
    return Listing(tuple(told)) if told else None


def _in_time(slips: SlipsInTime) -> list[Block]:
    """What is asked for that has one value, in closed form, and the slips most usual on the way to it."""
    blocks: list[Block] = []
    met: dict[str, None] = {}
    for at, question in enumerate(slips.questions):
        right = slips.form(slips.right, at)
        if isinstance(right, Ratio):
            words = "".join(part for part in asked_in_time(question) if isinstance(part, str))
            blocks.append(
                DisplayedLine(
                    (Symbol(question.quantity), tidy(right)), reason=(words.strip(),) if words.strip() else ()
                )
            )
        for slip in slips.slips:
            other = slips.form(slip, at)
            if right is not None and other is not None and other != right:
                met[slip.entry] = None
    found = [Heading("In symbols"), *blocks] if blocks else []
    told = _most_usual(met)
    return [*found, Heading("What goes wrong most often"), told] if told is not None else found
