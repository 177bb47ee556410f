"""A circuit: branches between points, the elements on them, and what the person asks.

Immutable: every change (`flipped`, `without`, `shorted`, `valued`, ...) gives a new circuit.
Knows no file format, no laws and no writer.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, fields, replace
from fractions import Fraction
from functools import cached_property
from typing import Any, TypeVar

from ..algebra.ratios import NUMBERS, Field, Ratio
from ..expressions.nodes import Expr, Symbol, number, put_in
from ..expressions.values import ratio_of, symbols_of
from ..findings import Place
from ..graph.lines import Loop
from .board_wishes import BoardWishes
from .elements import STORAGES, Branch, Element, Kind, Ladder, Pass, SwitchMove
from .page_wishes import PageWishes
from .versions_asked import VersionsAsked

Worked = TypeVar("Worked")


@dataclass(frozen=True)
class Circuit:
    """Branches in the order written, elements by designator, and the person's questions.

    `numbers`: exact SI values of symbols (volts, ohms, amperes), possibly of some only.
    `written`: the same numbers as the person wrote them (`"4.7 kΩ"`), for display.
    `places`: points on a grid (x to the right, y upwards), possibly none.
    `find`: what is asked, as texts (`"I1"`, `"V(a, b)"`, `"P(R1)"`, `"R(a, b)"`); empty: all currents.
    `sought`: questions that run backwards (`"R2"`, `"greatest P(R4)"`), `given`: the results given for them
    (`"I1 = 0.50 A"`). `ranked`: what is to be put in order (`"rank P(R1), P(R2)"`).
    `in_time`: what is asked of a circuit with storages at some time (`"I1 just after"`, `"tau"`).
    `switching`: the moves of its switches, in the order of their times; elements bear the state after all
    of them. `start`: what storages hold just before the first, a voltage along the branch of a capacitor, a
    current of a coil, where it is said. `expect`: claims on limits to confirm or refute.
    `plots`: what is to be plotted (`"P(R1) against R1"`).
    `figures`: significant figures of results.
    `ratings`: stated greatest power of a resistor in watts, by element.
    `loops`: the loops that the person wants travelled; empty: those that a person would choose.
    `ladder`: the branches are one section of a ladder without end; None for an ordinary circuit.
    `page`: what is wished of the printed sheet; `board`: of the lecture; `versions`: of versions in other
    numbers.
    `lettered`: of a circuit in plain numbers, the one with its letters.
    `origins`: where each key of the file stands that the circuit was read from, by the key.
    """

    branches: tuple[Branch, ...]
    elements: Mapping[str, Element]
    numbers: Mapping[str, Fraction] = field(default_factory=dict)
    written: Mapping[str, str] = field(default_factory=dict)
    places: Mapping[str, tuple[Fraction, Fraction]] = field(default_factory=dict)
    title: str = ""
    story: str = ""
    find: tuple[str, ...] = ()
    expect: tuple[str, ...] = ()
    plots: tuple[str, ...] = ()
    in_time: tuple[str, ...] = ()
    switching: tuple[SwitchMove, ...] = ()
    start: Mapping[str, Expr] = field(default_factory=dict)
    sought: tuple[str, ...] = ()
    given: tuple[str, ...] = ()
    ranked: tuple[str, ...] = ()
    figures: int = 3
    ratings: Mapping[str, Fraction] = field(default_factory=dict)
    loops: tuple[Loop, ...] = ()
    ladder: Ladder | None = None
    page: PageWishes = field(default_factory=PageWishes)
    board: BoardWishes = field(default_factory=BoardWishes)
    versions: VersionsAsked = field(default_factory=VersionsAsked)
    lettered: Circuit | None = field(default=None, compare=False, repr=False)
    origins: Mapping[str, Place] = field(default_factory=dict, compare=False, repr=False)

    # -- looking ---------------------------------------------------------------------------------

    @cached_property
    def points(self) -> tuple[str, ...]:
        """Every point at which a branch begins or ends, in order of first mention."""
        return tuple(dict.fromkeys(p for b in self.branches for p in (b.start, b.end)))

    @cached_property
    def own_words(self) -> frozenset[str]:
        """The person's own words, which stay as they are in whatever terms ours are told."""
        return frozenset((self.title, self.story, *self.named_points, *self.elements, *self.currents))

    @cached_property
    def named_points(self) -> tuple[str, ...]:
        """Every named point, those on the way along a branch included."""
        return tuple(dict.fromkeys(p for b in self.branches for p in b.points))

    @cached_property
    def junctions(self) -> tuple[str, ...]:
        """The points where three or more branch ends meet, in order of first mention."""
        ends = Counter(p for b in self.branches for p in (b.start, b.end))
        return tuple(p for p, count in ends.items() if count >= 3)

    @cached_property
    def currents(self) -> tuple[str, ...]:
        """The names of the branch currents, in order."""
        return tuple(b.name for b in self.branches)

    def place(self, key: str) -> Place:
        """Where a key such as `branches.I2` stands in the file read, or the nearest table around it."""
        near = key
        while near and near not in self.origins:
            near = near.rpartition(".")[0]
        return replace(self.origins[near], key=key) if near else Place(key=key)

    def branch(self, name: str) -> Branch:
        """The branch whose current has this name; KeyError when there is none."""
        return self._by_name[name]

    @cached_property
    def storages(self) -> tuple[str, ...]:
        """The capacitors and coils that branches meet, in order."""
        return tuple(e.name for e in self._met() if e.kind in STORAGES)

    def has_source(self, branch: Branch) -> bool:
        """Whether a battery or a current source stands in a branch."""
        return any(
            self.elements[p.element].kind in (Kind.BATTERY, Kind.CURRENT_SOURCE) for p in branch.passes
        )

    def branch_of(self, element: str) -> Branch:
        """The branch that holds this element; KeyError when there is none."""
        return self._by_element[element]

    @cached_property
    def _by_name(self) -> dict[str, Branch]:
        return {b.name: b for b in self.branches}

    @cached_property
    def _by_element(self) -> dict[str, Branch]:
        return {p.element: b for b in self.branches for p in b.passes}

    def pass_of(self, element: str) -> Pass:
        """How its branch meets this element."""
        return next(p for p in self.branch_of(element).passes if p.element == element)

    # -- the symbols -----------------------------------------------------------------------------

    @cached_property
    def symbols(self) -> tuple[str, ...]:
        """The symbols of all element values: emfs, then source currents and what storages hold at the start,
        then resistances, then capacitances and inductances."""
        ranked: list[tuple[int, str]] = []
        for element in self._met():
            rank = _RANKS.get(element.kind, 2)
            ranked.extend((rank, name) for name in symbols_of(element.value))
            ranked.extend((2, name) for name in (symbols_of(element.internal) if element.internal else ()))
        ranked.extend((1, name) for value in self.start.values() for name in symbols_of(value))
        first = {name: rank for rank, name in reversed(ranked)}
        order = list(dict.fromkeys(name for _, name in ranked))
        return tuple(sorted(order, key=lambda name: (first[name], natural(name))))

    @cached_property
    def field(self) -> Field:
        """The field of fractions in the circuit's symbols: where every answer lives."""
        return Field(self.symbols) if self.symbols else NUMBERS

    def value(self, element: str) -> Ratio:
        """The value of an element (resistance, emf or source current) in the circuit's field."""
        return self._values[element]

    @cached_property
    def _values(self) -> dict[str, Ratio]:
        return {e.name: ratio_of(e.value, self.field) for e in self._met()}

    @cached_property
    def _internals(self) -> dict[str, Ratio]:
        return {e.name: ratio_of(e.internal, self.field) for e in self._met() if e.internal is not None}

    def internal_resistance(self, element: str) -> Ratio:
        """The internal resistance of a battery (zero for an ideal one and for anything else)."""
        return self._internals.get(element, self.field.zero)

    def resistance(self, branch: str) -> Ratio:
        """All the resistance along a branch, internal resistances included."""
        return self._resistances[branch]

    @cached_property
    def _resistances(self) -> dict[str, Ratio]:
        return {b.name: self._resistance_along(b) for b in self.branches}

    def _resistance_along(self, b: Branch) -> Ratio:
        parts = [
            self.value(p.element)
            if self.elements[p.element].kind is Kind.RESISTOR
            else self.internal_resistance(p.element)
            for p in b.passes
        ]
        return _total([part for part in parts if part], self.field)

    def rise(self, branch: str) -> Ratio:
        """The sum of the emfs along the arrow of a branch, rises positive."""
        return self._rises[branch]

    @cached_property
    def _rises(self) -> dict[str, Ratio]:
        return {b.name: self._rise_along(b) for b in self.branches}

    def _rise_along(self, b: Branch) -> Ratio:
        passed = [p for p in b.passes if self.elements[p.element].kind is Kind.BATTERY]
        return _total([self.value(p.element) * p.sign for p in passed], self.field)

    def fixed_current(self, branch: str) -> Ratio | None:
        """The current that an element of the branch fixes along the arrow (0 at a gap), or None."""
        return self._fixed[branch]

    @cached_property
    def _fixed(self) -> dict[str, Ratio | None]:
        return {b.name: self._fixed_along(b) for b in self.branches}

    def _fixed_along(self, b: Branch) -> Ratio | None:
        for p in b.passes:
            element = self.elements[p.element]
            if element.is_gap:
                return self.field.zero
            if element.kind is Kind.CURRENT_SOURCE:
                return self.value(p.element) * p.sign
        return None

    def remembered(self, work: Callable[[Circuit], Worked]) -> Worked:
        """What `work` makes of this circuit; done once and kept as long as the circuit, which never
        changes."""
        if work not in self._memory:
            self._memory[work] = work(self)
        found: Worked = self._memory[work]
        return found

    def remembered_of_shape(self, work: Callable[[Circuit], Worked]) -> Worked:
        """The same of a work that no value has a say in: only branches, kinds of elements, places and page.
        Kept for the circuit in other numbers as well."""
        if work not in self._shape:
            self._shape[work] = work(self)
        found: Worked = self._shape[work]
        return found

    def __getstate__(self) -> dict[str, Any]:
        """What travels to another process: the circuit, and nothing that was worked of it."""
        return {each.name: getattr(self, each.name) for each in fields(self)}

    @cached_property
    def _memory(self) -> dict[Callable[[Circuit], Any], Any]:
        return {}

    @cached_property
    def _shape(self) -> dict[Callable[[Circuit], Any], Any]:
        return {}

    @cached_property
    def has_all_numbers(self) -> bool:
        """Whether every symbol has a number."""
        return bool(self.symbols) and all(name in self.numbers for name in self.symbols)

    def role(self, symbol: str) -> Kind | None:
        """What a symbol stands for: the kind of the first element valued with it (a battery's internal
        resistance counts as a resistor); None for a symbol the circuit does not have."""
        return self._roles.get(symbol)

    @cached_property
    def _roles(self) -> dict[str, Kind]:
        found: dict[str, Kind] = {}
        for element in self._met():
            for symbol in symbols_of(element.value):
                found.setdefault(symbol, element.kind)
            for symbol in symbols_of(element.internal) if element.internal is not None else ():
                found.setdefault(symbol, Kind.RESISTOR)
        return found

    def _met(self) -> list[Element]:
        return [self.elements[p.element] for b in self.branches for p in b.passes]

    # -- changing --------------------------------------------------------------------------------

    def flipped(self, *names: str) -> Circuit:
        """The circuit with the arrows of these branches the other way: the same physics."""
        branches = tuple(_flipped(b) if b.name in names else b for b in self.branches)
        loops = tuple(tuple((n, -s if n in names else s) for n, s in loop) for loop in self.loops)
        return replace(self, branches=branches, loops=loops)

    def reordered(self, names: tuple[str, ...]) -> Circuit:
        """The circuit with its branches in another order."""
        return replace(self, branches=tuple(self.branch(name) for name in names))

    def valued(self, element: str, value: Expr) -> Circuit:
        """The circuit with another value of one element."""
        changed = replace(self.elements[element], value=value)
        return replace(self, elements={**self.elements, element: changed})

    def with_put_in(self, values: Mapping[str, Expr]) -> Circuit:
        """The circuit with these expressions in the place of symbols of its values."""
        elements = {
            name: replace(
                e,
                value=put_in(e.value, values),
                internal=None if e.internal is None else put_in(e.internal, values),
            )
            for name, e in self.elements.items()
        }
        return replace(self, elements=elements, numbers={}, written={}, lettered=self)

    def worked_in(self, field: Field, alike: Circuit | None = None) -> Circuit:
        """The same circuit with its answers in a wider field, one that has all its symbols and others
        besides, so that they can be compared with those of another circuit. `alike`: a circuit in that
        field; the values of the very elements that both have are taken from it."""
        changed = replace(self)
        vars(changed)["field"] = field
        if alike is None or alike.field != field:
            return changed
        if alike.elements is self.elements:
            vars(changed).update(_values=alike._values, _internals=alike._internals)
            return changed
        same = {e.name for e in self._met() if alike.elements.get(e.name) is e}
        vars(changed)["_values"] = {
            e.name: (alike._values.get(e.name) if e.name in same else None) or ratio_of(e.value, field)
            for e in self._met()
        }
        return changed

    def in_numbers(self, scale: Fraction = Fraction(1)) -> Circuit:
        """The circuit with a plain number for every value: emfs as they are, resistances times `scale`,
        source currents over it. Raises KeyError (the symbol) where a number is missing."""
        factors = {Kind.RESISTOR: scale, Kind.CURRENT_SOURCE: 1 / scale}
        elements = dict(self.elements)
        for e in self._met():
            value = self.value(e.name).value(self.numbers) * factors.get(e.kind, Fraction(1))
            internal = (
                None
                if e.internal is None
                else number(self.internal_resistance(e.name).value(self.numbers) * scale)
            )
            elements[e.name] = replace(e, value=number(value), internal=internal)
        changed = replace(self, elements=elements, numbers={}, written={}, lettered=self)
        vars(changed)["_shape"] = self._shape
        return changed

    def with_numbers(self, numbers: Mapping[str, Fraction], written: Mapping[str, str]) -> Circuit:
        """The circuit with other numbers for its symbols, and how they are written."""
        changed = replace(self, numbers=numbers, written=written)
        known = self.symbols, self.field, self._shape  # no number has a say in these
        vars(changed).update(zip(("symbols", "field", "_shape"), known, strict=True))
        vars(changed).update((name, vars(self)[name]) for name in _IN_LETTERS if name in vars(self))
        return changed

    def shorted(self, element: str) -> Circuit:
        """The circuit with a plain wire in the place of an element (its resistance taken to 0)."""
        return self._without_pass(element)

    def opened(self, *elements: str) -> Circuit:
        """The circuit with the branches of these elements cut out (resistances taken to infinity)."""
        names = {self.branch_of(element).name for element in elements}
        return replace(self, branches=tuple(b for b in self.branches if b.name not in names))

    def _without_pass(self, element: str) -> Circuit:
        def strip(b: Branch) -> Branch:
            along = tuple(i for i in b.along if not (isinstance(i, Pass) and i.element == element))
            return b if len(along) == len(b.along) else replace(b, along=along)

        return replace(self, branches=tuple(strip(b) for b in self.branches))


