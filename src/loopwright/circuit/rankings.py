"""What is to be put in order: `find = ["rank P(R1), P(R2), P(R3)"]`. Knows no laws and no solution."""

from __future__ import annotations

import re

from ..errors import FaultyMaterial
from ..findings import Finding
from .circuit import Circuit
from .targets import Asked, Target, target

_RANK = re.compile(r"\s*rank\b\s*(?P<rest>.*)", re.IGNORECASE | re.DOTALL)
_BETWEEN = re.compile(r",(?![^()]*\))")
BY_SIZE = (Asked.CURRENT, Asked.POTENTIAL)  # whose sign only tells the way: these are ranked by size


def is_ranking(text: str) -> bool:
    """Whether a question asks for an order."""
    return _RANK.fullmatch(text) is not None


def ranking(text: str, circuit: Circuit) -> tuple[Target, ...]:
    """The quantities that a question asks to be put in order, as it names them. Raises FaultyMaterial where
    one cannot be read, where there are fewer than two, or where they are not of one kind."""
    found = _RANK.fullmatch(text)
    rest = found["rest"] if found is not None else ""
    texts = [part.strip() for part in _BETWEEN.split(re.sub(r"\s+and\s+", ", ", rest)) if part.strip()]
    asked = tuple(dict.fromkeys(target(part, circuit) for part in texts))
    if len(asked) < 2:
        mend = "Write rank P(R1), P(R2) with at least two different quantities."
        raise FaultyMaterial(Finding("file/ranking-of-one", f'"{text}" names nothing to put in order.', mend))
    if len({each.dimension for each in asked}) > 1:
        raise FaultyMaterial(
            Finding(
                "file/ranking-of-unlike",
                f'"{text}" puts unlike quantities in one order.',
                "Rank currents, voltages, powers or resistances, each kind by itself.",
            )
        )
    return asked
