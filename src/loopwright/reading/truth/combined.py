"""What a resistance with a name of the working's own must be: resistors made one, or what a load sees.

Such a name is no free choice. What it is made of is told by the words right before it ("R2 and R3 in
parallel:"), else by its formula, else by its letters (`R23`). What these come to is told by how they lie, in
the circuit that the line speaks of: `R2 + R3` is not true where the two lie side by side. Which circuits a
line can mean is told by its words too; without any, every one that methods speak of counts: each source
alone, each resistor out. Where resistors come together in none of these, what words or letters say is all
there is.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import combinations, product
from math import prod

from ...algebra.ratios import Ratio
from ...circuit.changed import at_rest, sources_in, taken_out
from ...circuit.circuit import Circuit
from ...circuit.elements import Kind
from ...circuit.names import listed
from ...circuit.targets import target
from ...errors import BrokenPromise, FaultyMaterial
from ...expressions.nodes import (
    ONE,
    Equation,
    Expr,
    Number,
    Parallel,
    Product,
    Quotient,
    Sum,
    Symbol,
    parts_of,
)
from ...expressions.tidy import tidy
from ...expressions.values import symbols_of
from ...solve.asked import value_of
from ...solve.exact import Solution, solve
from ...solve.made_one import together
from ..page.naming import resistances_of, strung_together
from ..working import AS_DRAWN, CircuitChange
from .changed import each_alone, in_setting
from .rounding import lone

MOST = 8  # resistors that are looked for together
MOST_STRUNG = 4  # of which every combination is looked at
SEEN = frozenset(("rth", "ri", "r0", "rn", "rin", "rseen", "rout", "rnorton", "rinside"))
_PARALLEL = re.compile(r"\bparallel\b|\bside by side\b", re.IGNORECASE)
_SERIES = re.compile(r"\b(?:in )?series\b|\bone after (?:the )?other\b", re.IGNORECASE)
_AT_THE_END = re.compile(r"(?:\bparallel|\bside by side|\bseries|\bother)\W*$", re.IGNORECASE)
_NAME = re.compile(r"[A-Za-z]_?\{?[A-Za-z0-9]+\}?")
_STOP = re.compile(r"[:;]|\.\s")
_SPACE = re.compile(r"[_{}]")
_GAP = "for what is seen a battery is a wire, and here it is taken out as a gap"
_ONE_SIDE = re.compile(
    r"\b(?:left|right|one|other|either|this|that|first|second)\s+(?:of|side|part|half)\b", re.IGNORECASE
)
_Context = tuple[Circuit, tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class Told:
    """What words say of a resistance: the names it is made of, whether these lie side by side, and whether
    they say it of the very next claim."""

    names: tuple[str, ...] = ()
    beside: bool = False
    of_next: bool = False

    @property
    def combination(self) -> Expr:
        """The names as the words put them together."""
        each = tuple(map(Symbol, self.names))
        return Parallel(each) if self.beside else Sum(each)


@dataclass(frozen=True)
class Combined:
    """The combined resistances of one solved circuit. `parts`: of which resistors each name of the working's
    own is made; `of_size`: which of these were given a number, in the units of bare numbers."""

    solution: Solution
    parts: Mapping[str, frozenset[str]]
    of_size: Mapping[Fraction, Collection[str]]

    def ways(
        self,
        name: str,
        given: Expr,
        words: str,
        setting: CircuitChange,
        load: str = "",
        line: str = "",
    ) -> tuple[Expr, ...]:
        """What a new name can be, likeliest first, given what the working says it is and the words before it;
        nothing where that is not told. `load`: the resistor that it is added to later; `line`: the whole
        line, which may say from which side of that is looked."""
        if is_seen(name):
            out = setting.out or ((load,) if load else ())
            found = tuple(tidy(r) for n in out for r in self._seen_by(n))
            sides = (tidy(r) for n in out for r in self._of_one_side(n)) if _ONE_SIDE.search(line) else ()
            return tuple(dict.fromkeys((*found, *sides)))
        told = self._told(words)
        strung = strung_together(name, resistances_of(self.solution.circuit))
        said = self._made_of(told.names)
        lying: dict[Expr, None] = {}
        for held in self._held(given, frozenset(strung)):
            if told.of_next or (held < said and held != set(strung)):
                made = said
            else:
                marks = frozenset(strung)  # the name may say more, or one other than the formula
                made = marks if held < marks or len(held) == len(marks) == len(held & marks) + 1 else held
            lying.update(dict.fromkeys(self.as_they_lie(made, setting)))
        if lying or lone(given):
            return tuple(lying)
        if told.names:
            return (told.combination,)
        own = set(resistances_of(self.solution.circuit))
        return _every_way(strung, given) if own.intersection(symbols_of(given)) <= set(strung) else ()

    def lie_apart(
        self,
        words: str,
        given: Expr,
        settings: Collection[CircuitChange],
        things: Callable[[Number], Collection[frozenset[str]]],
    ) -> tuple[str, str] | None:
        """The slip, and what is wrong, where words say that resistors are in series or side by side, or
        numbers are put together as if they were side by side, that are so in none of the circuits that can be
        meant and do not share a current, or a voltage, either; None for anything else. `things`: the
        resistors, alone or made one, that come to a number."""
        told = self._told(words)
        each = [self.parts.get(n, frozenset((n,))) for n in told.names]
        pairs, beside = [each] if len(each) == 2 else [], told.beside
        if not told.names and is_side_by_side(given) and not symbols_of(given):
            numbers = list(dict.fromkeys(n for n in _put_in(given) if n.value))
            values = sum((n.value for n in numbers), Fraction(0))
            numbers = [n for n in numbers if len(numbers) < 3 or 2 * n.value != values]
            fits = [things(number) for number in numbers]
            apart = [pair for pair in product(*fits) if len(fits) == 2 and not pair[0] & pair[1]]
            pairs, beside = [list(pair) for pair in apart], True
        if not pairs or any(not self._are_apart(pair, beside, settings) for pair in pairs):
            return None
        one, other = (listed(sorted(resistors)) for resistors in pairs[0])
        if beside:
            return "false-parallel", f"{one} and {other} do not share both ends: they do not lie side by side"
        return "false-series", f"{one} and {other} do not carry one current: they are not in series"

    def _are_apart(
        self, pair: Collection[frozenset[str]], beside: bool, settings: Collection[CircuitChange]
    ) -> bool:
        """Whether two things, each a resistor or several made one, cannot be made one."""
        made = frozenset[str]().union(*pair)
        if not all(pair) or not made <= _resistors(self.solution.circuit) or not 1 < len(made) <= MOST:
            return False
        if any(self.as_they_lie(made, s) for s in settings):
            return False
        if any(len(one) > 1 and not any(self.as_they_lie(one, s) for s in settings) for one in pair):
            return False  # one of them is apart already
        return not self._share(pair, beside)

    def _share(self, each: Collection[frozenset[str]], beside: bool) -> bool:
        """Whether single resistors have equal voltages (side by side) or currents, as where a bridge is
        balanced; taken to be so where that cannot be told."""
        circuit = self.solution.circuit
        if any(len(one) > 1 for one in each):
            return False
        sizes = set()
        for name in (n for one in each for n in one):
            found = (
                self.solution.across(name) if beside else self.solution.currents[circuit.branch_of(name).name]
            )
            value = found.constant() if not circuit.has_all_numbers else found.value(circuit.numbers)
            sizes.add(None if value is None else abs(value))
        return None not in sizes and len(sizes) == 1

    def is_unsaid(self, name: str, words: str) -> bool:
        """Whether neither the letters of a name nor the words before it say what it is made of."""
        strung = strung_together(name, resistances_of(self.solution.circuit))
        return not (is_seen(name) or strung or self._told(words).names)

    def resistors(self, given: Expr) -> frozenset[str]:
        """The resistors that a combined resistance is made of: those in the formula, or those whose numbers
        are in it where no two share one; nothing where that is not clear."""
        found = self._held(given, frozenset())
        return found[0] if len(found) == 1 else frozenset()

    def _held(self, given: Expr, strung: frozenset[str]) -> list[frozenset[str]]:
        """The resistors that a combined resistance can be made of by its formula, or by the numbers in that,
        what was worked out above before what the problem gives; those that its letters string together alone
        (`strung`) where these are among them. One empty set where nothing is told."""
        names = symbols_of(given)
        if names and not any(n.value not in (0, 1) for n in _put_in(given)):
            return [self._made_of(names)]
        own = _resistors(self.solution.circuit)
        numbers = self.solution.circuit.numbers
        by_name = [self._made_of(names) if names else frozenset[str]()]
        fitting: list[list[frozenset[str]]] = [by_name] if names else []
        if names and not {n.value for n in _put_in(given)}.isdisjoint(self._inner_sizes):
            return [frozenset()]  # a battery's own resistance is none of the resistors
        met = Counter(n.value for n in _put_in(given) if n.value)
        each = list(met)
        below = {n.value for part in _each(given) if isinstance(part, Quotient) and (n := lone(part.below))}
        whole = (
            set()
            if _is_each_inverse(given)
            else {n for n in each if n in below and len(each) > 2 and n == sum(each) - n}
        )
        for total in whole:
            del met[total]  # 45 in 30 · 15/45
        for number in sorted(met):
            sized = [n for size in (number, number / 1000) for n in self.named_so(size)]  # Ω, or in kΩ
            fits = [self.parts[n] for n in sized if self.parts.get(n)]
            fits += [frozenset((n,)) for n in sorted(own) if numbers.get(n) in (number, number * 1000)]
            fits += [held for size, held in self._in_one_branch if size in (number, number * 1000)]
            fit = list(dict.fromkeys(fits))
            both = [a | b for a, b in combinations(fit, 2) if not a & b] if met[number] > 1 else []
            fitting.append([*fit, *both])  # 3 + 3 may be of two things that come to 3
        if not all(fitting) or prod(map(len, fitting)) > MOST:
            return by_name
        apart = (c for c in product(*fitting) if len(frozenset[str]().union(*c)) == sum(map(len, c)))
        found = list(dict.fromkeys(frozenset[str]().union(*chosen) for chosen in apart)) or by_name
        if len(found) > 1 and strung:
            return [held for held in found if held == strung] or [frozenset()]
        return found

    @cached_property
    def _inner_sizes(self) -> frozenset[Fraction]:
        """The resistances inside batteries that are given a number, in Ω and in kΩ."""
        circuit = self.solution.circuit
        inner = [e.internal for e in circuit.elements.values() if isinstance(e.internal, Symbol)]
        sizes = [circuit.numbers[i.name] for i in inner if i.name in circuit.numbers]
        return frozenset(each for size in sizes for each in (size, size / 1000))

    @cached_property
    def _in_one_branch(self) -> list[tuple[Fraction, frozenset[str]]]:
        """What the resistors of each branch with several of them come to, and where nothing else resists."""
        circuit = self.solution.circuit
        found: list[tuple[Fraction, frozenset[str]]] = []
        for branch in circuit.branches:
            held = frozenset(p.element for p in branch.passes) & _resistors(circuit)
            sizes = [circuit.numbers[n] for n in sorted(held) if n in circuit.numbers]
            plain = not any(circuit.elements[p.element].internal for p in branch.passes)
            if plain and 1 < len(held) == len(sizes):
                found.append((sum(sizes, Fraction(0)), held))
        return found

    def named_so(self, size: Fraction) -> list[str]:
        """The combined resistances that were given a number, in kilohms too: 14.99 kΩ where bare numbers are
        in these."""
        return [*self.of_size.get(size, ()), *self.of_size.get(size / 1000, ())]

    def _made_of(self, names: Collection[str]) -> frozenset[str]:
        """The resistors that some names are made of; nothing where one is neither a resistor nor made of
        any."""
        each = [self.parts.get(n, frozenset((n,))) for n in names]
        met = frozenset[str]().union(*each) if all(each) else frozenset()
        return met if met <= _resistors(self.solution.circuit) else frozenset()

    def as_they_lie(self, resistors: frozenset[str], setting: CircuitChange) -> tuple[Expr, ...]:
        """What resistors come to in each circuit that can be meant."""
        if not 1 < len(resistors) <= MOST:
            return ()
        found: dict[Ratio, None] = {}
        for changed, keep in contexts(self.solution.circuit, setting):
            try:
                one = together(changed, resistors, keep)
            except (BrokenPromise, FaultyMaterial, KeyError, StopIteration):
                continue
            if one is not None:
                found[one.resistance.at({}, self.solution.circuit.field)] = None
        return tuple(map(tidy, found))

    def _seen_by(self, load: str) -> Iterator[Ratio]:
        """The resistance that a load sees, with its branch taken for the load or only itself, or with all
        that stands behind it when it is out: between points with the same open voltage."""
        circuit = self.solution.circuit
        branch = circuit.branch_of(load)
        ends = branch.start, branch.end
        seen, opened = self._without(load, "R", ends), self._without(load, "V", ends)
        if seen is None:
            return
        rest = circuit.resistance(branch.name) - circuit.value(load)
        yield seen + rest
        if rest:
            yield seen
        if not opened or len(circuit.points) > MOST:
            return
        for pair in combinations(circuit.points, 2):
            if set(pair) != set(ends) and self._without(load, "V", pair) in (opened, -opened):
                behind = self._without(load, "R", pair)
                if behind is not None:
                    yield behind

    def seen_wrongly(self, load: str) -> Iterator[tuple[str, str, Ratio]]:
        """What is taken for what a load sees: the slip, what it is in words, and what it comes to."""
        circuit = self.solution.circuit
        branch = circuit.branch_of(load)
        batteries = [n for n in sources_in(circuit) if circuit.elements[n].kind is Kind.BATTERY]
        gaps = taken_out(circuit, (load, *batteries))
        ways = [("battery-left-in", _GAP, gaps, (branch.start, branch.end))]
        if len(batteries) == 1:
            (battery,) = batteries
            own, opened = circuit.branch_of(battery), taken_out(circuit, (load, battery))
            ways.append(("seen-combined", f"that is what {battery} sees", opened, (own.start, own.end)))
        for entry, said, changed, ends in ways:
            try:
                asked = target(f"R({ends[0]}, {ends[1]})", changed)
                yield entry, said, value_of(solve(changed), asked).at({}, circuit.field)
            except (FaultyMaterial, BrokenPromise, ArithmeticError):
                continue
        yield from self._with_one_left_out(load, (branch.start, branch.end))

    def _with_one_left_out(self, load: str, ends: tuple[str, str]) -> Iterator[tuple[str, str, Ratio]]:
        """What a load would see with one resistance left out: a wire in its place, or its branch gone."""
        circuit = self.solution.circuit
        rest = at_rest(circuit)
        for name in sorted(_resistors(rest) - {p.element for p in circuit.branch_of(load).passes}):
            inside = name not in circuit.elements or circuit.elements[name].kind is not Kind.RESISTOR
            series = ("inside-forgotten" if inside else "drop-missing"), f"{name} is left out"
            beside = "branch-missing", f"{name} is left out, which lies beside the rest"
            wire, gap = CircuitChange(out=(load,), wired=(name,)), CircuitChange(out=(load, name))
            for (entry, said), change in ((series, wire), (beside, gap)):
                found = in_setting(rest, change)
                try:
                    if found is not None:
                        asked = target(f"R({ends[0]}, {ends[1]})", found.circuit)
                        yield entry, said, value_of(found, asked).at({}, circuit.field)
                except (FaultyMaterial, BrokenPromise, ArithmeticError):
                    continue

    def _of_one_side(self, load: str) -> Iterator[Ratio]:
        """What is seen from one end of a load that is out, against the other points."""
        branch = self.solution.circuit.branch_of(load)
        ends = branch.start, branch.end
        for end in ends:
            for point in self.solution.circuit.points:
                seen = None if point in ends else self._without(load, "R", (end, point))
                if seen is not None:
                    yield seen

    def branches_beside(self, load: str) -> tuple[str, ...]:
        """A resistor of each other branch without a source between the same two points: with a wire for
        either, the same current flows through the wire."""
        circuit = self.solution.circuit
        own = circuit.branch_of(load)
        found: list[str] = []
        for branch in circuit.branches:
            held = [circuit.elements[p.element] for p in branch.passes]
            alike = {branch.start, branch.end} == {own.start, own.end} and branch.name != own.name
            if alike and held and all(e.kind is Kind.RESISTOR for e in held):
                found.append(held[0].name)
        return tuple(found)

    def _without(self, load: str, letter: str, ends: tuple[str, str]) -> Ratio | None:
        """A voltage or a resistance between two points with a load taken out; None where it has none."""
        try:
            asked = target(f"{letter}({ends[0]}, {ends[1]}) without {load}", self.solution.circuit)
            return value_of(self.solution, asked)
        except FaultyMaterial:
            return None

    def _names_in(self, words: str) -> tuple[str, ...]:
        """The resistances named in some words, in order."""
        known = {*resistances_of(self.solution.circuit), *self.parts}
        found = (_SPACE.sub("", match[0]) for match in _NAME.finditer(words))
        return tuple(dict.fromkeys(name for name in found if name in known))

    def _told(self, words: str) -> Told:
        """What the words say, where they name two resistances or more and one way of lying."""
        stretches = [each for each in _STOP.split(words) if _PARALLEL.search(each) or _SERIES.search(each)]
        own = self._names_in(stretches[-1]) if stretches else ()
        named = own if len(own) > 1 else self._names_in(words)
        beside, behind = _PARALLEL.search(words), _SERIES.search(words)
        if len(named) < 2 or bool(beside) == bool(behind):
            return Told()
        return Told(named, bool(beside), bool(_AT_THE_END.search(words)))


def _put_in(given: Expr) -> Iterator[Number]:
    """The numbers in a combination, without the ones that stand over others."""
    if isinstance(given, Number):
        yield given
    for part in parts_of(given):
        if not (isinstance(given, Quotient) and part is given.above and part == ONE):
            yield from _put_in(part)


def is_side_by_side(given: Expr) -> bool:
    """Whether numbers are put together as resistances side by side: `9 ∥ 3`, 1/(1/9 + 1/3), the product over
    the sum."""
    if isinstance(given, Parallel):
        return True
    if not isinstance(given, Quotient):
        return False
    if given.above == ONE:
        terms = given.below.terms if isinstance(given.below, Sum) else ()
        return bool(terms) and all(isinstance(t, Quotient) and t.above == ONE for t in terms)
    return is_over_sum(given.above, given.below)


def is_over_sum(one: Expr, other: Expr) -> bool:
    """Whether a product of numbers stands with the sum of its factors, or with the number of that."""
    known = [lone(factor) for factor in one.factors] if isinstance(one, Product) else []
    values = [n.value for n in known if n is not None]
    if not values or len(values) < len(known):
        return False
    total = lone(other)
    if total is not None:
        return total.value == sum(values)
    terms = [lone(term) for term in other.terms] if isinstance(other, Sum) else []
    return None not in terms and sorted(values) == sorted(n.value for n in terms if n is not None)


def _is_each_inverse(given: Expr) -> bool:
    """Whether numbers stand side by side or as one over each, so that none of them is the sum below a
    product: 9 || 3 || 6."""
    if isinstance(given, Parallel):
        return True
    sums = [each for each in (given, *parts_of(given)) if isinstance(each, Sum)]
    return any(all(isinstance(t, Quotient) and t.above == ONE for t in one.terms) for one in sums)


def contexts(circuit: Circuit, setting: CircuitChange) -> Iterator[_Context]:
    """The circuits that a combined resistance can be of, each with the points it is seen from."""
    wired = in_setting(circuit, setting) if setting.wired else None
    if wired is not None:
        yield wired.circuit, ()
        yield at_rest(wired.circuit), ()
    if setting.at_zero and not setting.out:
        yield at_rest(circuit, setting.at_zero), ()
        return
    alone = each_alone(circuit) if setting == AS_DRAWN else ()
    if setting == AS_DRAWN:
        yield circuit, ()
    for one in alone:
        yield at_rest(circuit, one.at_zero), ()
    if alone and len(circuit.junctions) == 2:
        yield at_rest(circuit), circuit.junctions  # all that the sources see side by side
    outs = setting.out or (sorted(_resistors(circuit)) if alone else ())
    for name in outs:
        branch = circuit.branch_of(name)
        opened = taken_out(circuit, (name,))
        yield at_rest(opened), (branch.start, branch.end)
        yield opened, ()


def _resistors(circuit: Circuit) -> frozenset[str]:
    met = (circuit.elements[p.element] for b in circuit.branches for p in b.passes)
    return frozenset(e.name for e in met if e.kind is Kind.RESISTOR)


def is_seen(name: str) -> bool:
    """Whether a name is that of the resistance which a load sees, such as Rth."""
    return name.lower().replace("_", "").rstrip("′") in SEEN


def sums_in(item: Expr | Equation) -> Iterator[Sum]:
    """The sums in an expression or on the sides of an equation."""
    if isinstance(item, Equation):
        yield from sums_in(item.left)
        yield from sums_in(item.right)
        return
    if isinstance(item, Sum):
        yield item
    for part in parts_of(item):
        yield from sums_in(part)


def load_of(name: str, sums: Collection[frozenset[str]], circuit: Circuit) -> str:
    """The resistor that a name is added to in the working, `Rth + R3`; empty where that is not one."""
    own = _resistors(circuit)
    met = {n for one in sums if name in one for n in one if n in own}
    return next(iter(met)) if len(met) == 1 else ""


# -- where only the letters of a name speak ------------------------------------------------------------


def _every_way(names: tuple[str, ...], given: Expr) -> tuple[Expr, ...]:
    """Every combination of the resistances whose marks a name strings together, those first that are of the
    kind that the working gives."""
    if not 1 < len(names) <= MOST_STRUNG:
        return ()
    every = list(dict.fromkeys(_ways(tuple(map(Symbol, names)))))
    beside = any(isinstance(part, Quotient | Parallel) for part in _each(given))
    return tuple(sorted(every, key=lambda way: isinstance(way, Parallel) != beside))


def _ways(parts: tuple[Expr, ...]) -> Iterator[Expr]:
    """Every combination of the parts in series and side by side."""
    if len(parts) == 1:
        yield parts[0]
        return
    first, *others = parts
    for size in range(len(others)):
        for chosen in combinations(others, size):
            rest = tuple(p for p in others if p not in chosen)
            for one in _ways((first, *chosen)):
                for other in _ways(rest):
                    yield Parallel((one, other))
                    yield Sum((one, other))


def _each(expr: Expr) -> Iterator[Expr]:
    yield expr
    for part in parts_of(expr):
        yield from _each(part)
