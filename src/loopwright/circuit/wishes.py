"""What is wished of the numbers of a version: `answers whole`, `one current negative`, `I2 < I3`.

A wish is a small value that says of exact fractions whether it holds; how such numbers are looked for is for
`versions`. Knows no laws and no solution.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations

from ..errors import FaultyMaterial
from ..expressions.dimensions import PLAIN, Clash, Dimension, dimension, of_unit
from ..expressions.nodes import Equation, Expr, Negative, Number, Symbol, put_in
from ..expressions.parse import Unreadable, expression
from ..expressions.values import symbols_of
from ..findings import Finding
from ..quantities import STORED, UNITS, UnreadableQuantity, read_quantity
from .circuit import Circuit
from .elements import DIMENSION_OF, Kind
from .in_time import changes
from .names import listed, nearest, quantity_name
from .targets import dimensions_of, target, targets, unknown_target
from .timed_wishes import (
    ComparedInTime,
    compared_in_time,
    currents_at,
    dimension_at,
    exact_answers,
    is_in_time,
    named_apart,
    powers_at,
)
from .unit_kinds import in_words
from .value_choices import scale_of_unit

ValueOf = Callable[[Expr], Fraction]  # the exact value of what is written, in SI units
MOST_DECIMALS = 6


@dataclass(frozen=True, slots=True)
class Multiples:
    """Each quantity `of` is a whole number of its step: of amperes, of tenths of a volt. `steps`: beside
    each."""

    text: str
    of: tuple[Expr, ...]
    steps: tuple[Fraction, ...]

    def holds(self, value: ValueOf) -> bool:
        """Whether it holds of these values."""
        return all((value(q) / step).denominator == 1 for q, step in zip(self.of, self.steps, strict=True))


@dataclass(frozen=True, slots=True)
class Compared:
    """`left` stands in a relation (`<`, `<=`, `>`, `>=`, `=`, `!=`) to `right`; `sized`: for each side
    whether its size is meant, whatever its sign."""

    text: str
    left: Expr
    relation: str
    right: Expr
    sized: tuple[bool, bool] = (False, False)

    def holds(self, value: ValueOf) -> bool:
        """Whether it holds of these values."""
        left, right = value(self.left), value(self.right)
        left, right = abs(left) if self.sized[0] else left, abs(right) if self.sized[1] else right
        return (left > right) - (left < right) in SIGNS_OF[self.relation]


SIGNS_OF = {"<": (-1,), "<=": (-1, 0), ">": (1,), ">=": (0, 1), "=": (0,), "!=": (-1, 1)}


@dataclass(frozen=True, slots=True)
class Distinct:
    """No two of the quantities are of one size."""

    text: str
    of: tuple[Expr, ...]

    def holds(self, value: ValueOf) -> bool:
        """Whether it holds of these values."""
        return all(abs(value(one)) != abs(value(other)) for one, other in combinations(self.of, 2))


@dataclass(frozen=True, slots=True)
class SoManyNegative:
    """Exactly `count` of the quantities are negative; the others are not (0 is not)."""

    text: str
    of: tuple[Expr, ...]
    count: int

    def holds(self, value: ValueOf) -> bool:
        """Whether it holds of these values."""
        return sum(value(q) < 0 for q in self.of) == self.count


@dataclass(frozen=True, slots=True)
class AllHold:
    """All of several conditions, under one text."""

    text: str
    parts: tuple[Compared, ...]

    def holds(self, value: ValueOf) -> bool:
        """Whether it holds of these values."""
        return all(part.holds(value) for part in self.parts)


@dataclass(frozen=True, slots=True)
class SlipsApart:
    """Every slip that can be made leads to wrong answers of its own: for `versions/slips_apart` to judge, as
    it speaks of more than the right values."""

    text: str


Wish = Multiples | Compared | Distinct | SoManyNegative | AllHold | SlipsApart | ComparedInTime

_ALL = r"(?P<what>answers|currents)"
_WHOLE = re.compile(
    r"(?P<what>.+?)\s+(?:are\s+|is\s+)?(?:(?P<whole>whole)|with\s+(?:at\s+most\s+)?(?P<places>\w+)\s+decimals?)"
    r"(?:\s+in\s+(?P<units>.+))?"
)
_DISTINCT = re.compile(r"(?P<what>answers|currents|resistances|emfs)\s+(?:are\s+)?distinct")
_NOT_ZERO = re.compile(rf"{_ALL}\s+(?:are\s+)?not\s+(?:zero|0)")
_NEGATIVE = re.compile(r"(?P<count>\w+)\s+(?P<what>answer|current)s?\s+(?:are\s+|is\s+)?negative")
_CHARGED = re.compile(r"(?P<name>\S+)\s+(?:is\s+)?(?P<no>not\s+)?(?:being\s+)?charged")
_RATINGS = re.compile(r"ratings?\s+kept|nothing\s+past\s+its\s+rating")
_NO_VALUE = re.compile(r"no\s+(?P<what>resistance|emf)\s+of\s+(?P<value>.+)")
_APART = re.compile(r"slips\s+apart")
_RELATION = re.compile(r"<=|>=|!=|≤|≥|≠|<|>|=")
_PLAIN_RELATION = {"≤": "<=", "≥": ">=", "≠": "!="}
_SIZE = re.compile(r"\|\s*([^|]+?)\s*\|")
COUNTS = ("no", "one", "two", "three", "four", "five", "six")
FORMS = (
    "answers whole",
    "currents with at most 1 decimal in mA",
    "currents distinct",
    "resistances distinct",
    "currents not zero",
    "one current negative",
    "E1 charged",
    "E1 not charged",
    "ratings kept",
    "no resistance of 1 ohm",
    "I2 < I3",
    "|I1| >= 0.5 A",
    "slips apart",
)


def wishes(circuit: Circuit, texts: Sequence[str]) -> tuple[Wish, ...]:
    """The wishes that texts make of a circuit. Raises FaultyMaterial with all that is wrong with them."""
    found: list[Wish] = []
    faults: list[Finding] = []
    for text in texts:
        try:
            found.append(wish(text, circuit))
        except FaultyMaterial as trouble:
            faults.extend(trouble.findings)
    if faults:
        raise FaultyMaterial(*faults)
    return tuple(found)


def wish(text: str, circuit: Circuit) -> Wish:
    """Reads one wish. Raises FaultyMaterial where it cannot be read or names what there is not."""
    said = " ".join(text.split())
    if _APART.fullmatch(said):
        if is_in_time(circuit) and not changes(circuit):
            raise FaultyMaterial(_unread(said, "nothing changes in time in this circuit"))
        return SlipsApart(said)
    if _RATINGS.fullmatch(said):
        return _ratings(said, circuit)
    if found := _NO_VALUE.fullmatch(said):
        return _no_value(said, found["what"], found["value"], circuit)
    if found := _DISTINCT.fullmatch(said):
        return Distinct(said, _several(found["what"], circuit))
    if found := _NOT_ZERO.fullmatch(said):
        parts = [Compared(said, q, "!=", Number(Fraction(0))) for q in _several(found["what"], circuit)]
        return AllHold(said, tuple(parts))
    if found := _NEGATIVE.fullmatch(said):
        return SoManyNegative(said, _several(f"{found['what']}s", circuit), _count(said, found["count"]))
    if in_time := compared_in_time(said, circuit):
        return in_time
    if _RELATION.search(said):
        return _compared(said, circuit)
    if found := _CHARGED.fullmatch(said):
        return _charged(said, found["name"], not found["no"], circuit)
    if found := _WHOLE.fullmatch(said):
        return _multiples(said, found, circuit)
    near = nearest(said, FORMS)
    raise FaultyMaterial(_unread(said, "it is none of the wishes there are", near))


def _unread(text: str, why: str, near: str | None = None) -> Finding:
    mend = f'Did you mean "{near}"?' if near else f"Write, for example, {listed(FORMS, 'or')}."
    return Finding("versions/unreadable-wish", f'"{text}" is wished for, but {why}.', mend)


def _several(what: str, circuit: Circuit) -> tuple[Expr, ...]:
    """The quantities that one word stands for."""
    if what == "currents":
        return tuple(each for name in circuit.currents for each in _current(name, circuit))
    if what == "answers":
        if not is_in_time(circuit):
            return tuple(asked.name for asked in targets(circuit))
        if found := exact_answers(circuit):
            return found
        raise FaultyMaterial(_unread(what, "nothing that is asked has one exact value"))
    kind = Kind.RESISTOR if what == "resistances" else Kind.BATTERY
    met = [p.element for b in circuit.branches for p in b.passes]
    return tuple(Symbol(name) for name in met if circuit.elements[name].kind is kind)


def _current(name: str, circuit: Circuit) -> tuple[Expr, ...]:
    """A current; in time just after the move and long after it."""
    return currents_at(name, circuit) if is_in_time(circuit) else (Symbol(name),)


def _count(text: str, word: str) -> int:
    if word in COUNTS:
        return COUNTS.index(word)
    if word.isdigit():
        return int(word)
    raise FaultyMaterial(_unread(text, f'"{word}" is no number of currents', "one current negative"))


def _ratings(text: str, circuit: Circuit) -> Wish:
    if not circuit.ratings:
        raise FaultyMaterial(
            Finding(
                "versions/no-ratings",
                f'"{text}" is wished for, but the file gives no ratings.',
                'Add them, such as R1 = "0.5 W" under [ratings].',
            )
        )
    parts = [
        Compared(text, taken, "<=", Number(power))
        for name, power in circuit.ratings.items()
        for taken in _powers(name, circuit)
    ]
    return AllHold(text, tuple(parts))


def _powers(name: str, circuit: Circuit) -> tuple[Expr, ...]:
    return powers_at(name, circuit) if is_in_time(circuit) else (target(f"P({name})", circuit).name,)


def _no_value(text: str, what: str, value: str, circuit: Circuit) -> Wish:
    unit = "Ω" if what == "resistance" else "V"
    try:
        read = read_quantity(value)
    except UnreadableQuantity as trouble:
        raise FaultyMaterial(_unread(text, f'"{value}" cannot be read: {trouble.why}')) from None
    if read.unit != unit:
        raise FaultyMaterial(_unread(text, f'"{value}" is not in {unit}'))
    several = _several(f"{what}s", circuit)
    return AllHold(text, tuple(Compared(text, q, "!=", Number(read.value)) for q in several))


def _charged(text: str, name: str, charged: bool, circuit: Circuit) -> Wish:
    battery = quantity_name(name) or name
    batteries = [n for n, e in circuit.elements.items() if e.kind is Kind.BATTERY]
    if battery not in batteries:
        near = nearest(battery, batteries)
        why = f"the circuit has no battery {name}"
        raise FaultyMaterial(_unread(text, why, near and text.replace(name, near)))
    relation = "<" if charged else ">"
    sides = _current(circuit.branch_of(battery).name, circuit)
    if circuit.pass_of(battery).sign < 0:
        sides = tuple(map(Negative, sides))
    return AllHold(text, tuple(Compared(text, side, relation, Number(Fraction(0))) for side in sides))


def _multiples(text: str, found: re.Match[str], circuit: Circuit) -> Wish:
    places = 0
    if found["places"] is not None:
        word = found["places"]
        places = COUNTS.index(word) if word in COUNTS else int(word) if word.isdigit() else -1
    if not 0 <= places <= MOST_DECIMALS:
        raise FaultyMaterial(_unread(text, "it does not say how many decimals, from 0 to 6"))
    if found["what"] in ("answers", "currents"):
        of = _several(found["what"], circuit)
        kinds = [_kind(text, each, circuit) for each in of]
    else:
        of = (_side(text, found["what"], circuit),)
        kinds = [_kind(text, of[0], circuit)]
    units = re.split(r"\s*(?:,|\band\b)\s*", found["units"]) if found["units"] else []
    sizes: dict[Dimension, Fraction] = {}
    for unit in units:
        scale = scale_of_unit(unit, (*UNITS, *STORED)) if is_in_time(circuit) else scale_of_unit(unit)
        kind = PLAIN if scale is None else of_unit(scale[0])
        if scale is None or kind is None or kind not in kinds:
            raise FaultyMaterial(_unread(text, f"nothing of it is in {unit}"))
        sizes[kind] = scale[1]
    return Multiples(text, of, tuple(sizes.get(kind, Fraction(1)) / 10**places for kind in kinds))


# -- comparisons -----------------------------------------------------------------------------------


def _compared(text: str, circuit: Circuit) -> Wish:
    relations = list(_RELATION.finditer(text))
    if len(relations) != 1:
        raise FaultyMaterial(_unread(text, "it holds more than one comparison", "I2 < I3"))
    at = relations[0]
    left, right = text[: at.start()].strip(), text[at.end() :].strip()
    sides = [_SIZE.fullmatch(side) for side in (left, right)]
    one, other = (
        _side(text, bars[1] if bars else side, circuit)
        for bars, side in zip(sides, (left, right), strict=True)
    )
    relation = _PLAIN_RELATION.get(at[0], at[0])
    try:
        dimension(Equation(one, other, "="), _kinds(text, (one, other), circuit).get, PLAIN)
    except Clash as clash:
        why = f"it compares {in_words(clash.wanted)} with {in_words(clash.found)}"
        raise FaultyMaterial(_unread(text, why)) from None
    return Compared(text, one, relation, other, (sides[0] is not None, sides[1] is not None))


def _side(text: str, side: str, circuit: Circuit) -> Expr:
    """One side of a comparison: a quantity, an element's value, a number with its unit, or a sum of these."""
    valued = [n for n, e in circuit.elements.items() if e.kind in DIMENSION_OF]
    in_time, said, meant = is_in_time(circuit), side, dict[str, Expr]()
    if in_time:
        try:
            said, meant = named_apart(side, circuit)
        except FaultyMaterial as trouble:
            raise FaultyMaterial(*(_retold(text, found) for found in trouble.findings)) from None
    currents = () if in_time else circuit.currents
    known = tuple(dict.fromkeys((*currents, *circuit.symbols, *valued, *meant)))
    try:
        written = expression(said, known, in_time=in_time)
    except Unreadable as error:
        raise FaultyMaterial(_unread(text, f'"{side}" cannot be read: {error.why}')) from None
    quantities = [name for name in symbols_of(written) if name not in meant]
    written = put_in(written, meant)
    for name in quantities:
        if "(" in name:
            target(name, circuit)
        elif name not in known:
            raise FaultyMaterial(_retold(text, unknown_target(text, "quantity", name, known)))
    return written


def _retold(text: str, found: Finding) -> Finding:
    why = found.message.partition(", but ")[2].rstrip(".")
    return Finding(
        "versions/unreadable-wish", f'"{text}" is wished for, but {why}.', found.mend, about=found.about
    )


def _kinds(text: str, sides: Sequence[Expr], circuit: Circuit) -> dict[str, Dimension]:
    if is_in_time(circuit):
        every = [name for side in sides for name in symbols_of(side)]
        timed = {name: kind for name in every if (kind := dimension_at(name, circuit)) is not None}
        return {**dimensions_of({}, circuit), **timed}
    names = [name for side in sides for name in symbols_of(side) if "(" in name]
    return dimensions_of({name: target(name, circuit) for name in names}, circuit)


def _kind(text: str, side: Expr, circuit: Circuit) -> Dimension:
    try:
        return dimension(side, _kinds(text, (side,), circuit).get, PLAIN) or PLAIN
    except Clash as clash:
        why = f"it adds {in_words(clash.wanted)} and {in_words(clash.found)}"
        raise FaultyMaterial(_unread(text, why)) from None
