"""Twenty circuits with numbers on which quiz items are tried: two to four loops, one to three batteries.

Scenarios of our own; what they come to is worked by the tests.
"""

from __future__ import annotations


def _problem(branches: str, numbers: str, more: str = "") -> str:
    """A problem file of branches `I1: a, +E1, R1, b; ...` and numbers `E1 12 V; ...`."""
    ways = (line.split(":") for line in branches.split(";"))
    held = (line.strip().split(" ", 1) for line in numbers.split(";"))
    laid = "\n".join(f'{name.strip()} = "{way.strip()}"' for name, way in ways)
    given = "\n".join(f'{name} = "{value}"' for name, value in held)
    return f"[branches]\n{laid}\n\n{more}[numbers]\n{given}\n"


_TWO = "I1: g, +E1, R1, a; I2: g, +E2, R2, a; I3: a, R3, g"
_ACROSS = "I1: g, +E1, R1, a; I2: a, R2, g; I3: a, R3, g"
_MIDDLE = "I1: g, +E1, R1, a; I2: a, +E2, R2, g; I3: a, R3, g"
_THREE = "I1: g, +E1, R1, a; I2: g, +E2, R2, a; I3: g, +E3, R3, a; I4: a, R4, g"
_LADDER = "I1: g, +E1, R1, a; I2: a, R2, g; I3: a, R3, b; I4: b, R4, g; I5: g, +E2, R5, b"
_STEPS = "I1: g, +E1, R1, a; I2: a, R2, g; I3: a, R3, b; I4: b, R4, g; I5: b, R5, R6, g"
_BRIDGE = "I: d, +E, R6, a; I1: a, R1, b; I2: a, R2, c; I3: b, R3, d; I4: c, R4, d; I5: b, R5, c"
_INSIDE = '[elements]\nE1 = { internal = "r1" }\nE2 = { internal = "r2" }\n\n'

CIRCUITS: dict[str, str] = {
    "two sources": _problem(_TWO, "E1 12 V; E2 24 V; R1 6 ohm; R2 2 ohm; R3 9 ohm"),
    "two sources, both supply": _problem(_TWO, "E1 20 V; E2 17 V; R1 4 ohm; R2 3 ohm; R3 5 ohm"),
    "two sources in kilohms": _problem(_TWO, "E1 9 V; E2 6 V; R1 2 kohm; R2 3 kohm; R3 6 kohm").replace(
        " kohm", "000 ohm"
    ),
    "two sources, other arrows": _problem(
        "I1: a, R1, -E1, g; I2: g, +E2, R2, a; I3: g, R3, a", "E1 14 V; E2 10 V; R1 2 ohm; R2 4 ohm; R3 3 ohm"
    ),
    "one source": _problem(_ACROSS, "E1 24 V; R1 2 ohm; R2 3 ohm; R3 6 ohm"),
    "one source, large load": _problem(_ACROSS, "E1 15 V; R1 3 ohm; R2 4 ohm; R3 12 ohm"),
    "one source, unequal ways": _problem(_ACROSS, "E1 18 V; R1 5 ohm; R2 2 ohm; R3 8 ohm"),
    "source in the middle": _problem(_MIDDLE, "E1 10 V; E2 8 V; R1 2 ohm; R2 3 ohm; R3 6 ohm"),
    "strong source in the middle": _problem(_MIDDLE, "E1 6 V; E2 21 V; R1 3 ohm; R2 2 ohm; R3 4 ohm"),
    "chains of resistors": _problem(
        "I1: g, R4, +E1, R1, a; I2: g, +E2, R2, a; I3: a, R3, R5, g",
        "E1 30 V; E2 12 V; R1 2 ohm; R2 4 ohm; R3 3 ohm; R4 3 ohm; R5 5 ohm",
    ),
    "two sources in a chain": _problem(
        "I1: g, +E1, R1, +E3, a; I2: g, +E2, R2, a; I3: a, R3, g",
        "E1 9 V; E2 20 V; E3 4 V; R1 3 ohm; R2 5 ohm; R3 6 ohm",
    ),
    "internal resistances": _problem(
        _TWO, "E1 12 V; E2 9 V; R1 2 ohm; R2 3 ohm; R3 7 ohm; r1 2 ohm; r2 3 ohm", _INSIDE
    ),
    "three sources": _problem(_THREE, "E1 12 V; E2 9 V; E3 20 V; R1 3 ohm; R2 2 ohm; R3 4 ohm; R4 6 ohm"),
    "three sources, one weak": _problem(
        _THREE, "E1 18 V; E2 2 V; E3 15 V; R1 2 ohm; R2 4 ohm; R3 5 ohm; R4 8 ohm"
    ),
    "ladder with a source at each end": _problem(
        _LADDER, "E1 20 V; E2 12 V; R1 2 ohm; R2 5 ohm; R3 3 ohm; R4 6 ohm; R5 4 ohm"
    ),
    "ladder with sources against one another": _problem(
        _LADDER, "E1 6 V; E2 18 V; R1 3 ohm; R2 4 ohm; R3 2 ohm; R4 8 ohm; R5 2 ohm"
    ),
    "ladder with one source": _problem(
        _STEPS, "E1 36 V; R1 3 ohm; R2 6 ohm; R3 2 ohm; R4 12 ohm; R5 1.5 ohm; R6 4.5 ohm"
    ),
    "unbalanced bridge": _problem(
        _BRIDGE, "E 12 V; R1 2 ohm; R2 4 ohm; R3 5 ohm; R4 3 ohm; R5 6 ohm; R6 2 ohm"
    ),
    "nearly balanced bridge": _problem(
        _BRIDGE, "E 20 V; R1 2 ohm; R2 3 ohm; R3 4 ohm; R4 7 ohm; R5 5 ohm; R6 3 ohm"
    ),
    "two sources in small resistances": _problem(
        _TWO, "E1 1.5 V; E2 1.2 V; R1 0.5 ohm; R2 0.3 ohm; R3 2 ohm"
    ),
}

RARER: dict[str, str] = {  # where slips arise that the circuits above leave no room for
    "three side by side": _problem(
        "I1: g, +E, R1, a; I2: a, R2, g; I3: a, R3, g; I4: a, R4, g",
        "E 24 V; R1 2 ohm; R2 3 ohm; R3 6 ohm; R4 4 ohm",
    ),
    "a wire between": _problem(
        "I1: g, +E, R1, a; I2: a, R2, g; I3: a, b; I4: b, R3, g; I5: b, R4, g",
        "E 24 V; R1 2 ohm; R2 3 ohm; R3 6 ohm; R4 4 ohm",
    ),
    "an open switch": _problem(
        "I1: g, +E1, R1, a; I2: a, R2, g; I3: g, +E2, R3, S1, a",
        "E1 24 V; E2 10 V; R1 2 ohm; R2 6 ohm; R3 4 ohm",
        '[elements]\nS1 = "open"\n\n',
    ),
    "meters": _problem(
        "I1: g, +E, R1, a; I2: a, R2, A1, g; I3: a, R3, g; I4: a, V1, g",
        "E 24 V; R1 2 ohm; R2 3 ohm; R3 6 ohm",
        '[elements]\nA1 = { kind = "ammeter" }\nV1 = { kind = "voltmeter" }\n\n',
    ),
    "a prefix": _problem(
        "I1: g, +E, R1, a; I2: a, R2, g; I3: a, R3, g", "E 12 V; R1 2 kohm; R2 3000 ohm; R3 6000 ohm"
    ),
}
