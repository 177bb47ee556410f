"""`loopwright bank`: problems kept in a folder, found again by words, features and likeness."""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

from ..bank.bank import Bank, open_bank
from ..bank.likeness import Likeness
from ..bank.problems import WorkedProblem, told_like, worked
from ..errors import FaultyMaterial
from ..findings import Finding, Place
from ..problem.problem_file import read
from .files import say, show, write


def run(given: argparse.Namespace) -> int:
    """Does what the verb says; without one, tells what the bank holds."""
    with open_bank(given.file, new=given.verb == "add") as bank:
        return VERBS[given.verb](bank, given)


def _about(bank: Bank, given: argparse.Namespace) -> int:
    count = len(bank.names())
    show(f"{given.file}: {count:,} problem{'s' * (count != 1)}.")
    return 0


def _add(bank: Bank, given: argparse.Namespace) -> int:
    """Puts in all problem files that have no faults; faulty ones are told and left out."""
    status = 0

    def all_worked() -> Iterator[WorkedProblem]:
        nonlocal status
        for path in _files(_wanted(given, "FILE")):
            try:
                yield worked(_text(path), path.stem, path.name)
            except FaultyMaterial as trouble:
                status = 1
                for finding in trouble.findings:
                    say(finding.as_text())

    for added in bank.add_all(all_worked(), time.strftime("%Y-%m-%d"), _progress()):
        told = f"{added.name}: {'put in' if added.new else 'is there already'}"
        show(f"{told}; {told_like(added.like)}" if added.like else told)
    return status


def _find(bank: Bank, given: argparse.Namespace) -> int:
    found = bank.find(" ".join(given.what), given.most)
    for problem in found.problems:
        show(f"{problem.name}  {problem.title}".rstrip())
    rest = found.count - len(found.problems)
    say(f"{found.count:,} found{f', the first {len(found.problems):,} shown' if rest else ''}.")
    for hint in found.hints:
        say(hint.as_text())
    return 0


def _alike(bank: Bank, given: argparse.Namespace) -> int:
    """Compares problem files with the bank; without any, the problems of the bank with each other."""
    for file in given.what:
        like = bank.alike(read(file))
        show(f"{file}: {told_like(like) or 'like nothing in the bank'}")
    if not given.what:
        groups = bank.groups(Likeness.NUMBERS)
        for group in groups:
            show(", ".join(group))
        say(f"{len(groups):,} group{'s' * (len(groups) != 1)} of problems with the same circuit and numbers.")
    return 0


def _show(bank: Bank, given: argparse.Namespace) -> int:
    for name in _wanted(given, "NAME"):
        problem = bank.problem(name)
        if given.output in ("", "-"):
            show(problem.text)
        else:
            write(Path(given.output), problem.text)
    return 0


def _remove(bank: Bank, given: argparse.Namespace) -> int:
    for name in _wanted(given, "NAME"):
        bank.remove(name)
        show(f"{name}: taken out")
    return 0


VERBS: dict[str, Callable[[Bank, argparse.Namespace], int]] = {
    "about": _about,
    "add": _add,
    "find": _find,
    "alike": _alike,
    "show": _show,
    "remove": _remove,
}


def _wanted(given: argparse.Namespace, what: str) -> list[str]:
    """What was named after the verb; FaultyMaterial where nothing was."""
    if not given.what:
        mend = f"Write loopwright bank {given.file} {given.verb} {what}."
        raise FaultyMaterial(Finding("bank/nothing-named", f"It is not said what to {given.verb}.", mend))
    named: list[str] = given.what
    return named


def _files(named: list[str]) -> Iterator[Path]:
    """The files named; a folder stands for all problem files in it."""
    for name in named:
        path = Path(name)
        yield from sorted(path.glob("*.toml")) if path.is_dir() else [path]


def _text(path: Path) -> str:
    """The text of a file. Raises FaultyMaterial for one that is no text; what cannot be opened is told by the
    reader of problem files."""
    try:
        return path.read_bytes().decode("utf-8")
    except UnicodeDecodeError:
        message = "the file is not UTF-8 text."
        raise FaultyMaterial(
            Finding("bank/not-text", message, "Save it again as UTF-8.", Place(path.name))
        ) from None
    except OSError:
        read(path)
        raise


def _progress() -> Callable[[str], None]:
    """Tells how far it has come, on a terminal alone."""
    return say if sys.stderr.isatty() else lambda _: None
