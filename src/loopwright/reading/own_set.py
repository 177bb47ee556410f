"""The equations that a working sets out from, as written, true or not: what they come to as a set.

Whether a working may earn credit for what follows from a slip depends on the set that it really wrote:
whether it still fixes the currents, and whether the slip took the difficulty away.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ..algebra.linear import Linear, reduce_rows
from ..algebra.ratios import Field, Ratio
from ..circuit.circuit import Circuit
from ..circuit.elements import UNIT_OF
from ..expressions.nodes import Equation, Symbol
from ..expressions.values import difference_of, symbols_of
from .reading import Arrows, Reading
from .verdicts import Kind, Verdict

STATED = (Kind.JUNCTION, Kind.LOOP, Kind.ELEMENT)


@dataclass(frozen=True, slots=True)
class OwnSet:
    """The set a working sets out from.

    `written`: its equations; `untrue`: those of them with a slip; `rank`: of the set as written; `mended`:
    of the set with each slip mended; `needed`: as many as there are currents. `singular`: lines whose slip
    leaves the set too small; `alone`: lines whose slip leaves one current by itself, so that nothing has
    to be eliminated.
    """

    written: tuple[Verdict, ...]
    untrue: tuple[Verdict, ...]
    rank: int
    mended: int
    needed: int
    singular: tuple[int, ...]
    alone: tuple[int, ...]


def own_set(reading: Reading) -> OwnSet:
    """The set of equations that the working sets out from."""
    rows = _Rows(reading.circuit, reading.arrows)
    written: list[Verdict] = []
    kept: list[Linear] = list(rows.fixed)
    needed = len(reading.circuit.branches)
    for verdict in reading.verdicts:
        row = rows.row(verdict.claim.written)
        if row is None or verdict.claim.case or verdict.claim.written.relation != "=":
            continue
        slip = (
            verdict.kind is Kind.UNTRUE
            and not verdict.carried
            and not _referred(reading, verdict)
            and not rows.is_solved(verdict)
        )
        if verdict.kind in STATED or (slip and _rank(kept, reading.circuit) < needed):
            written.append(verdict)
            kept.append(row)
    untrue = tuple(v for v in written if v.kind is Kind.UNTRUE)
    mended = {v.line: _mended(v, rows) for v in untrue}
    whole = [rows.row(v.claim.written) for v in written]
    put_right = [mended[v.line] if v in untrue else row for v, row in zip(written, whole, strict=True)]

    def rank(some: Sequence[Linear | None]) -> int:
        return _rank([*rows.fixed, *(row for row in some if row is not None)], reading.circuit)

    own = rank(whole)
    best = min(needed, rank(put_right) + sum(mended[v.line] is None for v in untrue))
    singular, alone = [], []
    for at, verdict in enumerate(written):
        if verdict not in untrue:
            continue
        others = [*whole[:at], put_right[at], *whole[at + 1 :]]
        if own < needed and rank(others) > own:
            singular.append(verdict.line)
        right = mended[verdict.line]
        row = whole[at]
        if (
            row is not None
            and len(row.coefficients) == 1
            and right is not None
            and len(right.coefficients) > 1
        ):
            alone.append(verdict.line)
    return OwnSet(tuple(written), untrue, own, best, needed, tuple(singular), tuple(alone))


def is_cause(verdict: Verdict) -> bool:
    """Whether a claim is untrue by a slip made in it, and not only by one made above."""
    return verdict.kind is Kind.UNTRUE and not verdict.carried and verdict.cause in (None, verdict.line)


def solved_name(equation: Equation, names: Mapping[str, Mapping[str, int]]) -> str:
    """The current that an equation gives outright (`I1 = E1/R1`, `2 A = I1`), or an empty name."""
    for one, other in ((equation.left, equation.right), (equation.right, equation.left)):
        if isinstance(one, Symbol) and one.name in names and not set(symbols_of(other)) & set(names):
            return one.name
    return ""


class _Rows:
    """Equations of the working as linear equations in the branch currents, the circuit's numbers put in."""

    def __init__(self, circuit: Circuit, arrows: Arrows) -> None:
        self.names = arrows.names
        self.currents = circuit.currents
        numbers = circuit.numbers if circuit.has_all_numbers else {}
        free = [s for s in circuit.field.symbols if s not in numbers]
        self.symbols, self.field = Field(free), Field((*free, *circuit.currents))
        self.worth: dict[str, Ratio] = {s: self.field.number(v) for s, v in numbers.items()}
        self.worth |= {
            name: circuit.value(name).at(numbers, self.field)
            for name, element in circuit.elements.items()
            if element.kind in UNIT_OF
        }
        for name, branches in arrows.names.items():
            if not set(branches) <= set(circuit.currents):
                continue  # a potential
            terms = [self.field.symbol(branch) * sign for branch, sign in branches.items()]
            self.worth[name] = sum(terms, self.field.zero)
        zero = self.symbols.zero
        self.fixed = [
            Linear.of({name: self.symbols.one}, zero)
            for name in circuit.currents
            if circuit.fixed_current(name) is not None
        ]

    def row(self, equation: Equation) -> Linear | None:
        """The equation, or None where it holds other unknowns or is not linear."""
        try:
            difference = difference_of(equation, self.field, self.worth).numerator
        except (KeyError, ZeroDivisionError):
            return None
        found: dict[str, Ratio] = {}
        rest = difference
        for name in self.currents:
            parts = rest.coefficients_in(name)
            if any(degree > 1 for degree in parts):
                return None
            if 1 in parts:
                if set(parts[1].held()) & set(self.currents):
                    return None
                found[name] = parts[1].at({}, self.symbols)
            rest = parts.get(0, self.field.zero)
        return Linear.of(found, rest.at({}, self.symbols)) if found else None

    def is_solved(self, verdict: Verdict) -> bool:
        return bool(solved_name(verdict.claim.written, self.names))


def _rank(rows: Sequence[Linear], circuit: Circuit) -> int:
    return reduce_rows(rows, circuit.currents).rank


def _mended(verdict: Verdict, rows: _Rows) -> Linear | None:
    return rows.row(verdict.repairs[0].mended) if verdict.repairs else None


def _referred(reading: Reading, verdict: Verdict) -> bool:
    """Whether its line says that it comes from others."""
    return any(line.number == verdict.line and line.source is not None for line in reading.working.lines)
