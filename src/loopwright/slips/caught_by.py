"""Which check would have caught a slip: what a person tries on a closed form or on final numbers.

Each check takes the wrong answers as a function of the symbols, as the person would have them, and
holds them against the true laws or against the circuit redrawn. A function that judges says in its
sentence what the person compares.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction

from ..checks.ledger.symmetry import Symmetry, symmetries
from ..circuit.elements import Kind
from .catalogue import CATALOGUE, Group
from .equation_slips import EquationRow, junction_row, loop_row
from .settings import Fate, Model, Setting, SettingInNumbers, SlipOutcome, sum_of
from .slip_classes import SlipClass

FAR = Fraction(10) ** 40  # stands for a resistance without bound, and its inverse for none
SETTLED = Fraction(1, 10**15)  # of the largest right current: a limit reached
REPORTING = ("moved-sign", "double-flip", "minus-dropped", "negative-impossible")  # signs after the set-up

AnswerValues = Mapping[str, Fraction]
Check = tuple[str, Callable[[SlipClass], bool]]  # its name, and whether it catches a class


def checks_on_slips(setting: Setting, here: SettingInNumbers) -> list[Check]:
    """The checks a person makes on closed forms and numbers, with true laws: the quick ones that catch
    most come first."""
    circuit = setting.circuit
    found: list[Check] = []
    resistances = [n for n in circuit.symbols if circuit.role(n) is Kind.RESISTOR]
    shared = [n for n in resistances if _is_shared(setting, n)]
    for symbol in shared or resistances:
        found.append((f"{symbol} to 0 and to infinity", _limit_judge(here, symbol)))
    driven = not any(e.kind is Kind.CURRENT_SOURCE for e in circuit.elements.values())
    if driven:
        found.append(("power balance", lambda c: _power_off(c, here)))
    spare = [loop_row(circuit, loop) for loop in setting.spare_loops]
    if spare:
        found.append(("loops not used", lambda c: _off(c, here, spare)))
    every = [row for row in (junction_row(circuit, p) for p in circuit.points) if row.terms]
    if every:
        found.append(("every junction", lambda c: _off(c, here, every)))
    found.append(("putting back into the equations used", lambda c: _put_back(c, here)))
    found.append(("the same voltage along another branch", lambda c: _elsewhere(c, here)))
    found.append(("dimensions and scaling", _scaling_judge(setting, here)))
    found += [("symmetry", _symmetry_judge(setting, here, s)) for s in symmetries(circuit)[:1]]
    if driven:
        found.append(("no voltage above all emfs", lambda c: _too_high(c, here)))
    return found


def _is_shared(setting: Setting, symbol: str) -> bool:
    names = [b.name for b in setting.circuit.branches if symbol in setting.circuit.resistance(b.name).held()]
    return any(sum(name in dict(loop) for loop in setting.loops) > 1 for name in names)


def _whole(values: AnswerValues, here: SettingInNumbers) -> bool:
    return all(name in values for name in here.setting.circuit.currents)


def _off(c: SlipClass, here: SettingInNumbers, rows: Sequence[EquationRow]) -> bool:
    values = c.outcome.values
    return _whole(values, here) and any(here.off(row, values) for row in rows)


def _put_back(c: SlipClass, here: SettingInNumbers) -> bool:
    """Whether putting the currents into the written equations shows the slip: only if it was made after
    these were set up, since a set-up with a slip is satisfied by its own currents."""
    return all(_is_after_set_up(model) for model in c.members) and _off(c, here, here.setting.rows)


def _is_after_set_up(model: Model) -> bool:
    later = (Group.ALGEBRA, Group.NUMBERS, Group.LINES)
    return model.entry in REPORTING or CATALOGUE[model.entry].group in later


def _elsewhere(c: SlipClass, here: SettingInNumbers) -> bool:
    """A wrong voltage between two points, found once more along another branch."""
    if c.entries == ("voltage-order",):
        return False  # whoever takes the points in the wrong order does so along any branch
    voltages = {n: v for n, v in c.outcome.values.items() if n.startswith("V(")}
    return any(here.voltage(*name[2:-1].split(", ")) != value for name, value in voltages.items())


def _power_off(c: SlipClass, here: SettingInNumbers) -> bool:
    values, circuit = c.outcome.values, here.setting.circuit
    if any(name.startswith("P(") for name in values):
        met = [*here.setting.resistors, *here.setting.batteries]
        told = {n: values.get(f"P({n})", here.power(n)) for n in met}
        heat = sum_of(told[n] for n in here.setting.resistors) + here.heat_inside
        return heat != sum_of(told[n] for n in here.setting.batteries)
    if not _whole(values, here):
        return False
    return sum_of(values[n] * (here.resistance(n) * values[n] - here.rise(n)) for n in circuit.currents) != 0


def _too_high(c: SlipClass, here: SettingInNumbers) -> bool:
    """A voltage on a resistance, or between two points, above the sum of all emfs."""
    ceiling = sum_of(abs(here.values[b, False]) for b in here.setting.batteries)
    for name, value in c.outcome.values.items():
        if name.startswith("V(") and abs(value) > ceiling:
            return True
        if name in here.right and abs(value) * here.resistance(name) > ceiling:
            return True
    return False


def _limit_judge(here: SettingInNumbers, symbol: str) -> Callable[[SlipClass], bool]:
    """Tells of a class of slips whether taking this resistance to either end shows it: the wrong currents
    against those of the circuit with the resistance all but gone and all but cut."""
    size = max((abs(v) for v in here.right.values()), default=Fraction(0)) or Fraction(1)
    ends = [here.moved({symbol: factor}) for factor in (1 / FAR, FAR)]
    ends = [end for end in ends if all(abs(v) < size * 10**20 for v in end.right.values())]

    def catches(c: SlipClass) -> bool:
        return any(_differs(c.members[0].at(end), end, size * SETTLED) for end in ends)

    return catches


def _differs(outcome: SlipOutcome, end: SettingInNumbers, allowed: Fraction) -> bool:
    if outcome.fate is not Fate.ANSWER:
        return True
    return any(abs(v - end.right[n]) > allowed for n, v in outcome.values.items() if n in end.right)


def _scaling_judge(setting: Setting, here: SettingInNumbers) -> Callable[[SlipClass], bool]:
    """Tells whether tripling all sources, or all resistances, shows a slip: the wrong currents do not
    triple, or do not fall to a third."""
    circuit = setting.circuit
    kinds = {name: circuit.role(name) for name in circuit.symbols}
    strong = here.moved({n: Fraction(3) for n, kind in kinds.items() if kind is not Kind.RESISTOR})
    heavy = here.moved(
        {
            n: Fraction(3) if kind is Kind.RESISTOR else Fraction(1, 3)
            for n, kind in kinds.items()
            if kind is not Kind.BATTERY
        }
    )
    powers = {"P": (9, Fraction(1, 3)), "V": (3, Fraction(1)), "I": (3, Fraction(1, 3))}

    def catches(c: SlipClass) -> bool:
        more, less = (c.members[0].at(point) for point in (strong, heavy))
        if more.fate is not Fate.ANSWER or less.fate is not Fate.ANSWER:
            return True
        for name, value in c.outcome.values.items():
            by_sources, by_resistances = powers[name[0] if "(" in name else "I"]
            if more.values[name] != value * by_sources or less.values[name] != value * by_resistances:
                return True
        return False

    return catches


def _symmetry_judge(setting: Setting, here: SettingInNumbers, s: Symmetry) -> Callable[[SlipClass], bool]:
    """Tells whether a symmetry shows a slip: the wrong currents fail to change places when the values
    do."""
    moved = dict(here.symbols)
    for name, (other, sign) in s.symbols.items():
        if name in moved:
            moved[name] = here.symbols[other] * sign
    there = SettingInNumbers(setting, moved)

    def catches(c: SlipClass) -> bool:
        if not _whole(c.outcome.values, here):
            return False
        swapped = c.members[0].at(there)
        if swapped.fate is not Fate.ANSWER:
            return True
        return any(
            c.outcome.values[other] * sense != swapped.values[name]
            for name, (other, sense) in s.branches.items()
        )

    return catches
