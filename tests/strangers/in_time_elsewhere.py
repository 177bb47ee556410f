"""More workings of circuits in time by a stranger: shared charge, capacitors in a row, a second stage,
coupled storages, inside resistances, a bridged resistor, an opened coil; right or with one slip.

Every circuit is worked out here by formulas of its own in floating point. Shares nothing with the product.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from dataclasses import dataclass, field

from tests.strangers.in_time import Written, figures

_PREFIXES = ((1.0, ""), (1e-3, "m"), (1e-6, "µ"), (1e-9, "n"), (1e-12, "p"))
_OHMS = (1.0, 1.2, 1.5, 2.0, 2.2, 3.0, 3.3, 4.7, 5.0, 6.8, 7.5, 8.2, 9.1, 11.0, 13.0)


@dataclass
class Paper:
    """One working as it comes about. `slip`: what the writer gets wrong; `bad`: whether that has happened and
    what stands below rests on it."""

    rng: random.Random
    slip: str
    lines: list[str] = field(default_factory=list)
    wrong: int = 0
    keys: frozenset[str] = frozenset()
    follow: list[int] = field(default_factory=list)
    bad: bool = False

    def __post_init__(self) -> None:
        self.count = 4 if self.slip in ("few-figures", "settled") else self.rng.choice((3, 4, 4))
        self.volt = self.rng.choice(("V({})", "V_{}", "v_{}", "U_{}"))
        self.words = self.rng.random() < 0.4
        self.end_mark = self.rng.choice(("oo", "∞"))
        self.tau = self.rng.choice(("tau", "τ"))
        self.power = self.rng.choice(("e^(-t/{})", "exp(-t/{})", "e^{{-t/{}}}"))

    def unit(self, value: float, unit: str, count: int = 0) -> str:
        """A value with the prefix that suits it."""
        if not value:
            return f"0 {unit}"
        for size, letter in _PREFIXES:
            if abs(value) >= size * 0.9995:
                return f"{figures(value / size, count or self.count)} {letter}{unit}"
        return f"{figures(value / 1e-12, count or self.count)} p{unit}"

    def ohms(self, value: float) -> str:
        """A resistance."""
        if value >= 1000:
            return f"{figures(value / 1000, max(4, self.count))} kΩ"
        return f"{figures(value, max(4, self.count))} Ω"

    def v(self, storage: str) -> str:
        """The voltage of a storage, by name."""
        return self.volt.format(storage)

    def start(self, name: str) -> str:
        """A quantity just after."""
        if self.words:
            return f"Just after: {name}"
        return f"{name}({self.rng.choice(('0+', '0^+'))})"

    def end(self, name: str) -> str:
        """A quantity long after."""
        if self.words:
            return self.rng.choice((f"Long after: {name}", f"In the end: {name}(oo)"))
        return f"{name}({self.end_mark})"

    def e(self, tau: float) -> str:
        """The power of e."""
        return self.power.format(self.rng.choice((self.tau, f"({self.unit(tau, 's')})")))

    def put(self, line: str, *, follows: bool = False) -> None:
        """A line; `follows`: it is not true where the slip above is."""
        self.lines.append(line)
        if follows and self.bad:
            self.follow.append(len(self.lines))

    def err(self, line: str, *keys: str, ends: bool = False) -> None:
        """The wrong line; `ends`: nothing rests on it."""
        self.lines.append(line)
        self.wrong, self.keys, self.bad = len(self.lines), frozenset(keys), not ends


def _numbers(**values: str) -> str:
    return "\n[numbers]\n" + "".join(f'{name} = "{value}"\n' for name, value in values.items())


def _three(rng: random.Random, count: int = 3) -> list[float]:
    return rng.sample(_OHMS, count)


def bridged(paper: Paper) -> str:
    """A resistor straight across an ideal battery, and beside it R2 with a capacitor that holds something."""
    rng = paper.rng
    r1, r2 = (r * 1000 for r in _three(rng, 2))
    e, v0, c = (
        float(rng.choice((6, 9, 12, 15, 24))),
        float(rng.choice((1, 2, 3, 4))),
        rng.choice((1.0, 2.2, 4.7, 10.0, 22.0)) * 1e-6,
    )
    file = (
        '[branches]\nI1 = "foot, +E, S1, top"\nI2 = "top, R1, foot"\nI3 = "top, R2, C1, foot"\n'
        '[switching]\nS1 = "open -> closed"\n'
        f'[start]\nC1 = "{v0:g} V"\n'
        + _numbers(E=f"{e:g} V", R1=f"{r1 / 1000:g} kohm", R2=f"{r2 / 1000:g} kohm", C1=f"{c * 1e6:g} uF")
    )
    i3, vc = (e - v0) / r2, paper.v("C1")
    if paper.slip == "empty-taken":
        i3 = e / r2
        paper.err(f"{paper.start('I3')} = E/R2 = {paper.unit(i3, 'A')}", "currents-for-charge")
    else:
        paper.put(f"{paper.start('I3')} = (E - {v0:g} V)/R2 = {paper.unit(i3, 'A')}")
    paper.put(f"{paper.start('I2')} = E/R1 = {paper.unit(e / r1, 'A')}")
    if rng.random() < 0.6:
        paper.put(f"{paper.start('I1')} = {paper.unit(e / r1 + i3, 'A')}", follows=True)
    if rng.random() < 0.6:
        paper.put(f"{paper.end('I1')} = {paper.unit(e / r1, 'A')}")
    i3_bad, paper.bad = paper.bad, False
    tau, text = r2 * c, "R2 C1"
    if paper.slip == "bridged-counted":
        tau, text = rng.choice(
            (((r1 + r2) * c, "(R1 + R2) C1"), (r1 * r2 / (r1 + r2) * c, "R1 R2/(R1 + R2) C1"))
        )
        keys = ("bypassed-counted", *(["battery-left-in"] if "+" in text[:9] and "/" not in text else []))
        paper.err(
            f"{paper.tau} = {text} = {paper.unit(tau, 's')}", *keys
        )  # a battery left in comes to R1 + R2
    else:
        paper.put(f"{paper.tau} = {text} = {paper.unit(tau, 's')}")
    paper.put(f"{vc}(t) = {paper.unit(e, 'V')} - {paper.unit(e - v0, 'V')} {paper.e(tau)}", follows=True)
    tau_bad, paper.bad = paper.bad, paper.bad or i3_bad
    if rng.random() < 0.5:
        paper.put(f"I3(t) = {paper.unit(i3, 'A')} {paper.e(tau)}", follows=True)
    paper.bad = tau_bad
    if paper.slip == "settled" or (not paper.slip and rng.random() < 0.3):
        value = e if paper.slip else e - (e - v0) * math.exp(-5)
        line = f"{vc}(5 {paper.tau}) = {paper.unit(value, 'V', 4)}"
        if paper.slip:
            paper.err(line, "settled-at-five", ends=True)
        else:
            paper.put(line)
    if paper.slip == "few-figures" or (not paper.slip and rng.random() < 0.3):
        value = e - (e - v0) * (0.37 if paper.slip else math.exp(-1))
        line = f"{vc}({paper.tau}) = {paper.unit(value, 'V', 4)}"
        if paper.slip:
            paper.err(line, "early-rounding", ends=True)
        else:
            paper.put(line)
    charge = paper.unit(c * e, "C")
    if paper.slip == "charge-in-farads":
        paper.err(f"{paper.end('Q(C1)')} = C1 E = {paper.unit(c * e, 'F')}", "unit-missing", ends=True)
    elif paper.slip == "micro-lost":
        number = charge.split()[0]
        paper.err(f"{paper.end('Q(C1)')} = {number} C", "prefix-dropped", ends=True)
    else:
        paper.put(f"{paper.end('Q(C1)')} = C1 E = {charge}")
    return file


def inside(paper: Paper) -> str:
    """A battery with an inside resistance fills a capacitor through R1."""
    rng = paper.rng
    (r1, r) = _three(rng, 2)
    e, c = float(rng.choice((3, 4.5, 6, 9, 12))), rng.choice((100.0, 220.0, 470.0, 1000.0)) * 1e-6
    file = (
        '[branches]\nI1 = "foot, +E, S1, R1, top"\nI2 = "top, C1, foot"\n'
        '[elements]\nE = { value = "E", internal = "r" }\n'
        '[switching]\nS1 = "open -> closed"\n[start]\nC1 = "0 V"\n'
        + _numbers(E=f"{e:g} V", R1=f"{r1:g} ohm", r=f"{r:g} ohm", C1=f"{c * 1e6:g} uF")
    )
    vc, first, tau = paper.v("C1"), e / (r1 + r), (r1 + r) * c
    if paper.slip == "inside-at-start":
        first = e / r1
        paper.err(f"{paper.start('I1')} = E/R1 = {paper.unit(first, 'A')}", "inside-forgotten")
    else:
        paper.put(f"{paper.start('I1')} = E/(R1 + r) = {paper.unit(first, 'A')}")
    start_bad, paper.bad = paper.bad, False
    if paper.slip == "inside-in-tau":
        tau = r1 * c
        paper.err(f"{paper.tau} = R1 C1 = {paper.unit(tau, 's')}", "inside-forgotten", "nearest-resistance")
    else:
        paper.put(f"{paper.tau} = (R1 + r) C1 = {paper.unit(tau, 's')}")
    paper.put(f"{vc}(t) = {paper.unit(e, 'V')} (1 - {paper.e(tau)})", follows=True)
    paper.bad = paper.bad or start_bad
    paper.put(f"I1(t) = {paper.unit(first, 'A')} {paper.e(tau)}", follows=True)
    work = c * e * e
    if paper.slip == "work-halved":
        paper.err(f"W(E) = C1 E^2/2 = {paper.unit(work / 2, 'J')}", "battery-work", ends=True)
    elif rng.random() < 0.7:
        paper.put(f"W(E) = C1 E^2 = {paper.unit(work, 'J')}")
    if paper.slip == "energy-doubled":
        paper.err(f"{paper.end('U(C1)')} = C1 E^2 = {paper.unit(work, 'J')}", "half-forgotten", ends=True)
    elif rng.random() < 0.6:
        paper.put(f"{paper.end('U(C1)')} = 1/2 C1 E^2 = {paper.unit(work / 2, 'J')}")
    if paper.slip == "heat-doubled":
        heat = work * r1 / (r1 + r)
        paper.err(f"heat(R1) = {paper.unit(heat, 'J')}", "half-forgotten", ends=True)
    elif rng.random() < 0.4:
        paper.put(f"heat(R1) = {paper.unit(work / 2 * r1 / (r1 + r), 'J')}")
    return file


def shared(paper: Paper) -> str:
    """Two charged capacitors joined through a resistor."""
    rng = paper.rng
    c1, c2 = (c * 1e-6 for c in rng.sample((1.0, 2.0, 3.0, 4.7, 6.0, 10.0, 15.0, 22.0), 2))
    r = rng.choice(_OHMS) * 1000
    v1, v2 = float(rng.choice((6, 9, 12, 20, 24))), float(rng.choice((0, 0, 2, 3, 4, -2, -3)))
    if paper.slip == "plates" and not v2:
        v2 = float(rng.choice((2, 3, -2, -3)))
    file = (
        '[branches]\nI1 = "a, C1, b"\nI2 = "a, S1, R1, C2, b"\n[switching]\nS1 = "open -> closed"\n'
        f'[start]\nC1 = "{v1:g} V"\nC2 = "{v2:g} V"\n'
        + _numbers(R1=f"{r / 1000:g} kohm", C1=f"{c1 * 1e6:g} uF", C2=f"{c2 * 1e6:g} uF")
    )
    first = (v1 - v2) / r
    if rng.random() < 0.6:
        paper.put(f"{paper.start('I2')} = {paper.unit(first, 'A')}")
    both = c1 + c2
    level = (c1 * v1 + c2 * v2) / both
    name = paper.v(rng.choice(("C1", "C2")))
    if paper.slip == "energy-kept":
        level = math.sqrt((c1 * v1 * v1 + c2 * v2 * v2) / both)
        paper.err(f"{paper.end(name)} = {paper.unit(level, 'V')}", "energy-kept")
    elif paper.slip == "plates":
        level = (c1 * v1 - c2 * v2) / both
        paper.err(f"{paper.end(name)} = {paper.unit(level, 'V')}", "plates-added")
    else:
        paper.put(f"{paper.end(name)} = {paper.unit(level, 'V')}")
    if rng.random() < 0.5:
        paper.put(f"{paper.end('Q(C1)')} = {paper.unit(c1 * level, 'C')}", follows=True)
    paper.bad = False
    tau = r * c1 * c2 / both
    if paper.slip == "row-added":
        tau = r * both
        paper.err(f"{paper.tau} = R1 (C1 + C2) = {paper.unit(tau, 's')}", "capacitors-combined")
    else:
        paper.put(f"{paper.tau} = R1 C1 C2/(C1 + C2) = {paper.unit(tau, 's')}")
    paper.put(f"I2(t) = {paper.unit(first, 'A')} {paper.e(tau)}", follows=True)
    return file


def lamp_between(paper: Paper) -> str:
    """A lamp between two capacitors, all in one loop with the battery."""
    rng = paper.rng
    c1, c2 = (c * 1e-6 for c in rng.sample((1.0, 2.0, 3.0, 4.7, 6.0, 10.0, 15.0, 22.0), 2))
    r, e = rng.choice(_OHMS) * 100, float(rng.choice((6, 9, 12, 24)))
    file = (
        '[branches]\nI1 = "foot, +E, S1, C1, R1, C2, foot"\n[switching]\nS1 = "open -> closed"\n'
        '[start]\nC1 = "0 V"\nC2 = "0 V"\n'
        + _numbers(E=f"{e:g} V", R1=f"{r:g} ohm", C1=f"{c1 * 1e6:g} uF", C2=f"{c2 * 1e6:g} uF")
    )
    row = c1 * c2 / (c1 + c2)
    first, tau = e / r, r * row
    if paper.slip == "between":
        first = 0.0
        keys = ("between-capacitors", "capacitor-always", "wrong-continuous")
        paper.err(f"{paper.start('I1')} = 0 A", *keys)
    else:
        paper.put(f"{paper.start('I1')} = E/R1 = {paper.unit(first, 'A')}")
    if rng.random() < 0.6:
        paper.put(f"{paper.end('I1')} = 0 A")
    start_bad, paper.bad = paper.bad, False
    if paper.slip == "row-added":
        tau = r * (c1 + c2)
        paper.err(f"{paper.tau} = R1 (C1 + C2) = {paper.unit(tau, 's')}", "capacitors-combined")
    else:
        paper.put(f"{paper.tau} = R1 C1 C2/(C1 + C2) = {paper.unit(tau, 's')}")
    if not start_bad:
        paper.put(f"I1(t) = {paper.unit(first, 'A')} {paper.e(tau)}", follows=True)
    paper.bad = False
    one, mine = rng.choice((("C1", c2), ("C2", c1)))
    paper.put(f"{paper.end(paper.v(one))} = {paper.unit(e * mine / (c1 + c2), 'V')}")
    if paper.slip == "work-halved":
        paper.err(f"W(E) = {paper.unit(row * e * e / 2, 'J')}", "battery-work", ends=True)
    elif rng.random() < 0.5:
        paper.put(f"W(E) = {paper.unit(row * e * e, 'J')}")
    return file


def later(paper: Paper) -> str:
    """A capacitor fills through R1; at t1 a second switch puts R2 across it."""
    rng = paper.rng
    r1, r2 = (r * 1000 for r in _three(rng, 2))
    e, c = float(rng.choice((9, 12, 15, 24))), rng.choice((1.0, 2.2, 4.7, 10.0)) * 1e-6
    tau, both = r1 * c, r1 * r2 / (r1 + r2) * c
    end = e * r2 / (r1 + r2)
    held = end
    while abs(held - end) < 0.05 * e:  # a stage that begins where it ends shows no slip
        t1 = float(figures(tau * rng.choice((0.5, 0.8, 1.2, 2.0)) * 1e3, 2))
        held = e * (1 - math.exp(-t1 * 1e-3 / tau))
    file = (
        '[branches]\nI1 = "foot, +E, S1, R1, top"\nI2 = "top, S2, R2, foot"\nI3 = "top, C1, foot"\n'
        f'[switching]\nS1 = "open -> closed"\nS2 = "open -> closed at {t1:g} ms"\n[start]\nC1 = "0 V"\n'
        + _numbers(E=f"{e:g} V", R1=f"{r1 / 1000:g} kohm", R2=f"{r2 / 1000:g} kohm", C1=f"{c * 1e6:g} uF")
    )
    vc = paper.v("C1")
    paper.put(f"S1 closes: {paper.tau} = R1 C1 = {paper.unit(tau, 's')}")
    paper.put(f"{vc}(t) = {paper.unit(e, 'V')} (1 - e^(-t/{paper.tau}))")
    paper.put(f"{vc}({t1:g} ms) = {paper.unit(held, 'V')}")
    paper.put(f"Then S2 closes. Long after: {vc}(oo) = E R2/(R1 + R2) = {paper.unit(end, 'V')}")
    formula = "C1 R1 R2/(R1 + R2)"
    if paper.slip == "tau-stays":
        both = r1 * c if rng.random() < 0.5 else r2 * c
        formula = "R1 C1" if both == r1 * c else "R2 C1"
        paper.err(f"{paper.tau}2 = {formula} = {paper.unit(both, 's')}", "nearest-resistance")
    else:
        paper.put(f"{paper.tau}2 = {formula} = {paper.unit(both, 's')}")
    if paper.slip == "first-clock" or rng.random() < 0.7:
        sign = "+" if held > end else "-"
        body = f"{paper.unit(end, 'V')} {sign} {paper.unit(abs(held - end), 'V')}"
        paper.put(f"{vc}(t) = {body} e^(-(t - {t1:g} ms)/({paper.unit(both, 's')}))", follows=True)
    time = float(figures((t1 * 1e-3 + both * rng.choice((0.5, 1.0, 1.5))) * 1e3, 2))
    span = (time if paper.slip == "first-clock" else time - t1) * 1e-3
    value = end + (held - end) * math.exp(-span / both)
    line = f"{vc}({time:g} ms) = {paper.unit(value, 'V', 4)}"
    if paper.slip == "first-clock":
        paper.err(line, "second-stage", ends=True)
    else:
        paper.put(line, follows=True)
    return file


def coupled(paper: Paper) -> str:
    """Two resistors and two capacitors in two steps, which feel one another."""
    rng = paper.rng
    r1, r2 = (r * 1000 for r in _three(rng, 2))
    c1, c2 = (c * 1e-6 for c in rng.sample((1.0, 2.2, 3.3, 4.7, 10.0), 2))
    e = float(rng.choice((6, 9, 12)))
    file = (
        '[branches]\nI1 = "foot, +E, S1, R1, a"\nI2 = "a, C1, foot"\nI3 = "a, R2, C2, foot"\n'
        '[switching]\nS1 = "open -> closed"\n[start]\nC1 = "0 V"\nC2 = "0 V"\n'
        + _numbers(
            E=f"{e:g} V",
            R1=f"{r1 / 1000:g} kohm",
            R2=f"{r2 / 1000:g} kohm",
            C1=f"{c1 * 1e6:g} uF",
            C2=f"{c2 * 1e6:g} uF",
        )
    )
    paper.put(f"{paper.start('I1')} = E/R1 = {paper.unit(e / r1, 'A')}")
    paper.put(f"{paper.start('I3')} = 0 A")
    total, whole = r1 * c1 + r2 * c2 + r1 * c2, r1 * c1 * r2 * c2
    root = math.sqrt(total * total - 4 * whole)
    slow, fast = (total + root) / 2, (total - root) / 2
    if paper.slip == "apart":
        which = rng.choice((1, 2))
        one = r1 * c1 if which == 1 else r2 * c2
        paper.err(f"{paper.tau}{which} = R{which} C{which} = {paper.unit(one, 's')}", "storages-apart")
        paper.bad = False
    else:
        paper.put(f"{paper.tau}1 = {paper.unit(slow, 's')}")
        paper.put(f"{paper.tau}2 = {paper.unit(fast, 's')}")
    paper.put(f"{paper.end(paper.v('C1'))} = E = {paper.unit(e, 'V')}")
    paper.put(f"{paper.end(paper.v('C2'))} = {paper.unit(e, 'V')}")
    paper.put(f"{paper.end('I1')} = 0 A")
    return file


def opened(paper: Paper) -> str:
    """A coil with wire of some resistance, and a large resistor across it, let go by a switch."""
    rng = paper.rng
    r1, r0 = _three(rng, 2)
    r2 = (r1 + r0) * rng.choice((4.0, 6.0, 10.0))
    e, henry = float(rng.choice((6, 12, 24))), rng.choice((0.05, 0.12, 0.4, 1.5))
    file = (
        '[branches]\nI1 = "foot, +E, S1, R1, top"\nI2 = "top, R2, foot"\nI3 = "top, L1, foot"\n'
        '[elements]\nL1 = { value = "L1", internal = "r" }\n[switching]\nS1 = "closed -> open"\n'
        + _numbers(E=f"{e:g} V", R1=f"{r1:g} ohm", R2=f"{r2:g} ohm", r=f"{r0:g} ohm", L1=f"{henry:g} H")
    )
    beside = r2 * r0 / (r2 + r0)
    top = e * beside / (r1 + beside)
    held, tau = top / r0, henry / (r2 + r0)
    paper.put(f"Before: I3 = {paper.unit(held, 'A')}")
    if paper.slip == "stops":
        paper.err(f"{paper.start('I3')} = 0 A", "coil-current-jumps", "coil-always", "ends-exchanged")
    else:
        paper.put(f"{paper.start('I3')} = {paper.unit(held, 'A')}")
    start_bad, paper.bad = paper.bad, False
    if paper.slip == "same-way":
        paper.err(f"{paper.start('I2')} = {paper.unit(held, 'A')}", "direction-after")
        paper.bad = False
    else:
        paper.put(f"{paper.start('I2')} = {paper.unit(-held, 'A')}")
    if not start_bad:
        if paper.slip == "spark":
            line = f"{paper.start('V(L1)')} = {paper.unit(rng.choice((e, -e)), 'V')}"
            paper.err(line, "spark-limit", ends=True)
        else:
            paper.put(f"{paper.start('V(L1)')} = {paper.unit(-held * r2, 'V')}")
    if paper.slip == "inside-in-tau":
        tau = henry / r2
        paper.err(f"{paper.tau} = L1/R2 = {paper.unit(tau, 's')}", "inside-forgotten", "nearest-resistance")
    elif paper.slip == "product":
        tau = henry * (r2 + r0)
        paper.err(f"{paper.tau} = L1 (R2 + r) = {paper.unit(tau, 's')}", "tau-form")
    else:
        paper.put(f"{paper.tau} = L1/(R2 + r) = {paper.unit(tau, 's')}")
    if not start_bad:
        paper.put(f"I3(t) = {paper.unit(held, 'A')} {paper.e(tau)}", follows=True)
    return file


def divided(paper: Paper) -> str:
    """A capacitor across the lower of two resistors."""
    rng = paper.rng
    r1, r2 = (r * 1000 for r in _three(rng, 2))
    e, c = float(rng.choice((6, 9, 12, 20))), rng.choice((0.47, 1.0, 2.2, 4.7)) * 1e-6
    file = (
        '[branches]\nI1 = "foot, +E, S1, R1, top"\nI2 = "top, R2, foot"\nI3 = "top, C1, foot"\n'
        '[switching]\nS1 = "open -> closed"\n[start]\nC1 = "0 V"\n'
        + _numbers(E=f"{e:g} V", R1=f"{r1 / 1000:g} kohm", R2=f"{r2 / 1000:g} kohm", C1=f"{c * 1e6:g} uF")
    )
    vc, end, tau = paper.v("C1"), e * r2 / (r1 + r2), r1 * r2 / (r1 + r2) * c
    if paper.slip == "wire-for-ever":
        end = 0.0
        paper.err(f"{paper.end(vc)} = 0 V", "capacitor-always", "ends-exchanged")
    else:
        paper.put(f"{paper.end(vc)} = E R2/(R1 + R2) = {paper.unit(end, 'V')}")
    if paper.slip == "gap-already":
        first = e / (r1 + r2)
        keys = ("capacitor-always", "ends-exchanged")
        paper.err(f"{paper.start('I1')} = E/(R1 + R2) = {paper.unit(first, 'A')}", *keys)
        paper.bad = False
    else:
        paper.put(f"{paper.start('I1')} = E/R1 = {paper.unit(e / r1, 'A')}")
    value = paper.unit(tau, "s")
    if paper.slip == "upside-down":
        paper.err(f"{paper.tau} = (R1 + R2)/(R1 R2) C1 = {value}", "fraction-inverted", "tau-form")
        paper.bad = False
    elif paper.slip == "in-a-row":
        tau = (r1 + r2) * c
        added = ("seen-combined", "battery-left-in", "bypassed-counted")
        paper.err(f"{paper.tau} = (R1 + R2) C1 = {paper.unit(tau, 's')}", *added)
    elif paper.slip == "battery-out":
        tau = r2 * c
        paper.err(f"{paper.tau} = R2 C1 = {paper.unit(tau, 's')}", "battery-left-in", "nearest-resistance")
    else:
        paper.put(f"{paper.tau} = R1 R2/(R1 + R2) C1 = {value}")
    if end:
        paper.put(f"{vc}(t) = {paper.unit(end, 'V')} (1 - {paper.e(tau)})", follows=True)
    paper.bad = paper.bad and not end
    if paper.slip == "charge-of-emf":
        paper.err(f"{paper.end('Q(C1)')} = C1 E = {paper.unit(c * e, 'C')}", "charge-of-emf", ends=True)
    elif end and rng.random() < 0.6:
        paper.put(f"{paper.end('Q(C1)')} = {paper.unit(c * end, 'C')}")
    return file


Story = Callable[[Paper], str]
STORIES: tuple[tuple[Story, tuple[str, ...]], ...] = (
    (bridged, ("empty-taken", "bridged-counted", "settled", "few-figures", "charge-in-farads", "micro-lost")),
    (inside, ("inside-at-start", "inside-in-tau", "work-halved", "energy-doubled", "heat-doubled")),
    (shared, ("energy-kept", "plates", "row-added")),
    (lamp_between, ("between", "row-added", "work-halved")),
    (later, ("first-clock", "tau-stays")),
    (coupled, ("apart",)),
    (opened, ("stops", "same-way", "spark", "inside-in-tau", "product")),
    (divided, ("wire-for-ever", "gap-already", "upside-down", "in-a-row", "battery-out", "charge-of-emf")),
)  # fmt: skip


def drawn(seed: int, *, wrong: bool) -> Written:
    """The working of a seed; every slip comes as often as any other."""
    rng = random.Random(f"elsewhere {seed} {wrong}")
    story, slip = rng.choice([(story, slip) for story, slips in STORIES for slip in slips])
    paper = Paper(rng, slip if wrong else "")
    file = story(paper)
    return Written(file, paper.lines, paper.wrong, paper.keys, tuple(paper.follow), paper.slip)
