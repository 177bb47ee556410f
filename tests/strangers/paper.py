"""A sheet of paper in one hand: lines are written, numbers are put in, worked out, rounded and carried;
and in one place of it, if so wished, one slip is made, from which all below follows as it honestly would."""

from __future__ import annotations

import random
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import pairwise

from tests.strangers.figures import NoAnswer, Row, cut, decimal, ends, rounded, solved
from tests.strangers.formulas import Fault, Formula, Sym, faults, names_in, worth
from tests.strangers.hands import Hand, Leaf, in_numbers, in_symbols, written

UNITS = {
    False: {"V": "V", "I": "A", "R": "ohm", "P": "W", "G": "S"},
    True: {"V": "V", "I": "mA", "R": "kohm", "P": "mW", "G": "mS"},
}
MARGIN = Fraction(1, 25)


@dataclass(frozen=True, slots=True)
class Slip:
    """The slip made: in which line, what it is called, and whether it changes anything; `results`: how
    many results had been worked out by then."""

    line: int
    kind: str
    matters: bool
    results: int


@dataclass(frozen=True, slots=True)
class Law:
    """An equation as it was put down, with the numbers put in, and as coefficients of the unknowns."""

    left: Formula
    right: Formula
    at: Mapping[str, Fraction]
    row: Row


