"""Quiz items of circuits in time: what is right and what each slip gives, against work outside in NumPy.

The words in which an item says what was done are read here, and what they come to is worked from the laws by
hand: a start, an end and a time constant; nothing of the product's own values is used.
"""

from __future__ import annotations

import csv
import io
import json
import re
import zipfile
from collections.abc import Callable

import numpy as np
import pytest

from loopwright import items
from loopwright.errors import FaultyMaterial
from loopwright.expressions.nodes import (
    Equation,
    Exponential,
    Expr,
    Negative,
    Number,
    Power,
    Product,
    Quotient,
    Sum,
    Symbol,
)
from loopwright.expressions.said import as_text
from loopwright.items.item import ItemKind, QuizItem, decimal
from loopwright.items.listed_items import as_csv, as_json
from loopwright.items.printed import printed
from loopwright.items.qti_package import write
from loopwright.items.qti_tree import QTI_22, QTI_30
from loopwright.items.quiz import IN_TIME, Quiz
from loopwright.reading.judge import read_working
from loopwright.sheet import spoken
from tests.qti_player import Player
from tests.sample_circuits import circuit_of
from tests.unit.items import test_qti as steady
from tests.unit.transients.sample_transients import FILLING

GIVEN = {"E": 12.0, "VC1": 2.0, "R1": 2e3, "R2": 4e3, "R3": 1e3, "C1": 1e-5}
CISTERN = (
    """
title = "Cistern & <float>"
find = ["tau", "V(C1) at 20 ms", "I1(t)", "V(C1)(t)", "Q(C1) long after", "U(C1) long after"]
"""
    + FILLING
    + """
[numbers]
E = "12.0 V"
R1 = "2.00 kohm"
R2 = "4.00 kohm"
R3 = "1.00 kohm"
C1 = "10.0 uF"
"""
)
HOIST = """
[branches]
IE = "rail, +E, S1, R1, hook"
IR = "hook, R2, rail"
IL = "hook, L1, rail"
[switching]
S1 = "closed -> open"
[numbers]
E = "24 V"
R1 = "8 ohm"
R2 = "30 ohm"
L1 = "2 H"
"""


@pytest.fixture(scope="module")
def quiz() -> Quiz:
    """Many items of each kind."""
    return items(circuit_of(CISTERN), each=9)


def of_kind(quiz: Quiz, kind: ItemKind) -> list[QuizItem]:
    return [item for item in quiz.items if item.kind is kind]


# -- outside ---------------------------------------------------------------------------------------


def seen(words: str) -> float:
    """A resistance of resistors in series (+) and side by side (∥, which binds)."""
    tokens = re.findall(r"\w+|[+∥()]", words)

    def total() -> float:
        found = beside()
        while tokens[:1] == ["+"]:
            tokens.pop(0)
            found += beside()
        return found

    def beside() -> float:
        found = one()
        while tokens[:1] == ["∥"]:
            tokens.pop(0)
            found = 1 / (1 / found + 1 / one())
        return found

    def one() -> float:
        token = tokens.pop(0)
        if token != "(":
            return GIVEN[token]
        inside = total()
        tokens.pop(0)
        return inside

    return total()


