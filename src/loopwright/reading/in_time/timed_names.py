"""Which quantity of a circuit in time a name in a working stands for, and at which moment.

    I1(0+)   i1(0-)   I(oo)   v_C(t)   V(C1)(5 ms)   q(2 tau)   dI1/dt   U_C   tau   R_seen   V0   I_f

Each such name becomes one short word of its own, so that the grammar of written algebra need know nothing of
moments; the table says what each word stands for. Knows no solution.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import partial
from itertools import permutations

from ...circuit.circuit import Circuit
from ...circuit.elements import STORAGES, Kind
from ...circuit.in_time import times_of_moves
from ...expressions.nodes import Expr, Symbol
from ...expressions.parse import FUNCTIONS, Unreadable, expression
from ...expressions.tokens import canonical_name, parts_of
from ...expressions.writers import plain
from ...quantities import STORED, UNITS, read_unit
from ..page.mapped import Mapped, joined

MARK = "ǀ"  # a letter that stands in no name: it begins the number of a word in the table
TIME, TAU = "t", "τ"
OF_RATE = ""  # in the place of a storage: a time constant of the circuit, by its number


class When(StrEnum):
    """The moment at which a quantity is spoken of; the value is how it is written behind a name."""

    BEFORE = "0−"
    AFTER = "0+"
    END = "∞"
    COURSE = "t"
    AT = "at"
    UNSAID = ""


class Sort(StrEnum):
    """What kind of quantity it is."""

    CURRENT = "current"
    ACROSS = "voltage across"
    DIFFERENCE = "potential difference"
    CHARGE = "charge"
    ENERGY = "energy"
    POWER = "power"
    TIME_CONSTANT = "time constant"
    SEEN = "seen resistance"
    HEAT = "heat"
    WORK = "work of a battery"
    CAPACITANCE = "capacitance"
    INDUCTANCE = "inductance"


UNIT_OF_SORT = {
    Sort.CURRENT: "A", Sort.ACROSS: "V", Sort.DIFFERENCE: "V", Sort.CHARGE: "C", Sort.ENERGY: "J",
    Sort.POWER: "W", Sort.TIME_CONSTANT: "s", Sort.SEEN: "Ω", Sort.HEAT: "J", Sort.WORK: "J",
    Sort.CAPACITANCE: "F", Sort.INDUCTANCE: "H",
}  # fmt: skip
TIMELESS = (
    Sort.TIME_CONSTANT, Sort.SEEN, Sort.HEAT, Sort.WORK, Sort.CAPACITANCE, Sort.INDUCTANCE,
)  # fmt: skip
_LETTER = {
    Sort.ACROSS: "V", Sort.DIFFERENCE: "V", Sort.CHARGE: "Q", Sort.ENERGY: "U", Sort.POWER: "P",
    Sort.HEAT: "heat", Sort.WORK: "W", Sort.CAPACITANCE: "C", Sort.INDUCTANCE: "L",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class TimedQuantity:
    """A quantity of the circuit. `of`: its branch, its element or its two points; `sign`: −1 where the
    working counts it the other way; `slope`: how fast it changes."""

    sort: Sort
    of: tuple[str, ...] = ()
    sign: int = 1
    slope: bool = False

    @property
    def name(self) -> str:
        """How it is written: `I1`, `V(C1)`, `dI1/dt`, `τ`."""
        if self.sort is Sort.CURRENT:
            plain = self.of[0]
        elif self.sort in (Sort.TIME_CONSTANT, Sort.SEEN):
            letter = TAU if self.sort is Sort.TIME_CONSTANT else "Rseen"
            plain = letter if len(self.of) < 2 else f"{letter}{self.of[1]}"
        else:
            plain = f"{_LETTER[self.sort]}({', '.join(self.of)})"
        return f"d{plain}/dt" if self.slope else plain


@dataclass(frozen=True, slots=True)
class TimedName:
    """A name as it stands in a working: what it may mean, the likeliest first, and when. `at`: the time, for
    `When.AT`."""

    meant: tuple[TimedQuantity, ...]
    when: When
    at: Expr | None = None
    written: str = ""


_SUB = r"(?![⁰¹²³⁴⁵⁶⁷⁸⁹])[^\W\d_](?:_\{[^{}]*\}|[^\W⁰¹²³⁴⁵⁶⁷⁸⁹])*['′]*"
_WORD = re.compile(rf"(?<![^\W\d]){_SUB}")
_OF = re.compile(r"\s?\(\s*([^\W\d_]\w*)\s*(?:,\s*([^\W\d_]\w*)\s*)?\)")
_MOMENT = re.compile(
    r"\s?\(\s*(?:t\s*=\s*)?(?:"
    r"(?P<after>0\s*\^?\s*[({]?\s*[+⁺]\s*[)}]?|\+\s*0)"
    r"|(?P<before>0\s*\^?\s*[({]?\s*[-−–⁻]\s*[)}]?|[-−]\s*0)"
    r"|(?P<zero>0)|(?P<t>t)"
    r"|(?P<end>\+?\s*(?:oo|∞|inf(?:inity)?)|t\s*(?:→|->)\s*(?:∞|oo))"
    r"|(?P<at>(?:\d+(?:\.\d+)?\s*)?(?:τ|tau|Tau)(?:\s*/\s*\d+)?|\d+(?:\.\d+)?\s*(?:[munpµμ]?s|min)|t_?\{?\d\}?)"
    r")\s*\)"
)
_RATE = re.compile(
    rf"\(\(\s*d\s?(?P<a>{_SUB})(?P<ao>\s?\(\s*\w+\s*\))?(?:\s?\(t\))?\s*\)/\(\s*d\s?t\s*\)\)"
    rf"|d\s?\(?(?P<b>{_SUB})(?P<bo>\s?\(\s*[^\W\d_]\w+\s*\))?(?:\s?\(t\))?\)?\s?/\s?\(?d\s?t\b\)?"
)
_AT_END = ("∞", "oo", "f", "inf", "final", "end")
_AT_START = ("0", "i", "init", "initial", "start")
_OF_MOMENT = re.compile(r"\s*\(.*\)$")
_NUMBER_BEFORE = re.compile(
    r"(?:(?<![\w.])[\d.]+(?:e[+\-−]?\d+)?(?:\s*/)?|[)\]}⁰¹²³⁴⁵⁶⁷⁸⁹]|(?<![\w.])10\^[({]?[-−]?\d+[)}]?)\s*$"
)
_SEEN_BY = re.compile(
    r"\b(?:R|[Rr]esistance)\s(?:that\s)?(?:is\s)?seen(?:\s(?:by|from|at|across)\s(?:the\s)?\w+)?(?=\s?=)"
)
_UNITS_LEFT_OUT = (  # 2.2k * 10u: a resistance and a capacitance
    (re.compile(r"(?<=\d)\s?k(?!\w)"), " kΩ"),
    (re.compile(r"(?<=\d)\s?[uµμ](?!\w)"), " µF"),
    (re.compile(r"(?<=\d)\s?n(?!\w)"), " nF"),
)
_BELOW_WITH_PREFIX = re.compile(r"(?<=/)(\s?)(\d+(?:\.\d+)?\s?[kuµμn])(?!\w)")  # 9/20k: the k is of the 20
_LETTERS_IN_BRACKETS = re.compile(r"\([^()]*[^\W\d_][^()]*(?:\([^()]*\)[^()]*)*\)\s*$")
_EULER_ALONE = re.compile(r"(?<![\w.^′'])e(?![\w^(⁰¹²³⁴⁵⁶⁷⁸⁹⁻′'])")  # 3.75/e
EULER = "e"
ANY_R = "R"  # in tau = L/R what the storage sees, unless the working says what it calls so
MOST_JUNCTIONS = 3  # so many points are tried for a voltage that is called no more than V
_INDEX = re.compile(r"_\{?\s*∞\s*\}?|∞(?<=[^\W\d_]∞)")


class TimedNames:
    """The names of one working. `declared`: quantities that the working counts the other way, by name."""

    def __init__(self, circuit: Circuit) -> None:
        self.circuit = circuit
        self.declared: dict[str, TimedQuantity] = {}
        self.table: dict[str, TimedName] = {}  # by the word that stands for it
        self.own: set[str] = set()  # names that the working gives
        self.about: tuple[str, tuple[TimedQuantity, ...]] = ("", ())  # what a label such as `I2:` speaks of
        self.volts = True
        self.products = False
        held = {s.name for s in circuit.start.values() if isinstance(s, Symbol)}
        held &= {f"{letter}{storage}" for storage in circuit.storages for letter in "VI"}
        own = (*circuit.symbols, *(e for e in circuit.elements if self._valued(e)))
        self.symbols = frozenset(own) - held  # V_C1 is the voltage of C1, not what it is at the start
        self.aliases = self._aliases()
        self.spelled = self._spelled()
        self.known = frozenset((*self.symbols, *self.aliases, TIME, TAU))

    def _valued(self, name: str) -> bool:
        met = any(p.element == name for b in self.circuit.branches for p in b.passes)
        kinds = (Kind.RESISTOR, Kind.BATTERY, Kind.CURRENT_SOURCE, *STORAGES)
        return met and self.circuit.elements[name].kind in kinds

    def of_kind(self, *kinds: Kind) -> list[str]:
        """The elements of a kind that branches meet, in order."""
        met = dict.fromkeys(p.element for b in self.circuit.branches for p in b.passes)
        return [name for name in met if self.circuit.elements[name].kind in kinds]

    # -- what is spelled how -----------------------------------------------------------------------

    def _aliases(self) -> dict[str, str]:
        """Other spellings of the circuit's own symbols."""
        found: dict[str, str] = {}
        for kind, letters in (
            (Kind.RESISTOR, ("R",)), (Kind.CAPACITOR, ("C",)), (Kind.COIL, ("L",)),
            (
                Kind.BATTERY,
                ("E", "ε", "emf", "E0", "VE", "Vb", "VB", "Vs", "VS", "Vbat", "Vin", "Uq", "Us", "UB", "Uin"),
            ),
        ):  # fmt: skip
            some = self.of_kind(kind)
            for letter in letters if len(some) == 1 else ():
                if letter not in self.symbols and letter not in self.circuit.currents:
                    found[letter] = some[0]
        for name in self.symbols:
            swapped = name[:1].swapcase() + name[1:]
            if len(name) > 1 and swapped not in self.symbols and name[:1] in "RE":
                found.setdefault(swapped, name)
        return found

    def _spelled(self) -> dict[str, tuple[TimedQuantity, ...]]:
        found: dict[str, list[TimedQuantity]] = {}

        def put(name: str, *meant: TimedQuantity) -> None:
            if name not in self.symbols and name not in self.aliases:
                found.setdefault(name, []).extend(m for m in meant if m not in found.get(name, []))

        circuit = self.circuit
        for branch in circuit.currents:
            for name in (branch, branch[:1].swapcase() + branch[1:]):
                put(name, TimedQuantity(Sort.CURRENT, (branch,)))
        storages, capacitors = list(circuit.storages), self.of_kind(Kind.CAPACITOR)
        for element in self.of_kind(Kind.RESISTOR, *STORAGES, Kind.BATTERY):
            across, current = (
                self._across(element),
                TimedQuantity(Sort.CURRENT, (circuit.branch_of(element).name,)),
            )
            kind = circuit.elements[element].kind
            alone = self.of_kind(kind) == [element]
            marks = [element, *([element[:1]] if alone and kind is not Kind.BATTERY else [])]
            marks += [element.lower()] if len(element) > 1 else []
            letter = element[:1].lower()  # Vc, iL: not where a point or a current bears the name
            if alone and kind in STORAGES and letter not in circuit.named_points:
                marks += [letter] if not {f"I{letter}", f"i{letter}"} & set(circuit.currents) else []
            energy = [TimedQuantity(Sort.ENERGY, (element,))] if kind in STORAGES else []
            for mark in marks:
                put(f"U{mark}", across, *energy)
                for letter in "Vvu":
                    put(f"{letter}{mark}", across)
                for letter in "Ii":
                    put(f"{letter}{mark}", current)
                for letter in "WE" if energy else ():
                    put(f"{letter}{mark}", *energy)
                put(f"P{mark}", TimedQuantity(Sort.POWER, (element,)))
                if kind is Kind.RESISTOR:
                    put(f"W{mark}", TimedQuantity(Sort.HEAT, (element,)))
                if kind is Kind.BATTERY:
                    put(f"W{mark}", TimedQuantity(Sort.WORK, (element,)))
            if kind is Kind.BATTERY and alone:
                for word in ("Wbatt", "Wbat", "Wbattery", "Wsource", "WB", "Wb"):
                    put(word, TimedQuantity(Sort.WORK, (element,)))
        for element in capacitors:
            number = element[1:]
            ends = [element, *([number] if number else []), *(["", "C"] if len(capacitors) == 1 else [])]
            for end in ends:
                put(f"Q{end}", TimedQuantity(Sort.CHARGE, (element,)))
                put(f"q{end}", TimedQuantity(Sort.CHARGE, (element,)))
        for element in (*capacitors, *self.of_kind(Kind.COIL), *self.of_kind(Kind.RESISTOR)):
            for letter in "vVuU" if len(element) > 1 else "":  # v1 of C1, or of R1: as most lines have it
                put(f"{letter}{element[1:]}", self._across(element))
        for coil in self.of_kind(Kind.COIL) if len(self.of_kind(Kind.COIL)) == 1 else ():
            if "I" in circuit.currents:
                put("i", TimedQuantity(Sort.CURRENT, (circuit.branch_of(coil).name,)))
        if capacitors and len({circuit.branch_of(c).name for c in capacitors}) == 1:
            for name in "Qq":  # in a row they take the same charge
                put(name, TimedQuantity(Sort.CHARGE, (capacitors[0],)))
        if len(storages) == 1:
            (one,) = storages
            for name in ("U", "W", "Wstored", "Ustored"):
                put(name, TimedQuantity(Sort.ENERGY, (one,)))
            if capacitors:
                put("v", self._across(one))
                put("u", self._across(one))
                put("U", self._across(one))
        batteries = self.of_kind(Kind.BATTERY)
        for element in (
            *(batteries if len(batteries) == 1 else ()),
            *(storages if len(storages) == 1 else ()),
        ):
            put("V", self._across(element))
        put("V", *self._differences(self._junctions()))
        for point in circuit.named_points:
            against = [(point, other) for other in circuit.named_points if other != point]
            put(f"V{point}", *(TimedQuantity(Sort.DIFFERENCE, pair) for pair in against))
        if len(circuit.currents) == 1 or (storages and not capacitors and len(storages) == 1):
            only = circuit.currents[0] if len(circuit.currents) == 1 else circuit.branch_of(storages[0]).name
            put("I", TimedQuantity(Sort.CURRENT, (only,)))
            put("i", TimedQuantity(Sort.CURRENT, (only,)))
        meet = Counter(point for b in circuit.branches for point in (b.start, b.end))
        if len(circuit.currents) > 1 and set(meet.values()) == {2} and "i" not in found:
            first = (circuit.currents[0],)  # one loop has one current, whichever way it is counted
            for name in ("i", "I"):
                put(name, *(TimedQuantity(Sort.CURRENT, first, sign) for sign in (1, -1)))
        if len(self.of_kind(Kind.RESISTOR)) == 1:
            (only,) = self.of_kind(Kind.RESISTOR)
            for name in ("heat", "Qheat", "Wheat"):
                put(name, TimedQuantity(Sort.HEAT, (only,)))
        for at, storage in enumerate(storages, start=1):
            capacitor = circuit.elements[storage].kind is Kind.CAPACITOR
            single = [s for s in storages if circuit.elements[s].kind is circuit.elements[storage].kind]
            letters = ["C" if capacitor else "L"] if len(single) == 1 else []
            count = len(times_of_moves(circuit)) if len(storages) == 1 else 1
            of_stages = [mark for k in range(1, count) for mark in (str(k + 1), "′" * k)]
            for mark in (storage, str(at), *letters, *of_stages, *([""] if len(storages) == 1 else [])):
                for tau in ("tau", "Tau", TAU, "T"):
                    if tau != "T" or not mark:
                        put(f"{tau}{mark}", *self._constants(storage, mark == str(at)))
                for word in ("Rseen", "Req", "Rth", "RTh", "RTH", "Reff", "Rt", "RT", "Rtot", "Rtotal"):
                    if not mark or len(storages) > 1:
                        put(f"{word}{mark}", TimedQuantity(Sort.SEEN, of_storage_alone(circuit, storage)))
        if len(storages) == 1:
            put(ANY_R, TimedQuantity(Sort.SEEN, (storages[0],)))
        if len(storages) > 1:
            for tau in ("tau", "Tau", TAU):
                put(tau, TimedQuantity(Sort.TIME_CONSTANT, (OF_RATE, "")))
        return {name: tuple(meant) for name, meant in found.items()}

    def _constants(self, storage: str, numbered: bool) -> list[TimedQuantity]:
        """What a time constant may stand for that bears the name of a storage, or its number: with several
        storages a number only counts the time constants of the circuit, in any order."""
        count = len(self.circuit.storages)
        if count == 1 or not numbered:
            return [TimedQuantity(Sort.TIME_CONSTANT, of_storage_alone(self.circuit, storage))]
        own = int(self.circuit.storages.index(storage)) + 1
        order = sorted(range(1, count + 1), key=lambda k: k != own)
        return [TimedQuantity(Sort.TIME_CONSTANT, (OF_RATE, str(k))) for k in order]

    def _junctions(self) -> list[str]:
        """The points where more than two branches meet: between these a working takes a voltage V."""
        ends = [point for branch in self.circuit.branches for point in (branch.start, branch.end)]
        return [point for point in self.circuit.named_points if ends.count(point) > 2][:MOST_JUNCTIONS]

    def _differences(self, points: Iterable[str]) -> list[TimedQuantity]:
        return [TimedQuantity(Sort.DIFFERENCE, pair) for pair in permutations(points, 2)]

    def _across(self, element: str) -> TimedQuantity:
        """The voltage across an element, counted along its branch; of a battery, from − to +."""
        rise = self.circuit.elements[element].has_sign and self.circuit.pass_of(element).sign > 0
        return TimedQuantity(Sort.ACROSS, (element,), -1 if rise else 1)

    # -- reading a line ----------------------------------------------------------------------------

    def in_words(self, line: Mapped, *, volts: bool = True, products: bool = False) -> Mapped:
        """The line with a word of the table in the place of every name of a quantity in time. `volts`: a V
        behind a number is its unit, not a quantity; `products`: `iR` is i times R, not the current of R."""
        self.volts, self.products = volts, products
        line = line.replaced(_INDEX, lambda _: "_oo").replaced(_SEEN_BY, lambda _: "Rseen")
        if EULER not in self.known and EULER not in self.own:
            line = line.replaced(_EULER_ALONE, lambda _: "e^(1)")
        line = line.replaced(_BELOW_WITH_PREFIX, lambda met: f"{met[1]}({met[2]})")
        for pattern, unit in _UNITS_LEFT_OUT[: None if self.of_kind(Kind.CAPACITOR) else 1]:
            line = line.replaced(pattern, partial(_as_unit, unit))
        text, parts, last, at = line.text, [], 0, 0
        while at < len(text):
            rate = _RATE.match(text, at) if text[at] in "d(" and not _in_word(text, at) else None
            name, end = self._rate(rate, text) if rate else (None, at)
            if name is None:
                match = _WORD.match(text, at) if not _in_word(text, at) else None
                if match is None:
                    at += 1
                    continue
                words, end = self._name(match, text)
            else:
                words = [self._word(name)]
            if words is not None:
                parts += [
                    line.part(last, at),
                    Mapped(" ".join(words), (line.place(at),) * (len(" ".join(words)) + 1)),
                ]
                last = end
            at = max(end, at + 1)
        return joined([*parts, line.part(last, len(text))], line.places[-1]) if parts else line

    def _word(self, name: TimedName) -> str:
        for word, known in self.table.items():
            if known == name:
                return word
        word = f"X{MARK}{len(self.table)}"
        self.table[word] = name
        return word

    def _rate(self, match: re.Match[str], text: str) -> tuple[TimedName | None, int]:
        word, of = match["a"] or match["b"], match["ao"] or match["bo"] or ""
        meant = self._meant(canonical_name(word), of)
        meant = tuple(
            TimedQuantity(m.sort, m.of, m.sign, slope=True) for m in meant if m.sort not in TIMELESS
        )
        if not meant:
            return None, match.start()
        when, at, end = self._moment(text, match.end())
        when = When.COURSE if when is When.UNSAID else when
        return TimedName(meant, when, at, match[0]), end

    def _meant(self, name: str, of: str = "") -> tuple[TimedQuantity, ...]:
        if of:
            return self._called(name, _OF.fullmatch(of))
        if name in self.declared:
            return (self.declared[name],)
        return self.spelled.get(name, ())

    def _called(self, name: str, of: re.Match[str] | None) -> tuple[TimedQuantity, ...]:
        """`V(C1)`, `U(C1)`, `Q(C1)`, `V(a, b)`, `heat(R2)`, `I(R1)`."""
        if of is None:
            return ()
        one, other = (canonical_name(part) if part else "" for part in of.groups())
        circuit = self.circuit
        if other:
            folded = {p.casefold(): p for p in circuit.named_points}
            points = tuple(folded.get(p.casefold(), "") for p in (one, other))
            sort = {"C": Sort.CAPACITANCE, "L": Sort.INDUCTANCE}.get(name, Sort.DIFFERENCE)
            fits = all(points) and name in ("V", "v", "U", "u", "C", "L")
            return (TimedQuantity(sort, points),) if fits else ()
        element = one if one in circuit.elements else self.aliases.get(one, "")
        if element not in circuit.elements or not self._valued(element):
            return ()
        kind = circuit.elements[element].kind
        match name:
            case "V" | "v" | "u":
                return (self._across(element),)
            case "I" | "i":
                return (TimedQuantity(Sort.CURRENT, (circuit.branch_of(element).name,)),)
            case "Q" | "q" if kind is Kind.CAPACITOR:
                return (TimedQuantity(Sort.CHARGE, (element,)),)
            case "U" | "W" | "E" if kind in STORAGES:
                return (TimedQuantity(Sort.ENERGY, (element,)),)
            case "P":
                return (TimedQuantity(Sort.POWER, (element,)),)
            case "heat" | "W" if kind is Kind.RESISTOR:
                return (TimedQuantity(Sort.HEAT, (element,)),)
            case "W" if kind is Kind.BATTERY:
                return (TimedQuantity(Sort.WORK, (element,)),)
        return ()

    def _moment(self, text: str, at: int) -> tuple[When, Expr | None, int]:
        match = _MOMENT.match(text, at)
        if match is None:
            return When.UNSAID, None, at
        if match["at"]:
            written = re.sub(r"tau|Tau", TAU, match["at"]).replace("_", "").strip("{}")
            try:
                return When.AT, expression(written, {TAU, TIME}, freely=True, in_time=True), match.end()
            except Unreadable:
                return When.UNSAID, None, at
        when = When.BEFORE if match["before"] else When.COURSE if match["t"] else When.AFTER
        return When.END if match["end"] else when, None, match.end()

    def _name(self, match: re.Match[str], text: str) -> tuple[list[str] | None, int]:
        """The words for a name and where it ends; None where it stays as it is."""
        name, end = canonical_name(match[0]), match.end()
        if name not in self.symbols and self._is_unit(match, text):
            return None, end
        called = _OF.match(text, end)
        if called and (meant := self._called(name, called)):
            when, at, end = self._moment(text, called.end())
            return [self._word(TimedName(meant, when, at, text[match.start() : end]))], end
        meant = self._meant(name)
        if meant and self.products and self.is_product(match[0]):
            return self._run((name[:1], name[1:]), text, end, match)
        if meant:
            when, at, end = self._moment(text, end)
            return [self._word(TimedName(meant, when, at, text[match.start() : end]))], end
        if name[-1:] == "′" and name[:1] in "ivqu" and (rate := self._meant(name.rstrip("′"))):  # L i' + R i
            slopes = tuple(replace(m, slope=True) for m in rate if m.sort not in TIMELESS)
            if slopes and name not in self.own and name.count("′") == 1:
                return [self._word(TimedName(slopes, When.COURSE, None, match[0]))], end
        if found := self._with_index(name):
            return [self._word(TimedName(*found, None, match[0]))], end
        if name in self.aliases and not self._is_unit(match, text):
            return [self.aliases[name]], end
        if name in self.known:
            return None, end
        if name in self.own or name in FUNCTIONS or self._is_unit(match, text):
            return None, end
        parts = self._parts(name)
        return self._run(parts, text, end, match) if parts else (None, end)

    def is_product(self, written: str) -> bool:
        """Whether a name may be two that follow one another: `iR`, `VC`, without a mark between."""
        name = canonical_name(written)
        own = {*self.symbols, *self.aliases, *self.own}
        both = (name[:1] in self.spelled or name[:1] in own) and name[1:] in {*own, TIME}
        return both and "_" not in written and name in self.spelled

    def _with_index(self, name: str) -> tuple[tuple[TimedQuantity, ...], When] | None:
        """`I0`, `V_f`, `Q_∞`: the start or the end of the one quantity with this letter."""
        if name in self.known or name in self.own:
            return None
        letter, spoken_of = self.about
        for marks, when in ((_AT_START, When.AFTER), (_AT_END, When.END)):
            for mark in marks:
                base = name.removesuffix(mark).rstrip(",")
                known = spoken_of if base and base == letter else self.spelled.get(base, ())
                meant = [m for m in known if base != name and m.sort not in TIMELESS]
                if meant:
                    return tuple(meant[::-1] if base == "V" else meant), when
        return None

    def _parts(self, name: str) -> tuple[str, ...]:
        """A run such as `I1R1` or `RC` taken apart; empty where there is not one way."""
        found = parts_of(name, {*self.spelled, *self.known, *self.own})
        return found if len(found) > 1 else ()

    def _run(
        self, parts: Iterable[str], text: str, end: int, match: re.Match[str]
    ) -> tuple[list[str] | None, int]:
        words: list[str] = []
        *first, last = parts
        for part in first:
            meant = self._meant(part)
            alias = self.aliases.get(part, part)
            words.append(self._word(TimedName(meant, When.UNSAID, None, part)) if meant else alias)
        meant = self._meant(last)
        when, at, after = self._moment(text, end) if meant else (When.UNSAID, None, end)
        words.append(self._word(TimedName(meant, when, at, last)) if meant else self.aliases.get(last, last))
        return words, after

    def _is_unit(self, match: re.Match[str], text: str) -> bool:
        """Whether letters behind a number are its unit; in `1/2 C V²` C is none."""
        before = _NUMBER_BEFORE.search(text[: match.start()])
        if match[0] == "V" and not self.volts:
            return False
        if match[0] == "C" and re.match(r"\s*[·*×]?\s*(?:[^\W\d_]|\()", text[match.end() :]):
            return False
        if match[0] == "C" and _LETTERS_IN_BRACKETS.search(text[: match.start()]):  # (R1 + R2) C
            return False
        return before is not None and bool(read_unit(match[0], (*UNITS, *STORED)))

    # -- back again --------------------------------------------------------------------------------

    def shown(self, word: str) -> Symbol:
        """A word of the table as it is shown."""
        return Symbol(shown_name(self.table[word]))


