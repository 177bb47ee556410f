"""The sheet that a working is written on, the habits of who writes it, and the one slip of the hand.

A method is written twice with the same dice: once to learn where a slip could happen (`Hand.offers`), and
once with the slip at one of these places. All that comes below it is worked from what stands on the sheet, so
that it follows honestly.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import pairwise
from random import Random

from .ink import Num, Pen, Prod, Quot, Span, Square, Sum, Sym, Tree, put_in, rounded, span, worth
from .net import Net, Unfit

ROMAN = [
    f"{ten}{one}"
    for ten in ("", "X", "XX", "XXX", "XL", "L", "LX", "LXX")
    for one in ("", "I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX")
][1:]


@dataclass(frozen=True, slots=True)
class Habits:
    """How one person works. `form`: both (symbols, then numbers), numbers, or symbols (numbers at the end).
    `held`: the calculator keeps what is written rounded. `units`: everywhere, end or none."""

    pen: Pen
    form: str
    figures: int
    held: bool
    units: str
    numbering: str
    chain: bool
    merge: str
    talk: bool
    tidy: bool
    about: str
    own: bool
    declare: str
    given: bool
    check: bool
    reversed_said: bool
    wrap: str
    finer: bool
    twice: bool
    of_resistor: bool


def habits(rng: Random) -> Habits:
    """Somebody's habits."""
    kind = rng.choice(("plain", "plain", "unicode", "unicode", "latex"))
    comma = rng.random() < 0.2
    dot, touch, join, sub, beside, minus, ohm, divide = "*", " ", " ", "none", "||", "-", "ohm", "/"
    if kind == "plain":
        dot = rng.choice(("*", " * ", " x "))
        touch, join = rng.choice(((" ", " "), ("*", "*"), ("", " "), (" ", "*")))
        sub = rng.choice(("none", "none", "line"))
        beside, ohm = rng.choice(("||", "//")), rng.choice(("ohm", "Ohm", "ohms"))
    elif kind == "unicode":
        dot = rng.choice(("·", " × ", " · "))
        touch, join = rng.choice(((" ", " "), ("·", "·"), ("", ""), (" ", "·"), ("", "")))
        sub, minus = rng.choice(("none", "digit", "digit")), rng.choice(("−", "−", "-", "–"))
        beside, ohm = rng.choice(("∥", "||")), "Ω"
    else:
        dot = rng.choice((" \\cdot ", " \\times "))
        touch, join = rng.choice(((" ", " "), ("\\,", "\\,"), ("", " "), (" \\cdot ", " \\cdot ")))
        divide = rng.choice(("frac", "frac", "/"))
    pen = Pen(
        kind, comma, dot, touch, join, sub, beside, minus, divide,
        rng.choice((" ", " ", "")) if kind != "latex" else " ",
        ohm, rng.choice((" ", " ", "")), rng.choice(("\\mathrm", "\\text")),
    )  # fmt: skip
    about = {"plain": "=", "unicode": "≈", "latex": "\\approx"}[kind] if rng.random() < 0.3 else "="
    return Habits(
        pen,
        rng.choice(("both", "both", "numbers", "numbers", "symbols")),
        rng.choice((2, 3, 3, 4)),
        rng.random() < 0.5,
        rng.choice(("everywhere", "end", "end", "none")),
        rng.choice(("none", "left", "right", "bracket", "star", "roman")),
        rng.random() < 0.6,
        rng.choice(("", "", "", "; ", " => ", ", so ", ", hence ")),
        rng.random() < 0.6,
        rng.random() < 0.6,
        about,
        rng.random() < 0.4,
        rng.choice(("colon", "from", "arrow", "sentence")),
        rng.random() < 0.3,
        rng.random() < 0.5,
        rng.random() < 0.7,
        rng.choice(("$", "$$", "\\[", "\\(")),
        rng.random() < 0.15,
        rng.random() < 0.15,
        rng.random() < 0.3,
    )


class Hand:
    """Where a slip may happen, and the one that does: `target` is the number of the place and the kind."""

    def __init__(self, target: tuple[int, str] | None = None, dice: Random | None = None) -> None:
        self.target, self.fresh = target, False
        self.offers: list[tuple[str, ...]] = []
        self.dice = dice or Random(0)
        self.made: str | None = None

    def slips(self, *kinds: str) -> str | None:
        """The kind of slip made here, if one is; the next line written bears it."""
        at = len(self.offers)
        self.offers.append(kinds)
        if self.target is not None and self.target[0] == at and self.target[1] in kinds:
            self.fresh, self.made = True, self.target[1]
            return self.made
        return None


