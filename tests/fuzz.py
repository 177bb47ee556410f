"""Spoilt and odd files through the command line: no traceback, and bounds on time and memory.

    python -m tests.fuzz --count 5000                  5,000 of each kind
    python -m tests.fuzz --kind working --from 1200 --count 1   one case again, by its number

A case is decided by its kind and number alone: a seed from the examples and the case files, spoilt one to
four times, in its bytes, its tokens or its structure. It runs in this process, with the work in a child as
always; every hundredth runs as a process of its own.
"""

from __future__ import annotations

import argparse
import contextlib
import os
import random
import re
import resource
import subprocess
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import loopwright
from loopwright.cli.main import main
from tests.odd_files import odd_file

ROOT = Path(__file__).parents[1]
KINDS = ("problem", "working", "odd")
LONGEST = 20.0  # seconds of processor time that a case may take
GIVE_UP = 15  # seconds after which the command itself gives up
MEMORY = 2 << 30  # bytes that a process may take
ALONE = 100  # every so many cases one runs as a process of its own

_TOKEN = re.compile(rb"[A-Za-z_]+\d*|\d+(?:\.\d+)?|\s+|[^\sA-Za-z_\d]")
_BRACKETS = [opening * 900 for opening in (b"[", b"(", b"{", b'"')]
_SIGNS = [sign.encode() for sign in "Ωµ−½²é\u202e\u2028"] + [
    b"\x00",
    b"\x1b[2J",
    b"\xff",
    b"\xc3",
    b"\r",
    b"#",
    b"\\",
]
_WORDS = (
    b"0|-1|1e9|1e-400|0.1|1/0|nan|inf|-inf|true|[]|{}|''|[[|]]|=|,|.|..|$$|oo|->|=>|a|b|E1|-E1|+E1|R1"
    b"|R1 R1 R1"
    b"|R1^40|2^2^2^2|1/(R1 - R1)|I1|I1 = |V(a, b)|P(R1)|R(a, b)|4.7e3|3e2 A|20 milliamps|open|closed"
    b"|sections = 40|[ladder]|[numbers]|[branches]"
    b"|1979-05-27|\\u202e|\\u0000|\\left(|\\frac{1}{|\\begin{aligned}"
)
_NASTY = [b"", b"9" * 60, b"R1 || R2", *_BRACKETS, *_SIGNS, *_WORDS.split(b"|")]


@cache
def seeds(kind: str) -> tuple[bytes, ...]:
    """The texts that cases of a kind are made from."""
    places = {
        "problem": [*ROOT.glob("examples/*.toml"), *ROOT.glob("tests/cases/problem_files/*.toml")],
        "working": [p for p in ROOT.glob("examples/workings/*") if p.suffix in (".txt", ".tex", ".md")],
    }
    return tuple(path.read_bytes() for path in sorted(places[kind]))


# -- spoiling --------------------------------------------------------------------------------------


def _in_bytes(chance: random.Random, text: bytes, _: str) -> bytes:
    at, until = sorted(chance.randrange(len(text) + 1) for _ in range(2))
    match chance.randrange(5):
        case 0:
            return text[:at] + bytes([chance.randrange(256)]) + text[at + 1 :]
        case 1:
            return text[:at] + bytes(chance.randrange(256) for _ in range(chance.randint(1, 8))) + text[at:]
        case 2:
            return text[:at] + text[at + chance.randint(1, 12) :]
        case 3:
            return text[:at] + text[at:until][:400] + text[at:]
        case _:
            return text[:at] + chance.choice(_NASTY) + text[at:]


def _in_tokens(chance: random.Random, text: bytes, _: str) -> bytes:
    tokens: list[bytes] = _TOKEN.findall(text) or [b""]
    for _turn in range(chance.randint(1, 3)):
        at, other = chance.randrange(len(tokens)), chance.randrange(len(tokens))
        match chance.randrange(5):
            case 0:
                tokens[at], tokens[other] = tokens[other], tokens[at]
            case 1:
                tokens[at] = tokens[other]
            case 2:
                tokens[at] = b""
            case 3:
                tokens[at] = tokens[at] * chance.choice([2, 3, 30])
            case _:
                tokens[at] = chance.choice(_NASTY)
    return b"".join(tokens)


