"""Every method that serves the circuit of a published fact ends in the currents that answer the fact.

The currents are held against the facts in `test_published_circuits`; here every method is held against them.
"""

from __future__ import annotations

import pytest

from tests.proofs.test_methods_agree import assert_all_agree
from tests.published.fact_circuits import Fact, build, facts_of

MOST_QUICK = 3  # branches of a circuit that the quick tests work
MOST = 12  # branches: beyond, no method is one that a person would write out


def worked(fact: Fact) -> bool:
    """Whether a fact is a circuit of resistors and batteries, which alone are worked."""
    kinds = {kind for edge in fact["branches"] for kind in edge}
    return 0 < len(fact["branches"]) <= MOST and "capacitor" not in kinds


FACTS = {name: fact for name, fact in facts_of("published.json").items() if worked(fact)}


def test_most_facts_are_worked() -> None:
    assert len(FACTS) >= 40


@pytest.mark.parametrize(
    "name",
    [
        pytest.param(n, marks=() if len(f["branches"]) <= MOST_QUICK else (pytest.mark.slow,))
        for n, f in FACTS.items()
    ],
)
@pytest.mark.parametrize("form", ["in numbers", "as chains"])
def test_every_method_agrees_on_a_published_circuit(name: str, form: str) -> None:
    assert assert_all_agree(build(FACTS[name], form).solution) >= 1
