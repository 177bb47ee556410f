"""Workings of circuits in time by a stranger: six small circuits worked out here by hand formulas alone,
written in many habits, right or with one slip and what follows from it.

Shares nothing with the product: fractions and `math.exp`, names and moments as different people write them.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from dataclasses import dataclass, field

SHAPES = ("fill", "fill-divider", "empty", "coil-on", "coil-divider", "coil-off")


@dataclass(frozen=True)
class Written:
    """A working. `problem`: the circuit as a file; `lines`: what is written; `wrong`: the number of the first
    wrong line, 0 where all are right; `keys`: the slips that may be named for it; `follow`: the numbers of
    lines that follow from it; `slip`: what was done."""

    problem: str
    lines: list[str]
    wrong: int = 0
    keys: frozenset[str] = frozenset()
    follow: tuple[int, ...] = ()
    slip: str = ""


@dataclass
class Case:
    """One circuit with its answers: `start` and `end` of each quantity by letter, in SI units; `tau`."""

    shape: str
    file: str
    values: dict[str, float]
    start: dict[str, float]
    end: dict[str, float]
    before: dict[str, float]
    seen: float
    tau: float
    seen_written: str
    law_after: str
    law_end: str
    coil: bool
    resistors: tuple[str, ...]
    formulas: dict[str, str] = field(default_factory=dict)


def figures(value: float, count: int) -> str:
    """A number to so many significant figures, without powers of ten."""
    if value == 0:
        return "0"
    decimals = count - 1 - math.floor(math.log10(abs(value)))
    shown = f"{round(value, decimals):.{max(decimals, 0)}f}"
    again = count - 1 - math.floor(math.log10(abs(float(shown))))
    return f"{round(value, again):.{max(again, 0)}f}"


def _case(rng: random.Random) -> Case:
    shape = rng.choice(SHAPES)
    kilo = rng.random() < 0.6
    ohm = 1000.0 if kilo else 1.0
    r1, r2, r3 = (float(rng.choice((1, 1.5, 2, 2.2, 3, 3.3, 4, 4.7, 5, 6, 6.8, 8, 10, 12))) for _ in range(3))
    while len({r1, r2, r3}) < 3:
        r2, r3 = (float(rng.choice((1, 2, 3, 4, 5, 6, 8, 10, 12))) for _ in range(2))
    e = float(rng.choice((5, 6, 9, 10, 12, 15, 20, 24)))
    c, henry = float(rng.choice((1, 2, 2.2, 4.7, 5, 10, 20, 47))), float(rng.choice((2, 5, 20, 40, 50, 120)))
    unit, size = ("kohm", 1e-6) if kilo else ("ohm", 1e-3)
    farad = "µF" if kilo else "mF"
    numbers = f'E = "{e:g} V"\nR1 = "{r1:g} {unit}"\n'
    a1, a2, a3, cap, ind = r1 * ohm, r2 * ohm, r3 * ohm, c * size, henry * 1e-3
    head = 'title = "A stranger"\n\n[branches]\n'
    closing = '\n[switching]\nS1 = "open -> closed"\n'
    opening = '\n[switching]\nS1 = "closed -> open"\n'
    more = f'R2 = "{r2:g} {unit}"\nR3 = "{r3:g} {unit}"\n'
    values = {"E": e, "R1": a1, "R2": a2, "R3": a3, "C1": cap, "L1": ind}
    if shape == "fill":
        v0 = float(rng.choice((0, 0, 2, 3)))
        file = head + 'I1 = "foot, +E, S1, R1, top"\nI2 = "top, C1, foot"\n' + closing
        file += f'\n[start]\nC1 = "{v0:g} V"\n\n[numbers]\n{numbers}C1 = "{c:g} {farad}"\n'
        i0 = (e - v0) / a1
        return Case(
            shape,
            file,
            values,
            {"I1": i0, "V": v0},
            {"I1": 0.0, "V": e},
            {"V": v0, "I1": 0.0},
            a1,
            a1 * cap,
            "R1",
            "E = I1 R1 + V",
            "V = E",
            False,
            ("R1",),
            {"V.end": "E"},
        )
    if shape == "fill-divider":
        v0 = float(rng.choice((0, 0, 1, 2)))
        file = (
            head + 'I1 = "foot, +E, S1, R1, top"\nI2 = "top, R2, foot"\nI3 = "top, R3, C1, foot"\n' + closing
        )
        file += f'\n[start]\nC1 = "{v0:g} V"\n\n[numbers]\n{numbers}{more}C1 = "{c:g} {farad}"\n'
        par = a1 * a2 / (a1 + a2)
        top0 = (e / a1 + v0 / a3) / (1 / a1 + 1 / a2 + 1 / a3)
        i3, i2, i1 = (top0 - v0) / a3, top0 / a2, (e - top0) / a1
        end = e / (a1 + a2)
        return Case(
            shape,
            file,
            values,
            {"I1": i1, "I2": i2, "I3": i3, "V": v0},
            {"I1": end, "I2": end, "I3": 0.0, "V": end * a2},
            {"V": v0},
            a3 + par,
            (a3 + par) * cap,
            "R3 + R1 R2/(R1 + R2)",
            "E = I1 R1 + I3 R3 + V",
            "E = I1 R1 + I2 R2",
            False,
            ("R1", "R2", "R3"),
            {"V.end": "E R2/(R1 + R2)", "I1.end": "E/(R1 + R2)"},
        )
    if shape == "empty":
        file = head + 'I1 = "foot, +E, S1, R1, top"\nI2 = "top, R2, foot"\nI3 = "top, C1, foot"\n' + opening
        file += f'\n[numbers]\n{numbers}R2 = "{r2:g} {unit}"\nC1 = "{c:g} {farad}"\n'
        v0 = e * a2 / (a1 + a2)
        i = v0 / a2
        return Case(
            shape,
            file,
            values,
            {"I1": 0.0, "I2": i, "I3": -i, "V": v0},
            {"I1": 0.0, "I2": 0.0, "I3": 0.0, "V": 0.0},
            {"V": v0, "I1": i, "I2": i, "I3": 0.0},
            a2,
            a2 * cap,
            "R2",
            "V = I2 R2",
            "I2 = 0",
            False,
            ("R1", "R2"),
            {"V.start": "E R2/(R1 + R2)"},
        )
    if shape == "coil-on":
        file = head + 'I1 = "foot, +E, S1, R1, top"\nI2 = "top, L1, foot"\n' + closing
        file += f'\n[numbers]\n{numbers}L1 = "{henry:g} mH"\n'
        end = e / a1
        return Case(
            shape,
            file,
            values,
            {"I1": 0.0},
            {"I1": end},
            {"I1": 0.0},
            a1,
            ind / a1,
            "R1",
            "E = V_L",
            "E = I1 R1",
            True,
            ("R1",),
            {"I1.end": "E/R1"},
        )
    if shape == "coil-divider":
        file = (
            head + 'I1 = "foot, +E, S1, R1, top"\nI2 = "top, R2, foot"\nI3 = "top, R3, L1, foot"\n' + closing
        )
        file += f'\n[numbers]\n{numbers}R2 = "{r2:g} {unit}"\nR3 = "{r3:g} {unit}"\nL1 = "{henry:g} mH"\n'
        par = a1 * a2 / (a1 + a2)
        top = e / a1 / (1 / a1 + 1 / a2 + 1 / a3)
        first = e / (a1 + a2)
        return Case(
            shape,
            file,
            values,
            {"I1": first, "I2": first, "I3": 0.0},
            {"I1": (e - top) / a1, "I2": top / a2, "I3": top / a3},
            {"I3": 0.0, "I1": 0.0, "I2": 0.0},
            a3 + par,
            ind / (a3 + par),
            "R3 + R1 R2/(R1 + R2)",
            "E = I1 R1 + I2 R2",
            "E = I1 R1 + I3 R3",
            True,
            ("R1", "R2", "R3"),
            {"I1.start": "E/(R1 + R2)"},
        )
    file = head + 'I1 = "foot, +E, S1, R1, top"\nI2 = "top, R2, foot"\nI3 = "top, L1, foot"\n' + opening
    file += f'\n[numbers]\n{numbers}R2 = "{r2:g} {unit}"\nL1 = "{henry:g} mH"\n'
    i0 = e / a1
    return Case(
        shape,
        file,
        values,
        {"I1": 0.0, "I2": -i0, "I3": i0},
        {"I1": 0.0, "I2": 0.0, "I3": 0.0},
        {"I1": i0, "I3": i0, "I2": 0.0},
        a2,
        ind / a2,
        "R2",
        "I2 + I3 = 0",
        "I3 = 0",
        True,
        ("R1", "R2"),
        {"I3.start": "E/R1"},
    )


class Scribe:
    """One writer of one working."""

    def __init__(self, case: Case, rng: random.Random, slip: str) -> None:
        self.case, self.rng, self.slip = case, rng, slip
        self.count = rng.choice((3, 3, 4))
        self.under = rng.choice(("", "_", ""))
        self.moment = rng.choice(("call", "call", "words"))
        self.time_sign = rng.choice(("e^(-t/{})", "exp(-t/{})", "e^{{-t/{}}}", "e^(-t/{})"))
        self.tau_name = rng.choice(("tau", "τ", "tau"))
        self.volt = rng.choice(("V_C", "v_C", "V(C1)", "V_C1"))
        self.times = rng.choice((" * ", " × ", " · "))
        self.in_symbols = rng.random() < 0.35
        self.start, self.end, self.tau, self.seen = dict(case.start), dict(case.end), case.tau, case.seen
        self.lines: list[str] = []
        self.wrong, self.keys = 0, frozenset[str]()
        self.follow: list[int] = []
        self.off = False
        self.amp = "mA" if case.values["R1"] >= 1000 else "A"

    # -- names and numbers ---------------------------------------------------------------------------

    def name(self, quantity: str) -> str:
        """A quantity in this hand."""
        if quantity == "V":
            return self.volt
        if self.under:
            return f"{quantity[0]}_{quantity[1:]}"
        return quantity

    def at(self, quantity: str, moment: str) -> str:
        """A quantity at a moment, and words before it where the hand says the moment in words."""
        mark = {
            "start": self.rng.choice(("0+", "0+", "0^+")),
            "end": self.rng.choice(("oo", "∞")),
            "before": "0-",
        }[moment]
        if self.moment == "call":
            return f"{self.name(quantity)}({mark})"
        words = {
            "start": ("Just after: ", "At t = 0+: "),
            "end": ("Long after: ", "In the steady state: "),
            "before": ("Just before: ", "Before: "),
        }
        return self.rng.choice(words[moment]) + self.name(quantity)

    def amount(self, quantity: str, value: float) -> str:
        """A value with its unit."""
        if quantity == "V":
            return f"{figures(value, self.count)} V"
        scale = 1e-3 if self.amp == "mA" else 1.0
        return f"{figures(value / scale, self.count)} {self.amp}"

    def seconds(self, value: float) -> str:
        """A time with a unit that suits it."""
        for unit, size in (("s", 1.0), ("ms", 1e-3), ("µs", 1e-6), ("ns", 1e-9)):
            if abs(value) >= size:
                return f"{figures(value / size, self.count)} {unit}"
        return f"{figures(value / 1e-9, self.count)} ns"

    def ohms(self, value: float) -> str:
        """A resistance with its unit."""
        if self.amp == "mA":
            return f"{figures(value / 1000, max(self.count, 4))} kΩ"
        return f"{figures(value, max(self.count, 4))} Ω"

    def put(self, line: str, *, follows: bool = False) -> None:
        """Writes a line; `follows`: it is not true where a slip above is."""
        self.lines.append(line)
        if follows and self.off:
            self.follow.append(len(self.lines))

    def slipped(self, line: str, *keys: str) -> None:
        """Writes the line that is wrong."""
        self.lines.append(line)
        self.wrong, self.keys, self.off = len(self.lines), frozenset(keys), True

    # -- the parts of a working ------------------------------------------------------------------------

    def write(self) -> None:
        """All lines."""
        steps: list[Callable[[], None]] = [self.ends, self.constant, self.courses]
        if self.rng.random() < 0.5:
            steps = [self.constant, self.ends, self.courses]
        for step in steps:
            step()
        self.later()

    def ends(self) -> None:
        """Laws and values just after and long after."""
        case, rng = self.case, self.rng
        if rng.random() < 0.5:
            law = case.law_after
            ends_in_nothing = law.endswith(" V") and not case.start["V"]
            if self.slip == "law-sign" and " + " in law and not ends_in_nothing and not self.wrong:
                at = law.rindex(" + ")
                self.slipped(
                    "Just after: " + self._law(law[:at] + " - " + law[at + 3 :]),
                    "drop-sign",
                    "source-sign",
                    "junction-sign",
                    "moved-sign",
                    "voltage-order",
                )
                self.off = False
            else:
                self.put("Just after: " + self._law(law))
        for quantity, true in case.start.items():
            if rng.random() < 0.35 and quantity not in self._needed():
                continue
            written = self.at(quantity, "start")
            value = true
            if not self.wrong and (wrong := self._wrong_start(quantity, true)) is not None:
                value, keys = wrong
                self.start[quantity] = value
                self.slipped(f"{written} = {self.amount(quantity, value)}", *keys)
                continue
            formula = case.formulas.get(f"{quantity}.start")
            middle = f" = {formula}" if formula and rng.random() < 0.6 else ""
            self.put(f"{written}{middle} = {self.amount(quantity, value)}")
        if rng.random() < 0.4:
            self.put("Long after: " + self._law(case.law_end))
        for quantity, true in case.end.items():
            written = self.at(quantity, "end")
            value = true
            if not self.wrong and (wrong := self._wrong_end(quantity, true)) is not None:
                value, keys = wrong
                self.end[quantity] = value
                self.slipped(f"{written} = {self.amount(quantity, value)}", *keys)
                continue
            formula = case.formulas.get(f"{quantity}.end")
            middle = f" = {formula}" if formula and rng.random() < 0.6 else ""
            self.put(f"{written}{middle} = {self.amount(quantity, value)}")

    def _law(self, law: str) -> str:
        text = law
        for quantity in ("I1", "I2", "I3"):
            text = text.replace(quantity, self.name(quantity))
        return " ".join(self.volt if word == "V" else word for word in text.split())

    def _needed(self) -> tuple[str, ...]:
        return ("V",) if not self.case.coil else ("I3",)

    def _wrong_start(self, quantity: str, true: float) -> tuple[float, tuple[str, ...]] | None:
        case = self.case
        if self.slip == "exchanged-start" and abs(case.end[quantity] - true) > 0.05 * (
            abs(true) + abs(case.end[quantity])
        ):
            return case.end[quantity], (
                "ends-exchanged",
                "capacitor-always",
                "coil-always",
                "coil-current-jumps",
                "wrong-continuous",
                "currents-for-charge",
            )
        if self.slip == "carried" and quantity in case.before and quantity != "V":
            old = case.before[quantity]
            if abs(old - true) > 0.05 * (abs(true) + abs(old)) and not (case.coil and quantity == "I3"):
                return old, (
                    "wrong-continuous",
                    "ends-exchanged",
                    "capacitor-always",
                    "coil-always",
                    "currents-for-charge",
                    "coil-current-jumps",
                    "direction-after",
                )
        if self.slip == "coil-jumps" and case.shape == "coil-off" and quantity == "I3":
            return 0.0, ("coil-current-jumps", "ends-exchanged", "coil-always")
        if self.slip == "direction" and case.shape in ("coil-off", "empty") and quantity == "I2" and true:
            return -true, ("direction-after", "minus-dropped")
        return None

    def _wrong_end(self, quantity: str, true: float) -> tuple[float, tuple[str, ...]] | None:
        case = self.case
        if self.slip == "exchanged-end" and abs(case.start[quantity] - true) > 0.05 * (
            abs(true) + abs(case.start[quantity])
        ):
            return case.start[quantity], (
                "ends-exchanged",
                "capacitor-always",
                "coil-always",
                "minus-dropped",
            )
        if self.slip == "whole-emf" and case.shape == "fill-divider" and quantity == "V":
            return case.values["E"], ("charge-of-emf",)
        if self.slip == "prefix" and true and quantity != "V":
            return true * 1000, ("prefix-dropped",)
        return None

    def constant(self) -> None:
        """What the storage sees, and the time constant."""
        case, rng = self.case, self.rng
        storage = "L1" if case.coil else "C1"
        size = case.values[storage]
        shown = rng.random() < 0.5
        if shown and not self.slip.startswith("tau"):
            self.put(f"R_seen = {case.seen_written} = {self.ohms(case.seen)}")
        formula, wrong = self._formula(case.seen_written, storage), False
        keys: tuple[str, ...] = ()
        if (
            not self.wrong
            and self.slip.startswith("tau")
            and (made := self._wrong_tau(storage, size)) is not None
        ):
            formula, self.tau, keys = made
            wrong = True
        style = rng.choice(("formula", "chain", "value"))
        head = self.tau_name
        value = self.seconds(self.tau)
        line = f"{head} = {value}" if style == "value" else f"{head} = {formula}"
        if style == "chain":
            line = f"{head} = {formula} = {value}"
        if wrong:
            self.slipped(line, *keys)
        else:
            self.put(line)

    def _formula(self, seen: str, storage: str) -> str:
        bracketed = f"({seen})" if " " in seen else seen
        return f"{storage}/{bracketed}" if storage == "L1" else f"{bracketed} {storage}"

    def _wrong_tau(self, storage: str, size: float) -> tuple[str, float, tuple[str, ...]] | None:
        case = self.case
        r = case.values

        def tau(seen: float) -> float:
            return size / seen if storage == "L1" else seen * size

        if self.slip == "tau-nearest" and len(case.resistors) > 1:
            one = self.rng.choice([n for n in case.resistors if abs(r[n] / case.seen - 1) > 0.03] or ["R1"])
            if abs(r[one] / case.seen - 1) > 0.03:
                return self._formula(one, storage), tau(r[one]), ("nearest-resistance",)
        if self.slip == "tau-series" and len(case.resistors) > 1:
            total = sum(r[n] for n in case.resistors)
            return (
                self._formula(" + ".join(case.resistors), storage),
                tau(total),
                ("seen-combined", "bypassed-counted", "battery-left-in"),
            )
        if self.slip == "tau-form" and not (storage == "L1" and abs(case.seen - 1) < 0.03):  # L R = L/R there
            if storage == "L1":
                return f"L1 {self._round_brackets(case.seen_written)}", size * case.seen, ("tau-form",)
            return f"{self._round_brackets(case.seen_written)}/C1", case.seen / size, ("tau-form",)
        return None

    @staticmethod
    def _round_brackets(text: str) -> str:
        return f"({text})" if " " in text else text

    # -- courses ---------------------------------------------------------------------------------------

    def power(self, tau: float) -> str:
        """The power of e in this hand."""
        rng = self.rng
        if self.in_symbols or rng.random() < 0.4:
            return self.time_sign.format(self.tau_name)
        kind = rng.choice(("unit", "rate", "unit"))
        if kind == "rate" and tau < 1000:
            return f"e^(-{figures(1 / tau, max(self.count, 4))} t)"
        return self.time_sign.format("(" + self.seconds(tau) + ")")

    def courses(self) -> None:
        """The functions of time."""
        for quantity in self._needed() if not self.case.coil or "I3" in self.case.start else ("I1",):
            self.course(quantity)
        others = [q for q in self.case.start if q not in self._needed()]
        if others and self.rng.random() < 0.6:
            self.course(self.rng.choice(others))

    def course(self, quantity: str) -> None:
        """One function of time."""
        start, end = self.start[quantity], self.end[quantity]
        name = f"{self.name(quantity)}(t)"
        power = self.power(self.tau)
        body = self._body(quantity, start, end, power)
        true = (
            self.start[quantity] == self.case.start[quantity]
            and self.end[quantity] == self.case.end[quantity]
            and self.tau == self.case.tau
        )
        moves = abs(start - end) > 1e-12
        if not self.wrong and moves and self.slip in ("sign", "rate", "form", "left-out", "no-difference"):
            made = self._wrong_course(quantity, start, end, power)
            if made is not None:
                self.slipped(f"{name} = {made[0]}", *made[1])
                return
        self.put(f"{name} = {body}", follows=not true and moves)

    def _body(self, quantity: str, start: float, end: float, power: str) -> str:
        if abs(start - end) < 1e-12:
            return self.amount(quantity, end)
        if abs(end) < 1e-12:
            return f"{self.amount(quantity, start)} {power}"
        if abs(start) < 1e-12 and self.rng.random() < 0.7:
            return f"{self.amount(quantity, end)} (1 - {power})"
        gap = start - end
        sign = "+" if gap > 0 else "-"
        return f"{self.amount(quantity, end)} {sign} {self.amount(quantity, abs(gap))} {power}"

    def _wrong_course(
        self, quantity: str, start: float, end: float, power: str
    ) -> tuple[str, tuple[str, ...]] | None:
        if self.slip == "sign" and "-" in power:
            return self._body(
                quantity, start, end, power.replace("-", "+" if "(+" not in power else "", 1)
            ), ("exponent-sign",)
        if self.slip == "rate":
            rate = figures(1000 / self.tau, 4)
            return self._body(quantity, start, end, f"e^(-{rate} t)"), ("exponent-prefix",)
        if self.slip == "form":
            if abs(end) < 1e-12:
                return f"{self.amount(quantity, start)} (1 - {power})", ("rise-for-fall", "ends-exchanged")
            if abs(start) < 1e-12:
                return f"{self.amount(quantity, end)} {power}", ("rise-for-fall", "ends-exchanged")
            return f"{self.amount(quantity, end)} (1 - {power})", ("rise-for-fall",)
        if self.slip == "left-out" and abs(end) > 1e-12 and abs(start) > 1e-12:
            return f"{self.amount(quantity, start)} {power}", ("end-left-out",)
        if self.slip == "no-difference" and abs(end) > 1e-12 and abs(start) > 1e-12:
            return f"{self.amount(quantity, end)} + {self.amount(quantity, start)} {power}", (
                "start-for-difference",
            )
        return None

    def later(self) -> None:
        """A value at a time, and what is stored."""
        rng, case = self.rng, self.case
        quantity = self._needed()[0] if self._needed()[0] in case.start else "I1"
        if rng.random() < 0.6:
            time = float(figures(self.tau * rng.choice((0.5, 1.0, 1.5, 2.0)), 2))
            value = self.end[quantity] + (self.start[quantity] - self.end[quantity]) * math.exp(
                -time / self.tau
            )
            told = self.seconds(time).split()
            moment = f"{float(told[0]):g} {told[1]}"
            true = (
                self.tau == case.tau
                and self.start[quantity] == case.start[quantity]
                and self.end[quantity] == case.end[quantity]
            )
            head = (
                f"{self.name(quantity)}({moment})"
                if rng.random() < 0.6
                else f"After {moment}: {self.name(quantity)}"
            )
            self.put(f"{head} = {self.amount(quantity, value)}", follows=not true)
        if rng.random() < 0.6 or self.slip == "half":
            storage = "L1" if case.coil else "C1"
            held = self.end[quantity] if self.end[quantity] else self.start[quantity]
            moment = "end" if self.end[quantity] else "start"
            half = 0.5
            wrong = self.slip == "half" and not self.wrong
            if wrong:
                half = 1.0
            energy = half * case.values[storage] * held * held
            unit, scale = next(
                ((u, s) for u, s in (("J", 1.0), ("mJ", 1e-3), ("µJ", 1e-6), ("nJ", 1e-9)) if energy >= s),
                ("nJ", 1e-9),
            )
            told_energy = f"{figures(energy / scale, self.count)} {unit}"
            words = "Long after, " if moment == "end" else "Just after, "
            line = f"{words}U({storage}) = {told_energy}"
            if wrong:
                self.slipped(line, "half-forgotten")
                self.off = False
            else:
                true = abs(held - (case.end if moment == "end" else case.start)[quantity]) < 1e-15
                self.put(line, follows=not true)


SLIPS = (
    "exchanged-start", "carried", "coil-jumps", "direction", "exchanged-end", "whole-emf", "prefix",
    "tau-nearest", "tau-series", "tau-form", "sign", "rate", "form", "left-out", "no-difference", "half",
    "law-sign",
)  # fmt: skip


def drawn(seed: int, *, wrong: bool) -> Written:
    """The working of a seed; where no slip of the one drawn fits the circuit, the next circuit is drawn."""
    rng = random.Random(f"in time {seed} {wrong}")
    while True:
        case = _case(rng)
        scribe = Scribe(case, rng, rng.choice(SLIPS) if wrong else "")
        scribe.write()
        if bool(scribe.wrong) is wrong:
            return Written(
                case.file, scribe.lines, scribe.wrong, scribe.keys, tuple(scribe.follow), scribe.slip
            )