class Outside:
    """The cistern as somebody works it. `v`, `i`: the voltage of C1 and the current I1, each as a constant
    and the factor of the exponential."""

    def __init__(self, place: str = "") -> None:
        e, r1, r2, r3, c = (GIVEN[n] for n in ("E", "R1", "R2", "R3", "C1"))
        start, end, self.tau = GIVEN["VC1"], e * r2 / (r1 + r2), (r3 + seen("R1 ∥ R2")) * c
        first, last = self.current(start), e / (r1 + r2)
        self.half = 0.5
        right = self.tau / c
        if found := re.match(r"(.+?)(?: alone)? is taken for what C1 sees", place):
            self.tau = seen(found[1]) * c
        for form, tau in (
            ("R/C", right / c),
            ("C/R", c / right),
            ("1/(R C)", 1 / (right * c)),
            ("battery E is taken out as a gap", (r2 + r3) * c),
            ("milli for micro", self.tau / 1000),
            ("a nought lost", self.tau * 10),
            ("wrong sign", -self.tau),
        ):
            self.tau = tau if form in place else self.tau
        if "taken as empty" in place:
            start, first = 0.0, self.current(0.0)
        if "gap already" in place:
            start, first = end, last
        if "wire for ever" in place:
            end, last = 0.0, self.current(0.0)
        if "just after is taken" in place:
            end, last = start, first
        if "whole of E" in place:
            end = e
        self.half = 1.0 if "half is left out" in place else 0.5
        self.v, self.i = self.course(place, start, end), self.course(place, first, last)

    @staticmethod
    def current(held: float) -> float:
        """I1 when C1 holds so much, by the potential of the top."""
        r1, r2, r3 = GIVEN["R1"], GIVEN["R2"], GIVEN["R3"]
        top = np.linalg.solve([[1 / r1 + 1 / r2 + 1 / r3]], [GIVEN["E"] / r1 + held / r3])[0]
        return float((GIVEN["E"] - top) / r1)

    @staticmethod
    def course(place: str, start: float, end: float) -> tuple[float, float]:
        """The constant and the factor of the exponential, as somebody writes them who knows both ends."""
        for words, found in (
            ("change places", (start, end - start)),
            ("rise from nothing", (end, -end)),
            ("fall to nothing", (0.0, start)),
            ("start stands before", (end, start)),
            ("long after is left out", (0.0, start - end)),
        ):
            if words in place:
                return found
        return end, start - end

    def answers(self) -> dict[str, float]:
        """What is answered to each question."""
        (v, falls), (i, turns) = self.v, self.i
        c, at = GIVEN["C1"], v + falls * float(np.exp(-0.02 / self.tau))
        ends = {"I1 just after": i + turns, "I1 long after": i}
        ends |= {"V(C1) just after": v + falls, "V(C1) long after": v}
        made = {"Q(C1) long after": c * v, "U(C1) long after": self.half * c * v**2}
        return {"τ": self.tau, "V(C1) at 20 ms": at} | ends | made


def place_in(feedback: str) -> str:
    """Where the first slip of an answer was made, by what is said of it."""
    said = feedback.removeprefix("Right size, wrong sign. ")
    found = re.match(r"[^(]*(?:e\^\(−t/τ\)[^(]*)*\((.+?)\)\.(?: Or: |$)", said)
    assert found is not None, feedback
    return found[1].removesuffix(" (U(C1)")


# -- values ----------------------------------------------------------------------------------------


def test_options_are_what_the_slips_they_tell_of_give(quiz: Quiz) -> None:
    checked = 0
    for item in of_kind(quiz, ItemKind.CHOICE):
        for option in item.options:
            told = Outside("" if option.right else place_in(option.feedback)).answers()
            if item.about in told:
                assert option.value is not None
                assert float(option.value) == pytest.approx(told[item.about], rel=1e-9, abs=1e-12), option
                checked += 1
    assert checked > 12


def test_foreseen_numbers_are_what_the_slips_they_tell_of_give() -> None:
    quiz, checked = items(circuit_of(CISTERN), ["number"], each=20), 0
    for item in quiz.items:
        number, right = item.number, Outside().answers()
        if number is None or item.about not in right:
            continue
        assert float(number.value * number.scale) == pytest.approx(right[item.about], rel=1e-9)
        for foreseen in number.foreseen:
            if not foreseen.slips:
                continue
            told = Outside(place_in(foreseen.feedback)).answers()[item.about]
            assert float(foreseen.value * number.scale) == pytest.approx(told, rel=1e-9, abs=1e-12), foreseen
            checked += 1
    assert checked > 20


# -- forms -----------------------------------------------------------------------------------------


