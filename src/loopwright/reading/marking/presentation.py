"""How results are presented: their unit, their figures, and whether a negative current is put in words.

Common practice, no source; a missing unit is told once, however many results lack it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from ...circuit.elements import Kind
from ...circuit.targets import Asked
from ...expressions.nodes import Expr, Number, Symbol, alike, parts_of
from ...expressions.said import Said, in_a_row
from ...expressions.values import symbols_of
from ...solve.asked import value_of as value_asked
from ...solve.exact import solve
from ..reading import Reading
from ..truth.rounding import digits_of, is_decimal, lone, value_of
from ..truth.rounding import figures as figures_written
from ..verdicts import Truth
from .results import Stated, ends_of_chains, is_of_a_source, number_given, value_given

_DIRECTION = re.compile(
    r"\b(against|opposite|contrary|(?:other|wrong) way|reversed?|backwards?|upwards?|downwards?"
    r"|leftwards?|rightwards?|(?:dis)?charg\w+|absorb\w*|deliver\w*|helps?|tak(?:es|ing)\s+(?:up|in)"
    r"|really flows|actually flows|flow(?:s|ing)?\s+(?:back|into|out)|into\s+(?:the|cell|battery)|towards?"
    r"|to the (?:left|right)|direction"
    r"|entgegen(?:gesetzt)?|umgekehrt\w*|geladen|aufgeladen|contrari[oa]s?|opuest[oa]s?|al\s+rev[eé]s|sentido"
    r"|sens\s+(?:inverse|contraire|oppos[eé])|inverse|rebours|contro|opposto|verso\s+opposto|tegen\w*"
    r"|gegen|(?:se|si)\s+(?:est[aá]\s+)?(?:re|ri)?car(?:g|ic)a\w*|(?:se|en)\s+(?:re)?charge|lädt|laden"
    r"|(?:battery|cell)\s+(?:\w+\s+)?takes)\b",
    re.IGNORECASE,
)
_UNITS_SAID = re.compile(  # of all numbers at once: "all in V, kΩ and mA"
    r"\b(?:[Ii]n|[Uu]nits?|en|Einheiten)\b[\s:]*(?:(?:m?V|m?W|k?Ω|k?[Oo]hms?|[Vv]olts?|kiloohms?)"
    r"(?:\s*(?:,|and\b|&|und\b|et\b|y\b|/)\s*)+)*"
    r"(?:m?A|(?:milli)?amps?|(?:milli)?amp[eè]res?)(?=\s*(?:$|[.,;:)!]|and\b|&|/|und\b|et\b|y\b))"
)
_UNIT_IN_BRACKETS = re.compile(r"[(\[]\s*(?:all\s+)?(?:in\s+)?m?A\s*[)\]][\s.]*$")
_FROM_TO = re.compile(
    r"\bfrom\s+\w{1,12}\s+to\s+\w{1,12}\b|\bvon\s+\w{1,12}\s+nach\s+\w{1,12}\b", re.IGNORECASE
)
_HOP = re.compile(r"(?<!\w)(\w{1,12})\s*(?:-+>|→|⟶)\s*(\w{1,12})")  # (so really n → k)


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing amiss. `of_units`: it is the unit, which costs all that presentation is worth."""

    said: Said
    lines: tuple[int, ...]
    of_units: bool = False


def presentation(reading: Reading, results: Sequence[Stated], figures: tuple[int, int]) -> tuple[Fault, ...]:
    """What is amiss with how the results in numbers are presented; nothing for results in symbols."""
    found: list[Fault] = []
    numeric = [
        (stated, stated.verdict.line, stated.equation, number)
        for stated in results
        if stated.verdict is not None
        and stated.equation is not None
        and (number := number_given(stated.equation)) is not None
    ]
    bare = [
        (s.name, line)
        for s, line, _, number in numeric
        if not number.unit and number.value and not _unit_behind(reading, line)
    ]
    if bare and not any(_UNITS_SAID.search(line.text) for line in reading.working.lines):
        said: Said = ("no unit with ", *in_a_row([(name,) for name, _ in bare]))
        found.append(Fault(said, tuple(line for _, line in bare), of_units=True))
    least, most = figures
    off = [
        (s.name, line)
        for s, line, _, n in numeric
        if not least <= figures_of(n) <= most
        and not any(least <= figures_of(other) <= most for other in _told_elsewhere(reading, s))
        and not (figures_of(n) < least and (_is_exact(reading, s, n) or _is_all_there_is(reading, line, n)))
    ]
    if off:
        said = (f"not {least} to {most} significant figures: ", *in_a_row([(name,) for name, _ in off]))
        found.append(Fault(said, tuple(line for _, line in off)))
    against = [
        (s.name, line)
        for s, line, equation, _ in numeric
        if s.target.kind is Asked.CURRENT
        and (value_given(equation) or 0) < 0
        and not is_of_a_source(reading.circuit, s.target)
    ]
    if against and not _tells_direction(reading, min(line for _, line in against)):
        said = ("what the negative ", *in_a_row([(name,) for name, _ in against]), " means is not said")
        found.append(Fault(said, tuple(line for _, line in against)))
    return tuple(found)


