"""Which law a set of currents breaks: every junction and every loop by itself, and the two crossed sums.

Tellegen's theorem holds for voltages and currents of two states of one network: the sum of V I over the
branches vanishes for any voltages that obey the loop rule and any currents that obey the junction rule
(Tellegen, Philips Res. Rep. 7, 259, 1952; from memory). With true voltages and the given currents
it therefore tests the junctions alone; with the voltages that the given currents make in each branch and
the true currents, the loops alone. One sum can vanish by accident: so unit voltages are taken at one
point at a time, and unit currents round one loop at a time, which gives each junction and loop by itself.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from .equation_slips import EquationRow, junction_row, loop_row
from .settings import SettingInNumbers, sum_of


class BrokenLaw(StrEnum):
    """Which law is broken."""

    NONE = "neither law"
    JUNCTION = "the junction rule"
    LOOP = "the loop rule"
    BOTH = "both laws"
    FIXED = "a current that an element fixes"
    UNTOLD = "not told by so few numbers"


@dataclass(frozen=True, slots=True)
class Residue:
    """What is left over in one junction (amperes) or round one loop (volts), and how much of it the
    rounding of the numbers can make up for."""

    name: str
    off: Fraction
    allowed: Fraction

    @property
    def holds(self) -> bool:
        """Whether the rule holds there."""
        return abs(self.off) <= self.allowed


@dataclass(frozen=True, slots=True)
class BrokenLaws:
    """The rules tested. `fixed`: currents that an element fixes. `junction_sum`: true voltages times the
    given currents; `loop_sum`: the voltages that the given currents make times the true currents (watts;
    None unless all currents are given and free)."""

    junctions: tuple[Residue, ...]
    loops: tuple[Residue, ...]
    fixed: tuple[Residue, ...] = ()
    junction_sum: Fraction | None = None
    loop_sum: Fraction | None = None

    @property
    def law(self) -> BrokenLaw:
        """Which law is broken, as far as the numbers tell."""
        junction = any(not r.holds for r in self.junctions)
        loop = any(not r.holds for r in self.loops)
        if junction or loop:
            return BrokenLaw.BOTH if junction and loop else BrokenLaw.JUNCTION if junction else BrokenLaw.LOOP
        if any(not r.holds for r in self.fixed):
            return BrokenLaw.FIXED
        return BrokenLaw.NONE if self.junctions or self.loops else BrokenLaw.UNTOLD

    @property
    def places(self) -> tuple[str, ...]:
        """The junctions and loops where a rule does not hold."""
        return tuple(r.name for r in (*self.junctions, *self.loops, *self.fixed) if not r.holds)


def broken_laws(
    here: SettingInNumbers, values: Mapping[str, Fraction], allowed: Mapping[str, Fraction]
) -> BrokenLaws:
    """Tests every junction and every known loop whose currents are all given.

    `values`: currents in amperes along the circuit's arrows; `allowed`: how far each may be off.
    """
    setting = here.setting
    circuit = setting.circuit
    points = [row for row in (junction_row(circuit, p) for p in circuit.points) if row.terms]
    rounds = [loop_row(circuit, loop) for loop in setting.known_loops]
    junctions = _residues(here, points, values, allowed)
    fixed = _residues(here, setting.fixed, values, allowed)
    loops = _residues(here, rounds, values, allowed)
    if not setting.is_plain or not all(name in values for name in circuit.currents):
        return BrokenLaws(junctions, loops, fixed)
    names = circuit.currents

    def voltage(name: str, current: Fraction) -> Fraction:
        return here.resistance(name) * current - here.rise(name)

    by_junctions = sum_of(voltage(n, here.right[n]) * values[n] for n in names)
    by_loops = sum_of(voltage(n, values[n]) * here.right[n] for n in names)
    return BrokenLaws(junctions, loops, fixed, by_junctions, by_loops)


def _residues(
    here: SettingInNumbers,
    rows: Sequence[EquationRow],
    values: Mapping[str, Fraction],
    allowed: Mapping[str, Fraction],
) -> tuple[Residue, ...]:
    found: list[Residue] = []
    for row in rows:
        numbers = here.row(row)
        names = [n for n in numbers if n]
        if all(n in values for n in names):
            slack = sum_of(abs(numbers[n]) * allowed[n] for n in names)
            found.append(Residue(row.name, here.off(row, values), slack))
    return tuple(found)
