"""Quiz items: what is asked, what stands beside the right answer, what is refused and in which words."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations

import pytest

from loopwright import items
from loopwright.errors import FaultyMaterial
from loopwright.expressions.said import as_text
from loopwright.items.item import ItemKind, QuizItem, decimal, right_answer
from loopwright.items.number_forms import choose, common_unit, look
from loopwright.slips.catalogue import CATALOGUE
from loopwright.slips.slip_table import slip_table
from tests.sample_circuits import CHARGE_OR_HELP, CHARGE_OR_HELP_IN_NUMBERS, circuit_of

CIRCUIT = circuit_of(CHARGE_OR_HELP_IN_NUMBERS)


@pytest.fixture(scope="module")
def choices() -> tuple[QuizItem, ...]:
    return items(CIRCUIT, ["choice"], each=9).items


@pytest.fixture(scope="module")
def numbers() -> tuple[QuizItem, ...]:
    return items(CIRCUIT, ["number"], each=9).items


def test_every_current_is_asked_for_with_one_right_option(choices: tuple[QuizItem, ...]) -> None:
    assert [item.about for item in choices] == ["Ic", "Ib", "Ih"]
    assert [[o.value for o in item.options if o.right] for item in choices] == [[2], [-1], [3]]


def test_every_wrong_option_says_which_slip_leads_to_it(choices: tuple[QuizItem, ...]) -> None:
    for option in (o for item in choices for o in item.options if not o.right):
        assert option.slips
        assert CATALOGUE[option.slips[0]].said[:-1] in option.feedback


def test_no_two_options_are_equal_or_within_rounding(choices: tuple[QuizItem, ...]) -> None:
    for one, other in (pair for item in choices for pair in combinations(item.options, 2)):
        assert one.said != other.said
        assert one.value is not None
        assert other.value is not None
        assert abs(one.value - other.value) > Fraction(1, 100) * max(abs(one.value), abs(other.value))


def test_the_right_option_is_alone_in_nothing_that_is_seen_of_it(choices: tuple[QuizItem, ...]) -> None:
    for item in choices:
        shown = {o.name: as_text(o.said).removesuffix(" A") for o in item.options}
        (right,) = item.right
        seen = look(shown[right])
        others = [look(text) for name, text in shown.items() if name != right]
        assert all(any(other[i] == seen[i] for other in others) for i in range(len(seen)))
        assert all(as_text(o.said).endswith(" A") for o in item.options)


def test_the_value_of_an_option_is_one_that_its_slips_lead_to(choices: tuple[QuizItem, ...]) -> None:
    table = slip_table(CIRCUIT)
    for item in choices:
        led_to = {(key, c.outcome.values.get(item.about)) for c in table.classes for key in c.entries}
        assert all((key, o.value) in led_to for o in item.options for key in o.slips)


def test_a_choice_of_which_all_would_give_the_right_one_away_is_not_made() -> None:
    assert choose("2.0", ["1.3", "5.7", "−4.1"]) == ()
    assert choose("2.0", ["1.3", "5.7", "−4.1", "3.0"], most=2) == (0, 3)


def test_numbers_side_by_side_have_one_unit_and_the_same_figures() -> None:
    unit = common_unit(Fraction(3, 4000), "A", 3)
    assert [unit.written(Fraction(n, 40000)) for n in (30, -52, 3, 480)] == [
        "750 µA",
        "−1300 µA",
        "75.0 µA",
        "12000 µA",
    ]
    assert common_unit(Fraction(2), "A", 2).digits(Fraction(1, 15)) == "0.067"
    assert common_unit(Fraction(2), "A", 3).digits(Fraction(0)) == "0.00"


def test_a_typed_number_has_a_tolerance_and_foreseen_numbers_apart_from_it(
    numbers: tuple[QuizItem, ...],
) -> None:
    assert [right_answer(item) for item in numbers] == ["2 ± 0.02 A", "−1 ± 0.01 A", "3 ± 0.03 A"]
    for item in numbers:
        assert item.number is not None
        all_of_them = [item.number.value, *(f.value for f in item.number.foreseen)]
        assert all(abs(a - b) > 2 * item.number.tolerance for a, b in combinations(all_of_them, 2))


def test_the_right_size_with_the_wrong_sign_is_told_as_that(numbers: tuple[QuizItem, ...]) -> None:
    for item in numbers:
        assert item.number is not None
        turned = [f for f in item.number.foreseen if f.value == -item.number.value]
        assert [f.feedback.startswith("Right size, wrong sign.") for f in turned] == [True]


def test_a_typed_number_rounded_to_the_figures_shown_is_within_the_tolerance() -> None:
    circuit = circuit_of(
        CHARGE_OR_HELP_IN_NUMBERS.replace('"23 V"', '"23.3 V"').replace('"4 ohm"', '"4.1 ohm"')
    )
    for item in items(circuit, ["number"], each=9).items:
        assert item.number is not None
        size = item.number.value
        digits = common_unit(size, "A", circuit.figures).digits(size).replace("−", "-")
        assert abs(Fraction(digits) - size) <= item.number.tolerance


def test_another_seed_draws_another_order_and_the_same_seed_the_same() -> None:
    orders = [
        [o.said for i in items(CIRCUIT, ["choice"], seed=s).items for o in i.options] for s in (1, 2, 1)
    ]
    assert orders[0] == orders[2] != orders[1]


def test_names_of_items_are_strict_and_differ() -> None:
    names = [item.name for item in items(CIRCUIT, ["choice", "number"]).items]
    assert names == ["circuit-01-choice", "circuit-02-choice", "circuit-03-number", "circuit-04-number"]


def test_a_circuit_without_numbers_is_refused_in_words() -> None:
    with pytest.raises(FaultyMaterial) as trouble:
        items(circuit_of(CHARGE_OR_HELP), ["choice", "number"])
    assert [f.code for f in trouble.value.findings] == ["slips/numbers-missing"]


def test_a_circuit_with_too_few_wrong_answers_is_refused_in_words() -> None:
    one_loop = circuit_of('[branches]\nI = "a, +E, R, a"\n[numbers]\nE = "5 V"\nR = "2 ohm"\n')
    with pytest.raises(FaultyMaterial, match="No item of the kind wrong-line can be made") as trouble:
        items(one_loop, ["wrong-line"])
    assert [f.code for f in trouble.value.findings] == ["items/none-of-kind"]
    quiz = items(one_loop, ["wrong-line", "number"])
    assert [f.code for f in quiz.notes] == ["items/none-of-kind"]
    assert [item.kind for item in quiz.items] == [ItemKind.NUMBER]


def test_storages_in_which_nothing_moves_are_refused_in_words() -> None:
    charged = circuit_of(
        '[branches]\nI1 = "a, +E, R, b"\nI2 = "b, C1, a"\n[numbers]\nE = "5 V"\nR = "2 ohm"\nC1 = "1 uF"\n'
    )
    with pytest.raises(FaultyMaterial) as trouble:
        items(charged)
    assert [f.code for f in trouble.value.findings] == ["items/not-steady"]


def test_a_kind_that_there_is_not_is_a_value_error() -> None:
    with pytest.raises(ValueError, match="essay"):
        items(CIRCUIT, ["essay"])


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (Fraction(0), "0"),
        (Fraction(-1), "-1"),
        (Fraction(3, 2000), "0.0015"),
        (Fraction(-2, 3), "-0.666666666667"),
    ],
)
def test_decimals_are_as_a_machine_reads_them(value: Fraction, text: str) -> None:
    assert decimal(value) == text


def test_a_quiz_shows_itself_with_its_answers() -> None:
    assert "Value of" not in str(items(CIRCUIT, ["number"], each=1))
    assert "2 ± 0.02 A" in str(items(CIRCUIT, ["number"], each=1))


def test_forms_limits_and_sets_of_equations_need_no_numbers() -> None:
    quiz = items(circuit_of(CHARGE_OR_HELP), each=1)
    assert [item.kind for item in quiz.items] == [ItemKind.FORMULA, ItemKind.ENOUGH, ItemKind.LIMIT]
    assert [note.code for note in quiz.notes] == ["slips/numbers-missing"]


def test_a_number_typed_is_not_among_the_options_of_another_question() -> None:
    quiz = items(CIRCUIT, ["number", "choice"], each=1)
    assert len({item.about for item in quiz.items}) == 2
    scarce = items(CIRCUIT, ["number", "choice"], each=3)
    assert sum(item.kind is ItemKind.NUMBER for item in scarce.items) == 3
    assert sum(item.kind is ItemKind.CHOICE for item in scarce.items) >= 2
