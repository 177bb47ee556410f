"""The numbers and ratings of a problem file, and whether its values make sense for what they stand for.

A resistance in volts, a negative resistance, a symbol that is a resistance here and an emf there.
Knows no laws.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction

from ..algebra.ratios import Field, Ratio
from ..circuit.circuit import Circuit
from ..circuit.elements import DIMENSION_OF, STORAGES, Kind
from ..circuit.names import listed, nearest, quantity_name
from ..circuit.unit_kinds import asked_of, in_words, settle
from ..circuit.unknowns import varied_in
from ..expressions.dimensions import AMPERE, FARAD, HENRY, OHM, PLAIN, SECOND, VOLT
from ..expressions.nodes import Expr, Number, Symbol
from ..expressions.values import ratio_of, symbols_of
from .branch_lines import BranchLine
from .element_values import ElementValues
from .faults import Faults
from .key_lines import KeyPath
from .number_texts import ReadNumber, read_number

UNIT_OF_KIND = {OHM: "Ω", VOLT: "V", AMPERE: "A", FARAD: "F", HENRY: "H", SECOND: "s"}


# -- numbers and ratings -------------------------------------------------------------------------


def read_numbers(
    table: Mapping[str, object], circuit: Circuit, values: ElementValues, faults: Faults
) -> Mapping[str, ReadNumber]:
    """Reads [numbers] and joins them with the numbers given under [elements]."""
    kinds, _ = settle(asked_of(circuit.elements.values(), circuit.start))
    times = {move.at: SECOND for move in circuit.switching if move.at}
    kinds.known |= times
    numbers: dict[str, ReadNumber] = dict(values.numbers)
    for key, content in table.items():
        name = quantity_name(key) or key
        path: KeyPath = ("numbers", key)
        if name not in (*circuit.symbols, *times):
            _unknown_symbol(key, name, circuit, faults)
            continue
        if name in numbers:
            faults.add(
                "file/number-twice",
                path,
                f"{name} has the number {numbers[name].text} already.",
                "Keep one of the two.",
                (name,),
            )
            continue
        unit = UNIT_OF_KIND.get(kinds.known.get(name, PLAIN), "")
        reading = read_number(content, unit, name, path, faults)
        if reading is not None:
            numbers[name] = reading
    to_find = [varied_in(text) for text in circuit.sought]
    chosen = (*to_find, *circuit.versions.choices)
    missing = [name for name in (*circuit.symbols, *times) if name not in numbers and name not in chosen]
    if numbers and missing and not faults.serious:
        faults.warn(
            "file/numbers-incomplete",
            ("numbers",) if table else ("elements",),
            f"numbers are given for some symbols but not for {listed(missing)}, so what holds them stays in "
            "symbols.",
            f"Give {'a number' if len(missing) == 1 else 'numbers'} for {listed(missing)} too, or for none.",
            tuple(missing),
        )
    return {name: numbers[name] for name in sorted(numbers, key=_order(circuit))}


def _order(circuit: Circuit) -> Callable[[str], int]:
    return lambda name: circuit.symbols.index(name) if name in circuit.symbols else len(circuit.symbols)


def _unknown_symbol(key: str, name: str, circuit: Circuit, faults: Faults) -> None:
    element = circuit.elements.get(name)
    if element is not None and element.kind in DIMENSION_OF:
        held = symbols_of(element.value)
        message = f"{name} is given by {listed(held)} under [elements], so it has no number of its own."
        mend = (
            f"Give {'a number' if len(held) == 1 else 'numbers'} for {listed(held)}."
            if held
            else "Take it out."
        )
    else:
        near = nearest(name, circuit.symbols)
        message = f"no value in this circuit holds a symbol {key}."
        mend = f"Did you mean {near}?" if near else f"The symbols are {listed(circuit.symbols)}."
    faults.add("file/unknown-symbol", ("numbers", key), message, mend, (name,))


def read_ratings(table: Mapping[str, object], circuit: Circuit, faults: Faults) -> Mapping[str, Fraction]:
    """Reads [ratings]: the greatest power of a resistor, in watts."""
    ratings: dict[str, Fraction] = {}
    resistors = [name for name, element in circuit.elements.items() if element.kind is Kind.RESISTOR]
    for key, content in table.items():
        name = quantity_name(key) or key
        path: KeyPath = ("ratings", key)
        if name not in resistors:
            near = nearest(name, resistors)
            mend = f"Did you mean {near}?" if near else "Ratings are for resistors."
            faults.add(
                "file/unknown-rating",
                path,
                f"a rating is given for {key}, which is no resistor.",
                mend,
                (name,),
            )
            continue
        reading = read_number(content, "W", f"the rating of {name}", path, faults)
        if reading is None:
            continue
        if reading.value <= 0:
            faults.add(
                "file/rating-not-positive",
                path,
                f"the rating of {name} is not above zero.",
                'Write "0.25 W".',
                (name,),
            )
        ratings[name] = reading.value
    return ratings


# -- names ---------------------------------------------------------------------------------------


def check_names(circuit: Circuit, lines: tuple[BranchLine, ...], faults: Faults) -> None:
    """Finds names that would mean two things: a current named like an element or a symbol."""
    symbols = set(circuit.symbols)
    for line in lines:
        if line.name in circuit.elements:
            what = f"the {circuit.elements[line.name].kind} {line.name}"
        elif line.name in symbols:
            what = f"the symbol {line.name} in the values"
        else:
            continue
        faults.add(
            "circuit/name-used-twice",
            ("branches", line.key),
            f"the current of branch {line.key} has the same name as {what}.",
            "Give the branch another name, such as I1.",
            (line.name,),
        )


# -- kinds of units ------------------------------------------------------------------------------


def check_unit_kinds(circuit: Circuit, values: ElementValues, faults: Faults) -> bool:
    """Finds values that are not of the kind their element asks for. Gives True where every value is."""
    asked = asked_of(circuit.elements.values(), circuit.start)
    kinds, wrong = settle(asked)
    for told, clash in wrong.items():
        name, _, part = told.partition(" ")
        path = values.path_of_internal(name) if part == "internal" else values.paths[name]
        path = ("start", name) if part == "start" else path
        wanted = in_words(asked[told][1])
        what = f"{circuit.elements[name].kind} {name}"
        what = f"the internal resistance of {name}" if part == "internal" else what
        what = f"the start of {name}" if part == "start" else what
        match clash.part:
            case Symbol(symbol) if clash.wanted == asked[told][1]:
                because = kinds.because.get(symbol, "").split(" ")[0]
                where = f" in the value of {because}" if because not in ("", symbol) else ""
                faults.add(
                    "circuit/symbol-of-two-kinds",
                    path,
                    f"{symbol} is {in_words(clash.found)}{where}, but the value of {what} must be {wanted}.",
                    "Use two symbols.",
                    (name, symbol),
                )
            case Number() if clash.found == PLAIN:
                faults.add(
                    "circuit/plain-number-added",
                    path,
                    f"the value of {what} holds a plain number where {in_words(clash.wanted)} must stand.",
                    "Write a symbol in its place and give the number with its unit under [numbers].",
                    (name,),
                )
            case _:
                faults.add(
                    "circuit/wrong-dimension",
                    path,
                    f"the value of {what} is {in_words(clash.found)}, and must be {wanted}.",
                    "Look for a factor too many or too few.",
                    (name,),
                )
    return not wrong


# -- signs ---------------------------------------------------------------------------------------


def check_signs(circuit: Circuit, values: ElementValues, faults: Faults) -> None:
    """Finds resistances and sources that are zero or negative, wherever a value tells its sign."""
    for name, element in circuit.elements.items():
        if element.kind in DIMENSION_OF:
            value = _ratio(element.value, values.paths[name], name, faults)
            if value is not None and element.kind in (Kind.RESISTOR, *STORAGES):
                _check_resistance(f"{element.kind} {name}", name, value, circuit, values.paths[name], faults)
            elif value is not None:
                _check_source(element.kind, name, value, circuit, values.paths[name], faults)
        if element.internal is not None:
            path = values.path_of_internal(name)
            value = _ratio(element.internal, path, name, faults)
            if value is not None:
                _check_resistance(f"the internal resistance of {name}", name, value, circuit, path, faults)


def _ratio(expr: Expr, path: KeyPath, name: str, faults: Faults) -> Ratio | None:
    try:
        return ratio_of(expr, Field(symbols_of(expr)))  # its own: a long ladder has thousands of symbols
    except ZeroDivisionError:
        faults.add(
            "circuit/divided-by-zero", path, f"the value of {name} divides by zero.", "Correct it.", (name,)
        )
        return None


def _sign(value: Ratio, numbers: Mapping[str, Fraction]) -> int | None:
    """The sign of a value, from its numbers or from how it is written; None when it is open."""
    if not value:
        return 0
    if all(name in numbers for name in value.held()):
        try:
            number = value.value({name: numbers.get(name, 0) for name in value.field.symbols})
        except ArithmeticError:
            return None
        return (number > 0) - (number < 0)
    above, below = value.signs(), value.signs(below=True)
    return (1 if above == below else -1) if len(above) == len(below) == 1 else None


def _check_resistance(
    what: str, name: str, value: Ratio, circuit: Circuit, path: KeyPath, faults: Faults
) -> None:
    sign = _sign(value, circuit.numbers)
    if sign == 0 and circuit.elements[name].kind is Kind.CAPACITOR:
        faults.add(
            "circuit/zero-resistance", path, f"{what} is zero, which is a gap.", "Leave it out.", (name,)
        )
    elif sign == 0:
        faults.add(
            "circuit/zero-resistance",
            path,
            f"{what} is zero, which is a plain wire.",
            "Leave it out. (What happens as it goes to zero is shown among the limit cases.)",
            (name,),
        )
    elif sign == -1:
        faults.add(
            "circuit/negative-resistance", path, f"{what} is negative.", "Take the minus sign out.", (name,)
        )


def _check_source(
    kind: Kind, name: str, value: Ratio, circuit: Circuit, path: KeyPath, faults: Faults
) -> None:
    sign = _sign(value, circuit.numbers)
    if sign == 0:
        instead = "a plain wire" if kind is Kind.BATTERY else "an open circuit"
        faults.warn(
            "circuit/idle-source",
            path,
            f"the {kind} {name} is zero, as if {instead} stood there.",
            "Leave it out.",
            (name,),
        )
    elif sign == -1:
        faults.warn(
            "circuit/negative-source",
            path,
            f"the value of {kind} {name} is negative, so it works against its sign in the branch.",
            f"Write the value without minus and change the sign of {name} in its branch.",
            (name,),
        )