def worth(form: Expr, given: dict[str, float]) -> float:
    """The value of a form in numbers."""
    if isinstance(form, Exponential):
        return float(np.exp(worth(form.body, given)))
    if isinstance(form, Power):
        return worth(form.base, given) ** form.exponent
    if isinstance(form, Negative):
        return -worth(form.body, given)
    if isinstance(form, Quotient):
        return worth(form.above, given) / worth(form.below, given)
    if isinstance(form, Sum | Product):
        parts = [worth(part, given) for part in (form.terms if isinstance(form, Sum) else form.factors)]
        return float(sum(parts) if isinstance(form, Sum) else np.prod(parts))
    assert isinstance(form, Symbol | Number)
    return given[form.name] if isinstance(form, Symbol) else float(form.value)


def test_forms_are_what_their_slips_give_at_any_time(quiz: Quiz) -> None:
    found = of_kind(quiz, ItemKind.FORMULA)
    assert {"τ", "V(C1)(t)"} <= {item.about for item in found}
    checked = 0
    for item in found:
        for option in item.options:
            (said,) = option.said
            assert isinstance(said, Equation)
            outside = Outside("" if option.right else place_in(option.feedback))
            time = 0.013
            fading = float(np.exp(-time / outside.tau))
            told = outside.answers()
            told |= {"V(C1)(t)": outside.v[0] + outside.v[1] * fading}
            told |= {"I1(t)": outside.i[0] + outside.i[1] * fading}
            if item.about in told:
                assert worth(said.right, GIVEN | {"t": time}) == pytest.approx(told[item.about])
                checked += 1
    assert checked > 12


def test_only_the_right_limit_shows_that_a_form_is_wrong(quiz: Quiz, monkeypatch: pytest.MonkeyPatch) -> None:
    """The form with a value near 0 or very large, against the cistern worked with the same."""
    found, checked = of_kind(quiz, ItemKind.LIMIT), 0
    assert found
    for item in found:
        ((_, form),) = item.shown
        assert sum(option.right for option in item.options) == 1
        for option in item.options:
            symbol, end = re.match(r"(\w+) → (0|∞)", as_text(option.said)).groups()  # type: ignore[union-attr]
            with monkeypatch.context() as patched:
                time = 0.013
                if symbol == "t":
                    time = 0.0 if end == "0" else 1e6
                else:
                    patched.setitem(GIVEN, symbol, 1e-6 if end == "0" else 1e12)
                right = Outside()
                fading = float(np.exp(-time / right.tau))
                told = right.answers() | {"V(C1)(t)": right.v[0] + right.v[1] * fading}
                told |= {"I1(t)": right.i[0] + right.i[1] * fading}
                if item.about in told:
                    off = worth(form, GIVEN | {"t": time}) - told[item.about]
                    size = max(abs(told[item.about]), 1e-9)
                    assert (abs(off) > 1e-6 * size) == option.right, (item.about, option)
                    checked += 1
    assert checked > 5


# -- workings --------------------------------------------------------------------------------------


@pytest.mark.parametrize("text", [CISTERN, HOIST], ids=["cistern", "hoist"])
def test_the_wrong_line_is_the_first_that_the_reader_finds_untrue(text: str) -> None:
    circuit = circuit_of(text)
    found = items(circuit, ["wrong-line"], each=6).items
    assert len({item.about for item in found}) > 1
    for item in found:
        (wrong,) = (at for at, option in enumerate(item.options, 1) if option.right)
        reading = read_working(circuit, "\n".join(option.line for option in item.options))
        assert reading.first_untrue is not None
        assert reading.first_untrue.line == wrong
        assert item.options[wrong - 1].slips


def test_the_slip_is_in_the_line_of_ones_choice() -> None:
    circuit = circuit_of(CISTERN)
    for item in items(circuit, ["wrong-line"], each=3, line=5).items:
        assert item.about == "line 5"
    with pytest.raises(FaultyMaterial, match="no slip is made in line 8"):
        items(circuit, ["wrong-line"], line=8)


# -- what is handed out ----------------------------------------------------------------------------


def test_every_kind_made_in_time_is_made_and_others_are_told(quiz: Quiz) -> None:
    assert {str(item.kind) for item in quiz.items} == set(IN_TIME)
    assert quiz.notes == ()
    asked = items(circuit_of(CISTERN), ["ranking", "number"])
    assert [note.code for note in asked.notes] == ["items/not-in-time"]


