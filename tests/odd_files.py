"""Problem files that are sound but odd: everything the format knows, thrown together by chance.

Where a spoilt file is mostly refused at its first line, these get far: circuits of two to six points with
batteries, current sources, meters, switches, capacitors and coils, shared and missing values, questions of
every kind, wishes, plots and lectures. A case is decided by its number alone.
"""

from __future__ import annotations

import random
import re
from collections.abc import Callable
from dataclasses import dataclass, field

POINTS = ("a", "b", "c", "d", "e", "f")
COUNTS = (2, 2, 3, 3, 3, 4, 4, 5, 6)


@dataclass
class Odd:
    """A file as it grows."""

    chance: random.Random
    branches: dict[str, str] = field(default_factory=dict)
    elements: dict[str, str] = field(default_factory=dict)
    numbers: dict[str, str] = field(default_factory=dict)
    switching: dict[str, str] = field(default_factory=dict)
    start: dict[str, str] = field(default_factory=dict)
    made: dict[str, int] = field(default_factory=dict)
    points: tuple[str, ...] = ()

    def likely(self, share: float) -> bool:
        return self.chance.random() < share

    def new(self, letter: str) -> str:
        """The next name with this letter."""
        self.made[letter] = self.made.get(letter, 0) + 1
        return f"{letter}{self.made[letter]}"

    def all_of(self, letter: str) -> list[str]:
        return [f"{letter}{n + 1}" for n in range(self.made.get(letter, 0))]

    def one_of(self, letters: str, otherwise: str) -> str:
        found = [name for letter in letters for name in self.all_of(letter)]
        return self.chance.choice(found) if found else otherwise


def _number(odd: Odd, letter: str) -> str:
    pick = odd.chance.choice
    whole, decimal = odd.chance.randint(1, 30), f"{odd.chance.randint(5, 300) / 10:.1f}"
    units = {
        "R": ["ohm", "ohm", "ohm", "kohm", "Ω", "mohm"],
        "E": ["V", "V", "V", "mV", "kV"],
        "J": ["A", "mA"],
        "C": ["uF", "nF", "F", "mF"],
        "L": ["mH", "H", "uH"],
    }[letter]
    return f"{pick([str(whole), str(whole), decimal, '1/3', '4.7e3'])} {pick(units)}"


def _element(odd: Odd, storages: bool) -> str:
    letter = odd.chance.choices("RESAJCL", (55, 20, 8, 4, 3, 7, 5))[0]
    if letter in "CL" and not storages:
        letter = "R"
    name = odd.new(letter)
    if letter == "S":
        if storages and odd.likely(0.7):
            way = odd.chance.choice(["open -> closed", "closed -> open"])
            odd.switching[name] = way + odd.chance.choice(["", "", "", " at 20 ms", " at t1"])
        else:
            odd.elements[name] = odd.chance.choice(["open", "closed"])
        return name
    if letter == "A":
        return name
    if letter == "R" and odd.likely(0.15) and odd.made["R"] > 1:
        other = f"R{odd.chance.randint(1, odd.made['R'] - 1)}"
        odd.elements[name] = odd.chance.choice([other, f"2 {other}", f"{other}/3", "R", "R + r", "2 R"])
    elif letter in "EL" and odd.likely(0.15):
        inside = odd.chance.choice(["0.5 ohm", f"r{name[1:]}", "r"])
        odd.elements[name] = f'{{ internal = "{inside}" }}'
        if odd.likely(0.5):
            odd.numbers[name] = _number(odd, letter)
    elif odd.likely(0.98):
        odd.numbers[name] = _number(odd, letter)
    if letter in "EJ":
        return odd.chance.choice("+-") + name
    if letter in "CL" and odd.likely(0.3):
        odd.start[name] = odd.chance.choice(["0 V", "5 V", f"V{name}"] if letter == "C" else ["0 A", "1 A"])
    return name


