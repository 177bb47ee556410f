"""What each symbol of the element values stands for: a resistance, an emf, a current or a plain number.

Worked out from how the values are written: in `R2 = "R + r"` both R and r must be resistances.
Knows no file and no circuit.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from ..expressions.dimensions import (
    AMPERE,
    COULOMB,
    FARAD,
    HENRY,
    JOULE,
    OF_UNIT,
    OHM,
    PLAIN,
    SECOND,
    VOLT,
    WATT,
    Clash,
    Dimension,
    dimension,
)
from ..expressions.nodes import Expr, Negative, Number, Parallel, Power, Product, Quotient, Sum, Symbol
from ..expressions.values import symbols_of
from .elements import DIMENSION_OF, UNIT_HELD, Element

NOTHING: Mapping[str, Expr] = {}
_WORDS = {
    PLAIN: "a plain number",
    VOLT: "a voltage (V)",
    AMPERE: "a current (A)",
    OHM: "a resistance (Ω)",
    WATT: "a power (W)",
    PLAIN / OHM: "a conductance (1/Ω)",
    OHM * OHM: "ohms squared (Ω²)",
    VOLT * VOLT: "volts squared (V²)",
    FARAD: "a capacitance (F)",
    HENRY: "an inductance (H)",
    SECOND: "a time (s)",
    COULOMB: "a charge (C)",
    JOULE: "an energy (J)",
}


def in_words(kind: Dimension) -> str:
    """A kind of quantity as a finding says it: `a resistance (Ω)`."""
    if kind in _WORDS:
        return _WORDS[kind]
    if kind.seconds:
        return f"a quantity in V^{kind.volts} A^{kind.amperes} s^{kind.seconds}".replace("-", "−")
    if kind.volts == -kind.amperes:
        return f"a quantity in ohms to the power {kind.volts}".replace("-", "−")
    return f"a quantity in V^{kind.volts} A^{kind.amperes}".replace("-", "−")


def asked_of(
    elements: Iterable[Element], start: Mapping[str, Expr] = NOTHING
) -> dict[str, tuple[Expr, Dimension]]:
    """By element (`E1 internal`: the internal resistance of E1; `C1 start`: what C1 holds at the `start`):
    its value and the kind it must have."""
    asked: dict[str, tuple[Expr, Dimension]] = {}
    for element in elements:
        if element.name in start:
            asked[f"{element.name} start"] = (start[element.name], OF_UNIT[UNIT_HELD[element.kind]])
        if element.kind in DIMENSION_OF:
            asked[element.name] = (element.value, DIMENSION_OF[element.kind])
        if element.internal is not None:
            asked[f"{element.name} internal"] = (element.internal, OHM)
    return asked


@dataclass(slots=True)
class UnitKinds:
    """The kinds of symbols known so far, with the element (or number) from which each is known."""

    known: dict[str, Dimension] = field(default_factory=dict)
    because: dict[str, str] = field(default_factory=dict)

    def ask(self, expr: Expr, wanted: Dimension, because: str) -> None:
        """Takes it that `expr` is of kind `wanted`, and learns from that what its symbols stand for.
        `because`: the element (or number) that asks. Raises Clash where they stand for something else
        already."""
        match expr:
            case Symbol(name):
                if self.known.setdefault(name, wanted) != wanted:
                    raise Clash(wanted, self.known[name], expr)
                self.because.setdefault(name, because)
            case Number():
                if expr.value != 0 and (found := self.of(expr) or PLAIN) != wanted:
                    raise Clash(wanted, found, expr)
            case Sum(parts) | Parallel(parts):
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

    def of(self, expr: Expr) -> Dimension | None:
        """The kind of an expression as far as its symbols are known; None when it is open.

        Raises Clash where unlike things are added.
        """
        return dimension(expr, self.known.get, PLAIN)

    def _ask_factors(
        self, whole: Expr, factors: list[tuple[Expr, int]], wanted: Dimension, because: str
    ) -> None:
        kinds = [self.of(factor) for factor, _ in factors]
        rest = wanted
        for kind, (_, exponent) in zip(kinds, factors, strict=True):
            if kind is not None:
                rest = rest / kind**exponent
        unknown = [factor for kind, factor in zip(kinds, factors, strict=True) if kind is None]
        if not unknown:
            if rest != PLAIN:
                raise Clash(wanted, wanted / rest, whole)
            return
        if len(unknown) > 1:
            return
        factor, exponent = unknown[0]
        if (kind := rest.root(exponent)) is not None:
            self.ask(factor, kind, because)


def settle(values: Mapping[str, tuple[Expr, Dimension]]) -> tuple[UnitKinds, dict[str, Clash]]:
    """Works out the kind of every symbol in `values` (by element: its expression and its kind).

    What the values leave open, a symbol's first letter settles (R, E, V, J, I). Gives the kinds and, by
    element, what cannot be.
    """
    kinds = UnitKinds()
    wrong: dict[str, Clash] = {}
    formulas = [name for name, (expr, _) in values.items() if not isinstance(expr, Symbol)]

    def learn(names: Iterable[str]) -> None:
        for name in names:
            if name not in wrong:
                try:
                    kinds.ask(*values[name], name)
                except Clash as clash:
                    wrong[name] = clash

    def learn_all() -> None:
        before = -1
        while formulas and len(kinds.known) != before:
            before = len(kinds.known)
            learn(formulas)

    learn(name for name, (expr, _) in values.items() if expr == Symbol(name))
    learn(name for name, (expr, _) in values.items() if isinstance(expr, Symbol))
    learn_all()
    for name in _open_symbols(values, kinds):
        kinds.known.setdefault(name, _BY_LETTER.get(name[0], PLAIN))
        learn_all()
    return kinds, wrong


_BY_LETTER = {"R": OHM, "r": OHM, "E": VOLT, "V": VOLT, "ε": VOLT, "J": AMPERE, "I": AMPERE}
_BY_LETTER |= {"C": FARAD, "L": HENRY}


def _open_symbols(values: Mapping[str, tuple[Expr, Dimension]], kinds: UnitKinds) -> list[str]:
    """The symbols not settled yet, those with a telling first letter first."""
    names = dict.fromkeys(name for expr, _ in values.values() for name in symbols_of(expr))
    return sorted((n for n in names if n not in kinds.known), key=lambda name: name[0] not in _BY_LETTER)