@dataclass
class Paper:
    """What is being written. `given`: values of the problem; `wrong_at`: the place, counted through all
    places where something can go wrong, at which it does."""

    hand: Hand
    given: dict[str, Fraction]
    milli: bool
    chance: random.Random
    wrong_at: int | None = None
    lines: list[str] = field(default_factory=list)
    values: dict[str, Fraction] = field(default_factory=dict)
    dims: dict[str, str] = field(default_factory=dict)
    texts: dict[str, str] = field(default_factory=dict)  # the numbers as they were written
    chances: list[str] = field(default_factory=list)
    exact: dict[str, Fraction] = field(default_factory=dict)  # worked out, but never rounded
    held: dict[str, Fraction] = field(default_factory=dict)  # what the calculator still shows of `values`
    mixes: random.Random | None = None  # decides, for somebody who takes now the held number, now the other
    slip: Slip | None = None
    worked: list[tuple[str, Fraction]] = field(default_factory=list)  # every result before it is rounded

    # --- what stands on the paper

    def say(self, text: str) -> None:
        """A line of words, or a ready line."""
        self.lines.append(text)

    def talk(self, text: str, least: int = 1) -> None:
        """Words that only a talkative writer puts down."""
        if self.hand.talk >= least:
            self.lines.append(text)

    def unit(self, dim: str) -> str:
        """The unit of a quantity, as this hand spells it."""
        unit = UNITS[self.milli].get(dim, "")
        if "ohm" not in unit:
            return unit
        sign = r"\Omega" if self.hand.notation == "tex" else self.hand.ohm
        return unit.replace("ohm", sign if sign != "ohm" or not self.milli else "ohm")

    def note(self, name: str, dim: str, value: Fraction) -> None:
        """Take a result down, as it will be carried on."""
        self.values[name], self.dims[name] = self.hand.on_paper(value), dim
        self.texts[name] = self.hand.number(value)
        self.held[name] = value

    def leaf(self, instead: Mapping[str, Fraction] | None = None) -> Leaf:
        """How names are written when numbers are put in."""
        units = {n: self.unit(self.dims.get(n, "R" if n.startswith("R") else "V")) for n in self.known}
        return in_numbers(self.hand, self.texts, {**self.given, **self.exact}, units, instead or {})

    def name(self, name: str) -> str:
        return self.hand.named(name)

    @property
    def known(self) -> dict[str, Fraction]:
        """Every number at hand: those of the problem and those worked out, as they are on paper (or, by
        somebody who mixes, now and then as the calculator holds them)."""
        taken = self.values
        if self.mixes:
            chance, figures = self.mixes, self.hand.figures
            taken = {
                n: self.held.get(n, v) if chance.random() < 0.5 else rounded(v, figures)
                for n, v in taken.items()
            }
        return {**self.given, **self.exact, **taken}

    # --- slips

    def slipped(self, kind: str) -> bool:
        """Whether the slip is to be made here. Every question is one place more where it could be."""
        here = len(self.chances) == self.wrong_at
        self.chances.append(kind)
        return here

    def made(self, kind: str, matters: bool) -> None:
        """Put down that the slip is made in the line about to be written."""
        self.slip = Slip(len(self.lines) + 1, kind, matters, len(self.worked))

    def gone_wrong(self, right: Formula, ways: Iterable[Fault]) -> Formula:
        """A formula, or the one of its faults whose turn it is."""
        out = right
        for kind, wrong in ways:
            if self.slipped(kind):
                try:
                    before, after = worth(right, self.known), worth(wrong, self.known)
                    matters = apart(before, after)
                except NoAnswer:
                    matters = False
                self.made(kind, matters)
                out = wrong
        return out

    # --- formulas

    def formula(
        self,
        name: str,
        dim: str,
        right: Formula,
        alike: Mapping[str, list[str]] | None = None,
        also: Iterable[Fault] = (),
        lead: str = "",
        final: bool = False,
        general: bool = True,
    ) -> None:
        """name = formula = numbers = value, in the hand's manner; the value is carried on as it stands."""
        hand = self.hand
        ways = [*also, *(faults(right, alike or {}) if general else ())]
        f = self.gone_wrong(right, ways)
        instead: dict[str, Fraction] = {}
        plain = isinstance(f, Sym)
        if hand.show == "letters":
            self.lines.append(lead + hand.equation([self.name(name), written(f, hand, in_symbols(hand))]))
            self.values[name], self.dims[name] = worth(f, self.known), dim
            return
        if hand.show != "symbols" and not plain:
            for each in dict.fromkeys(names_in(f)):
                if each in self.known and self.slipped("copied-wrong"):
                    instead[each] = miscopied(self.known[each])
                    self.made(
                        "copied-wrong", apart(worth(f, self.known), worth(f, {**self.known, **instead}))
                    )
        value = worth(f, {**self.known, **instead})
        value, text = self.result(value, dim, name)
        parts = [self.name(name)]
        if hand.show in ("chain", "symbols") or plain:
            parts.append(written(f, hand, in_symbols(hand)))
        if hand.show == "symbols" and not plain and not final:
            self.lines.append(lead + hand.equation(parts))
            self.lines.append(hand.equation([parts[0], text]))
        else:
            if hand.show != "symbols" and not plain:
                numbers = written(f, hand, self.leaf(instead))
                parts += [numbers] if not text.startswith(numbers) else []
            if final and hand.small and dim == "I" and not self.milli and abs(hand.on_paper(value)) < 1:
                text += f" = {hand.number(value * 1000)} mA"
            whole = hand.equation([*parts, text])
            if hand.rounds != "=" and hand.on_paper(value) != value and hand.show != "letters":
                whole = f" {hand.rounds} ".join(whole.rsplit(" = ", 1))
            self.lines.append(lead + whole)
        self.note(name, dim, value)

    def result(self, value: Fraction, dim: str, name: str) -> tuple[Fraction, str]:
        """A value as it is put down, with its unit, and what it is taken to be."""
        hand = self.hand
        if value == 0:
            raise NoAnswer
        self.worked.append((name, value))
        if self.slipped("digits"):
            wrong = misworked(value)
            self.made("digits", apart(value, wrong))
            value = wrong
        if self.slipped("point"):
            self.made("point", True)
            value = value / 10
        if hand.figures >= 3 and self.slipped("cut-off"):
            short = cut(value, hand.figures)
            last = len(decimal(short).partition(".")[2])  # 1.805 cut to 1.8 is 1.805 rounded to tenths
            self.made("cut-off", abs(value - short) * 10**last > Fraction(1, 2))
            return short, hand.with_unit(decimal(short), self.unit(dim))
        if value < 0 and dim == "I" and self.slipped("minus-dropped"):
            self.made("minus-dropped", True)
            value = -value
        unit = self.unit(dim)
        if self.milli and unit and dim == "I" and hand.units != "none" and self.slipped("prefix"):
            self.made("prefix", True)
            unit = unit[1:]
        return value, hand.with_unit(hand.number(value), unit)

    def state(self, name: str, dim: str, value: Fraction, lead: str = "") -> str:
        """A bare result: name = value; gives its text."""
        value, text = self.result(value, dim, name)
        self.note(name, dim, value)
        return lead + self.hand.equation([self.name(name), text])

    # --- equations

    def law(
        self,
        left: Formula,
        right: Formula,
        unknowns: list[str],
        ways: Iterable[tuple[str, Formula, Formula]] = (),
        lead: str = "",
        truth: Mapping[str, Fraction] | None = None,
        symbols: bool | None = None,
    ) -> Law:
        """An equation in unknowns, in symbols, in numbers, or both. `truth`: the true values, against which
        a slip is tried."""
        for kind, wrong_left, wrong_right in ways:
            if self.slipped(kind):
                self.made(kind, self._false(wrong_left, wrong_right, truth or {}))
                left, right = wrong_left, wrong_right
        hand = self.hand
        both = hand.show == "chain"
        if symbols if symbols is not None else hand.show in ("chain", "symbols", "letters"):
            self.lines.append(
                lead + hand.equation([written(side, hand, in_symbols(hand)) for side in (left, right)])
            )
            lead = ""
            if not both or not any(n in self.given for n in names_in(left) + names_in(right)):
                return Law(left, right, self.known, row_of(left, right, unknowns, self.known))
        instead: dict[str, Fraction] = {}
        for each in dict.fromkeys(names_in(left) + names_in(right)):
            if each in self.given and self.slipped("copied-wrong"):
                instead[each] = miscopied(self.given[each])
                self.made("copied-wrong", True)
        self.lines.append(
            lead + hand.equation([written(side, hand, self.leaf(instead)) for side in (left, right)])
        )
        at = {**self.known, **instead}
        return Law(left, right, at, row_of(left, right, unknowns, at))

    def _false(self, left: Formula, right: Formula, truth: Mapping[str, Fraction]) -> bool:
        at = {**self.given, **truth}
        try:
            return apart(worth(left, at), worth(right, at)) and apart(
                worth(left, at) - worth(right, at) + 1, Fraction(1)
            )
        except NoAnswer:
            return False


