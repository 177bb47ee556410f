"""Ledger entries from the shape of the closed forms: dimensions, scaling, degrees, spanning trees.

Each public function takes the currents put forward and gives one entry; its first sentence is what must
hold of them.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from flint import fmpz_mpoly

from ...circuit.circuit import Circuit
from ...circuit.elements import DIMENSION_OF, UNIT_OF, Kind
from ...expressions.dimensions import AMPERE, OHM, PLAIN, Dimension
from ...expressions.nodes import ZERO, Expr, Symbol
from ...expressions.said import Said, names
from ...expressions.values import ratio_of, symbols_of
from .ledger import Candidate, LedgerEntry, listed, not_applicable
from .trees import weighted_trees


def dimensions(candidate: Candidate) -> LedgerEntry:
    """Every term of every current has the dimension of a current."""
    method = "volts and ohms counted in every term above and below the line"
    of = symbol_dimensions(candidate.circuit)
    if of is None:
        why = "A value mixes quantities, or adds a plain number to a symbol."
        return not_applicable("form/dimensions", "Dimensions", method, why)
    bad: list[str] = []
    count = 0
    for name, current in candidate.currents.items():
        above, below = _dimensions_in(current.above, of), _dimensions_in(current.below, of)
        count += len(current.above) + len(current.below)
        if not above:
            continue
        if len(above) > 1 or len(below) > 1 or above.pop() / below.pop() != AMPERE:
            bad.append(name)
    result = f"Not a current: {listed(bad)}." if bad else f"{count} of {count} terms agree: volt over ohm."
    return LedgerEntry("form/dimensions", "Dimensions", method, result, not bad)


def symbol_dimensions(circuit: Circuit) -> tuple[Dimension, ...] | None:
    """The dimension of each symbol of the circuit's field, or None where a value has none of its own."""
    valued = [
        (value, dimension)
        for b in circuit.branches
        for p in b.passes
        for e in (circuit.elements[p.element],)
        for value, dimension in ((e.value, DIMENSION_OF.get(e.kind)), (e.internal, OHM))
        if value is not None and dimension is not None and value != ZERO
    ]
    found: dict[str, Dimension] = {}
    for value, dimension in valued:
        for name in symbols_of(value):
            if found.setdefault(name, dimension) != dimension:
                return None
    of = tuple(found.get(name, PLAIN) for name in circuit.field.symbols)
    if all(_has(circuit, of, value, dimension) for value, dimension in valued):
        return of
    return None


def _has(circuit: Circuit, of: tuple[Dimension, ...], value: Expr, dimension: Dimension) -> bool:
    """Whether every term of a value has the given dimension; `of`: the dimension of each symbol of the
    circuit's field."""
    if isinstance(value, Symbol):
        return True
    ratio = ratio_of(value, circuit.field)
    above, below = _dimensions_in(ratio.above, of), _dimensions_in(ratio.below, of)
    return len(above) == len(below) == 1 and above.pop() / below.pop() == dimension


def _dimensions_in(part: fmpz_mpoly, of: tuple[Dimension, ...]) -> set[Dimension]:
    """The dimensions of the terms of a polynomial. Counted without making one for each of its terms."""
    found: set[tuple[int, int]] = set()
    for exponents in part.monoms():
        volts = amperes = 0
        for exponent, one in zip(exponents, of, strict=False):
            if exponent:
                volts += exponent * one.volts
                amperes += exponent * one.amperes
        found.add((volts, amperes))
    return {Dimension(volts, amperes) for volts, amperes in found}


def source_scaling(candidate: Candidate) -> LedgerEntry:
    """All sources three times as strong: every current three times as large."""
    return _scaling(
        candidate,
        ("form/source-scaling", "All sources × 3"),
        {Kind.BATTERY: 3, Kind.CURRENT_SOURCE: 3},
        Fraction(3),
        "three times as large",
    )


