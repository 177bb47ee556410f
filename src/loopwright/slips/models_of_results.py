"""The slips in closed forms and in the last step, worked out: wrong terms, factors, powers of ten, signs.

A wrong closed form is kept as two sums of products, above and below the line, so that each slip is a
change of terms and has a value wherever the symbols are. A function that gives models says in its
sentence what is done wrong, and gives one model for each place where that can be done in the circuit.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import permutations

from ..algebra.ratios import Exponents, Ratio
from ..circuit.elements import Kind
from ..errors import FaultyMaterial
from ..quantities import UnreadableQuantity, read_quantity
from ..solve.exact import solve
from .settings import Fate, Model, Setting, SettingInNumbers, SlipOutcome, of_values

WRITTEN_TERMS = 8  # terms of a denominator or a numerator that a person still writes out
SUBSCRIPT_TERMS = 4  # terms up to which every exchange of one symbol for another is looked at

Summand = tuple[Exponents, int]  # powers of the circuit's symbols, and a whole number
Summands = tuple[Summand, ...]
Form = tuple[Summands, Summands]  # above and below the line


def result_slips(setting: Setting) -> Iterator[Model]:
    """Every slip in closed forms and in the last step."""
    yield from _closed_forms(setting)
    names = setting.circuit.currents
    for power in (3, -3, 6, -6):
        yield _scaled("units-mixed", "every current", names, power)
    for name in names:
        for power in (3, -3) if len(names) > 1 else ():
            yield _scaled("units-mixed", name, (name,), power)
        for power in (1, -1):
            yield _scaled("digits", name, (name,), power)
        yield of_values("meter-sign", f"{name} with its sign reversed", "the readings", _turned(name))
        place = f"{name} counted along the other arrow"
        yield of_values("arrow-otherwise", place, "the arrows drawn", _turned(name))
    for symbol in setting.circuit.symbols:
        yield from _prefix(setting, symbol)


def _scaled(entry: str, where: str, names: Sequence[str], power: int) -> Model:
    factor = Fraction(10) ** power

    def values(point: SettingInNumbers) -> Mapping[str, Fraction]:
        return {n: v * factor if n in names else v for n, v in point.right.items()}

    told = f"{'times' if power > 0 else 'over'} {10 ** abs(power)}"
    return of_values(entry, f"{where} {told}", "the last line", values)


def _turned(name: str) -> Callable[[SettingInNumbers], Mapping[str, Fraction]]:
    return lambda point: {n: -v if n == name else v for n, v in point.right.items()}


def _prefix(setting: Setting, symbol: str) -> Iterator[Model]:
    """A resistance written with a prefix, the prefix lost."""
    try:
        written = read_quantity(setting.circuit.written.get(symbol, ""))
    except UnreadableQuantity:
        return
    bare = written.digits.partition("e")[0]
    if written.symbol in ("", written.unit) or not bare or not written.value:
        return
    factor = read_quantity(written.digits).value / written.value

    def at(point: SettingInNumbers) -> SlipOutcome:
        return point.moved({symbol: factor}).outcome(point.setting.rows)

    yield Model("prefix-dropped", f"{symbol} as {written.digits} {written.unit}", "the numbers put in", at)


# -- closed forms ----------------------------------------------------------------------------------


def _closed_forms(setting: Setting) -> Iterator[Model]:
    try:
        solution = solve(setting.circuit)
    except FaultyMaterial:
        return  # too long to be written out by anyone
    forms = {n: _form(ratio) for n, ratio in solution.currents.items() if ratio}
    below = {form[1] for form in forms.values()}
    if len(forms) > 1 and len(below) == 1:
        yield from _denominator(setting, forms)
    for name, form in forms.items():
        yield from _denominator(setting, {name: form})
        yield from _numerator(setting, name, form)
        yield from _cancelled(setting, name, solution.currents[name])


def _form(ratio: Ratio) -> Form:
    return tuple(ratio.terms()), tuple(ratio.terms(below=True))


def _model(entry: str, place: str, forms: Mapping[str, Form]) -> Model:
    """The model of a slip that leaves the right currents but for these closed forms."""

    def at(point: SettingInNumbers) -> SlipOutcome:
        values = dict(point.right)
        for name, (above, below) in forms.items():
            under = point.value_of(below)
            if not under:
                return SlipOutcome(Fate.CONTRADICTION, {})
            values[name] = point.value_of(above) / under
        return SlipOutcome(Fate.ANSWER, values)

    where = "the closed forms" if len(forms) > 1 else f"the closed form of {next(iter(forms))}"
    return Model(entry, f"{place}, in {where}", where, at)


def _told(setting: Setting, term: Summand) -> str:
    """A product without its sign, as a person writes it."""
    exponents, coefficient = term
    factors = [n for n, e in zip(setting.circuit.symbols, exponents, strict=False) for _ in range(e)]
    return " ".join([*([str(abs(coefficient))] if abs(coefficient) != 1 or not factors else []), *factors])


def _moved(exponents: Exponents, gone: int, come: int | None = None) -> Exponents:
    """The product with one factor less, and another in its place."""
    found = list(exponents)
    found[gone] -= 1
    if come is not None:
        found[come] += 1
    return tuple(found)


def _denominator(setting: Setting, forms: Mapping[str, Form]) -> Iterator[Model]:
    """One product of the denominator left out, with a minus, or with a resistance squared."""
    below = next(iter(forms.values()))[1]
    if not 1 < len(below) <= WRITTEN_TERMS:
        return

    def changed(entry: str, what: str, wrong: Summands) -> Model:
        return _model(entry, what, {n: (above, wrong) for n, (above, _) in forms.items()})

    for i, term in enumerate(below):
        told, (exponents, coefficient) = _told(setting, term), term
        before, after = below[:i], below[i + 1 :]
        yield changed("denominator-term", f"{told} missing below", (*before, *after))
        turned = (exponents, -coefficient)
        yield changed("denominator-sign", f"minus before {told} below", (*before, turned, *after))
        held = [at for at, e in enumerate(exponents) if e == 1]
        for gone, twice in permutations(held if len(below) <= SUBSCRIPT_TERMS else (), 2):
            square = (_moved(exponents, gone, twice), coefficient)
            what = f"{_told(setting, square)} for {told} below"
            yield changed("resistance-squared", what, (*before, square, *after))


def _numerator(setting: Setting, name: str, form: Form) -> Iterator[Model]:
    above, below = form
    if len(above) > WRITTEN_TERMS:
        return
    for i, term in enumerate(above):
        told, (exponents, coefficient) = _told(setting, term), term
        before, after = above[:i], above[i + 1 :]
        turned = (*before, (exponents, -coefficient), *after)
        yield _model("numerator-sign", f"sign of {told} above", {name: (turned, below)})
        if len(above) > 1:
            yield _model("term-missing", f"{told} missing above", {name: ((*before, *after), below)})
        if len(above) <= SUBSCRIPT_TERMS:
            for wrong in _subscripts(setting, exponents):
                what = f"{_told(setting, (wrong, coefficient))} for {told} above"
                yield _model("subscript", what, {name: ((*before, (wrong, coefficient), *after), below)})
    yield from _swapped(setting, name, form)
    yield from _bracket(setting, name, form)
    if len(below) <= WRITTEN_TERMS:
        yield _model("fraction-inverted", "what stands above and below", {name: (below, above)})
    if 1 < len(below) <= WRITTEN_TERMS:
        first, rest = below[0], below[1:]
        keyed = (*above, *(_product(first, other) for other in rest))
        what = f"only {_told(setting, first)} taken below the line"
        yield _model("calculator-order", what, {name: (keyed, (first,))})


def _product(one: Summand, other: Summand) -> Summand:
    return tuple(a + b for a, b in zip(one[0], other[0], strict=True)), one[1] * other[1]


def _kinds(setting: Setting) -> tuple[Kind | None, ...]:
    return tuple(setting.circuit.role(name) for name in setting.circuit.symbols)


def _subscripts(setting: Setting, exponents: Exponents) -> Iterator[Exponents]:
    """The product with one factor replaced by another of its kind that it does not hold."""
    kinds = _kinds(setting)
    for gone, power in enumerate(exponents[: len(kinds)]):
        for come, kind in enumerate(kinds):
            if power and kind == kinds[gone] and not exponents[come]:
                yield _moved(exponents, gone, come)


def _swapped(setting: Setting, name: str, form: Form) -> Iterator[Model]:
    """Two symbols of one kind exchanged throughout the numerator."""
    above, below = form
    kinds, symbols = _kinds(setting), setting.circuit.symbols
    for i in range(len(symbols)):
        for j in range(i + 1, len(symbols)):
            if kinds[i] == kinds[j]:
                wrong = tuple((_exchanged(exponents, i, j), c) for exponents, c in above)
                if set(wrong) != set(above):
                    what = f"{symbols[i]} and {symbols[j]} exchanged above"
                    yield _model("subscript", what, {name: (wrong, below)})


def _exchanged(exponents: Exponents, i: int, j: int) -> Exponents:
    found = list(exponents)
    found[i], found[j] = found[j], found[i]
    return tuple(found)


def _bracket(setting: Setting, name: str, form: Form) -> Iterator[Model]:
    """An emf applied to one product of its bracket only."""
    above, below = form
    for at, kind in enumerate(_kinds(setting)):
        inside = [term for term in above if term[0][at] == 1]
        if kind is not Kind.BATTERY or len(inside) < 2:
            continue
        for kept in inside:
            wrong = tuple(
                term if term == kept or term not in inside else (_moved(term[0], at), term[1])
                for term in above
            )
            what = f"{setting.circuit.symbols[at]} applied to one product only, {_told(setting, kept)}"
            yield _model("numerator-bracket", what, {name: (wrong, below)})


def _cancelled(setting: Setting, name: str, ratio: Ratio) -> Iterator[Model]:
    """E A / (R A + B) written as E / (R + B): A cancelled against a part of the sum below."""
    if ratio.is_polynomial or len(ratio.terms(below=True)) > WRITTEN_TERMS:
        return
    for battery in setting.circuit.symbols:
        if setting.circuit.role(battery) is not Kind.BATTERY or battery not in ratio.held():
            continue
        above = ratio.coefficients_in(battery)
        if set(above) != {1} or len(above[1].terms()) < 2:
            continue  # another source stands above too, or there is no sum to cancel
        for symbol in setting.circuit.symbols:
            below = ratio.coefficients_in(symbol, below=True)
            if set(below) == {0, 1} and below[1] in (above[1], -above[1]):
                sign = 1 if below[1] == above[1] else -1
                field = setting.circuit.field
                wrong = _form(field.symbol(battery) * sign)[0], _form(field.symbol(symbol) + below[0])[0]
                what = f"{setting.circuit.symbols[field.position(symbol)]} left of its bracket below"
                yield _model("cancelled-across-sum", what, {name: wrong})
