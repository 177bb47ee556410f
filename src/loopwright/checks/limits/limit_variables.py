"""What can be taken to a limit: every resistance, internal resistance, emf and source current.

A limit is of a symbol, and moves every element that carries it, as the limit of a printed form does. Where
several elements share a symbol, one of them alone can be taken to a limit too: it gets a symbol of its own
first, and the others keep their values. Stands on `circuit` alone.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

from ...circuit.circuit import Circuit
from ...circuit.elements import Element, Kind
from ...expressions.nodes import Expr, Symbol
from ...expressions.values import symbols_of


class LimitQuantity(StrEnum):
    """Which quantity of an element is taken to its limit."""

    RESISTANCE = "resistance"
    INTERNAL = "internal resistance"
    EMF = "emf"
    SOURCE_CURRENT = "source current"


_OF_KIND = {
    Kind.RESISTOR: LimitQuantity.RESISTANCE,
    Kind.BATTERY: LimitQuantity.EMF,
    Kind.CURRENT_SOURCE: LimitQuantity.SOURCE_CURRENT,
}


@dataclass(frozen=True, slots=True)
class LimitVariable:
    """What is taken to a limit: one quantity of one element, such as the internal resistance of E1."""

    element: str
    quantity: LimitQuantity

    @property
    def is_resistance(self) -> bool:
        """Whether it is a resistance, of a resistor or inside a battery."""
        return self.quantity in (LimitQuantity.RESISTANCE, LimitQuantity.INTERNAL)


@dataclass(frozen=True, slots=True)
class SharedSymbol:
    """A symbol that several resistances carry, or several emfs, or several source currents."""

    symbol: str
    carriers: tuple[LimitVariable, ...]

    @property
    def elements(self) -> tuple[str, ...]:
        """The designators of the elements that carry it."""
        return tuple(dict.fromkeys(v.element for v in self.carriers))

    @property
    def element(self) -> str:
        """What the limit is told of: the symbol."""
        return self.symbol

    @property
    def quantity(self) -> LimitQuantity:
        """What the symbol stands for; a resistance, even where it is also an internal one."""
        return _sort(self.carriers[0])

    @property
    def is_resistance(self) -> bool:
        """Whether it stands for a resistance."""
        return self.quantity is LimitQuantity.RESISTANCE


def limit_variables(circuit: Circuit) -> tuple[LimitVariable, ...]:
    """Resistances in the order met, then internal resistances, then sources; those that are zero left out."""
    return circuit.remembered(_met)


def _met(circuit: Circuit) -> tuple[LimitVariable, ...]:
    met = [circuit.elements[p.element] for b in circuit.branches for p in b.passes]
    found = [
        LimitVariable(e.name, _OF_KIND[e.kind]) for e in met if e.kind in _OF_KIND and circuit.value(e.name)
    ]
    found += [
        LimitVariable(e.name, LimitQuantity.INTERNAL) for e in met if circuit.internal_resistance(e.name)
    ]
    rank = list(LimitQuantity)
    return tuple(sorted(found, key=lambda t: rank.index(t.quantity)))


def shared_symbols(circuit: Circuit) -> tuple[SharedSymbol, ...]:
    """The symbols that more than one quantity carries, all of one kind, in the order of the circuit."""
    variables = limit_variables(circuit)
    found: list[SharedSymbol] = []
    for symbol in circuit.symbols:
        carriers = tuple(v for v in variables if symbol in symbols_of(value_of(circuit, v)))
        if len(carriers) > 1 and len({_sort(v) for v in carriers}) == 1:
            found.append(SharedSymbol(symbol, carriers))
    return tuple(found)


def shares_with(circuit: Circuit, variable: LimitVariable) -> tuple[str, ...]:
    """The other elements whose values hold a symbol of this one's value."""
    own = set(symbols_of(value_of(circuit, variable)))
    others = (v for v in limit_variables(circuit) if v != variable)
    return tuple(dict.fromkeys(v.element for v in others if own & set(symbols_of(value_of(circuit, v)))))


def _sort(variable: LimitVariable) -> LimitQuantity:
    return LimitQuantity.RESISTANCE if variable.is_resistance else variable.quantity


def value_of(circuit: Circuit, variable: LimitVariable) -> Expr:
    """The value as it is written in the circuit."""
    element = circuit.elements[variable.element]
    if variable.quantity is LimitQuantity.INTERNAL and element.internal is not None:
        return element.internal
    return element.value


def with_value(circuit: Circuit, variable: LimitVariable, value: Expr) -> Circuit:
    """The circuit with another value of the variable."""
    element = circuit.elements[variable.element]
    if variable.quantity is LimitQuantity.INTERNAL:
        changed = replace(element, internal=value)
    else:
        changed = replace(element, value=value)
    return replace(circuit, elements={**circuit.elements, element.name: changed})


def with_own_symbol(circuit: Circuit, variable: LimitVariable) -> tuple[Circuit, str]:
    """The circuit in which the variable's value is a symbol that no other value holds, and that symbol.

    The circuit itself where that is so already.
    """
    value = value_of(circuit, variable)
    if isinstance(value, Symbol) and _uses(circuit).count(value.name) == 1:
        return circuit, value.name
    digits = "".join(c for c in variable.element if c.isdigit())
    stem = f"r{digits}" if variable.quantity is LimitQuantity.INTERNAL else variable.element
    name = new_name(circuit, stem)
    return with_value(circuit, variable, Symbol(name)), name


def new_name(circuit: Circuit, stem: str) -> str:
    """`stem` if the circuit has no such symbol or current, otherwise `stem` with a letter added."""
    taken = {*circuit.symbols, *circuit.currents}
    candidates = (stem, *(stem + letter for letter in "xyzuvw"))
    return next(name for name in candidates if name not in taken)


def at_zero(circuit: Circuit, variable: LimitVariable) -> Circuit:
    """The circuit redrawn with the variable at zero: a resistance is a wire, an emf is gone (the internal
    resistance stays), a current source is taken out."""
    element = circuit.elements[variable.element]
    match variable.quantity:
        case LimitQuantity.RESISTANCE:
            return circuit.shorted(variable.element)
        case LimitQuantity.INTERNAL:
            changed = replace(element, internal=None)
        case LimitQuantity.EMF if element.internal is not None:
            changed = Element(element.name, Kind.RESISTOR, element.internal)
        case LimitQuantity.EMF:
            changed = Element(element.name, Kind.AMMETER)
        case LimitQuantity.SOURCE_CURRENT:
            return circuit.opened(variable.element)
    return replace(circuit, elements={**circuit.elements, element.name: changed})


def _uses(circuit: Circuit) -> list[str]:
    met = [circuit.elements[p.element] for b in circuit.branches for p in b.passes]
    return [
        name for e in met for part in (e.value, e.internal) if part is not None for name in symbols_of(part)
    ]
