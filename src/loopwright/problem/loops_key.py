"""`loops` in the problem file: the loops that a person wants travelled, each by its currents in order.

    loops = ["Ic + Ih", "Ib - Ih"]      a minus where the way goes against the arrow

Only whether each is a loop is looked at here; whether they are enough is for `laws`.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from ..circuit.circuit import Circuit
from ..circuit.names import listed, nearest, quantity_name
from ..graph.lines import Loop, closes
from .faults import Faults

_STEP = re.compile(r"\s*([+\-−–]?)\s*([^\s+\-−–]+)\s*")


def read_loop(text: str) -> Loop | None:
    """The branches that a loop names, with +1 along the arrow and −1 against it; None for what is no sum of
    names."""
    steps: list[tuple[str, int]] = []
    at = 0
    while at < len(text.rstrip()):
        found = _STEP.match(text, at)
        name = quantity_name(found[2]) if found is not None else None
        if found is None or name is None or (steps and not found[1]):
            return None
        steps.append((name, 1 if found[1] in ("", "+") else -1))
        at = found.end()
    return tuple(steps) or None


def read_loops(texts: Sequence[str], circuit: Circuit, faults: Faults) -> tuple[Loop, ...]:
    """The loops that the file names, each of which closes; what does not is a finding."""
    found: list[Loop] = []
    for number, text in enumerate(texts):
        loop = read_loop(text)
        strangers = [name for name, _ in loop or () if name not in circuit.currents]
        if loop is None:
            what, mend = f'"{text}" is no loop.', 'Write its currents in the order of travel: "I1 - I2".'
        elif strangers:
            near = nearest(strangers[0], circuit.currents)
            what = f"a loop goes along {strangers[0]}, but no branch has this current."
            mend = f"Did you mean {near}?" if near else f"There are {listed(circuit.currents)}."
        elif not closes(circuit.branches, loop):
            what = f"the branches of {text} do not lead on from one another and back to the start."
            mend = "Name them in the order of travel, with a minus for one travelled against its arrow."
        else:
            found.append(loop)
            continue
        faults.add("file/no-loop", ("loops", number), what, mend, tuple(strangers))
    return tuple(found)


def loop_text(loop: Loop) -> str:
    """A loop as the file has it: `Ic - Ib`."""
    told = "".join(f" {'+' if sense > 0 else '-'} {name}" for name, sense in loop)
    return told.removeprefix(" + ") if told.startswith(" +") else f"-{told.removeprefix(' - ')}"