def _in_structure(chance: random.Random, text: bytes, kind: str) -> bytes:
    lines = text.split(b"\n")
    at, other = chance.randrange(len(lines)), chance.randrange(len(lines))
    match chance.randrange(8):
        case 0:
            lines[at], lines[other] = lines[other], lines[at]
        case 1:
            del lines[at]
        case 2:
            lines.insert(other, lines[at])
        case 3:
            lines[at:at] = lines * chance.choice([1, 3])
        case 4:
            donor = chance.choice(seeds(kind)).split(b"\n")
            start = chance.randrange(len(donor))
            lines[at:at] = donor[start : start + chance.randint(1, 12)]
        case 5:
            del lines[min(at, other) : max(at, other)]
        case 6:
            key, sign, _value = lines[at].partition(b"=")
            lines[at] = (
                key + sign + b" " + chance.choice(_NASTY) if sign else lines[at] + chance.choice(_NASTY)
            )
        case _:
            names = [b"a", b"b", b"c", b"d", b"e", b"f"]
            more = chance.randint(1, 25)
            for number in range(more):
                ends = chance.choice(names), chance.choice(names)
                lines.insert(at, b'X%d = "%s, R%d, %s"' % (number, ends[0], number + 20, ends[1]))
    return b"\n".join(lines)


def _revalued(chance: random.Random, text: bytes) -> bytes:
    """A problem that stays one: other numbers, other elements along a branch, a branch more."""
    values = [b"0 V", b"-3 V", b"3e2 V", b"4.7e3 ohm", b"0.001 ohm", b"1e9 ohm", b"2 R", b"R1", b"R || R"]
    found = list(re.finditer(rb'"[^"\n]*"', text))
    if not found:
        return text
    one = chance.choice(found)
    inside = one[0][1:-1].split(b", ")
    if len(inside) > 2:
        chance.shuffle(inside)
        new = b", ".join(inside if chance.random() < 0.5 else inside[:-1] + inside[:1])
    else:
        new = chance.choice(values)
    return text[: one.start()] + b'"' + new + b'"' + text[one.end() :]


_WAYS: tuple[Callable[[random.Random, bytes, str], bytes], ...] = (_in_bytes, _in_tokens, _in_structure)


def spoilt(kind: str, number: int) -> tuple[bytes, list[str]]:
    """The text of a case, and the command line that it is given to, FILE standing for its file."""
    if kind == "odd":
        odd, command = odd_file(number)
        to = (
            []
            if command[0] in ("limits", "loops", "methods", "slips", "numbers", "versions")
            else ["-o", "-"]
        )
        bound = [] if command[0] == "twin" else ["--longest", str(GIVE_UP)]
        return odd.encode(), [*command, *to, *bound]
    chance = random.Random(f"{kind} {number}")
    sound = [text for text in seeds(kind) if b"# finds" not in text]  # most cases should get far
    text = chance.choice(sound if chance.random() < 0.8 else seeds(kind))
    for _ in range(chance.choice([0, 1, 1, 1, 2, 4])):
        text = chance.choice(_WAYS)(chance, text, kind)
    bound = ["--longest", str(GIVE_UP)]
    if kind == "problem":
        if chance.random() < 0.5:
            text = _revalued(chance, text)
        forms = chance.choice(["html", "md", "say", "tex"])
        lines = [
            ["sheet", "FILE", "--as", forms, "-o", "-"],
            ["sheet", "FILE", "--as", forms, "-o", "-"],
            ["limits", "FILE"],
            ["loops", "FILE"],
            ["figure", "FILE", "-o", "-", *chance.choice([[], ["--loops"], ["--words"]])],
            ["slips", "FILE", *chance.choice([[], ["--answers", "I1=1A"]])],
        ]
        return text, [*chance.choice(lines), *bound]
    problems = sorted(ROOT.glob("examples/*.toml"))
    form = chance.choice(["text", "json", "html", "md"])
    mark = chance.choice([[], ["--mark", "ten"]])
    return text, ["read", str(chance.choice(problems)), "FILE", "--as", form, "-o", "-", *mark, *bound]