def resistance_scaling(candidate: Candidate) -> LedgerEntry:
    """All resistances three times as large: every current a third (emfs tripled too where there are
    current sources: then no current changes)."""
    named = ("form/resistance-scaling", "All resistances × 3")
    if Kind.CURRENT_SOURCE in {e.kind for e in candidate.circuit.elements.values()}:
        both = {Kind.RESISTOR: 3, Kind.BATTERY: 3}
        return _scaling(candidate, named, both, Fraction(1), "unchanged (emfs × 3 as well)")
    return _scaling(candidate, named, {Kind.RESISTOR: 3}, Fraction(1, 3), "a third as large")


def _scaling(
    candidate: Candidate, named: tuple[str, str], factors: Mapping[Kind, int], expected: Fraction, words: str
) -> LedgerEntry:
    circuit, field = candidate.circuit, candidate.circuit.field
    code, title = named
    method = "the factor put into the closed forms; exact"
    if symbol_dimensions(circuit) is None:
        why = "A value mixes quantities, or adds a plain number to a symbol."
        return not_applicable(code, title, method, why)
    scale = [factors.get(circuit.role(name) or Kind.SWITCH, 1) for name in field.symbols] or [1]
    images = [field.context.gen(i) * factor for i, factor in enumerate(scale)]
    below, scaled = (
        candidate.below * expected.denominator,
        candidate.below.compose(*images) * expected.numerator,
    )
    bad = [
        name for name, above in candidate.above.items() if above.compose(*images) * below != above * scaled
    ]
    result = (
        f"Not so for {listed(bad)}."
        if bad
        else f"{len(candidate.currents)} of {len(candidate.currents)} currents come out {words}."
    )
    return LedgerEntry(code, title, method, result, not bad)


def degrees(candidate: Candidate) -> LedgerEntry:
    """Each resistance of its own stands to the first power at most, above and below the line."""
    circuit = candidate.circuit
    method = "the highest power of each resistance that no other element shares"
    own = own_resistances(circuit)
    if not own:
        return not_applicable("form/degrees", "Degrees", method, "Every resistance shares its symbol.")
    bad = sorted(
        {
            f"{symbol} in {name}"
            for name, current in candidate.currents.items()
            for symbol in own
            if current.degree(symbol) > 1 or current.degree(symbol, below=True) > 1
        }
    )
    if bad:
        result: Said = (f"Squared or higher: {listed(bad)}.",)
    else:
        result = ("In every current to the first power at most: ", *names(list(own)), ".")
    return LedgerEntry("form/degrees", "Degrees", method, result, not bad)


def own_resistances(circuit: Circuit) -> dict[str, str]:
    """The resistance symbols that are the whole value of one element: symbol -> its branch."""
    written = [
        (b.name, value)
        for b in circuit.branches
        for p in b.passes
        for e in (circuit.elements[p.element],)
        for value in (e.value if e.kind is Kind.RESISTOR else None, e.internal)
        if value is not None
    ]
    uses = [name for _, value in written for name in symbols_of(value)]
    sources = {
        name
        for e in circuit.elements.values()
        if e.kind in (Kind.BATTERY, Kind.CURRENT_SOURCE)
        for name in symbols_of(e.value)
    }
    return {
        name: branch
        for branch, value in written
        for name in symbols_of(value)
        if uses.count(name) == 1 and name not in sources and value == Symbol(name)
    }


