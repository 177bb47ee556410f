"""Lines that need no equations: a formula in letters, its numbers put in, and what it comes to. Made of
resistances made one, of currents through them and of voltages across them, in the working's own names."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ..algebra.ratios import Ratio
from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..circuit.made_one import name_for
from ..circuit.targets import Asked
from ..derive.narrate import GUARD
from ..derive.parts import Part
from ..expressions.amounts import shortened
from ..expressions.nodes import ONE, Equation, Expr, Symbol, add, negate, over, put_in, times
from ..expressions.said import Said, names
from ..expressions.values import ratio_of, symbols_of
from ..reading.working import AS_DRAWN, CircuitChange
from .finished import Fact, FactKind, FinishedLine, Lacking
from .lines import unit_after
from .stages import Stage
from .whereabouts import Whereabouts


class OhmTeller:
    """Writes such lines below a working. `lines`: those so far; `known`: for each quantity and resistance
    that has its result the number of the line that gives it; `values`: what every name comes to; `new`:
    voltages that got a name here, as differences of potentials."""

    def __init__(
        self, w: Whereabouts, own: Stage, first: int = 0, known: Mapping[str, int] | None = None
    ) -> None:
        """`first`: the number of the first line, that below the working where it is 0; `known`: what has its
        result by then, where that is more than what the working gives."""
        self.w, self.own = w, own
        self.lines: list[FinishedLine] = []
        self.first = first or w.last + 1
        self.known: dict[str, int] = {**w.given_names, **w.known, **(known or {})}
        self.new: dict[str, Mapping[str, int]] = {}
        self.values: dict[str, Ratio] = {**w.values, **own.values}
        self.taken: set[str] = {*w.taken, *own.letters.currents}
        for name, worth in w.meanings.names.items():
            value = None if name in self.values else w.meanings.value(worth)
            if value is not None:
                self.values[name] = value.at({}, w.meanings.symbols)
        self.made: dict[str, frozenset[str]] = {}  # of resistances made one, those in them; none where unsaid
        for name in w.given_names:
            if name[:1] in "Rr" and name in self.values:
                self.made[name] = self._held_in(name)

    @property
    def letters(self) -> Circuit:
        """The circuit as drawn, in the working's names and in letters."""
        return self.own.letters

    def worth(self, expr: Expr) -> Ratio:
        """What an expression comes to, in the units of bare numbers."""
        return ratio_of(expr, self.w.meanings.symbols, self.values)

    def write(
        self,
        name: str,
        formula: Expr,
        kind: Asked | None,
        reason: Said,
        lacking: Lacking,
        facts: Sequence[Fact] = (),
        *,
        gives_name: bool = False,
    ) -> None:
        """A line that gives a name as a formula. `kind`: of the quantity, None for a pure number. A
        resistance gets its meaning there, and so does another name that is not one of the circuit's
        quantities (`gives_name`)."""
        worth = self.worth(formula)
        self.values[name] = worth
        sides: list[Expr] = [Symbol(name), formula]
        plain = worth.constant()
        if self.w.in_numbers and plain is not None:
            between = () if isinstance(formula, Symbol) else (self._in_numbers(formula),)
            sides += [*between, shortened(plain, self.w.figures)]
        number = self.first + len(self.lines)
        uses = tuple(sorted({self.known[n] for n in symbols_of(formula) if n in self.known}))
        self.lines.append(
            FinishedLine(
                number,
                tuple(dict.fromkeys(sides)),
                (*reason, "."),
                lacking,
                (*reason, "."),
                Equation(Symbol(name), formula),
                uses,
                tuple(facts),
                unit=unit_after(self.w, sides[-1], kind) if self.w.in_numbers and kind else "",
                gives_name=gives_name or kind is Asked.RESISTANCE,
            )
        )
        self.known[name] = number
        self.taken.add(name)

    def _in_numbers(self, formula: Expr) -> Expr:
        numbers = {n: self.values[n].constant() for n in symbols_of(formula)}
        return put_in(
            formula,
            {n: shortened(x, self.w.figures + GUARD) for n, x in numbers.items() if x is not None},
        )

    @property
    def laws(self) -> tuple[Fact, ...]:
        """Every junction and every branch of the circuit that the lines are of."""
        return all_laws(self.own.setting)

    # -- resistances -------------------------------------------------------------------------------

    def along(self, branch: str) -> list[Expr]:
        """The resistances met along a branch, in letters."""
        found: list[Expr] = []
        for p in self.letters.branch(branch).passes:
            element = self.letters.elements[p.element]
            if element.kind is Kind.RESISTOR:
                found.append(element.value if symbols_of(element.value) else Symbol(element.name))
            elif element.internal is not None:
                found.append(element.internal)
        return found

    def rise(self, branch: str) -> Expr:
        """The emfs met along a branch, in letters, as they help or oppose."""
        terms: list[Expr] = []
        for p in self.letters.branch(branch).passes:
            element = self.letters.elements[p.element]
            if element.kind is Kind.BATTERY:
                letter = element.value if symbols_of(element.value) else Symbol(element.name)
                terms.append(letter if p.sign > 0 else negate(letter))
        return add(*terms)

    def in_row(self, part: Part) -> list[Expr]:
        """The resistances met along a part, those side by side made one; as one name where the working has
        made them one."""
        pieces: list[Expr] = []
        for inner, _ in part.met:
            pieces += self.along(inner.branch) if inner.branch else [self.beside(inner)]
        return self.as_named(pieces)

    def as_named(self, pieces: list[Expr]) -> list[Expr]:
        """The same as the one resistance of the working that they are, if it has a name for them."""
        if len(pieces) < 2:
            return pieces
        name = self.named(add(*pieces))
        return [Symbol(name)] if name else pieces

    def beside(self, part: Part) -> Expr:
        """What lies side by side made one, by the working's name or by one that is given here."""
        shares = [add(*self.in_row(chain)) for chain, _ in part.parts]
        formula = side_by_side(shares)
        name = self.named(formula)
        if not name:
            name = name_for(self._resistors(part), {*self.taken, *self.letters.elements})
            held = names([n for share in shares for n in symbols_of(share)])
            reason: Said = (*held, f" lie side by side between {part.start} and {part.end}")
            self.write(name, formula, Asked.RESISTANCE, reason, Lacking.MADE_ONE)
            self.made[name] = self._in(formula)
        return Symbol(name)

    def _resistors(self, part: Part) -> list[str]:
        met = [p.element for b in part.branches for p in self.letters.branch(b).passes]
        return [n for n in met if self.letters.elements[n].kind is Kind.RESISTOR]

    def named(self, formula: Expr) -> str:
        """The latest resistance of the working, or made one here, that is made of what is in a formula and
        comes to the same; empty where none does. Numbers alone may coincide."""
        worth, held = self.worth(formula), self._in(formula)
        found = (n for n, own in reversed(self.made.items()) if not own or own == held)
        return next((n for n in found if self.values[n] == worth), "")

    def _in(self, formula: Expr) -> frozenset[str]:
        """The resistances of the circuit that are in a formula."""
        names_ = symbols_of(formula)
        return frozenset(n for name in names_ for n in self.made.get(name, frozenset([name])))

    def _held_in(self, name: str) -> frozenset[str]:
        """The resistances that the working has made one under a name: those of what it gives for it, else
        those that its figures count, R45 of R4 and R5; none where neither tells."""
        said = self.w.reading.own.get(name)
        held = self._in(said) if said is not None else frozenset[str]()
        counted = [f"R{figure}" for figure in name[1:]]
        known = {*self.letters.elements, *self.letters.symbols}
        if not held and len(counted) > 1 and known.issuperset(counted):
            held = frozenset(counted)
        return held

    # -- voltages ----------------------------------------------------------------------------------

    def across(self, start: str, end: str) -> tuple[str, int]:
        """What the working calls the voltage between two points, and +1 or −1 as it counts it from the first
        to the second; nothing where it has none yet."""
        true = self.w.meanings.true
        level = true[f"φ {start}"] - true[f"φ {end}"]
        voltages = [n for n in self.w.names_in(AS_DRAWN) if self._is_voltage(n) and n in self.w.values]
        for name in sorted(voltages, key=lambda n: n not in self.known):
            for sign in (1, -1):
                if self.w.values[name] == level * sign:
                    return name, sign
        return "", 1

    def _is_voltage(self, name: str) -> bool:
        return name[0] in "UVuv" or self.is_level(name)

    def is_level(self, name: str) -> bool:
        """Whether a voltage is a difference of potentials, and no product that the working has named."""
        made = self.w.quantities.get(name) or self.new.get(name) or {}
        return all(k.startswith("φ") for k in made)

    def new_voltage(self, start: str, end: str, part: Part) -> str:
        """A name for the voltage across a part: after a resistor that lies straight across it, with the
        letter that the working has for others, where that can be no emf; else after its two points."""
        levels = [n for n, made in self.w.quantities.items() if all(k.startswith("φ") for k in made)]
        letter = next((n[0] for n in levels if n[0] in "UV" and "(" not in n), "V")
        for chain, _ in part.parts:
            met = self._resistors(chain)
            number = met[0][1:] if len(met) == 1 and len(chain.branches) == 1 else ""
            name = f"{letter}{number}"
            if number.isdigit() and name not in self.taken and f"E{number}" not in self.letters.elements:
                self.new[name] = {f"φ {start}": 1, f"φ {end}": -1}
                self.taken.add(name)
                return name
        return f"V({start}, {end})"


def side_by_side(shares: Sequence[Expr]) -> Expr:
    """Resistances side by side as one: product over sum of two, else one over the sum of the inverses."""
    if len(shares) == 2:
        return over(times(*shares), add(*shares))
    return over(ONE, add(*(over(ONE, share) for share in shares)))


def signed(expr: Expr, sense: int) -> Expr:
    """An expression, or minus it."""
    return expr if sense > 0 else negate(expr)


def all_laws(setting: CircuitChange = AS_DRAWN) -> tuple[Fact, ...]:
    """Every junction and every branch of a circuit, gaps among them: what resistances made one rest on."""
    kinds = (FactKind.JUNCTION, FactKind.BRANCH, FactKind.ELEMENT)
    return tuple(Fact(kind, setting=setting) for kind in kinds)
