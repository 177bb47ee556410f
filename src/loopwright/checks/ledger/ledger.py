"""The ledger: a list of independent checks, each with its method and its result in figures.

An entry that does not apply to a circuit says why, and never counts as passed. Stands on `solve`'s
values; knows no writer.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from flint import fmpz_mpoly

from ...algebra.common_form import over_one_denominator
from ...algebra.linear import Linear
from ...algebra.ratios import Ratio
from ...circuit.circuit import Circuit
from ...expressions.said import Said, as_text
from ...shown import Shown
from ...solve.currents import RouteName


@dataclass(frozen=True, slots=True)
class LedgerEntry:
    """One check. `method`: the independent way taken; `result`: what came out, in figures; formulas in them
    as such. `passed` is None
    where the check does not apply to the circuit, or was `left_out` because it would take too long: then
    `result` says why."""

    code: str
    title: str
    method: str | Said
    result: str | Said
    passed: bool | None
    left_out: bool = False

    @property
    def mark(self) -> str:
        """One word for the result."""
        if self.left_out:
            return "not done"
        return "does not apply" if self.passed is None else "passed" if self.passed else "failed"

    @property
    def told(self) -> Said:
        """The result as running text."""
        return (self.result,) if isinstance(self.result, str) else self.result

    @property
    def how(self) -> Said:
        """The method as running text."""
        return (self.method,) if isinstance(self.method, str) else self.method

    def as_text(self) -> str:
        """The entry as one line of plain text."""
        return f"{self.title}: {self.mark}. {as_text(self.told)} ({as_text(self.how)})"


@dataclass(frozen=True)
class Ledger(Shown):
    """The entries of one circuit, in a fixed order."""

    entries: tuple[LedgerEntry, ...]

    @property
    def passed(self) -> bool:
        """Whether some check applies and none failed."""
        return any(e.passed for e in self.entries) and not self.failed

    @property
    def failed(self) -> tuple[LedgerEntry, ...]:
        """The entries that failed."""
        return tuple(e for e in self.entries if e.passed is False)

    def entry(self, code: str) -> LedgerEntry:
        """The entry with this code; KeyError when there is none."""
        for e in self.entries:
            if e.code == code:
                return e
        raise KeyError(code)


@dataclass(frozen=True)
class Candidate:
    """Currents put forward as the answer of a circuit: what every entry examines.

    `determinant`: the determinant put forward with them, or None. `route`: by which exact route they were
    found, or None where somebody puts them forward.
    """

    circuit: Circuit
    currents: Mapping[str, Ratio]
    determinant: Ratio | None = None
    route: RouteName | None = None

    @cached_property
    def _common(self) -> tuple[dict[str, fmpz_mpoly], fmpz_mpoly]:
        return over_one_denominator(self.circuit.field, self.currents)

    @property
    def below(self) -> fmpz_mpoly:
        """The least common denominator of all the currents."""
        return self._common[1]

    @property
    def above(self) -> Mapping[str, fmpz_mpoly]:
        """Each current's numerator over the common denominator."""
        return self._common[0]

    def satisfies(self, equation: Linear) -> bool:
        """Whether the currents satisfy an equation exactly, as an identity in the symbols."""
        if any(not c.is_polynomial for c in (*equation.coefficients.values(), equation.constant)):
            return not equation.residue(self.currents)
        total = equation.constant.above * self.below
        for name, c in equation.coefficients.items():
            total = total + c.above * self.above[name]
        return bool(total.is_zero())


def not_applicable(code: str, title: str, method: str | Said, why: str) -> LedgerEntry:
    """An entry that says why its check does not apply."""
    return LedgerEntry(code, title, method, why, None)


def found_wrong(code: str, title: str, method: str | Said, wrong: list[str], right: str) -> LedgerEntry:
    """An entry that names what is not as it should be, or says `right` where nothing is."""
    return LedgerEntry(code, title, method, right if not wrong else f"not so for {listed(wrong)}", not wrong)


def listed(names: list[str], limit: int = 4) -> str:
    """Names in a row, the rest counted: `I1, I2 and 3 more`."""
    if len(names) <= limit:
        return ", ".join(names)
    return f"{', '.join(names[:limit])} and {len(names) - limit} more"