def test_forms_need_no_numbers() -> None:
    bare = circuit_of(CISTERN.split("[numbers]", maxsplit=1)[0].replace('"2.00 V"', '"V0"'))
    quiz = items(bare)
    assert {item.kind for item in quiz.items} == {ItemKind.FORMULA, ItemKind.LIMIT}
    assert {note.code for note in quiz.notes} == {"slips/numbers-missing"}


def test_a_circuit_with_a_second_move_has_items_that_say_of_which_move() -> None:
    again = CISTERN.replace('S1 = "open -> closed"', 'S1 = ["open -> closed", "closed -> open at t1"]')
    again = again.replace("[numbers]", '[numbers]\nt1 = "30 ms"').replace('"tau", ', "")
    asked = [item.about for item in items(circuit_of(again), ["number"], each=20).items]
    assert {"τ after move 1", "τ after move 2", "V(C1) at 20 ms"} <= set(asked)


@pytest.fixture(scope="module")
def packages() -> dict[str, dict[str, bytes]]:
    """The packages of a short quiz, by version."""
    found: dict[str, dict[str, bytes]] = {}
    for version in (QTI_22, QTI_30):
        with zipfile.ZipFile(io.BytesIO(write(items(circuit_of(CISTERN), each=1), version))) as package:
            found[version.number] = {name: package.read(name) for name in package.namelist()}
    return found


def test_packages_are_marked_as_they_are_meant(packages: dict[str, dict[str, bytes]]) -> None:
    quiz = items(circuit_of(CISTERN), each=1)
    for files in packages.values():
        for item in quiz.items:
            player = Player(files[f"items/{item.name}.xml"])
            assert player.play(None).score == 0
            for option in item.options:
                result = player.play(option.name)
                assert result.score == (1 if option.right else 0)
                assert result.feedback == [" ".join(option.feedback.split())]
            if item.number is not None:
                number = item.number
                for off, score in ((0, 1), (1, 1), (-1, 1), (2, 0), (-2, 0)):
                    typed = decimal(number.value + off * number.tolerance * 99 / 100)
                    assert player.play(typed).score == score
                for foreseen in number.foreseen:
                    assert player.play(decimal(foreseen.value, 6)).feedback == [
                        " ".join(foreseen.feedback.split())
                    ]


@pytest.mark.parametrize(
    "rule",
    [
        steady.test_identifiers_are_strict_and_everything_bound_is_declared,
        steady.test_interactions_stand_where_they_may,
        steady.test_children_stand_in_the_order_of_the_standard,
        steady.test_options_differ_and_none_is_empty,
        steady.test_numbers_are_held_against_the_reference_first_with_two_absolute_bounds,
        steady.test_the_manifest_lists_every_file_and_leads_everywhere,
    ],
    ids=lambda rule: rule.__name__,
)
@pytest.mark.parametrize("version", [QTI_22.number, QTI_30.number])
def test_packages_keep_the_rules_of_the_standard(
    packages: dict[str, dict[str, bytes]], version: str, rule: Callable[[dict[str, bytes]], None]
) -> None:
    rule(packages[version])


def test_what_is_given_at_the_start_is_told_on_paper_and_in_a_package(
    quiz: Quiz, packages: dict[str, dict[str, bytes]]
) -> None:
    handed_out = spoken.write(printed(quiz).paper)
    assert "At the start" in handed_out
    for files in packages.values():
        texts = [content.decode() for name, content in files.items() if name.startswith("items/circuit")]
        texts += [content.decode() for name, content in files.items() if name.startswith("items/cistern")]
        assert texts
        assert all("At the start" in text for text in texts)


def test_tables_and_data_hold_every_answer(quiz: Quiz) -> None:
    rows = list(csv.DictReader(io.StringIO(as_csv(quiz))))
    assert {row["item"] for row in rows} == {item.name for item in quiz.items}
    held = json.loads(as_json(quiz))
    assert [len(one["options"]) for one in held["items"]] == [len(item.options) for item in quiz.items]
