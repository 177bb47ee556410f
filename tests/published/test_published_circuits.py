"""Every published circuit of resistances and batteries gives its published answers.

The facts and their sources stand in facts/; sources.md lists each source beside what is checked of it.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.published.fact_circuits import FORMS, Asked, Fact, build, facts_of, found_backwards
from tests.published.printed import printed

PUBLISHED = facts_of("published.json")
COUNTS_AND_LATTICES = [name for name in PUBLISHED if name.startswith(("count-", "square-lattice-"))]
CAPACITORS_COME_LATER = [
    "up-8-network",
    "up-8-cyu-a",
    "up-8-cyu-b",
    "cp-19-network",
    "up-relaxation-oscillator",
    "up-wiper",
    "up-wiper-max",
    "up-10-53",
    "cp-21-71-bleeder",
    "cp-defibrillator",
]
LEFT_OUT = dict.fromkeys(CAPACITORS_COME_LATER, "capacitors come later")
IN_NUMBERS_ONLY = {
    "helm-track-circuit-ladder": "its determinant has 978,122 terms: too long to write out here"
}
CIRCUITS = [name for name in PUBLISHED if name not in LEFT_OUT and name not in COUNTS_AND_LATTICES]


def forms_of(name: str) -> tuple[str, ...]:
    return ("in numbers",) if name in IN_NUMBERS_ONLY else FORMS


def is_exact(fact: Fact, quantity: str) -> bool:
    return fact["exact"] if isinstance(fact["exact"], bool) else quantity in fact["exact"]


def disagreements(fact: Fact, form: str) -> Iterator[str]:
    """A line for every published figure that our solution of the circuit does not give."""
    asked = Asked(fact, build(fact, form))
    for quantity, text in fact["published"].items():
        meaning = fact.get("defines", {}).get(quantity)
        if meaning is not None and meaning["q"] == "unknown":
            value = found_backwards(fact, form, meaning)
        else:
            value = asked.number(quantity)
        if not printed(text).bears(value, exact=is_exact(fact, quantity)):
            yield f"{fact['source']}: {quantity} = {text}, ours {value} = {float(value)}"


@pytest.mark.parametrize(
    ("name", "form"),
    [(name, form) for name in CIRCUITS for form in forms_of(name)],
    ids=[f"{name} {form}" for name in CIRCUITS for form in forms_of(name)],
)
def test_published_answers_are_ours(name: str, form: str) -> None:
    assert list(disagreements(PUBLISHED[name], form)) == []


def test_a_wrong_figure_would_be_seen() -> None:
    fact = PUBLISHED["cp-21-5"]
    turned = {**fact, "published": {**fact["published"], "I2": "3.50 A"}}
    assert len(list(disagreements(turned, "in symbols"))) == 1


def test_only_facts_with_capacitors_are_left_out() -> None:
    holding = [
        name
        for name, fact in PUBLISHED.items()
        if any("capacitor" in edge for edge in fact.get("branches", ()))
    ]
    assert dict.fromkeys(holding, "capacitors come later") == LEFT_OUT


def test_the_facts_are_all_accounted_for() -> None:
    assert len(PUBLISHED) == 96
    assert len(CIRCUITS) + len(LEFT_OUT) + len(COUNTS_AND_LATTICES) == 96
    assert len(CIRCUITS) == 57


def checked_of(name: str) -> str:
    """What is checked of a fact, for the table of sources."""
    if name in LEFT_OUT:
        return f"left out: {LEFT_OUT[name]}"
    if name.startswith("square-lattice-"):
        return "R, between a finite piece and the same piece with its rim joined"
    return ", ".join(PUBLISHED[name]["published"])


def table_of_sources() -> str:
    """The page sources.md."""
    rows = [f"| {name} | {checked_of(name)} | {fact['source']} |" for name, fact in PUBLISHED.items()]
    head = "# What is checked against print\n\nOne line for each object of facts/published.json.\n"
    return "\n".join([head, "| id | checked | source |", "| --- | --- | --- |", *rows, ""])


def test_the_table_of_sources_is_up_to_date() -> None:
    assert Path(__file__).with_name("sources.md").read_text("utf-8") == table_of_sources()