def _branches(odd: Odd) -> None:
    storages = odd.likely(0.35)
    odd.points = POINTS[: odd.chance.choice(COUNTS)]
    ends = [(odd.chance.choice(odd.points[:n]), odd.points[n]) for n in range(1, len(odd.points))]
    for _ in range(odd.chance.randint(1, 4)):
        ends.append((odd.chance.choice(odd.points), odd.chance.choice(odd.points)))
    for point in odd.points:  # nowhere does one branch end alone
        while sum(point in pair for pair in ends) < 2:
            ends.append((point, odd.chance.choice([p for p in odd.points if p != point])))
    odd.chance.shuffle(ends)
    for number, (tail, head) in enumerate(ends):
        way = [_element(odd, storages) for _ in range(odd.chance.choice([0, 1, 1, 1, 2, 2, 3]))]
        if number == 0:
            way.append(odd.chance.choice("+-") + odd.new("E"))
            odd.numbers[odd.all_of("E")[-1]] = _number(odd, "E")
        if tail == head and not way:
            way = [odd.new("R")]
        if len(way) > 1 and odd.likely(0.1):
            way.insert(1, f"(m{number})")
        odd.branches[f"I{number + 1}"] = ", ".join([tail, *way, head])
    if odd.numbers and odd.likely(0.08):
        odd.numbers.pop(odd.chance.choice(list(odd.numbers)))
    if odd.likely(0.8):
        shared = " ".join([*odd.elements.values(), *odd.start.values()])
        odd.numbers |= {name: "3 ohm" for name in ("R", "r") if re.search(rf"\b{name}\b", shared)}
        odd.numbers |= dict.fromkeys(re.findall(r"\br\d+", shared), "0.2 ohm")
        odd.numbers |= dict.fromkeys(re.findall(r"\bVC\d+", shared), "2 V")
    if "t1" in "".join(odd.switching.values()):
        odd.numbers["t1"] = "5 ms"


def _steady(odd: Odd, current: str, other: str, a: str, b: str) -> list[str]:
    """What is asked of a circuit in which nothing moves."""
    resistor, source = odd.one_of("R", "R1"), odd.one_of("EJ", "E1")
    return [
        f"P({source})",
        f"P({source}, terminals)",
        f"R({a}, {b})",
        f"V({a}, {b}) without {resistor}",
        f"R({a}, {b}) without {resistor}",
        f"{current} + {other}",
        f"{current} {resistor}",
        f"V({a}, {b})/{current}",
        "P(heat)",
        "P(sources)",
        f"short-circuit I({a}, {b})",
        f"rank {current}, {other}",
        f"rank P({resistor}), P({odd.one_of('R', 'R1')})",
        f"{resistor} for greatest P({resistor})",
        f"greatest P({resistor})",
    ]


def _quantity(odd: Odd) -> str:
    pick = odd.chance.choice
    current, other = (pick(list(odd.branches)) for _ in range(2))
    a, b = odd.chance.sample(odd.points, 2)
    resistor = odd.one_of("R", "R1")
    in_time = bool(odd.all_of("C") or odd.all_of("L"))
    kinds = [
        current,
        current,
        f"V({a}, {b})",
        f"P({resistor})",
        f"R({a}, {b})",
    ]
    if odd.likely(0.05) or not in_time:
        kinds += _steady(odd, current, other, a, b)
    if in_time:
        storage = odd.one_of("CL", "C1")
        moment = pick(["before", "just after", "long after", "at 3 ms", "(t)", "just after move 2"])
        kinds += [
            f"{current} {moment}".replace(" (", "("),
            f"V({storage}) {moment}".replace(" (", "("),
            f"U({storage}) {moment}".replace(" (", "("),
            "tau",
            f"heat({resistor})",
            f"t when V({storage}) = 2 V",
            f"Q({storage}) {moment}".replace(" (", "("),
            f"C({a}, {b})",
        ] * 2
    return pick(kinds)


def _listed(key: str, things: list[str]) -> str:
    told = ", ".join(f'"{thing}"' for thing in things)
    return f"{key} = [{told}]\n" if things else ""


def _expectation(odd: Odd) -> str:
    pick = odd.chance.choice
    of, to = pick(list(odd.branches)), pick(["0", "oo", "E1/R1", pick(list(odd.branches)), "E1/(R1 + R2)"])
    where = pick([odd.one_of("R", "R1"), odd.one_of("R", "R1") + " alone", odd.one_of("E", "E1")])
    if odd.all_of("C") or odd.all_of("L"):
        where = pick([where, "t", "t"])
        of += "" if where == "t" else pick([" just after", " long after"])
    return f"{of} -> {to} as {where} -> {pick(['0', 'oo'])}"