_IN_LETTERS = ("currents", "_by_name", "_by_element", "_values", "_internals", "_roles")
_RANKS = {Kind.BATTERY: 0, Kind.CURRENT_SOURCE: 1, Kind.CAPACITOR: 3, Kind.COIL: 3}


def natural(name: str) -> tuple[tuple[int, int | str], ...]:
    """A sort key by which numbers within names count as numbers: R2 stands before R10."""
    pieces: list[tuple[int, int | str]] = []
    digits = ""
    for character in name + "\0":
        if character.isdigit() and character.isascii():
            digits += character
            continue
        if digits:
            pieces.append((0, int(digits)))
            digits = ""
        if character != "\0":
            pieces.append((1, character))
    return tuple(pieces)


def resistor(name: str, value: Expr | None = None) -> Element:
    """A resistor; its value is by default the symbol of its own name."""
    return Element(name, Kind.RESISTOR, value or Symbol(name))


def battery(name: str, value: Expr | None = None, internal: Expr | None = None) -> Element:
    """A battery; its emf is by default the symbol of its own name."""
    return Element(name, Kind.BATTERY, value or Symbol(name), internal)


def _total(parts: Sequence[Ratio], field: Field) -> Ratio:
    """The sum of some values; a lone one as it stands."""
    return sum(parts[1:], parts[0]) if parts else field.zero


def _flipped(branch: Branch) -> Branch:
    along = tuple(Pass(i.element, -i.sign) if isinstance(i, Pass) else i for i in reversed(branch.along))
    return Branch(branch.name, branch.end, branch.start, along)
