"""The checks, one line each, and what to mind before the circuit is built."""

from __future__ import annotations

from collections.abc import Sequence

from ..checks.ledger.ledger import Ledger
from ..circuit.names import listed
from ..expressions.said import Said
from ..sheet.document import Block, Heading
from .document_stages import document_stages
from .stage import Cut, LectureAct
from .staging import Staging

MOST_NAMED = 8  # checks by their names where time is short


def check_stages(staging: Staging, ledger: Ledger, cautions: Sequence[Block]) -> None:
    """Every check that passed, with what came out; the cautions."""
    staging.begin(LectureAct.CHECKS, "Checks")
    if Cut.CHECKS in staging.left_out:
        passed = [e.title[:1].lower() + e.title[1:] for e in ledger.entries if e.passed]
        told: Said = (f"Checked independently: {listed(passed)}.",)
        if len(passed) > MOST_NAMED:
            named = listed(passed[:3])
            told = (f"Checked in {len(passed)} independent ways, among them: {named}.",)
        staging.write(told, words=told)
        ledger = Ledger(())
    for k, entry in enumerate(e for e in ledger.entries if e.passed):
        lead: Said = ("Can it be trusted? It was checked in ways that do not rest on how it was found. ",)
        words: Said = (f"{entry.title}: ", *entry.told)
        staging.write((*(lead if k == 0 else ()), *words), words=words)
    document_stages(staging, [block for block in cautions if not isinstance(block, Heading)])
