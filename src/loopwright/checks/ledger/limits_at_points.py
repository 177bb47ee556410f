"""Limits of named forms at an exact point: by the forms, and from the circuit redrawn.

As a function of one resistance x a current is (a + b x)/(c + d x), with d or c perhaps zero; three
values fix it, and with it the limits for x to 0 and to infinity (bilinear theorem; common practice).
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from ...circuit.circuit import Circuit
from ...circuit.elements import Kind
from ...expressions.nodes import Symbol
from ...expressions.values import symbols_of
from ...solve.by_numbers import flow_in_numbers
from ...solve.currents import NoUniqueSolution
from ...solve.named_forms import NamedForms
from .ledger import LedgerEntry, listed, not_applicable

WORK = 3000  # lines gone through, for all resistances together; more are left out, and the entry says so
AT = (Fraction(1), Fraction(2), Fraction(3))

Triple = tuple[Fraction, Fraction, Fraction]


def limits_at_points(forms: NamedForms, values: Mapping[str, Fraction], there: Circuit) -> LedgerEntry:
    """Every resistance with a symbol of its own to 0 and to infinity, all others as in `values`; `there`: the
    circuit in these numbers."""
    code, title = "route/limits", "Limits"
    method = "resistances to 0 and to infinity by the lines, and from the circuit redrawn, at a random point"
    circuit = forms.circuit
    own = [(n, s) for n, s in own_symbols(circuit) if circuit.elements[n].kind is Kind.RESISTOR]
    if not own:
        return not_applicable(code, title, method, "No resistance has a symbol of its own.")
    bad: list[str] = []
    agreed = 0
    most = max(1, WORK // max(1, len(forms.lines)))
    for element, symbol in own[:most]:
        sampled = [forms.currents_at({**values, symbol: x}) for x in AT]
        for shut in (True, False):
            try:
                redrawn = flow_in_numbers(there.shorted(element) if shut else there.opened(element))
            except NoUniqueSolution:
                continue
            for name, value in redrawn.currents.items():
                found = _limit((sampled[0][name], sampled[1][name], sampled[2][name]), to_zero=shut)
                agreed += found == value
                if found != value:
                    bad.append(f"{name} as {symbol} to {'0' if shut else 'infinity'}")
    result = f"Not so for {listed(bad)}." if bad else f"{agreed} of {agreed} limits of currents agree"
    if len(own) > most and not bad:
        result += f"; only the first {most} resistances were taken"
    return LedgerEntry(code, title, method, result.removesuffix(".") + ".", not bad)


def own_symbols(circuit: Circuit) -> list[tuple[str, str]]:
    """The elements whose resistance (a battery: the internal one) is a symbol that no other value holds."""
    met = [circuit.elements[p.element] for b in circuit.branches for p in b.passes]
    values = [v for e in met for v in (e.value, e.internal) if v is not None]
    uses = [name for value in values for name in symbols_of(value)]
    valued = [(e.name, e.value if e.kind is Kind.RESISTOR else e.internal) for e in met]
    return [(n, v.name) for n, v in valued if isinstance(v, Symbol) and uses.count(v.name) == 1]


def _limit(seen: Triple, *, to_zero: bool) -> Fraction | None:
    """The limit, at 0 or at infinity, of a function that is linear over linear and has the values `seen` at
    1, 2 and 3. None where it grows without bound, or no such function has these values."""
    f, g, h = seen
    if f == h:
        return g if f == g else None
    lean = (2 * g - f - h) / (h - f)  # f(x) = (g + rise t)/(1 + lean t) with t = x - 2
    rise = h + h * lean - g
    above, below = (g - 2 * rise, 1 - 2 * lean) if to_zero else (rise, lean)
    return above / below if below else None
