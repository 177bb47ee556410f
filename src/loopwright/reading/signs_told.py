"""What a line of words says of signs, "I2, I3 < 0, so against their arrows": where it agrees with the numbers
that the working gives these names, or with what they are, it is a remark; else it stays unread."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from ..expressions.nodes import Expr, Symbol
from ..expressions.tokens import NAME, canonical_name
from .page.naming import NamesInUse
from .truth.meaning import Meanings
from .truth.rounding import lone
from .working import Working, WrittenLine

_SAID = re.compile(
    rf"(?<![\w'′])((?:{NAME.pattern})(?:\s*(?:,|&|\band\b)\s*(?:{NAME.pattern}))*)"
    r"\s*([<>])\s*0(?![\d.,]*\d)"
)
_RELATION = re.compile(r"[=≈<>≤≥≠]")
_ARROW = re.compile(r"[-−–=]{1,2}>|[→⇒⟹]")  # "I2 < 0 -> against the arrow"
_PARTED = re.compile(r"\s*(?:,|&|\band\b)\s*")
_OPERATORS = "*/·×+-−–)]}^|∥"  # of a name behind one no sign is said, but of what stands before it too
NOTE = "what it says of signs agrees with the numbers"


def with_signs_told(working: Working, meanings: Meanings) -> Working:
    """The working, in which lines that say no more than the signs of numbers above, rightly, are read; of
    those below where none stands above."""
    given = {name: value for line in reversed(working.lines) for name, value in _given(line).items()}
    spelled = NamesInUse(meanings.circuit)
    lines: list[WrittenLine] = []
    for line in working.lines:
        if (
            line.trouble is not None
            and not line.claims
            and _agree(_signs(line.text), given, meanings, spelled)
        ):
            line = replace(line, trouble=None, notes=(*line.notes, NOTE))
        given.update(_given(line))
        lines.append(line)
    return replace(working, lines=tuple(lines))


def _signs(text: str) -> Sequence[tuple[str, int]]:
    """The names in a line of which a sign is said, and the sign; nothing where it holds more than that."""
    text = _ARROW.sub(" ", text.replace("$", ""))
    before = [text[: match.start()].rstrip()[-1:] for match in _SAID.finditer(text)]
    if _RELATION.search(_SAID.sub("", text)) or any(sign and sign in _OPERATORS for sign in before):
        return ()
    return [
        (canonical_name(name), 1 if match[2] == ">" else -1)
        for match in _SAID.finditer(text)
        for name in _PARTED.split(match[1])
    ]


def _agree(
    signs: Sequence[tuple[str, int]],
    given: Mapping[str, Fraction],
    meanings: Meanings,
    spelled: NamesInUse,
) -> bool:
    """Whether the signs are those of the numbers given, else of the true ones. `spelled`: how names are
    read that are no names of the working's own, `i_1` for I1."""
    values: list[tuple[Fraction | None, int]] = []
    for name, sign in signs:
        own = name if name in given else spelled.read(name)[0]
        values.append((given.get(own, _true(own, meanings)), sign))
    return bool(values) and all(value is not None and value * sign > 0 for value, sign in values)


def _true(name: str, meanings: Meanings) -> Fraction | None:
    """The number that a name stands for; None where it has none."""
    own = meanings.names.get(name)
    value = None if own is None else meanings.value(own)
    return None if value is None else value.constant()


def _given(line: WrittenLine) -> dict[str, Fraction]:
    """The numbers that a line gives names, at the end of a chain too: -4.36 both of `I1 = x = -4.36`."""
    found: dict[str, Fraction] = {}
    names: list[str] = []
    end: Expr | None = None
    for claim in line.claims:
        left, right = claim.written.left, claim.written.right
        names = names if left == end else []
        names += [left.name] if isinstance(left, Symbol) else []
        end = right
        number = lone(right)
        if number is not None:
            found.update(dict.fromkeys(names, number.value if number is right else -number.value))
    return found