def _wishes(odd: Odd) -> str:
    lines = [f'{name} = "1 to 12 ohm"' for name in odd.all_of("R")[:3] if name in odd.numbers]
    lines += [f'{name} = "E6 from 1 V to 20 V"' for name in odd.all_of("E")[:1] if name in odd.numbers]
    wishes = [
        "currents with at most 2 decimals",
        "currents not zero",
        "I1 > 0",
        "E1 charged",
        "answers distinct",
    ]
    hold = odd.chance.sample(wishes, odd.chance.randint(0, 2))
    forms = odd.chance.sample(["arrows turned", "renamed", "mirrored", "turned"], odd.chance.randint(0, 2))
    return "[versions]\n" + "\n".join(lines) + "\n" + _listed("hold", hold) + _listed("forms", forms)


def _table(name: str, rows: dict[str, str]) -> str:
    told = "".join(f"{key} = " + (v if v.startswith("{") else f'"{v}"') + "\n" for key, v in rows.items())
    return f"[{name}]\n{told}" if rows else ""


METHODS = ("branch currents", "loop currents", "node potentials", "superposition", "determinants", "shortest")
COMMANDS: tuple[Callable[[random.Random], list[str]], ...] = (
    lambda chance: [
        "sheet",
        "FILE",
        "--as",
        chance.choice(["html", "md", "say", "tex"]),
        "--edition",
        chance.choice(["problem", "solution", "instructor"]),
        "--terms",
        chance.choice(["british", "american"]),
        *chance.choice([[], [], ["--method", chance.choice(METHODS)]]),
    ],
    lambda _: ["limits", "FILE"],
    lambda _: ["loops", "FILE"],
    lambda _: ["methods", "FILE"],
    lambda _: ["slips", "FILE"],
    lambda chance: ["figure", "FILE", *chance.choice([[], ["--loops"], ["--words"]])],
    lambda _: ["plot", "FILE", "I1 against R1"],
    lambda _: ["plot", "FILE", "sign of I1 over R1, E1"],
    lambda _: ["board", "FILE"],
    lambda _: ["twin", "FILE"],
    lambda _: ["numbers", "FILE"],
    lambda _: ["versions", "FILE", "--count", "3", "--jobs", "1"],
    lambda _: ["items", "FILE", "--as", "json"],
)
BY_SHARE = (30, 6, 4, 6, 6, 8, 4, 3, 10, 3, 3, 5, 6)


def odd_file(number: int) -> tuple[str, list[str]]:
    """The text of a case, and the command line that it is given to, FILE standing for its file."""
    odd = Odd(random.Random(f"odd {number}"))
    _branches(odd)
    text = 'title = "The mill race"\n' + _listed(
        "find", [_quantity(odd) for _ in range(odd.chance.randint(0, 4))]
    )
    if odd.likely(0.3):
        text += _listed("expect", [_expectation(odd) for _ in range(odd.chance.randint(1, 3))])
    if odd.likely(0.1):
        sought = odd.one_of("R", "R1")
        odd.numbers.pop(sought, None)
        text = 'title = "The mill race"\n' + _listed("find", [sought])
        text += _listed("given", [f"{odd.chance.choice(list(odd.branches))} = 0.5 A"])
    if odd.likely(0.1):
        text += f"figures = {odd.chance.randint(1, 6)}\n"
    if odd.likely(0.15):
        text += f'method = "{odd.chance.choice(METHODS)}"\n'
    if odd.likely(0.1):
        text += _listed("plots", [f"{odd.chance.choice(list(odd.branches))} against {odd.one_of('R', 'R1')}"])
    text += _table("branches", odd.branches) + _table("elements", odd.elements)
    text += _table("numbers", odd.numbers) + _table("switching", odd.switching) + _table("start", odd.start)
    if odd.likely(0.1) and odd.all_of("R"):
        text += _table("ratings", {odd.one_of("R", "R1"): "0.25 W"})
    arguments = odd.chance.choices(COMMANDS, BY_SHARE)[0](odd.chance)
    if odd.likely(0.3) or arguments[0] in ("versions", "numbers"):
        text += _wishes(odd)
    return text, arguments
