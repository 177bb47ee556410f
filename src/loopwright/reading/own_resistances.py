"""Resistances with a name of the working's own: what each must be, and of which resistors it is made."""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Collection, Mapping
from fractions import Fraction
from functools import cached_property

from ..expressions.nodes import ONE, Equation, Expr, Number, Parallel, Quotient, Sum, Symbol, numbers_in
from ..expressions.values import symbols_of
from .resistance_in_use import load_in_numbers, rest_of_total, use_of
from .star_resistances import star_resistance
from .truth.combined import Combined, is_seen, load_of, sums_in
from .truth.meaning import UnknownName
from .truth.odd_number import Odd, OddNumbers
from .truth.rounding import lone
from .truth.size import TooLong
from .truth.truth import Truths
from .verdicts import Truth
from .working import CircuitChange, Claim, Working, WrittenLine

_ENDS_IN_OHMS = re.compile(
    r"\d\s?(?:k|M)?(?:Ω|[Oo]hms?)?[\s.;]*$"
)  # "plus R3: 14.6 ohm" is no head of what follows


class OwnResistances:
    """The combined resistances named so far. `meaning`: what names of the working's own stand for."""

    def __init__(self, truths: Truths, working: Working, meaning: Mapping[str, Expr]) -> None:
        self.truths, self.working, self.meaning = truths, working, meaning
        self.parts: dict[str, frozenset[str]] = {}
        self.sizes: dict[str, set[Fraction]] = {}  # in the units of bare numbers
        self.of_size: dict[Fraction, dict[str, None]] = {}
        self._odd_numbers = OddNumbers(truths.solution.circuit)
        self.combined = Combined(truths.solution, self.parts, self.of_size)

    def note_parts(self, name: str, given: Expr) -> None:
        """Keeps of which resistors a name is made."""
        self.parts[name] = self.combined.resistors(given)

    def note_size(self, name: str) -> None:
        """Keeps what a resistance of the working's own comes to."""
        size = self.truths.views[-1].meanings.names[name].constant()
        if size is not None and name in self.parts:
            self._note(name, size)

    def _note(self, name: str, size: Fraction) -> None:
        self.sizes.setdefault(name, set()).add(size)
        self.of_size.setdefault(size, {})[name] = None

    def note_written(self, name: str, given: Expr) -> None:
        """Keeps the number that such a resistance is given, rounded or wrong as it may be: later lines have
        that."""
        number = lone(given)
        if number is not None and name in self.parts:
            size = self.truths.views[-1].as_rounded.numbers.written(number)
            self._note(name, size)

    @cached_property
    def _claims(self) -> list[Equation]:
        return [c.written for each in self.working.lines for c in each.claims]

    @cached_property
    def _sums(self) -> dict[str, list[frozenset[str]]]:
        """The names that stand together in sums of the working, by each of them."""
        found: dict[str, list[frozenset[str]]] = {}
        for total in (each for written in self._claims for each in sums_in(written)):
            names = frozenset(symbols_of(total))
            for name in names:
                found.setdefault(name, []).append(names)
        return found

    def _load_of(self, name: str, line: WrittenLine) -> str:
        """The resistor that a resistance of the working's own is added to, by names or by numbers, else the
        one without which the working has an open voltage, or for which it has a wire."""
        found = load_of(name, self._sums.get(name, ()), self.truths.solution.circuit)
        if found or not is_seen(name):
            return found
        changed = [s.out or s.wired for s in self.truths.arrows.changed]
        apart = {names for names in changed if len(names) == 1}
        if len(apart) == 1:
            return "".join(*apart)
        return load_in_numbers(name, line, self._claims, self.truths.solution.circuit)

    def said_to_be(self, line: WrittenLine, claim: Claim, name: str, given: Expr) -> tuple[Expr | None, bool]:
        """What a new name stands for by how the resistors in it lie, by its letters, by the words before
        it or by what is done with it below, and whether what the working gives it is that; None where nothing
        says so."""
        if not name.startswith(("R", "r")):
            return None, False
        words = self._words_before(line, claim)
        unsaid = self.combined.is_unsaid(name, words)
        star = star_resistance(self.truths.solution.circuit, name, given)
        where = line, claim
        by_its_use = star or use_of(self.truths.solution, self.working, where, name, given, unsaid=unsaid)
        load = self._load_of(name, line)
        each = (
            self.combined.ways(name, given, words, claim.setting, own, line.text) for own in self._loads(load)
        )
        ways = tuple(dict.fromkeys(way for ways in each for way in ways))
        rest = rest_of_total(self.truths.solution, self.working, where, name) if by_its_use is None else None
        if rest is not None and not (self._counts_twice(rest, given) or self._holds_all(rest, given)):
            rest = None  # the total may be what is wrong
        for way in (by_its_use,) if by_its_use is not None else ((rest,) if rest is not None else ways):
            holds = self._would_hold(claim, name, way)
            if holds is None:
                return None, False
            if holds:
                return (None, False) if way is by_its_use and lone(given) is not None else (way, True)
        meant = (
            by_its_use if by_its_use is not None else rest if rest is not None else self._nearest(ways, given)
        )
        return meant, False

    def _nearest(self, ways: Collection[Expr], given: Expr) -> Expr | None:
        """Which of several resistances is meant by a wrong one: that of most of the resistors that it is made
        of, the first where they are alike."""
        held = self.combined.resistors(given)
        return min(ways, key=lambda way: len(held ^ {*symbols_of(way)}) if held else 0, default=None)

    def _loads(self, load: str) -> tuple[str, ...]:
        """The load, and what lies beside it where nothing but a short circuit tells which is meant."""
        return (load, *(self.combined.branches_beside(load) if self._is_only_shorted(load) else ()))

    def _is_only_shorted(self, load: str) -> bool:
        """Whether only a short circuit says which load is meant: what lies beside it is shorted too."""
        changed = [s for s in self.truths.arrows.changed if s.out or s.wired]
        return bool(load) and bool(changed) and all(s.wired == (load,) and not s.out for s in changed)

    def _holds_all(self, rest: Expr, given: Expr) -> bool:
        """Whether a resistance is worked from just the resistances that the battery sees behind its own
        branch, so that what is wrong with the total is wrong here."""
        met: set[str] = set()
        numbers = self.truths.solution.circuit.numbers
        for name in symbols_of(given):
            met |= self.parts.get(name) or {name}
        for size in {n.value for n in numbers_in(given)} - {0}:
            named = [self.parts[n] for n in self.combined.named_so(size) if self.parts.get(n)]
            own = [n for n in symbols_of(rest) if numbers.get(n) in (size, size * 1000)]
            if not named and not own and size != 1:  # of 1/(1/6 + 1/3)
                return False
            met |= named[0] if named else set(own)
        return met == set(symbols_of(rest))

    def _would_hold(self, claim: Claim, name: str, way: Expr) -> bool | None:
        """Whether a claim is right with a meaning for the name that it gives; None where that is not told."""
        try:
            self.truths.define(name, way)
            found = self.truths.value_of(claim.written)
        except (UnknownName, TooLong, ZeroDivisionError):
            return None
        finally:
            self.truths.forget(name)
        return found is not None and found.truth is not Truth.NO

    def _counts_twice(self, rest: Expr, given: Expr) -> bool:
        """Whether a resistor stands in a resistance that is no part of what the battery sees behind its own
        branch, so that it would be counted there and here."""
        own = self.combined.resistors(rest)
        return not self.combined.resistors(given) <= own

    def _words_before(self, line: WrittenLine, claim: Claim) -> str:
        """The words that may say of what a claim is."""
        at = bisect_left(self.working.lines, line.number, key=lambda each: each.number)
        before = self.working.lines[max(at - 1, 0) : at]
        done = [each.end for each in line.claims if each.end <= claim.start]
        if done:
            return line.text[max(done) : claim.start]
        # words before a claim are of it, and of no other that comes behind it
        told = [each for each in before if not (each.claims or each.arrows or each.loops)]
        heads = (each.text for each in told if not _ENDS_IN_OHMS.search(each.text))
        return " ".join(heads) + " " + line.text[: claim.start]

    def lie_apart(
        self, line: WrittenLine, claim: Claim, given: Expr, settings: Collection[CircuitChange]
    ) -> tuple[str, str] | None:
        """The slip, and what is wrong in words, where the words before a claim, or how numbers are put
        together in it, say that resistors are in series or side by side that are so in none of the circuits
        that the working can speak of (`settings`); None where that is not so."""

        def things(number: Number) -> list[frozenset[str]]:
            own = [of for n in self.of_size.get(number.value, ()) if (of := self.parts.get(n))]
            return [*own, *(of for each in settings for of in self._odd_numbers.things_worth(number, each))]

        return self.combined.lie_apart(self._words_before(line, claim), given, settings, things)

    def may_lie_so(self, given: Expr, settings: Collection[CircuitChange]) -> bool:
        """Whether numbers are put together as some resistors, alone or made one, that have these lie."""
        return any(self._odd_numbers.lie_so(given, setting) for setting in settings)

    def seen_wrongly(self, line: WrittenLine, claim: Claim, name: str, given: Expr) -> tuple[str, str]:
        """How what a load is said to see came about, where it is what something else sees or what it would
        see with gaps for batteries: the slip and its words; both empty where it is neither."""
        load = "".join(claim.setting.out[:1]) or self._load_of(name, line) if is_seen(name) else ""
        meanings = self.truths.views[-1].meanings
        try:
            worth = meanings.ratio(given).constant() if load else None
        except (UnknownName, TooLong, ZeroDivisionError):
            return "", ""
        scale = Fraction(1, 1000) if meanings.thousands else Fraction(1)
        if worth is None:
            return "", ""
        for entry, said, seen in (
            way for own in self._loads(load) for way in self.combined.seen_wrongly(own)
        ):
            if seen.at(meanings.numbers, meanings.symbols).constant() == worth / scale:
                return entry, said
        return "", ""

    def counted_twice(self, name: str, given: Expr, settings: Collection[CircuitChange]) -> Number | None:
        """The number that stands more often in a new resistance than there are resistances of that size, in
        whichever circuit it is of (`settings`); None where there is none."""
        if not name.startswith(("R", "r")) or symbols_of(given):
            return None
        if again := self._counted_again(given):
            return again
        found = [self._odd_numbers.counted_twice(given, setting) for setting in settings]
        return found[0] if None not in found else None

    def _counted_again(self, given: Expr) -> Number | None:
        """The number of the only resistor of its size that is put to a resistance made of that resistor among
        others: 8 in 3.4 + 8 where 3.4 is 8 side by side with 6."""
        terms = given.terms if isinstance(given, Sum) else given.parts if isinstance(given, Parallel) else ()
        numbers = [n for term in terms if (n := lone(term)) is not None]
        numbers_of = self.truths.views[-1].as_rounded.numbers
        sizes = {n: numbers_of.written(n) for n in numbers}
        known = [[*self.of_size.get(size, ())] for size in sizes.values()]
        made = {r for names in known if len(names) == 1 for r in self.parts.get(names[0], ())}
        for n in numbers:
            own = self.combined.resistors(n)
            if sizes[n] not in self.of_size and len(own) == 1 and own <= made:
                return n
        return None

    def odd_number(self, line: WrittenLine, claim: Claim, name: str, given: Expr) -> Odd | None:
        """The number in a new resistance that is none of the circuit's and of no line above; None where there
        is none, or where the name is that of no resistance."""
        if not name.startswith(("R", "r")):
            return None
        above = " ".join(each.text for each in self.working.lines if each.number < line.number)
        made_of = {s: [self.parts[n] for n in of if self.parts.get(n)] for s, of in self.of_size.items()}
        return self._odd_numbers.found(given, claim.setting, made_of, above)


def is_inverse(expr: Expr, name: str) -> bool:
    """Whether a side is one over a name."""
    return isinstance(expr, Quotient) and expr == Quotient(ONE, Symbol(name))