@dataclass(slots=True)
class Line:
    """One line: its formulas (each a chain), the words before and behind, its number, and whether it is the
    one with the slip."""

    chains: list[list[Tree]]
    before: str = ""
    behind: str = ""
    label: str = ""
    planted: bool = False
    prose: str = ""


@dataclass(slots=True)
class Paper:
    """The sheet: lines, what each name is worth in truth, and what stands for it in numbers."""

    net: Net
    habits: Habits
    rng: Random
    hand: Hand
    truth: dict[str, Fraction] = field(default_factory=dict)
    numbers: dict[str, Num] = field(default_factory=dict)
    held: dict[str, Fraction] = field(default_factory=dict)
    unit: dict[str, str] = field(default_factory=dict)
    lines: list[Line] = field(default_factory=list)
    exact: bool = True
    count: int = 0
    rough: dict[Fraction, Num] = field(default_factory=dict)

    def __post_init__(self) -> None:
        ohm, amp = ("kΩ", "mA") if self.net.milli else ("Ω", "A")
        for kind, unit in (("R", ohm), ("E", "V"), ("J", amp)):
            for part in self.net.parts(kind):
                self.know(part.name, part.value, unit)
                self.numbers[part.name] = self.given(part.value, unit)
                self.held[part.name] = part.value

    @property
    def amp(self) -> str:
        return "mA" if self.net.milli else "A"

    @property
    def ohm(self) -> str:
        return "kΩ" if self.net.milli else "Ω"

    @property
    def watt(self) -> str:
        return "mW" if self.net.milli else "W"

    def know(self, name: str, value: Fraction, unit: str) -> None:
        """What a name is worth in truth, and its unit."""
        self.truth[name], self.unit[name] = value, unit

    def given(self, value: Fraction, unit: str) -> Num:
        """A number of the problem."""
        places = 0
        while (value * 10**places).denominator != 1:
            places += 1
        digits = f"{float(value):.{places}f}"
        return Num(value, digits, unit if self.habits.units == "everywhere" else "")

    # -- numbers -------------------------------------------------------------------------------

    def figure(self, value: Fraction, unit: str = "", *, end: bool = False, cut: bool = False) -> Num:
        """The value as this person writes it; `end`: as a result, with its unit unless there are none."""
        shown = unit if self.habits.units == "everywhere" or (end and self.habits.units == "end") else ""
        num = rounded(value, self.habits.figures, shown, cut=cut, tidy=self.habits.tidy)
        return num

    def keeps(self, value: Fraction, num: Num) -> Fraction:
        """What is carried on: the held value, or the written one."""
        return value if self.habits.held else num.value

    # -- lines ---------------------------------------------------------------------------------

    def say(self, words: str) -> None:
        """A line of words."""
        self.lines.append(Line([], prose=words))

    def write(self, *chain: Tree, before: str = "", behind: str = "", number: bool = False) -> str:
        """A line with one chain of equal things; its label, where it gets one."""
        line = Line([list(chain)], before, behind)
        self.lines.append(line)
        if number and self.habits.numbering != "none":
            self.count += 1
            counted = ROMAN[self.count - 1] if self.habits.numbering == "roman" else str(self.count)
            line.label = f"[{counted}]" if self.habits.numbering == "bracket" else f"({counted})"
        self._prove(line)
        return line.label

    def _prove(self, line: Line) -> None:
        pairs = [(a, b) for chain in line.chains for a, b in pairwise(chain)]
        rough = any(_half(side) for pair in pairs for side in pair)
        if self.hand.fresh:
            self.hand.fresh, line.planted = False, True
            if not any(self._apart(a, b) for a, b in pairs):
                raise Unfit("the slip changes nothing")
        elif self.exact and not rough and self.hand.made is None:
            for a, b in pairs:
                if self._truth(a) != self._truth(b):
                    raise AssertionError(f"not true: {self.habits.pen.write(a)} = {self.habits.pen.write(b)}")
        self.exact = self.exact and not rough

    def _truth(self, tree: Tree) -> Fraction:
        return worth(tree, self.truth)

    def _apart(self, a: Tree, b: Tree) -> bool:
        """Whether no choice of the rounded numbers makes the two equal; with names, by a wide margin."""
        exact: Mapping[str, Span] = {name: (value, value) for name, value in self.truth.items()}
        try:
            (low, high), (least, most) = span(a, exact), span(b, exact)
        except (ZeroDivisionError, KeyError):
            return True
        gap = max(least - high, low - most)
        if gap <= 0:
            return False
        if self.exact and not _half(a) and not _half(b):
            return True
        if not _names(a) and not _names(b):
            return True
        return gap > Fraction(8, 100) * max(_size(a, self.truth), _size(b, self.truth))

    # -- results -------------------------------------------------------------------------------

    def result(
        self,
        name: str,
        formula: Tree,
        unit: str,
        *,
        before: str = "",
        last: bool = False,
        bare: bool = False,
        exact: Fraction | None = None,
    ) -> None:
        """`name = formula = numbers = value`, as far as this person writes of it; the name has its number
        from then on. `last`: a result of the problem. `bare`: without the formula in names. `exact`: what the
        calculator holds for it, where that is not what the numbers in the formula come to."""
        form = self.habits.form
        self.unit.setdefault(name, unit)
        names = Sym(name)
        if form == "symbols" and not bare:
            self.write(names, formula, before=before)
            self.held[name] = worth(formula, self.held)
            self.numbers[name] = self.figure(self.held[name], unit, end=True)
            return
        put = put_in(formula, self.inner())
        value = self._valued(formula)
        if exact is not None and self.habits.held:
            value = exact
        slip = self.hand.slips(*self._ways(value, put))
        put, value = self._slipped(slip, put, value)
        num = self.figure(
            value,
            unit,
            end=last or (self.habits.units == "end" and self.rng.random() < 0.3),
            cut=slip == "cut-off",
        )
        num = self._marred(slip, num, unit)
        if slip == "cut-off" and not _gap(put, num):
            raise Unfit("the cut explains itself")
        chain: list[Tree] = [names]
        if form == "both" and not bare:
            chain.append(formula)
        if put != num and not isinstance(put, Num):
            chain.append(put)
        if self.habits.finer and slip is None and num.half:
            chain.append(rounded(value, self.habits.figures + 2))
        chain.append(num)
        if self.habits.twice and slip is None and num.unit == "A" and abs(num.value) < 1 and num.value:
            chain.append(_in_milli(num))
        self._chain(chain, before)
        carried = (
            value if self.habits.held and slip in (None, "copied-wrong", "calculator-order") else num.value
        )
        if slip == "units":
            carried = value  # the figures are right, the unit is not
        self.held[name], self.numbers[name] = carried, num

    def inner(self) -> dict[str, Num]:
        """The numbers as they are put into a formula: with units only by who writes units everywhere."""
        if self.habits.units == "everywhere":
            return self.numbers
        return {name: replace(num, unit="") for name, num in self.numbers.items()}

    def _valued(self, formula: Tree) -> Fraction:
        try:
            return worth(formula, self.held)
        except ZeroDivisionError as none:
            raise Unfit("nothing to divide by") from none

    def _chain(self, chain: list[Tree], before: str) -> None:
        """The chain in one line, or a line for each step."""
        fresh, self.hand.fresh = self.hand.fresh, False
        if self.habits.chain or len(chain) == 2:
            self.hand.fresh = fresh
            self.write(*chain, before=before)
            return
        for at in range(1, len(chain)):
            two = [chain[0], chain[at]]
            if fresh and not self._stands(two[0], two[1]):
                self.hand.fresh, fresh = True, False
            self.write(*two, before=before if at == 1 else "")
        if fresh:
            raise Unfit("the slip changes nothing")

    def _stands(self, a: Tree, b: Tree) -> bool:
        return not self._apart(a, b)

    def _ways(self, value: Fraction, put: Tree) -> tuple[str, ...]:
        if isinstance(put, Num):
            return ()
        ways = ["digits", "cut-off", "copied-wrong"]
        if value < 0:
            ways.append("minus-dropped")
        if self.habits.units == "everywhere":
            ways.append("units")
        if isinstance(put, Quot) and isinstance(put.bottom, Sum):
            ways.append("calculator-order")
        if isinstance(put, Quot):
            ways.append("fraction-inverted")
        return tuple(ways)

    def _slipped(self, slip: str | None, put: Tree, value: Fraction) -> tuple[Tree, Fraction]:
        """The numbers and what they come to, with a slip in the numbers or in the reckoning."""
        dice = self.hand.dice
        if slip == "copied-wrong":
            spots = [n for n in _numbers(put) if len(n.text.strip("-0.").replace(".", "")) > 1]
            if not spots:
                raise Unfit("nothing to copy")
            old = dice.choice(spots)
            new = _swapped(old)
            put = _replaced(put, old, new)
            return put, worth(put, {})
        if slip == "calculator-order" and isinstance(put, Quot) and isinstance(put.bottom, Sum):
            first, *rest = put.bottom.terms
            top = worth(put.top, {}) / (first[0] * worth(first[1], {}))
            return put, top + sum((s * worth(t, {}) for s, t in rest), Fraction(0))
        if slip == "fraction-inverted":
            return put, 1 / value
        if slip == "minus-dropped":
            return put, abs(value)
        return put, value

    def _marred(self, slip: str | None, num: Num, unit: str) -> Num:
        if slip == "digits":
            dice = self.hand.dice
            if dice.random() < 0.5:
                return _swapped(num)
            text = num.text
            at = dice.choice([k for k, c in enumerate(text) if c.isdigit()][:2])
            digit = str((int(text[at]) + dice.choice((1, 2, 3, 9))) % 10)
            made = text[:at] + digit + text[at + 1 :]
            return Num(Fraction(made), made, num.unit, num.half)
        if slip == "units":
            other = {"A": "mA", "mA": "A", "Ω": "kΩ", "kΩ": "Ω", "V": "mV", "W": "mW", "mW": "W"}[unit]
            power = {"A": -3, "mA": 3, "Ω": 3, "kΩ": -3, "V": -3, "W": -3, "mW": 3}[unit]
            return Num(num.value * Fraction(10) ** power, num.text, other, num.half * Fraction(10) ** power)
        return num


