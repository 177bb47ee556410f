"""What a resistance must be since the emf of the only battery at work is divided by it, or by a total that it
is added up in: all that this battery sees, or all but what its own branch holds."""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Iterator, Sequence
from fractions import Fraction

from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..expressions.nodes import Equation, Expr, Number, Quotient, Sum, Symbol
from ..expressions.tidy import tidy
from ..solve.exact import Solution
from .repair.edits import body_of
from .repair.idea_values import resistance_of
from .truth.changed import in_setting
from .truth.combined import sums_in
from .truth.rounding import digits_of, lone
from .working import Claim, Working, WrittenLine

NEAR_BELOW = 60  # lines below in which it is looked for
WHOLE = re.compile(r"r(?:eq|t|tot|total|all|ges)?\d?(?<!^r\d)")
SEEN = re.compile(
    r"\bseen\s+by\s+the\s+(?:battery|source|cell)|\ball\s+together\b|\bin\s+all\b", re.IGNORECASE
)


def use_of(
    solution: Solution,
    working: Working,
    where: tuple[WrittenLine, Claim],
    name: str,
    given: Expr,
    *,
    unsaid: bool,
) -> Expr | None:
    """What a new resistance is by the lines below: for one that is called a total, all that the battery
    sees; for one that is no more than another name for a resistor or a number, what is added to the
    battery's own branch; and so between two junctions for any of which nothing is said (`unsaid`). None where
    neither is done. `where`: the line and the claim that give it."""
    line, setting = where[0], where[1].setting
    whole = _is_whole(line, name)
    single = isinstance(given, Symbol) or lone(given) is not None
    found = in_setting(solution.circuit, setting) if setting else solution
    if found is None:
        return None
    single = single or (unsaid and len(found.circuit.junctions) == 2)
    source = _only_source(found.circuit) if whole or single else ""
    inner = found.circuit.elements[source].internal if source else None
    if not source or (inner is not None and not (whole and _adds(given, inner, found.circuit))):
        return None
    circuit = found.circuit
    branch = circuit.branch_of(source)
    current = found.currents[branch.name]
    if not current:
        return None
    along = next(p.sign for p in branch.passes if p.element == source)
    seen = circuit.value(source) / current * along
    inside = resistance_of(circuit, branch)
    ends = list(_ends(line, name))
    for below in _divisors(working, where, circuit, source):
        if whole and _is_it(below, name, ends):
            return tidy(seen.at({}, solution.circuit.field))
        if single and isinstance(below, Sum):
            rest = [term for term in below.terms if not _is_it(term, name, ends)]
            if len(rest) + 1 == len(below.terms) and _are(circuit, rest, inside):
                left = seen - circuit.resistance(branch.name)
                return tidy(left.at({}, solution.circuit.field))
    return None


def rest_of_total(
    solution: Solution, working: Working, where: tuple[WrittenLine, Claim], name: str
) -> Expr | None:
    """What a new resistance is where a line below adds it to all that the battery's own branch holds, and the
    emf is divided by that total: the rest of what the battery sees. None where that is not done."""
    line, setting = where[0], where[1].setting
    found = in_setting(solution.circuit, setting) if setting else solution
    source = _only_source(found.circuit) if found is not None else ""
    if found is None or not source:
        return None
    circuit, branch = found.circuit, found.circuit.branch_of(source)
    current = found.currents[branch.name]
    inside, ends = resistance_of(circuit, branch), list(_ends(line, name))
    for total in _totals(working, where, circuit, source) if current else ():
        rest = [term for term in total.terms if not _is_it(term, name, ends)]
        if len(rest) + 1 == len(total.terms) and _are(circuit, rest, inside):
            along = next(p.sign for p in branch.passes if p.element == source)
            left = circuit.value(source) / current * along - circuit.resistance(branch.name)
            return tidy(left.at({}, solution.circuit.field))
    return None


def _is_whole(line: WrittenLine, name: str) -> bool:
    """Whether a resistance is called a total, by its name or by the words before it."""
    called = WHOLE.fullmatch(name.lower().replace("_", "").rstrip("′")) is not None
    first = next((c for c in line.claims if c.written.left == Symbol(name)), None)
    return called or (first is not None and SEEN.search(line.text[: first.start]) is not None)