def of_storage_alone(circuit: Circuit, storage: str) -> tuple[str, ...]:
    """What a time constant or a seen resistance is of: a storage, named again where there are several."""
    return (storage,) if len(circuit.storages) == 1 else (storage, storage)


def shown_name(name: TimedName, when: When | None = None) -> str:
    """How a name is shown, with its moment behind it."""
    quantity = name.meant[0]
    moment = name.when if when is None else when
    if len({m.name for m in name.meant}) > 1:  # it is as good as a name of the working's own
        own = canonical_name(_OF_MOMENT.sub("", name.written))
        if moment is When.AT and name.at is not None:
            return f"{own}({plain.render(name.at)})"
        return own if moment is When.UNSAID else f"{own}({moment.value})"
    if quantity.sort in TIMELESS:
        return quantity.name
    if moment is When.UNSAID or (quantity.slope and moment is When.COURSE):
        return quantity.name
    if moment is When.AT:
        return f"{quantity.name}({plain.render(name.at)})" if name.at is not None else quantity.name
    return f"{quantity.name}({moment.value})"


def moment_said(moments: set[When]) -> str:
    """A moment in words."""
    words = {
        When.BEFORE: "just before the switch moves",
        When.AFTER: "just after the switch moves",
        When.END: "long after",
        When.COURSE: "at every moment after the switch moves",
        When.AT: "at that time",
    }
    found = [words[when] for when in When if when in moments and when in words]
    return found[0] if len(found) == 1 else "at the moments named" if found else "at all times"


def _as_unit(unit: str, _: re.Match[str]) -> str:
    return unit


def _in_word(text: str, at: int) -> bool:
    return at > 0 and (text[at - 1].isalpha() or text[at - 1] in "_\\")