def spanning_trees(candidate: Candidate) -> LedgerEntry:
    """The determinant counted: its terms are the spanning trees of the circuit.

    With every resistance its own symbol, each tree gives one term (the resistances not in it) with
    coefficient +1. With shared symbols, all symbols put at 1 give the trees weighted; the symbols put
    at different primes must agree as well. Every current's denominator divides the determinant.
    Source: Kirchhoff, Ann. Phys. Chem. 72, 497 (1847); the count by the Laplacian determinant
    (matrix-tree theorem).
    """
    circuit = candidate.circuit
    method = "terms of the determinant against the Laplacian determinant in whole numbers"
    determinant = candidate.determinant
    if determinant is None or not determinant.is_polynomial:
        why = "The values hold fractions of symbols." if determinant else "No determinant was put forward."
        return not_applicable("form/trees", "Spanning trees", method, why)
    expected = weighted_trees(circuit)
    terms = determinant.terms()
    value = sum(c for _, c in terms)
    own = own_resistances(circuit)
    resistive = {n for n in circuit.symbols if circuit.role(n) is Kind.RESISTOR}
    distinct = resistive == set(own) and _in_symbols_alone(circuit)
    primes = dict(zip(circuit.field.symbols, _primes(len(circuit.field.symbols)), strict=True))
    faults: list[str] = []
    if Fraction(value) != expected:
        faults.append(f"it counts {value} and the Laplacian {expected}")
    if determinant.value(primes) != weighted_trees(circuit, primes):
        faults.append("with primes put for the symbols it is not what the Laplacian gives")
    if distinct and any(c != 1 for _, c in terms):
        faults.append("a coefficient is not +1")
    strangers = [n for n, c in candidate.currents.items() if not _divides(c.below, determinant.above)]
    if strangers:
        faults.append(f"the denominator of {listed(strangers)} does not divide it")
    if faults:
        result = f"The determinant fails: {'; '.join(faults)}."
    elif distinct:
        result = f"Terms with coefficient +1: {len(terms)}; the Laplacian gives {expected}."
    else:
        result = f"With every symbol at 1 the determinant is {value}; the Laplacian gives {expected}."
    return LedgerEntry("form/trees", "Spanning trees", method, result, not faults)


def unit_coefficients(candidate: Candidate) -> LedgerEntry:
    """Over the determinant, every term of every current has coefficient +1 or −1.

    Each term belongs to one connected subgraph with one loop, so none comes twice. Holds where every
    emf and resistance has a symbol of its own. Source: Kirchhoff 1847, as above.
    """
    circuit = candidate.circuit
    method = "coefficients of current × determinant, each term one loop with branches hanging on it"
    own = set(own_resistances(circuit)) | own_emfs(circuit).keys()
    determinant = candidate.determinant
    if (
        determinant is None
        or not determinant.is_polynomial
        or set(circuit.symbols) != own
        or not _in_symbols_alone(circuit)
    ):
        why = "Some elements share a symbol, have a plain number for it, or are sources of current."
        return not_applicable("form/coefficients", "Coefficients", method, why)
    bad: list[str] = []
    count = 0
    for name, current in candidate.currents.items():
        scaled = current * determinant
        coefficients = [c for _, c in scaled.terms()]
        count += len(coefficients)
        if not scaled.is_polynomial or any(abs(c) != 1 for c in coefficients):
            bad.append(name)
    result = f"Not so in {listed(bad)}." if bad else f"{count} of {count} coefficients are +1 or −1."
    return LedgerEntry("form/coefficients", "Coefficients", method, result, not bad)


def _in_symbols_alone(circuit: Circuit) -> bool:
    """Whether the value of every element is a symbol, and not a number or an expression."""
    values = [
        value
        for b in circuit.branches
        for p in b.passes
        for e in (circuit.elements[p.element],)
        for value in (e.value if e.kind in UNIT_OF else None, e.internal)
    ]
    return all(isinstance(value, Symbol) for value in values if value is not None)


def own_emfs(circuit: Circuit) -> dict[str, tuple[str, int]]:
    """The emf symbols that are the whole value of one battery: symbol -> (its branch, sign along it)."""
    found: dict[str, tuple[str, int]] = {}
    uses: list[str] = []
    for b in circuit.branches:
        for p in b.passes:
            element = circuit.elements[p.element]
            held = symbols_of(element.value)
            uses.extend((*held, *(symbols_of(element.internal) if element.internal else ())))
            if element.kind is Kind.BATTERY and isinstance(element.value, Symbol):
                found[element.value.name] = (b.name, p.sign)
    return {name: where for name, where in found.items() if uses.count(name) == 1}


def _primes(count: int) -> list[int]:
    found: list[int] = []
    candidate = 2
    while len(found) < count:
        if all(candidate % p for p in found):
            found.append(candidate)
        candidate += 1
    return found


def _divides(part: fmpz_mpoly, whole: fmpz_mpoly) -> bool:
    return bool(part.is_one()) or bool((whole % part).is_zero())
