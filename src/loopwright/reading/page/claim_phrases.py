"""Ways of claiming more than one relation at a time, or a relation in a case.

Lists: `(Ic, Ib, Ih) = (2, −1, 3) A`. Limits: which relation of a line is the case (`R2 → ∞`), and which are
claimed in it. Potentials: `Va − Vb` is the potential difference V(a, b), whatever their zero. Judges nothing.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from ...expressions.nodes import Equation, Expr, Negative, Sum, Symbol, alike, parts_of
from ..working import Claim
from .naming import NamesInUse, name_of
from .pieces import RELATIONS

Span = tuple[int, int]

_ROUND = re.compile(
    r"[(\[]([^()\[\]=,]{1,40}(?:,[^()\[\]=,]{1,40}){1,20})[)\]]\s{0,9}(=|≈)\s{0,9}"
    r"[(\[]([^()\[\]=]{1,400})[)\]]\s{0,9}([a-zA-ZµΩ]{1,4}\b|(?!\w))"
)
_BARE = re.compile(
    r"(?:^|[;:.]\s|\b(?:so|thus|hence|then|are|get|find)\s)\s{0,9}"
    r"([^\W\d_][\w{}'′]{0,20}(?:\s{0,9},\s{0,9}[^\W\d_][\w{}'′]{0,20}){1,20}"
    r"(?:\s{0,9},?\s{0,9}\band\s{1,9}[^\W\d_][\w{}'′]{0,20})?)\s{0,9}(=|≈)\s{0,9}([^;=:→]{1,400})"
)
_COMMA = re.compile(r"\s*(?:,\s*and\b|,|\band\b)\s*")


@dataclass(frozen=True, slots=True)
class Listed:
    """A list on each side of a sign: the places of their items, and the unit behind the values."""

    left: tuple[Span, ...]
    relation: str
    right: tuple[Span, ...]
    unit: str
    span: Span


def lists_in(text: str, names: NamesInUse) -> Iterator[Listed]:
    """The lists of names with values in a line; none unless every name is one of a quantity in use."""
    if "," not in text:
        return
    for pattern in (_ROUND, _BARE):
        for match in pattern.finditer(text):
            left = _items(text, match.span(1))
            if len(left) > 1 and all(names.readings(name_of(text[a:b])) for a, b in left):
                unit = match[4] if pattern is _ROUND else ""
                right = _items(text, match.span(3))
                yield Listed(left, RELATIONS[match[2]], right, unit, match.span())
                return


def _items(text: str, span: Span) -> tuple[Span, ...]:
    """The places of the items between commas, without the space round them."""
    found: list[Span] = []
    start = span[0]
    ends = [match.span() for match in _COMMA.finditer(text, *span)]
    for end, following in [*ends, (span[1], span[1])]:
        item = text[start:end]
        lead = len(item) - len(item.lstrip())
        if item.strip():
            found.append((start + lead, start + lead + len(item.strip().rstrip("."))))
        start = following
    return tuple(found)


@dataclass(frozen=True, slots=True)
class Item:
    """A claim of the line or, if `is_case`, the limit case it is made in."""

    claims: tuple[Claim, ...]
    is_case: bool
    strong_stop_before: bool


def with_cases(items: Sequence[Item]) -> tuple[list[Claim], tuple[Equation, ...]]:
    """The claims with their cases, and the cases left over. A clause that begins with a case has it first
    (`as R2 → ∞, Ib → 0`), one that begins with a claim has it last (`Ib → 0 as R2 → ∞`)."""
    found: list[Claim] = []
    left: tuple[Equation, ...] = ()
    for clause in _clauses(items):
        groups: list[tuple[list[Equation], list[Claim]]] = []
        case_first = clause[0].is_case
        was_case: bool | None = None
        for item in clause:
            if not groups or (
                item.is_case is case_first and was_case is not None and was_case is not case_first
            ):
                groups.append(([], []))
            cases, claims = groups[-1]
            if item.is_case:
                cases.extend(_case(claim.written) for claim in item.claims)
            else:
                claims.extend(item.claims)
            was_case = item.is_case
        for cases, claims in groups:
            found.extend(replace(claim, case=tuple(cases)) for claim in claims)
            left = () if claims else tuple(cases)
    return found, left


def _case(written: Equation) -> Equation:
    return Equation(written.left, written.right, "→")


def _clauses(items: Sequence[Item]) -> list[list[Item]]:
    clauses: list[list[Item]] = []
    for item in items:
        if item.strong_stop_before or not clauses:
            clauses.append([])
        clauses[-1].append(item)
    return clauses


def with_differences(expr: Expr, names: NamesInUse, notes: dict[str, None]) -> Expr:
    """The expression with each such pair in one sum as one quantity; what was read so is put in `notes`."""
    parts = [with_differences(part, names, notes) for part in parts_of(expr)]
    if isinstance(expr, Sum):
        return _sum(parts, names, notes)
    return alike(expr, parts) if parts else expr


def _sum(terms: list[Expr], names: NamesInUse, notes: dict[str, None]) -> Expr:
    while True:
        plus = next((term for term in terms if _point(term, names)), None)
        minus = next((t for t in terms if isinstance(t, Negative) and _point(t.body, names)), None)
        if plus is None or minus is None or minus.body == plus:
            return terms[0] if len(terms) == 1 else Sum(tuple(terms))
        call = f"V({_point(plus, names)}, {_point(minus.body, names)})"
        notes[f"the difference of two potentials is read as {call}"] = None
        terms[terms.index(plus)] = Symbol(call)
        terms.remove(minus)


def _point(expr: Expr, names: NamesInUse) -> str:
    """The point whose potential a name is, `Va` or `UA`, where it is spoken of in differences alone; empty
    for anything else."""
    if not isinstance(expr, Symbol) or expr.name in names.known | names.potentials:
        return ""
    if expr.name[:1] not in "VU":
        return ""
    return names.point(expr.name[1:]) or ""