def _in_milli(num: Num) -> Num:
    """A current once more, in milliamperes."""
    places = max(len(num.text.partition(".")[2]) - 3, 0)
    return Num(num.value, f"{float(num.value * 1000):.{places}f}", "mA", num.half)


def _gap(put: Tree, num: Num) -> bool:
    try:
        low, high = span(put, {})
    except ZeroDivisionError:
        return False
    half = num.half or Fraction(0)
    return num.value + half < low or num.value - half > high


def _swapped(num: Num) -> Num:
    """The number with two neighbouring digits exchanged; raises `Unfit` where that changes nothing."""
    text = num.text
    for at in range(len(text) - 1):
        a, b = text[at], text[at + 1]
        if a.isdigit() and b.isdigit() and a != b and not (at == 0 and b == "0"):
            made = text[:at] + b + a + text[at + 2 :]
            return Num(Fraction(made), made, num.unit, num.half)
    raise Unfit("no two digits to swap")


def _numbers(tree: Tree) -> list[Num]:
    match tree:
        case Num():
            return [tree]
        case Sym():
            return []
        case Sum():
            return [n for _, each in tree.terms for n in _numbers(each)]
        case Prod():
            return [n for each in tree.factors for n in _numbers(each)]
        case Quot():
            return _numbers(tree.top) + _numbers(tree.bottom)
        case Square():
            return _numbers(tree.of)
        case _:
            return [n for each in tree.parts for n in _numbers(each)]