# -- running ---------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Ended:
    """How a case ended: exit status, processor seconds, what was said, and why that is a fault, if it is."""

    status: object
    seconds: float
    said: str
    fault: str


def ended(kind: str, number: int, folder: Path, *, alone: bool = False) -> Ended:
    """Runs one case."""
    text, arguments = spoilt(kind, number)
    file = folder / ("case.txt" if kind == "working" else "case.toml")
    file.write_bytes(text)
    line = [str(file) if word == "FILE" else word for word in arguments]
    before = sum(os.times()[:4])
    status, said = (_alone if alone else _here)(line, folder)
    seconds = sum(os.times()[:4]) - before
    fault = ""
    if "Traceback" in said or status not in (0, 1):
        fault = f"status {status}"
    elif seconds > LONGEST:
        fault = f"{seconds:.0f} s"
    return Ended(status, seconds, said, fault)


def _here(line: Sequence[str], folder: Path) -> tuple[object, str]:
    said = folder / "said"
    with (
        said.open("w", encoding="utf-8") as err,
        (folder / "out").open("w", encoding="utf-8") as out,
        contextlib.redirect_stderr(err),
        contextlib.redirect_stdout(out),
    ):
        try:
            status: object = main(line)
        except BaseException as trouble:  # whatever comes out is a fault to be told
            status = type(trouble).__name__
            traceback.print_exc(file=err)
    return status, said.read_text("utf-8")


def _alone(line: Sequence[str], folder: Path) -> tuple[object, str]:
    made = subprocess.run(
        [sys.executable, "-m", "loopwright", *line],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(Path(loopwright.__file__).parents[1])},
        capture_output=True,
        check=False,
        preexec_fn=_limited,
    )
    return made.returncode, made.stderr.decode("utf-8", "replace")


def _limited() -> None:
    hard = resource.getrlimit(resource.RLIMIT_AS)[1]
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, hard))


@contextlib.contextmanager
def limited() -> Iterator[None]:
    """Bounds the memory of this process, and of those it starts, while it lasts."""
    usual = resource.getrlimit(resource.RLIMIT_AS)
    _limited()
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_AS, usual)


def faults(kind: str, numbers: Sequence[int], folder: Path) -> Iterator[tuple[int, Ended]]:
    """The cases that ended in a fault."""
    for number in numbers:
        end = ended(kind, number, folder, alone=number % ALONE == ALONE - 1)
        if end.fault:
            yield number, end


def run(arguments: Sequence[str] | None = None) -> int:
    """The command line of this file; 1 when a case ended in a fault."""
    options = argparse.ArgumentParser(prog="python -m tests.fuzz", description=__doc__)
    options.add_argument("--count", type=int, default=1000)
    options.add_argument("--from", dest="first", type=int, default=0)
    options.add_argument("--kind", choices=KINDS, action="append")
    given = options.parse_args(arguments)
    wrong = 0
    with tempfile.TemporaryDirectory() as name, limited():
        for kind in given.kind or KINDS:
            began, slowest, statuses, given_up = time.monotonic(), 0.0, Counter[object](), 0
            for number in range(given.first, given.first + given.count):
                end = ended(kind, number, Path(name), alone=number % ALONE == ALONE - 1)
                statuses[end.status] += 1
                slowest = max(slowest, end.seconds)
                given_up += "given up after" in end.said
                if end.fault:
                    wrong += 1
                    print(f"{kind} {number}: {end.fault}\n{end.said[-1500:]}", flush=True)
            print(
                f"{kind}: {sum(statuses.values())} cases in {time.monotonic() - began:.0f} s; by exit status "
                f"{dict(statuses)}; {given_up} given up by the command; slowest {slowest:.1f} s",
                flush=True,
            )
    print(f"{wrong} faults")
    return 1 if wrong else 0


if __name__ == "__main__":
    raise SystemExit(run())
