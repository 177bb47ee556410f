"""What a problem is looked up by: counts such as two sources or one battery charged, and plain traits.

Everything here is worked from the problem itself, so it can be worked again at any time. How a person asks
for a feature stands beside it; `looking` reads that.
"""

from __future__ import annotations

import re
import unicodedata
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from ..algebra.ratios import Ratio
from ..circuit.circuit import Circuit
from ..circuit.diagnose import diagnose
from ..circuit.elements import Kind
from ..circuit.timed_wishes import is_in_time
from ..errors import FaultyMaterial
from ..findings import Severity
from ..graph.connections import parts
from ..graph.series_and_parallel import is_series_parallel
from ..solve.by_numbers import flow_in_numbers
from ..solve.currents import NoUniqueSolution
from .likeness import chains


@dataclass(frozen=True, slots=True)
class Feature:
    """One thing to look for. `name`: as it is kept and told; `also`: other ways to ask for it; `counted`: a
    number belongs to it."""

    name: str
    also: tuple[str, ...] = ()
    counted: bool = False


def _count(name: str, *also: str) -> Feature:
    return Feature(name, also, counted=True)


FEATURES: tuple[Feature, ...] = (
    _count("sources", "source"),
    _count("batteries", "battery", "cells", "cell"),
    _count("current sources", "current source"),
    _count("resistors", "resistor"),
    _count("capacitors", "capacitor"),
    _count("coils", "coil", "inductors", "inductor"),
    _count("switches", "switch"),
    _count("meters", "meter"),
    _count("loops", "loop", "meshes", "mesh"),
    _count("junctions", "junction"),
    _count("branches", "branch"),
    _count("questions", "question"),
    _count("batteries charged", "battery charged"),
    _count("currents negative", "current negative", "negative currents", "negative current"),
    _count("versions", "version"),
    _count("items", "item", "quiz items", "quiz item"),
    Feature("bridge", ("bridges", "a bridge")),
    Feature("ladder without end", ("endless ladder", "infinite ladder")),
    Feature("whole numbers", ("currents whole", "whole currents", "integers", "whole answers")),
    Feature("numbers missing", ("in letters", "letters alone", "in symbols", "symbolic")),
    Feature("in time", ("in the time domain", "transient", "transients")),
    Feature("asked backwards", ("backwards",)),
    Feature("to be ranked", ("ranking",)),
    Feature("internal resistance", ("internal resistances",)),
    Feature("equal values", ("equal resistors",)),
    Feature("slips apart", ("slips told apart",)),
)
_METERS = (Kind.AMMETER, Kind.VOLTMETER)
_WORD = re.compile(r"[^\W_]+")


def features(circuit: Circuit) -> Mapping[str, int]:
    """The amount of every feature that is known of a circuit; 1 or 0 for a plain one. What only the currents
    tell is missing where they cannot be worked in numbers."""
    met = [circuit.elements[p.element] for b in circuit.branches for p in b.passes]
    kinds = Counter(element.kind for element in met)
    joined = chains(circuit)
    points = {point for link in joined for point in (link.start, link.end)}
    ends = Counter(point for link in joined for point in (link.start, link.end))
    resistances = [_size(circuit.value(e.name), circuit) for e in met if e.kind is Kind.RESISTOR]
    found = {
        "sources": kinds[Kind.BATTERY] + kinds[Kind.CURRENT_SOURCE],
        "batteries": kinds[Kind.BATTERY],
        "current sources": kinds[Kind.CURRENT_SOURCE],
        "resistors": kinds[Kind.RESISTOR],
        "capacitors": kinds[Kind.CAPACITOR],
        "coils": kinds[Kind.COIL],
        "switches": kinds[Kind.SWITCH],
        "meters": sum(kinds[kind] for kind in _METERS),
        "loops": len(joined) - len(points) + len(parts(points, joined).groups()),
        "junctions": sum(count > 2 for count in ends.values()),
        "branches": len(joined),
        "questions": len(circuit.find + circuit.sought + circuit.ranked + circuit.in_time),
        "bridge": not is_series_parallel(joined),
        "ladder without end": circuit.ladder is not None,
        "numbers missing": any(symbol not in circuit.numbers for symbol in circuit.symbols),
        "in time": is_in_time(circuit),
        "asked backwards": bool(circuit.sought),
        "to be ranked": bool(circuit.ranked),
        "internal resistance": any(e.internal is not None for e in met),
        "equal values": len(set(resistances)) < len(resistances),
    }
    return {name: int(amount) for name, amount in {**found, **_of_the_currents(circuit)}.items()}


def _size(value: Ratio, circuit: Circuit) -> Fraction | str:
    """A value as its number, where that is known, else as its form."""
    known = set(value.held()) <= set(circuit.numbers)
    return value.value(circuit.numbers) if known else str(value)


def _of_the_currents(circuit: Circuit) -> Mapping[str, int]:
    """What the currents tell, for a steady circuit that has numbers and one answer."""
    if is_in_time(circuit) or circuit.ladder is not None or circuit.sought:
        return {}
    if any(finding.severity is Severity.ERROR for finding in diagnose(circuit)):
        return {}
    try:
        currents = flow_in_numbers(circuit).currents
    except (KeyError, NoUniqueSolution, FaultyMaterial):
        return {}
    charged = sum(
        currents[b.name] * p.sign < 0
        for b in circuit.branches
        for p in b.passes
        if circuit.elements[p.element].kind is Kind.BATTERY
    )
    whole = any(all((value * unit).denominator == 1 for value in currents.values()) for unit in _WHOLE_IN)
    return {
        "batteries charged": charged,
        "currents negative": sum(value < 0 for value in currents.values()),
        "whole numbers": whole and any(currents.values()),
    }


_WHOLE_IN = (Fraction(1), Fraction(1000), Fraction(1_000_000))  # amperes, milliamperes, microamperes


def words_of(*texts: str) -> tuple[str, ...]:
    """The words of texts as they are looked up, each once: small letters without accents, a final s left out
    of longer ones."""
    found: dict[str, None] = {}
    for text in texts:
        plain = unicodedata.normalize("NFKD", text.casefold())
        for word in _WORD.findall("".join(c for c in plain if not unicodedata.combining(c))):
            found[word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith("ss") else word] = (
                None
            )
    return tuple(found)