def _replaced(tree: Tree, old: Num, new: Num) -> Tree:
    """The tree with the first place of a number changed."""
    done = [False]

    def walk(each: Tree) -> Tree:
        if each is old and not done[0]:
            done[0] = True
            return new
        match each:
            case Sum():
                return Sum(tuple((s, walk(t)) for s, t in each.terms))
            case Prod():
                return Prod(tuple(walk(t) for t in each.factors))
            case Quot():
                return Quot(walk(each.top), walk(each.bottom))
            case Square():
                return Square(walk(each.of))
            case _:
                return each

    return walk(tree)


def _half(tree: Tree) -> bool:
    return any(n.half for n in _numbers(tree))


def _names(tree: Tree) -> bool:
    match tree:
        case Num():
            return False
        case Sym():
            return True
        case Sum():
            return any(_names(each) for _, each in tree.terms)
        case Prod():
            return any(_names(each) for each in tree.factors)
        case Quot():
            return _names(tree.top) or _names(tree.bottom)
        case Square():
            return _names(tree.of)
        case _:
            return any(_names(each) for each in tree.parts)


def _size(tree: Tree, truth: Mapping[str, Fraction]) -> Fraction:
    """How large the terms of a side are together."""
    if isinstance(tree, Sum):
        return sum((_size(each, truth) for _, each in tree.terms), Fraction(0))
    return abs(worth(tree, truth))


Method = Callable[[Paper], None]
