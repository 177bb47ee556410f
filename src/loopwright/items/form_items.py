"""Items on closed forms: which one is right, and which limit shows that one is wrong."""

from __future__ import annotations

import random
from collections.abc import Iterator
from itertools import islice

from ..algebra.ratios import Ratio
from ..checks.limits.cases import LimitCase
from ..checks.limits.limit_of_ratio import LimitOutcome, Unbounded, limit_of
from ..expressions.nodes import Equation, Expr, Symbol, written_symbols
from ..expressions.said import as_text
from ..expressions.tidy import tidy
from ..expressions.writers import plain
from ..sheet.printable import is_printable
from .ground import QuizGround
from .item import AnswerOption, ItemKind, QuizItem
from .number_forms import MOST, Look, choose_alike
from .slipped_forms import SlippedForms, slipped_forms
from .steady_values import asked_currents
from .value_items import lettered

CANDIDATES = 10  # wrong forms looked at for one item
LONGEST_FORM = 24  # symbols of a form that is to be compared by eye
FEWEST_SILENT = 2  # limits of an item that do not show what is wrong


def formulas(ground: QuizGround) -> Iterator[QuizItem]:
    """Which of some closed forms of a current is right; the others are those of slipped equations."""
    for name in asked_currents(ground.circuit):
        if (found := _forms(ground, name)) is not None:
            yield found


def _forms(ground: QuizGround, name: str) -> QuizItem | None:
    if not is_printable(ground.circuit):
        return None
    right = ground.solution.currents[name]
    shown = tidy(right)
    if not right or written_symbols(shown) > LONGEST_FORM:
        return None
    kept: dict[Ratio, tuple[SlippedForms, Expr]] = {}
    for wrong in slipped_forms(ground.setting):
        form = wrong.forms[name]
        if not form or form == right or form in kept:
            continue
        written = tidy(form)
        if 2 * written_symbols(shown) <= 3 * written_symbols(written) <= 5 * written_symbols(shown):
            kept[form] = wrong, written
        if len(kept) == CANDIDATES:
            break
    wrongs = list(kept.items())
    chosen = choose_alike(_look(right, shown), [_look(form, w[1]) for form, w in wrongs], MOST)
    if not chosen:
        return None
    options = [
        AnswerOption("", (Equation(Symbol(name), shown),), f"Yes: {name} = {plain.render(shown)}.", True)
    ]
    for wrong, written in (wrongs[i][1] for i in chosen):
        options.append(AnswerOption("", (Equation(Symbol(name), written),), wrong.told, slips=(wrong.entry,)))
    return QuizItem(
        "",
        ItemKind.FORMULA,
        f"Closed form of {name}",
        ("Which of these is ", Symbol(name), "?"),
        options=lettered(options, f"{ground.seed} formula {name}"),
        about=name,
    )


def _look(form: Ratio, written: Expr) -> Look:
    """What is seen of a form at a glance: whether it begins with a minus, and a minus below its line."""
    below = form.terms(below=True)
    return plain.render(written).startswith("−"), len({c > 0 for _, c in below}) > 1


def limits(ground: QuizGround) -> Iterator[QuizItem]:
    """Which limit shows that a closed form is wrong: the form is that of slipped equations, and in the other
    limits offered it comes to what is right. No two items in a row on one current as long as there are
    others."""
    if not is_printable(ground.circuit):
        return
    by_current = [_of_current(ground, name) for name in asked_currents(ground.circuit)]
    while by_current:
        still: list[Iterator[QuizItem]] = []
        for of_current in by_current:
            found = list(islice(of_current, 1))
            yield from found
            still += [of_current] if found else []
        by_current = still


def _of_current(ground: QuizGround, name: str) -> Iterator[QuizItem]:
    right = ground.solution.currents[name]
    met: set[str] = set()
    for wrong in slipped_forms(ground.setting):
        form = wrong.forms[name]
        if wrong.entry in met or not form or form == right:
            continue
        if written_symbols(tidy(form)) > LONGEST_FORM:
            continue
        found = _limit_item(ground, name, wrong)
        if found is not None:
            met.add(wrong.entry)
            yield found


def _limit_item(ground: QuizGround, name: str, wrong: SlippedForms) -> QuizItem | None:
    form = wrong.forms[name]
    shows: list[tuple[LimitCase, LimitOutcome]] = []
    silent: list[tuple[LimitCase, LimitOutcome]] = []
    for case in ground.limits:
        if case.symbol not in ground.circuit.field or not isinstance(case.redrawn.get(name), Ratio):
            continue
        comes_to = limit_of(form, case.symbol, case.to)
        (silent if comes_to == case.redrawn[name] else shows).append((case, comes_to))
    if not shows or len(silent) < FEWEST_SILENT:
        return None
    alike = [each for each in shows if each[0].variable.is_resistance]
    shown = random.Random(f"{ground.seed} {wrong.place}").choice(alike or shows)
    options = [_option(*shown, name, wrong, right=True)]
    options += [_option(*each, name, wrong, right=False) for each in silent[: MOST - 1]]
    return QuizItem(
        "",
        ItemKind.LIMIT,
        f"Which limit shows that a form of {name} is wrong",
        ("Which of these limits shows it?",),
        stem=(("Somebody has found this, and it is wrong:",),),
        shown=((Symbol(name), tidy(form)),),
        options=lettered(options, f"{ground.seed} limit {name} {wrong.place}"),
        about=name,
    )


def _option(
    case: LimitCase, comes_to: LimitOutcome, name: str, wrong: SlippedForms, *, right: bool
) -> AnswerOption:
    formula, redrawn = _told(comes_to), _told(case.redrawn[name])
    if right:
        said = (
            f"Yes: there the form comes to {formula}, and the circuit drawn again gives {name} = {redrawn}. "
        )
        said += f"What was done: {wrong.told}"
    else:
        said = f"No: there the form comes to {formula}, and so does {name} in the circuit drawn again. "
        said += "It is wrong all the same."
    head = f"{case.symbol} → {case.to} ({as_text(case.head)})"
    return AnswerOption("", (head,), said, right, (wrong.entry,) if right else ())


def _told(outcome: LimitOutcome) -> str:
    if isinstance(outcome, Unbounded):
        return "what grows without limit"
    return plain.render(tidy(outcome)) if isinstance(outcome, Ratio) else "nothing definite"
