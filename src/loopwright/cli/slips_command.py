"""`loopwright slips`: the wrong answers that single slips lead to, or the slip behind given answers."""

from __future__ import annotations

import argparse
import json

from ..circuit.names import nearest
from ..errors import FaultyMaterial
from ..findings import Finding
from ..quantities import Quantity, UnreadableQuantity, read_quantity
from ..slips.catalogue import CATALOGUE
from ..slips.decoder import decode
from ..slips.slip_report import decoded_data, decoded_lines, table_data, table_markdown, table_text
from ..slips.slip_table import slip_table
from .files import circuit_from, show


def run(given: argparse.Namespace) -> int:
    """Prints the table of slips, or what the answers given tell."""
    circuit = circuit_from(given.file)
    if given.answers:
        arrows = dict.fromkeys(circuit.currents, 1) if given.as_drawn else None
        found = decode(circuit, _answers(given.answers), arrows=arrows)
        lines = decoded_lines(found, circuit.figures)
        if given.form == "json":
            show(json.dumps(decoded_data(found), ensure_ascii=False, indent=2))
        elif given.form == "md":
            show("\n".join(f"  - {x.strip()}" if x.startswith(" ") else f"- {x}" for x in lines))
        else:
            show("\n".join(lines))
        return 0
    keys = [_key(text) for text in given.of or ()]
    table = slip_table(circuit, every_set=given.other_loops)
    if given.form == "json":
        show(json.dumps(table_data(table, keys), ensure_ascii=False, indent=2))
    else:
        show((table_markdown if given.form == "md" else table_text)(table, keys))
    return 0


def _answers(texts: list[str]) -> dict[str, Quantity]:
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
