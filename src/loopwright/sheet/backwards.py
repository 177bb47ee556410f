"""What was asked backwards, worked and written: numbered lines from the closed form to the value.

Each line says how it follows; the values are put back in the ledger. Only blocks of the document model.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import count
from typing import TYPE_CHECKING

from ..algebra.ratios import Field, Ratio
from ..algebra.surds import Surd
from ..checks.ledger.ledger import LedgerEntry
from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..circuit.targets import targets
from ..circuit.unknowns import GivenResult, SoughtKind, given_of, sought_of, unknowns
from ..expressions.amounts import amount, measured
from ..expressions.dimensions import AMPERE, OHM, VOLT, WATT
from ..expressions.nodes import ZERO, Equation, Expr, Negative, Number, Symbol, number, over
from ..expressions.said import in_a_row
from ..expressions.surd_form import surd_form
from ..expressions.tidy import tidy
from ..later import later
from ..quantities import read_quantity, simple
from ..solve.asked import value_of
from ..solve.exact import Solution
from .document import Block, DisplayedLine, Heading, Paragraph, Text

if TYPE_CHECKING:
    from ..checks.ledger.backward_entries import backward_entries
    from ..solve.greatest import GreatestPower, ShortCircuit, greatest_powers, number_of, short_circuits
    from ..solve.unknown_values import FoundValues, UnknownValues, unknown_values
else:  # of no sheet on which nothing is asked backwards
    backward_entries = later("loopwright.checks.ledger.backward_entries", "backward_entries")
    greatest_powers = later("loopwright.solve.greatest", "greatest_powers")
    number_of = later("loopwright.solve.greatest", "number_of")
    short_circuits = later("loopwright.solve.greatest", "short_circuits")
    unknown_values = later("loopwright.solve.unknown_values", "unknown_values")

_UNIT = {Kind.RESISTOR: "Ω", Kind.BATTERY: "V", Kind.CURRENT_SOURCE: "A"}
_RESULT_UNIT = {AMPERE: "A", VOLT: "V", WATT: "W", OHM: "Ω"}
_BY_SI = ", in volts, amperes, ohms and watts"
LONG_EXACT = 7  # characters: a longer exact fraction is of no use to a person


@dataclass(frozen=True)
class BackwardWork:
    """All that was asked backwards of a circuit, worked, with its entries of the ledger."""

    solution: Solution
    values: UnknownValues | None
    greatest: tuple[GreatestPower, ...]
    shorts: tuple[ShortCircuit, ...]
    entries: tuple[LedgerEntry, ...]


def backward_work(solution: Solution) -> BackwardWork:
    """Works what is asked backwards. Raises FaultyMaterial where it has no answer."""
    values = unknown_values(solution) if unknowns(solution.circuit) else None
    greatest, shorts = greatest_powers(solution), short_circuits(solution)
    entries = backward_entries(solution, values, greatest, shorts)
    return BackwardWork(solution, values, greatest, shorts, entries)


def asked_items(circuit: Circuit) -> list[Text]:
    """What is asked backwards, as items of a list."""
    items: list[Text] = []
    for sought in sought_of(circuit):
        power = Symbol(sought.power.as_text()) if sought.power else Symbol("")
        match sought.kind:
            case SoughtKind.VALUE:
                items.append((Symbol(sought.names[0]),))
            case SoughtKind.LOAD:
                items.append((Symbol(sought.names[0]), " for the greatest value of ", power))
            case SoughtKind.GREATEST:
                items.append(("the greatest value of ", power, " as ", Symbol(sought.names[0]), " varies"))
            case SoughtKind.SHORT:
                items.append((f"the short-circuit current from {sought.names[0]} to {sought.names[1]}",))
    return items


def given_text(circuit: Circuit) -> Text:
    """What is given, as a sentence; empty where nothing is."""
    given = given_of(circuit)
    return ("Known: ", *in_a_row([(_stated(one),) for one in given]), ".") if given else ()


def _stated(one: GivenResult) -> Equation | Symbol:
    if one.value is None:
        return Symbol(one.name)
    return Equation(Symbol(one.name), measured(read_quantity(one.text)))


def backward_blocks(work: BackwardWork, start: int) -> tuple[Block, ...]:
    """Everything asked backwards, its lines numbered from `start`."""
    numbers = count(start)
    circuit = _with_found(work)
    blocks: list[Block] = []
    if work.values is not None:
        blocks += [
            Heading("Values from what is given"),
            *_value_blocks(work.values, numbers),
            *_then(work, circuit),
        ]
    if work.greatest:
        blocks += [Heading("Greatest power"), *_greatest_blocks(work, circuit, numbers)]
    if work.shorts:
        blocks += [Heading("Short circuit"), *_short_blocks(work, circuit, numbers)]
    return tuple(blocks)


def _with_found(work: BackwardWork) -> Circuit:
    """The circuit with the values found among its numbers, where just one solution can be had and it holds
    no root."""
    circuit = work.solution.circuit
    had = [one for one in work.values.solutions if _is_physical(circuit, one)] if work.values else []
    plain = {name: value.plain.constant() for one in had for name, value in one.values.items()}
    exact = {name: value for name, value in plain.items() if value is not None}
    rooted = any(value.factor for one in had for value in one.values.values())
    if len(had) != 1 or rooted or len(exact) != len(plain):
        return circuit
    return replace(circuit, numbers={**circuit.numbers, **exact})


def _then(work: BackwardWork, circuit: Circuit) -> Iterator[Block]:
    """What else is asked, in numbers, with the values found."""
    found = unknowns(circuit)
    given = [one.target for one in given_of(circuit)]
    lines: list[Block] = []
    for target in targets(circuit):
        value = value_of(work.solution, target)
        number = number_of(value, circuit)
        if target not in given and number is not None and set(found) & set(value.held()):
            shown = amount(number, _RESULT_UNIT.get(target.dimension, ""), circuit.figures)
            lines.append(DisplayedLine((target.name, shown), relation="≈"))
    if lines:
        yield Paragraph(("With ", *in_a_row([(Symbol(name),) for name in found]), " as found:"))
        yield from lines


# -- values from results ---------------------------------------------------------------------------


def _value_blocks(found: UnknownValues, numbers: Iterator[int]) -> Iterator[Block]:
    at = [next(numbers) for _ in found.given]
    for n, one, form in zip(at, found.given, found.forms, strict=True):
        yield DisplayedLine((Symbol(one.name), tidy(form)), n, ("The closed form of what is given.",))
    equations = at
    if len(found.unknowns) == 1 and not found.in_numbers:
        (cleared,) = found.cleared
        (at_cleared,) = equations = [next(numbers)]
        yield DisplayedLine(
            (tidy(cleared), ZERO), at_cleared, (f"({at[0]}) cleared of fractions, all on one side.",)
        )
    elif found.in_numbers:
        equations = []
        for n, one, form, cleared in zip(at, found.given, found.forms, found.in_numbers, strict=True):
            put = next(numbers)
            known = {k: v for k, v in found.circuit.numbers.items() if k not in found.unknowns}
            partly = tidy(form.at(known, Field(found.unknowns)))
            yield DisplayedLine(
                (number(one.value or 0), partly), put, (f"The numbers put into ({n}){_BY_SI}.",)
            )
            equations.append(next(numbers))
            yield DisplayedLine(
                (tidy(cleared), ZERO),
                equations[-1],
                (f"({put}) cleared of fractions, all on one side, without the factor that all terms share.",),
            )
    last = equations[-1]
    if found.put_in is not None and found.left is not None:
        name, ratio = found.put_in
        source = next(i for i, c in enumerate(found.in_numbers or found.cleared) if _gives(c, name, ratio))
        solved = next(numbers)
        why: Text = (f"({equations[source]}) solved for ", Symbol(name), ".")
        yield DisplayedLine((Symbol(name), tidy(ratio)), solved, why)
        last = next(numbers)
        yield DisplayedLine(
            (tidy(found.left), ZERO),
            last,
            (f"({solved}) put into ({equations[1 - source]}) and cleared of fractions.",),
        )
    yield from _solutions(found, last, numbers)


def _gives(equation: Ratio, name: str, ratio: Ratio) -> bool:
    return equation.degree(name) == 1 and not equation.at({name: ratio})


def _solutions(found: UnknownValues, last: int, numbers: Iterator[int]) -> Iterator[Block]:
    told = in_a_row([(_stated(one),) for one in found.given])
    several = len(found.solutions) > 1
    for which, one in enumerate(found.solutions, start=1):
        for name in sorted(one.values, key=lambda name: name != found.last):
            value = one.values[name]
            how: Text = (f"({last}) solved for ", Symbol(name))
            if name != found.last:
                how = ("With ", Symbol(found.last), " put in")
            which_one = f", solution {which}." if several else "."
            yield DisplayedLine(
                (Symbol(name), *_exact_sides(found.circuit, name, value)),
                next(numbers),
                (*how, which_one),
                result=one.put_back and _is_physical(found.circuit, one),
            )
            if one.signs() is not None and not _is_short(value):
                close = amount(value.value({}), _unit(found.circuit, name), found.circuit.figures)
                yield DisplayedLine((Symbol(name), close), relation="≈")
        yield from _told_of(found.circuit, one)
    if found.unreal:
        lead: Text = ("The roots of ", f"({last}) would need the square root of a negative number: ")
        yield Paragraph((*lead, "they are not real, and no value gives ", *told, "."))
    elif found.solutions and not any(_is_physical(found.circuit, one) for one in found.solutions):
        none = "None of the solutions is positive" if several else "The solution is not positive"
        yield Paragraph((f"{none}: no resistor gives ", *told, " in this circuit."))
    if found.solutions:
        each = "Each solution was" if several else "This was"
        yield Paragraph((f"{each} put back into the circuit; solved afresh, it gives ", *told, "."))
    if found.dropped:
        more = "One more root" if found.dropped == 1 else f"{found.dropped} more roots"
        yield Paragraph((f"{more} of ({last}) would make a denominator zero and solves nothing.",))


def _exact_sides(circuit: Circuit, name: str, value: Surd) -> tuple[Expr, ...]:
    """The exact value: with its unit where it is a short number."""
    plain = value.plain.constant()
    if plain is not None and not value.factor:
        shown = Number(abs(plain), _unit(circuit, name), simple(abs(plain)))
        return (Negative(shown) if plain < 0 else shown,)
    return (surd_form(value),)


def _is_short(value: Surd) -> bool:
    plain = value.plain.constant()
    if plain is None or value.factor:
        return False
    return "/" not in simple(plain) and len(simple(plain)) <= LONG_EXACT


def _unit(circuit: Circuit, name: str) -> str:
    kind = circuit.role(name)
    return _UNIT.get(kind, "") if kind else ""


def _is_physical(circuit: Circuit, one: FoundValues) -> bool:
    """Whether no resistance is negative; a solution in symbols is taken as it is."""
    signs = one.signs()
    return signs is None or all(
        sign > 0 for name, sign in signs.items() if circuit.role(name) is Kind.RESISTOR
    )


def _told_of(circuit: Circuit, one: FoundValues) -> Iterator[Block]:
    """What is odd about a solution: a resistance below zero, a source the other way round."""
    signs = one.signs()
    if signs is None:
        yield Paragraph(("It is a value that can be had where the numbers put in make it positive.",))
        return
    for name, sign in signs.items():
        if sign > 0:
            continue
        kind, what = circuit.role(name), "negative" if sign < 0 else "zero"
        if kind is Kind.RESISTOR:
            words = "no resistor has it" if sign < 0 else "a plain wire would be needed"
        else:
            words = "the source stands the other way round" if sign < 0 else "no source is needed"
        yield Paragraph((Symbol(name), f" is {what}: {words}."))


# -- greatest power ---------------------------------------------------------------------------------


def _greatest_blocks(work: BackwardWork, circuit: Circuit, numbers: Iterator[int]) -> Iterator[Block]:
    done: set[tuple[str, Ratio]] = set()
    for found in work.greatest:
        if found.sought.power is None or (found.symbol, found.power) in done:
            continue
        done.add((found.symbol, found.power))
        yield from _greatest_lines(circuit, found, numbers)


def _greatest_lines(circuit: Circuit, found: GreatestPower, numbers: Iterator[int]) -> Iterator[Block]:
    power = Symbol(found.sought.power.as_text() if found.sought.power else "")
    load = Symbol(found.symbol)
    first, second, third = next(numbers), next(numbers), next(numbers)
    put = f" with the numbers put in{_BY_SI}" if found.in_numbers else ""
    yield DisplayedLine((power, tidy(found.power)), first, (f"The closed form{put}.",))
    yield Paragraph(
        (
            *(
                "As ",
                load,
                " grows, ",
                power,
                " rises while ",
                tidy(found.deciding),
                " is positive and falls",
            ),
            *(" where it is negative: that is the one factor of the derivative by ", load),
            " that changes its sign, and it does so once. So there is one greatest value, where it is zero.",
        )
    )
    yield DisplayedLine(
        (load, tidy(found.at)), second, (f"The value for the greatest power in ({first}).",), result=True
    )
    yield from _close(load, number_of(found.at, circuit), _unit(circuit, found.symbol), circuit)
    why = f"The greatest power: ({second}) put into ({first})."
    yield DisplayedLine((power, tidy(found.greatest)), third, (why,), result=True)
    yield from _close(power, number_of(found.greatest, circuit), "W", circuit)


def _close(name: Expr, value: Fraction | None, unit: str, circuit: Circuit) -> Iterator[Block]:
    if value is not None:
        yield DisplayedLine((name, amount(value, unit, circuit.figures)), relation="≈")


# -- short circuit ----------------------------------------------------------------------------------


def _short_blocks(work: BackwardWork, circuit: Circuit, numbers: Iterator[int]) -> Iterator[Block]:
    taken = {*circuit.currents, *circuit.symbols, *circuit.elements}
    free = (name for n in count(1) if (name := f"Is{n if n > 1 else ''}") not in taken)
    for found in work.shorts:
        a, b = found.points
        current = Symbol(next(free))
        voltage, seen = Symbol(f"V({a}, {b})"), Symbol(f"R({a}, {b})")
        why = f"A wire from {a} to {b} takes the voltage between them over the resistance seen there."
        yield DisplayedLine(
            (current, over(voltage, seen), tidy(found.current)), next(numbers), (why,), result=True
        )
        yield from _close(current, number_of(found.current, circuit), "A", circuit)


# -- numbers as far as they go ----------------------------------------------------------------------


def part_number_blocks(solution: Solution) -> tuple[Block, ...]:
    """What is asked with the numbers put in as far as they go, where some symbols have none; nothing where
    all or none have."""
    circuit = solution.circuit
    missing = [name for name in circuit.symbols if name not in circuit.numbers]
    if not missing or not circuit.numbers:
        return ()
    rest = Field(missing)
    lines: list[Block] = []
    given = [one.target for one in given_of(circuit)]
    for target in targets(circuit):
        if target in given:
            continue
        value = value_of(solution, target)
        if not set(value.held()) & set(circuit.numbers):
            continue
        name: Expr = target.name
        put = value.at(circuit.numbers, rest)
        constant = put.constant()
        unit = _RESULT_UNIT.get(target.dimension, "")
        shown = tidy(put) if constant is None else amount(constant, unit, circuit.figures)
        lines.append(DisplayedLine((name, shown), relation="=" if constant is None else "≈"))
    left = in_a_row([(Symbol(name),) for name in missing])
    lead = Paragraph(("Without a number: ", *left, f". All else put in{_BY_SI}:"))
    return (Heading("Numbers as far as they go"), lead, *lines) if lines else ()
