"""Which quantity of the circuit a name in a working stands for, where its spelling leaves one choice.

`i1` for I1, `V1` or `ε1` for E1 where there is no V1, `Vab` or `U(a, b)` for V(a, b). A name with several
plausible readings, or with none, stays as it is. Common practice, no source. Knows no solution.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from ...circuit.circuit import Circuit
from ...circuit.elements import Kind
from ...circuit.names import listed
from ...expressions.nodes import Expr, Symbol, put
from ...expressions.tokens import canonical_name
from ...expressions.values import symbols_of
from ...quantities import read_unit

EMF_LETTERS = ("E", "V", "U", "ε", "ϵ", "emf", "Emf", "EMF", "e", "v", "u", "ξ")
_PARTS = re.compile(r"([^\W\d]+?)(\d*′*)")
_CALL = re.compile(r"([VR])\((.+), (.+)\)")
_RESISTANCE = re.compile(r"\bR\(")
_POWER = re.compile(r"P\((.+)\)")


@dataclass(frozen=True)
class NamesInUse:
    """The names in use in a working of a circuit, and how other spellings of them are read.

    `known`: currents, elements, symbols, and the names that the working declares. `drops`: whether V1, V2
    are taken for names of the working's own (the drops across R1, R2) and not for emfs. `apart`: spellings
    that are names of the working's own. `volt`: whether V is one too, so that 2 V may be twice V or two
    volts. `across`: voltages such as `UR2` that are no product, where U by itself would be the emf.
    """

    circuit: Circuit
    declared: tuple[str, ...] = ()
    drops: bool = False
    apart: frozenset[str] = frozenset()
    volt: bool = False
    potentials: frozenset[str] = frozenset()
    across: frozenset[str] = frozenset()
    known: frozenset[str] = field(init=False)
    spellings: frozenset[str] = field(init=False)
    _others: dict[str, tuple[str, ...]] = field(init=False, repr=False)
    _points: dict[str, tuple[str, ...]] = field(init=False, repr=False)
    met: frozenset[str] = field(init=False, repr=False)
    places: frozenset[str] = field(init=False, repr=False)  # points whose names are no names of quantities
    split: frozenset[str] = field(init=False, repr=False)  # at which a run such as `i1R1` is taken apart
    like_units: frozenset[str] = field(init=False, repr=False)  # known names that also are units
    _memory: dict[str, tuple[str, ...]] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        circuit = self.circuit
        met = [p.element for b in circuit.branches for p in b.passes]
        known = dict.fromkeys((*circuit.currents, *met, *circuit.symbols, *self.declared))
        crossed = (e for e in met if "V" not in known or circuit.elements[e].fixes_current)
        known.update(dict.fromkeys(f"V({element})" for element in crossed))
        others: dict[str, dict[str, None]] = {}
        for name in known:
            for spelling in self._spellings(name) if "(" not in name else ():
                if spelling not in known and spelling not in self.apart:
                    others.setdefault(spelling, {})[name] = None
        points: dict[str, dict[str, None]] = {}
        for point in circuit.named_points:
            points.setdefault(point.casefold(), {})[point] = None
        keep = object.__setattr__
        keep(self, "known", frozenset(known))
        keep(self, "_others", {spelling: tuple(found) for spelling, found in others.items()})
        keep(self, "_points", {folded: tuple(found) for folded, found in points.items()})
        keep(self, "met", frozenset(met))
        keep(self, "places", frozenset(circuit.named_points) - known.keys())
        keep(self, "like_units", frozenset(name for name in known if read_unit(name)))
        keep(self, "_memory", {})
        clear = (s for s, found in others.items() if len(found) == 1 and not read_unit(s))
        keep(self, "spellings", frozenset(clear))
        through = frozenset(f"{letter}{element}" for element in met for letter in "Ii")  # IR1 of IR1R1
        split = self.known | self.spellings | self.across
        keep(self, "split", split | {name for name in through if self.readings(name)})

    @property
    def kilohms(self) -> frozenset[Fraction]:
        """What the resistors of the circuit come to in kilohms."""
        circuit = self.circuit
        return frozenset(v / 1000 for n, v in circuit.numbers.items() if circuit.role(n) is Kind.RESISTOR)

    # -- spellings of a known name -----------------------------------------------------------------

    def _spellings(self, name: str) -> list[str]:
        found = [name.lower(), name.upper(), name[:1].swapcase() + name[1:]]
        if name == "R" and any(other[0] == "r" for other in self.circuit.symbols):
            found = []  # r may be the resistance inside
        if name == "r" and any(other[0] == "R" for other in resistances_of(self.circuit)):
            found = []  # nor is R the one inside where there are others
        if name.endswith("′") and name.rstrip("′") not in self.circuit.currents:
            found.append(name.rstrip("′"))
        if self._is_emf(name) and (parts := _PARTS.fullmatch(name)) and parts[1] in EMF_LETTERS:
            letters = [x for x in EMF_LETTERS if not (self.drops and x in "VUvu")]
            found += [letter + parts[2] for letter in letters]
            if self._only(name, self._is_emf):
                found += letters
        if name in self.circuit.currents and self._only(name, self.circuit.currents.__contains__):
            found += ["I", "i"]
        if self._is_resistance(name) and self._only(name, self._is_resistance):
            found.append("R")
        return found

    def _is_emf(self, name: str) -> bool:
        element = self.circuit.elements.get(name)
        return self.circuit.role(name) is Kind.BATTERY or (
            element is not None and element.kind is Kind.BATTERY
        )

    def _is_resistance(self, name: str) -> bool:
        element = self.circuit.elements.get(name)
        return element is not None and element.kind is Kind.RESISTOR

    def _only(self, name: str, sort: Callable[[str], bool]) -> bool:
        circuit = self.circuit
        alike = [n for n in (*circuit.currents, *circuit.elements, *circuit.symbols) if sort(n)]
        return set(alike) == {name}

    # -- reading a name ----------------------------------------------------------------------------

    def readings(self, name: str) -> tuple[str, ...]:
        """Every quantity that the name may plausibly mean, other than a new one; itself when it is known."""
        if name not in self._memory:
            self._memory[name] = self._readings(name)
        return self._memory[name]

    def _readings(self, name: str) -> tuple[str, ...]:
        if name in self.known:
            return (name,)
        if call := _CALL.fullmatch(name):
            return self._call(call[1], (call[2], call[3]))
        if power := _POWER.fullmatch(name):
            inner = self.readings(power[1])
            return tuple(f"P({one})" for one in inner if one in self.circuit.elements)
        found = list(self._others.get(name, ()))
        found += self._pair(name)
        found += self._of_element(name)
        return tuple(dict.fromkeys(found))

    def read(self, name: str) -> tuple[str, str]:
        """The name as it is to be read, and a note where that is another one or where it is unclear."""
        found = self.readings(name)
        if not found or found == (name,) or name in self.known:
            return name, ""
        if len(found) == 1:
            return found[0], f"{name} is read as {found[0]}"
        return name, f"{name} may mean {listed(found, 'or')}; it is left as it stands"

    def point(self, written: str) -> str | None:
        """The point of the circuit that is meant; None when there is none, or more than one."""
        if written in self.circuit.named_points:
            return written
        found = self._points.get(written.casefold(), ())
        return found[0] if len(found) == 1 else None

    def element(self, written: str) -> str | None:
        """The element that a name is of: its own, or the battery that a resistance is inside of; None where
        it is of neither."""
        name = self.read(name_of(written))[0]
        if name in self.circuit.elements:
            return name
        inner = Symbol(name)
        held = [n for n in sorted(self.met) if self.circuit.elements[n].internal == inner]
        return held[0] if len(held) == 1 else None

    def _call(self, letter: str, written: tuple[str, str]) -> tuple[str, ...]:
        points = [self.point(p) for p in written]
        one, other = points
        return () if one is None or other is None or one == other else (f"{letter}({one}, {other})",)

    def _pair(self, name: str) -> list[str]:
        """The potential difference or resistance between two points that is meant by `Vab`, `V_{a,b}`,
        `U_AB` or `Rab`; nothing for any other name."""
        letter, rest = name[:1].upper().replace("U", "V"), name[1:]
        if letter not in ("V", "R") or not 2 <= len(rest) <= 40 or name[:1] == "r":
            return []
        if letter == "R" and not any(_RESISTANCE.search(asked) for asked in self.circuit.find):
            return []  # where no resistance between points is asked it is rather that of a path
        cuts = (
            [rest.partition(",")[::2]] if "," in rest else [(rest[:i], rest[i:]) for i in range(1, len(rest))]
        )
        return [call for a, b in cuts for call in self._call(letter, (a.strip(), b.strip()))]

    def _of_element(self, name: str) -> list[str]:
        """`V_R1` for the drop across R1, `P_R1` for its power, `IR1` for its current."""
        letter, rest = name[:1].upper().replace("U", "V"), name[1:]
        if letter == "I" and rest in self.known:
            held = None if self.readings(name[:1]) else self.element(rest)  # where it is no I by R1
            return [self.circuit.branch_of(held).name] if held in self.met else []
        if letter not in ("V", "P"):
            return []
        own = (rest,) if rest in self.met or len(rest) < 2 else self._others.get(rest, ())  # Pr4 of R4
        return [f"{letter}({one})" for one in own if one in self.met]


def renamed(item: Expr, names: NamesInUse, notes: dict[str, None]) -> Expr:
    """The expression with every name as it is to be read; what was read otherwise is put in `notes`."""
    table: dict[str, Expr] = {}
    for name in symbols_of(item):
        read, note = names.read(name)
        if read != name:
            table[name] = Symbol(read)
        if note:
            notes[note] = None
    return put(item, table) if table else item


def resistances_of(circuit: Circuit) -> tuple[str, ...]:
    """The names of resistors and of the symbols that stand for resistances."""
    elements = [n for n, e in circuit.elements.items() if e.kind is Kind.RESISTOR]
    symbols = [n for n in circuit.symbols if circuit.role(n) is Kind.RESISTOR]
    return tuple(dict.fromkeys((*elements, *symbols)))


def strung_together(name: str, own: Sequence[str]) -> tuple[str, ...]:
    """The resistances whose own marks a name strings together: `R123` of R1, R2 and R3, `Rbc` of Rb and Rc;
    else nothing. Of R1 and r1 that which has the letter of the name."""
    marks = {
        n[1:]: n
        for n in sorted(own, key=lambda n: n[:1] == name[:1])
        if n[:1].lower() == name[:1].lower() and (n[1:].isdigit() or (len(n) == 2 and n.isalpha()))
    }
    found: list[str] = []
    rest = name[1:]
    while rest:
        mark = next((m for m in sorted(marks, key=len, reverse=True) if rest.startswith(m)), "")
        if not mark or marks[mark] in found:
            return ()
        found.append(marks[mark])
        rest = rest[len(mark) :]
    return tuple(found)


def name_of(written: str) -> str:
    """A name as it is kept."""
    return canonical_name(written.strip())
