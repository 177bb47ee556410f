"""`loopwright slips`: the wrong answers that single slips lead to, or the slip behind given answers."""

from __future__ import annotations

import argparse
from collections.abc import Sequence

from ..circuit.in_time import changes
from ..circuit.names import nearest
from ..errors import FaultyMaterial
from ..findings import Finding
from ..quantities import Quantity, UnreadableQuantity, read_quantity
from ..show.slip_report import DECODED_FORMS, TABLE_FORMS
from ..show.timed_slip_report import TIMED_FORMS
from ..slips.catalogue import CATALOGUE
from ..slips.caught_in_time import caught_in_time
from ..slips.decoder import decode
from ..slips.slip_table import slip_table
from ..transients.stages import stages
from .files import circuit_from, show, told_for
from .watch import TellProgress, watched


def run(given: argparse.Namespace) -> int:
    """Prints the table of slips, or what the answers given tell."""
    circuit = circuit_from(given.file, given.terms)
    answers = _answers(given.answers or ())
    keys = [_key(text) for text in given.of or ()]

    def told(tell: TellProgress) -> str:
        tell("slips")
        if given.answers:
            arrows = dict.fromkeys(circuit.currents, 1) if given.as_drawn else None
            found = decode(circuit, answers, arrows=arrows)
            return DECODED_FORMS[given.form](found, circuit.figures)
        if changes(circuit):
            return TIMED_FORMS[given.form](caught_in_time(stages(circuit)[0]), keys)
        return TABLE_FORMS[given.form](slip_table(circuit, every_set=given.other_loops), keys)

    show(told_for(circuit, watched(told, given.longest)))
    return 0


def _answers(texts: Sequence[str]) -> dict[str, Quantity]:
    found: dict[str, Quantity] = {}
    faults: list[Finding] = []
    for text in texts:
        name, sign, value = text.partition("=")
        if not sign:
            message = f'"{text}" is no answer: it has no equals sign.'
            faults.append(Finding("slips/unreadable-answer", message, "Write NAME=VALUE, such as I1=-1.5A."))
            continue
        try:
            found[name.strip()] = read_quantity(value)
        except UnreadableQuantity as trouble:
            message = f"{name.strip()} cannot be read: {trouble.why}."
            mend = trouble.mend[0].upper() + trouble.mend[1:] + "."
            faults.append(Finding("slips/unreadable-answer", message, mend))
    if faults:
        raise FaultyMaterial(*faults)
    return found


def _key(text: str) -> str:
    """The catalogue key for a key or a name as it is printed."""
    by_name = {entry.name: key for key, entry in CATALOGUE.items()}
    wanted = text.strip().lower()
    found = wanted if wanted in CATALOGUE else by_name.get(wanted)
    if found is None:
        near = nearest(wanted, [*CATALOGUE, *by_name])
        mend = f"Did you mean {near}?" if near else "docs/slips.md lists them all."
        raise FaultyMaterial(Finding("slips/unknown-slip", f"The catalogue has no slip called {text}.", mend))
    return found