def _unit_behind(reading: Reading, number: int) -> bool:
    """Whether a row of results has its unit behind the last one, `I1 = 2.4, I2 = 1.9 mA`, or in brackets."""
    line = next(one for one in reading.working.lines if one.number == number)
    if _UNIT_IN_BRACKETS.search(line.text):
        return len(line.claims) > 1
    given = [c for c in line.claims if isinstance(c.written.left, Symbol)]
    ends = [lone(c.written.right) for c in given]
    last = ends[-1] if ends else None
    return len(given) > 1 and all(end is not None for end in ends) and last is not None and bool(last.unit)


def _told_elsewhere(reading: Reading, stated: Stated) -> list[Number]:
    """The numbers that the quantity of a result is rightly given in other lines: a check may show more
    figures than the result, `I4 + I5 = 1.0338 A = I3` after I3 = 1.034 A."""
    names = symbols_of(stated.equation) if stated.equation is not None else ()
    told = ((e, number_given(e)) for e, v in ends_of_chains(reading.verdicts) if v.holds)
    return [n for e, n in told if n is not None and len(names) == 1 and symbols_of(e) == names]


def _tells_direction(reading: Reading, first: int) -> bool:
    """Whether words say which way a current flows whose result is negative, the first in this line."""
    lines, points = reading.working.lines, set(reading.circuit.named_points)
    return any(_DIRECTION.search(one.text) for one in lines) or any(
        _FROM_TO.search(one.text) or any(points.issuperset(hop.groups()) for hop in _HOP.finditer(one.text))
        for one in lines
        if one.number >= first
    )


def _is_exact(reading: Reading, stated: Stated, number: Number) -> bool:
    """Whether a result is the exact value of what is asked, to however few figures."""
    circuit = reading.circuit
    if circuit.in_time or not circuit.has_all_numbers:
        return False
    true = value_asked(solve(circuit.in_numbers()), stated.target).constant()
    sizes = (abs(number.value), abs(number.value) / 1000)
    return true is not None and abs(true) in (sizes if not number.unit else sizes[:1])


def _is_all_there_is(reading: Reading, line: int, number: Number) -> bool:
    """Whether a number of few figures has no more of them: it is exactly what is said to be equal to it, as
    that is or with the rounded numbers above in it, whose first figures may have gone: 1.64 − 1.56 = 0.08.
    So where it is what its name is said to be above: I2 = 2.7/3, I2 = 0.9."""
    circuit = reading.circuit
    given = {n: v / 1000 if circuit.role(n) is Kind.RESISTOR else v for n, v in circuit.numbers.items()}
    stated: dict[str, Fraction] = {}
    formulas: dict[str, list[Expr]] = {}
    for equation, verdict in ends_of_chains(reading.verdicts):
        left, right = equation.left, equation.right
        inner = lone(right)
        if inner is None:
            if isinstance(left, Symbol):
                formulas.setdefault(left.name, []).append(right)
            continue
        value = Fraction(digits_of(inner)) * (1 if inner is right else -1)
        if verdict.line == line and inner == number and not isinstance(left, Number):
            if verdict.truth in (Truth.ALWAYS, Truth.HERE):
                return True
            said = formulas.get(left.name, []) if isinstance(left, Symbol) else [left]
            known = ({**circuit.numbers, **stated}, {**given, **stated})
            if any(_come_to(one, value, numbers) for one in said for numbers in known):
                return True
        if isinstance(left, Symbol):
            stated[left.name] = value
    return False


def _come_to(side: Expr, value: Fraction, known: Mapping[str, Fraction]) -> bool:
    """Whether a side is exactly this with its numbers as they are written and its names as they are known."""
    try:
        return value_of(_without_units(side), known) == value
    except (KeyError, ZeroDivisionError):
        return False


def _without_units(expr: Expr) -> Expr:
    """An expression with its numbers as they are written, their units left out."""
    if isinstance(expr, Number):
        return Number(Fraction(digits_of(expr)))
    parts = parts_of(expr)
    return alike(expr, [_without_units(part) for part in parts]) if parts else expr


def figures_of(number: Number) -> int:
    """How many significant figures a number stands for: those written where it has decimals; where it is
    whole or a fraction it is taken as exact, and counts as two."""
    return figures_written(number) if is_decimal(number) else 2
