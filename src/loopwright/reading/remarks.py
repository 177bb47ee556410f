"""What is written in the margin of each line of a working: one word for the verdict, then sentences.

The one place where verdicts become running text, for terminal, page and JSON alike.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from ..circuit.circuit import Circuit
from ..circuit.elements import UNIT_OF
from ..expressions.amounts import amount
from ..expressions.nodes import Equation, Expr, Negative, Number, Symbol
from ..expressions.said import Said, as_text, in_a_row
from ..expressions.tokens import scale_of
from ..quantities import simple
from ..slips.catalogue import CATALOGUE
from .verdicts import ClaimKind, Counter, Repair, Verdict
from .working import Working, WrittenLine

OTHER_REPAIRS = 1  # told besides the first
BARE: Said = ("Not true.",)  # says no more than the word that stands beside the line
LONG_EXACT = 7  # characters: a longer exact fraction is told rounded


class Standing(StrEnum):
    """What a whole line comes to, in words that stand beside it."""

    RIGHT = "right"
    UNTRUE = "not true"
    CARRIED = "not true, but follows"
    OPEN = "not decided"
    UNREAD = "not read"
    SAID = ""  # prose, arrows


@dataclass(frozen=True, slots=True)
class Remarked:
    """A line with its remarks. `read`: the claims in it as they were understood."""

    line: WrittenLine
    standing: Standing
    read: tuple[Equation, ...]
    remarks: tuple[Said, ...]


@dataclass(frozen=True, slots=True)
class UnitsOfNames:
    """What names in a working stand for, as far as units go: the circuit, and the currents or potentials
    meant by the working's own names."""

    circuit: Circuit
    own: Mapping[str, Mapping[str, int]]

    def unit(self, name: str) -> str:
        """The SI unit of what a name stands for; empty where it is not known."""
        meaning = self.own.get(name)
        if meaning is not None:
            return "V" if any(n.startswith("φ") for n in meaning) else "A"
        if "(" in name:
            return {"V": "V", "P": "W", "R": "Ω"}.get(name[0], "")
        element = self.circuit.elements.get(name)
        kind = element.kind if element is not None else self.circuit.role(name)
        if kind is None:
            return "Ω" if name[:1] in "Rr" else "V" if name[:1] in "VU" else ""
        return UNIT_OF.get(kind, "")


def remarked(working: Working, verdicts: Sequence[Verdict], names: UnitsOfNames) -> tuple[Remarked, ...]:
    """Every line of a working with what is to be said of it."""
    by_line: dict[int, list[Verdict]] = {}
    for verdict in verdicts:
        by_line.setdefault(verdict.line, []).append(verdict)
    return tuple(_of_line(line, by_line.get(line.number, []), names) for line in working.lines)


def _of_line(line: WrittenLine, verdicts: list[Verdict], names: UnitsOfNames) -> Remarked:
    several = len(verdicts) > 1
    said: list[Said] = []
    for verdict in verdicts:
        first, *rest = remarks(verdict, names) or (verdict.said,)
        said.append((verdict.claim.written, ": ", *first) if several else first)
        said += rest
    said += [(_sentence(note),) for note in line.notes]
    if line.trouble is not None:
        place = f" (at sign {line.trouble.position + 1})" if line.trouble.position else ""
        said.append((f"Not read: {line.trouble.why}{place}.",))
    return Remarked(line, _standing(line, verdicts), tuple(v.claim.written for v in verdicts), tuple(said))


def _standing(line: WrittenLine, verdicts: Iterable[Verdict]) -> Standing:
    """The worst of what is on the line."""
    found = [_standing_of(v) for v in verdicts]
    if line.trouble is not None:
        found.append(Standing.UNREAD)
    order = (Standing.UNTRUE, Standing.CARRIED, Standing.UNREAD, Standing.OPEN, Standing.RIGHT)
    return next((s for s in order if s in found), Standing.SAID)


def _standing_of(verdict: Verdict) -> Standing:
    if verdict.kind is ClaimKind.UNDECIDED:
        return Standing.OPEN
    if verdict.kind is ClaimKind.UNTRUE:
        return Standing.CARRIED if verdict.carried else Standing.UNTRUE
    return Standing.RIGHT


def remarks(verdict: Verdict, names: UnitsOfNames) -> tuple[Said, ...]:
    """The sentences on one claim: what it is, then for an untrue one the mend and the numbers."""
    if verdict.kind is not ClaimKind.UNTRUE or verdict.carried:
        return (verdict.said,)
    found: list[Said] = [verdict.said] if verdict.said != BARE else []
    again = verdict.cause is not None and verdict.cause != verdict.line
    if again:
        found.append((f"The same slip as in line {verdict.cause}.",))
    for at, repair in enumerate(verdict.repairs[: 1 + OTHER_REPAIRS]):
        if not (again and at):
            found.append(_mend(repair, verdict.claim.written, first=at == 0))
    if verdict.counter is not None:
        found.append(counter_said(verdict.counter, names))
    return tuple(found)


def _mend(repair: Repair, written: Equation, *, first: bool) -> Said:
    """What is wrong and where, the slip called by its name, and the claim put right where it can be."""
    entry = CATALOGUE.get(repair.entry)
    told_already = entry is None or entry.name in as_text(repair.said)
    opening = "" if entry is None or told_already else f"{entry.name}: "
    opening = opening if first else f"or: {opening}"
    front, rest = (repair.said[0], repair.said[1:]) if isinstance(repair.said[0], str) else ("", repair.said)
    if repair.mended == written:
        return (_capital(f"{opening}{front}"), *rest, ".")
    mended = ". It should read " if first else ". Then it should read "
    return (_capital(f"{opening}{front}"), *rest, mended, repair.mended, ".")


def counter_said(counter: Counter, names: UnitsOfNames) -> Said:
    """The numbers that show that a claim is not true, in a sentence."""
    values: list[Said] = []
    for name, value in counter.values.items():
        unit = names.unit(name)
        shown = _as_written(value, unit) if counter.in_thousands else _shown(value, unit)
        values.append((Equation(Symbol(name), shown),))
    opening: Said = ("With ", *in_a_row(values), " the") if values else ("The",)
    left, right = _shown(counter.left, ""), _shown(counter.right, "")
    return (*opening, " left side comes to ", left, " and the right side to ", right, ".")


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def _shown(value: Fraction, unit: str) -> Expr:
    """A value exactly where that is short, else to four figures."""
    if len(simple(value)) <= LONG_EXACT and "/" not in simple(value):
        figures = max(1, len(simple(abs(value)).replace(".", "").lstrip("0")))
        return amount(value, unit, figures)
    return amount(value, unit, 4)


def _as_written(value: Fraction, unit: str) -> Expr:
    """A value in SI units in the unit that bare numbers are in where currents are in mA."""
    size, thousandfold = abs(value), {"A": "mA", "W": "mW", "Ω": "kΩ"}.get(unit, unit)
    bare = _shown(size / scale_of(thousandfold), "")
    found = Number(size, thousandfold, bare.text if isinstance(bare, Number) else "")
    return Negative(found) if value < 0 else found


def _sentence(words: str) -> str:
    words = words.strip()
    if " is read as " in words or " may mean " in words or " is called " in words:
        words = f"here {words}"  # no name is spelt otherwise
    return words[:1].upper() + words[1:] + ("" if words.endswith((".", "?", "!")) else ".")
