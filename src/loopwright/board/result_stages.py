"""Results: what was asked, the numbers put in, and a direction that came out negative."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from ..algebra.ratios import NUMBERS
from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..circuit.targets import Asked
from ..derive.search import plain_numbers
from ..derive.steps import Derivation
from ..expressions.amounts import shortened
from ..expressions.nodes import Equation, Expr, Negative, Symbol, alike, parts_of
from ..expressions.said import Said
from ..expressions.tidy import tidy
from ..expressions.values import ratio_of, symbols_of
from ..sheet.answers import Answer
from ..sheet.document import Block, DisplayedLine, Heading, Paragraph, Table
from ..solve.exact import Solution
from .document_stages import document_stages
from .stage import BoardMark, Cut, LectureAct, MarkKind
from .staging import Staging


def result_stages(staging: Staging, blocks: Sequence[Block], *, numbers: bool) -> None:
    """What the sheet prints as results, less what stands on the board already; `numbers`: whether the numbers
    have stages of their own."""
    left: list[Block] = []
    for block in blocks:
        if isinstance(block, Heading) and block.words == "Results":
            continue
        if isinstance(block, DisplayedLine):
            restated = staging.standing(block.sides[:2]) is not None
            if restated and (Cut.RESTATED in staging.left_out or len(block.sides) == 2):
                continue
            if Cut.RESTATED in staging.left_out and numbers and len(block.sides) > 2:
                block = replace(block, sides=block.sides[:2])
        if isinstance(block, Table) and numbers:
            continue
        if isinstance(block, Paragraph) and (numbers or Cut.MEANINGS in staging.left_out):
            meaning = isinstance(block.text[0], Symbol) and block.text[0].name.startswith("V(")
            if (meaning and Cut.MEANINGS in staging.left_out) or (not meaning and numbers):
                continue
        left.append(block)
    staging.begin(LectureAct.RESULTS, "Results")
    document_stages(staging, left)


def number_stages(
    staging: Staging,
    circuit: Circuit,
    solution: Solution,
    derivation: Derivation,
    answers: Sequence[Answer],
) -> None:
    """The numbers put into every current asked for, and what comes out; other answers in numbers."""
    staging.begin(LectureAct.NUMBERS, "The numbers")
    plain = plain_numbers(circuit, solution)
    values = plain_values(circuit, plain.unit_words)
    names: dict[str, Expr] = {}
    first = True
    for answer in answers:
        value = answer.exact or answer.rounded
        if value is None:
            continue
        if answer.target.kind is not Asked.CURRENT:
            _other(staging, answer, value)
            continue
        for name in symbols_of(answer.form):
            if name in derivation.names and name not in names:
                _name(staging, circuit, derivation, name, values, names)
        known = {**values, **names}
        put = with_numbers(answer.form, known)
        lead: Said = (f"Now the numbers, in {plain.unit_words}: ",) if first else ()
        first = False
        source = staging.standing((answer.name, answer.form))
        marks = [BoardMark(source.key, MarkKind.USED)] if source is not None else []
        parts = [("arrow", answer.target.names[0]), ("wire", answer.target.names[0])]
        if put == answer.form or not symbols_of(answer.form):
            staging.write((*lead, Equation(answer.name, value), "."), (answer.name, value), result=True)
        else:
            key = staging.write(
                (*lead, Equation(answer.name, put), "."), (answer.name, put), marks=marks, parts=parts
            )
            about = "this is about " if answer.exact is None else "this equals "
            staging.grow(key, (about, value, "."), (answer.name, put, value), result=True, parts=parts)
        _negative(staging, answer)


def _negative(staging: Staging, answer: Answer) -> None:
    """What a negative current means, said of it as soon as it came out."""
    if not isinstance(answer.rounded, Negative):
        return
    name = answer.name
    current = answer.target.names[0]
    staging.write(
        (name, " is negative: it really runs against its arrow. No equation changes."),
        words=(name, " runs against its arrow."),
        parts=[("arrow", current), ("wire", current)],
        remark=("No equation changes, and no arrow is turned.",),
    )


def _other(staging: Staging, answer: Answer, value: Expr) -> None:
    """An answer that is no current, in numbers."""
    sides = (answer.name, value)
    relation = "=" if answer.exact is not None else "≈"
    said: Said = (Equation(answer.name, value, relation), answer.words, ".")
    staging.write(said, sides, relation=relation, result=True)


def _name(
    staging: Staging,
    circuit: Circuit,
    derivation: Derivation,
    name: str,
    values: Mapping[str, Expr],
    names: dict[str, Expr],
) -> None:
    """A quantity that was given a name, in numbers."""
    meant = tidy(derivation.names[name])
    put = with_numbers(meant, values)
    amount = _worth(put)
    shown = shortened(amount, circuit.figures)
    names[name] = shown
    key = staging.write((Equation(Symbol(name), put), "."), (Symbol(name), put))
    staging.grow(key, ("this comes to ", shown, "."), (Symbol(name), put, shown))


def plain_values(circuit: Circuit, unit_words: str) -> dict[str, Expr]:
    """Every symbol's number in the units of the working: volts, amperes and ohms, or volts, milliamperes and
    kilohms."""
    milli = "milli" in unit_words
    found: dict[str, Expr] = {}
    for name, value in circuit.numbers.items():
        kind = circuit.role(name)
        size = Fraction(1)
        if milli and kind is Kind.RESISTOR:
            size = Fraction(1, 1000)
        elif milli and kind is Kind.CURRENT_SOURCE:
            size = Fraction(1000)
        found[name] = shortened(value * size, circuit.figures)
    return found


def with_numbers(expr: Expr, values: Mapping[str, Expr]) -> Expr:
    """An expression with numbers in the place of symbols, otherwise as it is written."""
    if isinstance(expr, Symbol) and not parts_of(expr):
        return values.get(expr.name, expr)
    held = parts_of(expr)
    return alike(expr, [with_numbers(part, values) for part in held]) if held else expr


def _worth(expr: Expr) -> Fraction:
    """What an expression of numbers comes to."""
    return ratio_of(expr, NUMBERS).constant() or Fraction(0)
