"""What each symbol of the element values stands for: a resistance, an emf, a current or a plain number.

Worked out from how the values are written: in `R2 = "R + r"` both R and r must be resistances.
Knows no file and no circuit.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from ..circuit.elements import Kind
from ..expressions.nodes import (
    Expr,
    Negative,
    Number,
    Parallel,
    Power,
    Product,
    Quotient,
    Sum,
    Symbol,
)
from ..expressions.values import symbols_of


@dataclass(frozen=True, slots=True)
class UnitKind:
    """The kind of a quantity as powers of volt and ampere: ohm is V¹ A⁻¹."""

    volts: int = 0
    amperes: int = 0

    def __mul__(self, other: UnitKind) -> UnitKind:
        return UnitKind(self.volts + other.volts, self.amperes + other.amperes)

    def __truediv__(self, other: UnitKind) -> UnitKind:
        return UnitKind(self.volts - other.volts, self.amperes - other.amperes)

    def __pow__(self, exponent: int) -> UnitKind:
        return UnitKind(self.volts * exponent, self.amperes * exponent)

    def as_text(self) -> str:
        """The kind in words: `a resistance (Ω)`."""
        if self in _WORDS:
            return _WORDS[self]
        if self.volts == -self.amperes:
            return f"a quantity in ohms to the power {self.volts}".replace("-", "−")
        return f"a quantity in V^{self.volts} A^{self.amperes}".replace("-", "−")


PLAIN = UnitKind()
VOLT = UnitKind(1, 0)
AMPERE = UnitKind(0, 1)
OHM = VOLT / AMPERE
WATT = VOLT * AMPERE
KIND_OF_UNIT = {"": PLAIN, "V": VOLT, "A": AMPERE, "Ω": OHM, "W": WATT}
UNIT_KIND_OF = {Kind.RESISTOR: OHM, Kind.BATTERY: VOLT, Kind.CURRENT_SOURCE: AMPERE}
_WORDS = {
    PLAIN: "a plain number",
    VOLT: "a voltage (V)",
    AMPERE: "a current (A)",
    OHM: "a resistance (Ω)",
    WATT: "a power (W)",
    PLAIN / OHM: "a conductance (1/Ω)",
    OHM * OHM: "ohms squared (Ω²)",
    VOLT * VOLT: "volts squared (V²)",
}


class Mismatch(Exception):
    """A value does not have the kind it must have; `part` is what was found, `found` its kind."""

    def __init__(self, part: Expr, found: UnitKind, wanted: UnitKind) -> None:
        super().__init__(f"{found.as_text()} where {wanted.as_text()} is wanted")
        self.part, self.found, self.wanted = part, found, wanted


@dataclass(slots=True)
class UnitKinds:
    """The kinds of symbols known so far, with the element (or number) from which each is known."""

    known: dict[str, UnitKind] = field(default_factory=dict)
    because: dict[str, str] = field(default_factory=dict)

    def ask(self, expr: Expr, wanted: UnitKind, because: str) -> None:
        """Takes it that `expr` is of kind `wanted`, and learns from that what its symbols stand for.
        `because`: the element (or number) that asks. Raises Mismatch where they stand for something else
        already."""
        match expr:
            case Symbol(name):
                if self.known.setdefault(name, wanted) != wanted:
                    raise Mismatch(expr, self.known[name], wanted)
                self.because.setdefault(name, because)
            case Number():
                if expr.value != 0 and (found := _of_number(expr)) != wanted:
                    raise Mismatch(expr, found, wanted)
            case Sum(parts):
                for part in parts:
                    self.ask(part, wanted, because)
            case Parallel(parts):
                for part in parts:
                    self.ask(part, wanted, because)
            case Negative(body):
                self.ask(body, wanted, because)
            case Product(factors):
                self._ask_factors(expr, [(factor, 1) for factor in factors], wanted, because)
            case Quotient(above, below):
                self._ask_factors(expr, [(above, 1), (below, -1)], wanted, because)
            case Power(base, exponent):
                self._ask_factors(expr, [(base, exponent)], wanted, because)

    def of(self, expr: Expr) -> UnitKind | None:
        """The kind of an expression as far as its symbols are known; None when it is open.

        Raises Mismatch where unlike things are added.
        """
        match expr:
            case Symbol(name):
                return self.known.get(name)
            case Number():
                return _of_number(expr)
            case Negative(body):
                return self.of(body)
            case Sum(parts) | Parallel(parts):
                found: UnitKind | None = None
                for part in parts:
                    kind = self.of(part)
                    if kind is not None and found is not None and kind != found:
                        raise Mismatch(part, kind, found)
                    found = found or kind
                return found
            case Product(factors):
                return self._product([(factor, 1) for factor in factors])
            case Quotient(above, below):
                return self._product([(above, 1), (below, -1)])
            case Power(base, exponent):
                return self._product([(base, exponent)])

    def _product(self, factors: list[tuple[Expr, int]]) -> UnitKind | None:
        total = PLAIN
        for factor, exponent in factors:
            kind = self.of(factor)
            if kind is None:
                return None
            total = total * kind**exponent
        return total

    def _ask_factors(
        self, whole: Expr, factors: list[tuple[Expr, int]], wanted: UnitKind, because: str
    ) -> None:
        kinds = [self.of(factor) for factor, _ in factors]
        rest = wanted
        for kind, (_, exponent) in zip(kinds, factors, strict=True):
            if kind is not None:
                rest = rest / kind**exponent
        unknown = [factor for kind, factor in zip(kinds, factors, strict=True) if kind is None]
        if not unknown:
            if rest != PLAIN:
                raise Mismatch(whole, wanted / rest, wanted)
            return
        if len(unknown) > 1:
            return
        factor, exponent = unknown[0]
        if rest.volts % exponent or rest.amperes % exponent:
            return
        self.ask(factor, UnitKind(rest.volts // exponent, rest.amperes // exponent), because)


def _of_number(number: Number) -> UnitKind:
    """The kind of a number by the last sign of its unit (the signs before it are a prefix)."""
    kind = KIND_OF_UNIT.get(number.unit.removesuffix("²")[-1:], PLAIN)
    return kind**2 if number.unit.endswith("²") else kind


def settle(values: Mapping[str, tuple[Expr, UnitKind]]) -> tuple[UnitKinds, dict[str, Mismatch]]:
    """Works out the kind of every symbol in `values` (by element: its expression and its kind).

    What the values leave open, a symbol's first letter settles (R, E, V, J, I). Gives the kinds and, by
    element, what cannot be.
    """
    kinds = UnitKinds()
    wrong: dict[str, Mismatch] = {}

    def learn(names: Iterable[str]) -> None:
        for name in names:
            if name not in wrong:
                try:
                    kinds.ask(*values[name], name)
                except Mismatch as mismatch:
                    wrong[name] = mismatch

    def learn_all() -> None:
        before = -1
        while len(kinds.known) != before:
            before = len(kinds.known)
            learn(values)

    learn(name for name, (expr, _) in values.items() if expr == Symbol(name))
    learn(name for name, (expr, _) in values.items() if isinstance(expr, Symbol))
    learn_all()
    for name in _open_symbols(values, kinds):
        kinds.known.setdefault(name, _BY_LETTER.get(name[0], PLAIN))
        learn_all()
    return kinds, wrong


_BY_LETTER = {"R": OHM, "r": OHM, "E": VOLT, "V": VOLT, "ε": VOLT, "J": AMPERE, "I": AMPERE}


def _open_symbols(values: Mapping[str, tuple[Expr, UnitKind]], kinds: UnitKinds) -> list[str]:
    """The symbols not settled yet, those with a telling first letter first."""
    names = dict.fromkeys(name for expr, _ in values.values() for name in symbols_of(expr))
    return sorted((n for n in names if n not in kinds.known), key=lambda name: name[0] not in _BY_LETTER)