def load_in_numbers(name: str, line: WrittenLine, claims: Sequence[Equation], circuit: Circuit) -> str:
    """The resistor whose number is added to that of a resistance, as in 4.35/(1.57 + 6.8); empty where that
    is not one."""
    ends = list(_ends(line, name))
    found: set[str] = set()
    for total in (each for written in claims for each in sums_in(written)):
        numbers = [lone(term) for term in total.terms]
        if len(numbers) != 2 or None in numbers:
            continue
        rest = [n for n in numbers if n is not None and not _is_it(n, name, ends)]
        if len(rest) == 1:
            own = [n for n, v in circuit.numbers.items() if v in (rest[0].value, rest[0].value * 1000)]
            found.update(n for n in own if circuit.role(n) is Kind.RESISTOR)
    return next(iter(found)) if len(found) == 1 else ""


def _ends(line: WrittenLine, name: str) -> Iterator[Number]:
    """The numbers that a line gives a name, at the end of a chain too."""
    end: Expr | None = None
    for claim in line.claims:
        goes_on = claim.written.left in (Symbol(name), end)
        end = claim.written.right if goes_on else None
        own = lone(claim.written.right)
        if goes_on and own is not None:
            yield own


def _only_source(circuit: Circuit) -> str:
    """The one battery of a circuit; empty where there are more sources."""
    met = [circuit.elements[p.element] for b in circuit.branches for p in b.passes]
    sources = [e for e in met if e.kind in (Kind.BATTERY, Kind.CURRENT_SOURCE)]
    return sources[0].name if len(sources) == 1 and sources[0].kind is Kind.BATTERY else ""


def _adds(given: Expr, inner: Expr, circuit: Circuit) -> bool:
    """Whether an internal resistance is one of the terms of a sum, by name or by its number."""
    size = circuit.numbers.get(inner.name) if isinstance(inner, Symbol) else None
    for term in given.terms if isinstance(given, Sum) else ():
        own = lone(term)
        if term == inner or (own is not None and size in (own.value, own.value * 1000)):
            return True
    return False


def _divisors(
    working: Working, where: tuple[WrittenLine, Claim], circuit: Circuit, source: str
) -> Iterator[Expr]:
    """What the emf is divided by in the lines below that speak of the same circuit."""
    line, setting = where[0], where[1].setting
    here = bisect_left(working.lines, line.number, key=lambda each: each.number)
    for each in working.lines[here : here + NEAR_BELOW]:
        for claim in (c for c in each.claims if c.setting == setting):
            for side in map(body_of, _sides(claim.written)):
                if isinstance(side, Quotient) and _is_emf(circuit, side.above, source):
                    yield side.below


def _totals(
    working: Working, where: tuple[WrittenLine, Claim], circuit: Circuit, source: str
) -> Iterator[Sum]:
    """The sums in the lines below, and behind the resistance in its own, that give a name by which, or by the
    number of which, the emf is divided there."""
    line, setting = where[0], where[1].setting
    divisors = list(_divisors(working, where, circuit, source))
    here = bisect_left(working.lines, line.number, key=lambda each: each.number)
    for each in working.lines[here : here + NEAR_BELOW]:
        total: Symbol | None = None
        sums: list[Sum] = []
        for claim in (c for c in each.claims if c.setting == setting):
            left, right = claim.written.left, claim.written.right
            if isinstance(left, Symbol):
                total, sums = left, []
            sums += [right] if isinstance(right, Sum) else []
            ends = list(_ends(each, total.name)) if total is not None else []
            if total is not None and any(_is_it(below, total.name, ends) for below in divisors):
                yield from sums


def _sides(written: Equation) -> tuple[Expr, Expr]:
    return written.left, written.right


def _is_emf(circuit: Circuit, expr: Expr, source: str) -> bool:
    own = lone(expr)
    if own is not None:
        return circuit.numbers.get(source) == own.value
    return expr == Symbol(source) or expr == circuit.elements[source].value


def _is_it(expr: Expr, name: str, ends: list[Number]) -> bool:
    """Whether an expression is the resistance, by its name or by the number that its line comes to."""
    own = lone(expr)
    if own is None:
        return expr == Symbol(name)
    return any(Fraction(digits_of(own)) == Fraction(digits_of(end)) for end in ends)


def _are(circuit: Circuit, terms: list[Expr], inside: Expr) -> bool:
    """Whether terms are the resistances of a branch, as names or as numbers in Ω or kΩ."""
    own = inside.terms if isinstance(inside, Sum) else (inside,)
    if len(terms) != len(own):
        return False
    if all(lone(term) is None for term in terms):
        return set(terms) == set(own)
    sizes = sorted(n.value for term in terms if (n := lone(term)) is not None)
    meant = sorted(circuit.numbers.get(e.name, Fraction(0)) for e in own if isinstance(e, Symbol))
    return sizes == meant or [size * 1000 for size in sizes] == meant