def apart(a: Fraction, b: Fraction) -> bool:
    """Whether two values differ by more than any rounding could."""
    return abs(a - b) > MARGIN * max(abs(a), abs(b))


def row_of(left: Formula, right: Formula, unknowns: list[str], at: Mapping[str, Fraction]) -> Row:
    """An equation as coefficients and a constant; it is of the first degree in the unknowns."""
    nothing = {**at, **dict.fromkeys(unknowns, Fraction(0))}
    base = worth(left, nothing) - worth(right, nothing)
    weights = []
    for u in unknowns:
        one = {**nothing, u: Fraction(1)}
        weights.append(worth(left, one) - worth(right, one) - base)
    return weights, -base


def miscopied(value: Fraction) -> Fraction:
    """Another number that could stand for it by a slip of the pen: figures swapped, or one of them off."""
    text = decimal(value) if ends(value) else decimal(rounded(value, 4))
    digits = [i for i, c in enumerate(text) if c.isdigit()]
    for i, j in pairwise(digits):
        if text[i] != text[j] and text[j] != "0":
            swapped = list(text)
            swapped[i], swapped[j] = swapped[j], swapped[i]
            return Fraction("".join(swapped))
    off = list(text)
    first = next(i for i in digits if text[i] != "0")
    off[first] = str((int(text[first]) + 3) % 9 + 1)
    return Fraction("".join(off))


def misworked(value: Fraction) -> Fraction:
    """What a slip of arithmetic makes of a value: its first figure one too many or too few."""
    short = rounded(value, 4)
    size = Fraction(1)
    while abs(short) >= 10 * size:
        size *= 10
    while abs(short) < size:
        size /= 10
    return short + size if short > 0 else short - size


def answer(rows: list[Row]) -> list[Fraction]:
    """The unknowns, none of them nothing."""
    found = solved(rows)
    if any(x == 0 for x in found):
        raise NoAnswer
    return found
