"""`loopwright bank`: problems kept in a folder, found again by words, features and likeness."""

from __future__ import annotations

import argparse
import json
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

from ..bank.bank import Bank, bring_to, open_bank
from ..bank.features import FEATURES, features
from ..bank.likeness import Likeness
from ..bank.problems import WorkedProblem, circuit_kept, told_like, worked
from ..bank.tables import NEWEST
from ..circuit.names import listed
from ..errors import FaultyMaterial
from ..findings import Finding, Place
from ..problem.problem_file import read
from ..whole_files import write
from .files import say, show


def run(given: argparse.Namespace) -> int:
    """Does what the verb says; without one, tells what the bank holds."""
    if given.verb == "schema" and given.what:
        return _schema_wished(given)
    with open_bank(given.file, new=given.verb in BEGINNING) as bank:
        return VERBS[given.verb](bank, given)


def _about(bank: Bank, given: argparse.Namespace) -> int:
    """What the bank holds in all, or all that it knows of some problems."""
    if not given.what:
        held = ", ".join(_many(count, name.removesuffix("s")) for name, count in bank.counts().items())
        show(f"{given.file}: {held}; {_many(len(bank.sets()), 'set')} of papers given.")
    for name in given.what:
        problem = bank.problem(name)
        circuit = circuit_kept(problem)
        told = {name: amount for name, amount in features(circuit).items() if amount}
        alike = told_like(one for one in bank.alike(circuit) if one.name != problem.name)
        show(f"{problem.name}: {problem.title or 'no title'}; added {problem.added}")
        show(f"  {', '.join(_feature(feature, amount) for feature, amount in told.items())}")
        versions, items = len(bank.versions(name)), len(bank.items(name))
        show(f"  {_many(versions, 'version')}, {_many(items, 'quiz item')}")
        if alike:
            show(f"  {alike}")
        if problem.certificate:
            show(f"  slips: {json.loads(problem.certificate)['told']}")
        for version in bank.versions(name):
            if version.certificate:
                show(f"  slips of {version.name}: {json.loads(version.certificate)['told']}")
        for one in bank.sets(name):
            show(f"  given {one.day}: {one.occasion}, {_many(one.papers, 'paper')}")
    return 0


def _feature(name: str, amount: int) -> str:
    counted = next(feature.counted for feature in FEATURES if feature.name == name)
    return f"{name} {amount}" if counted else name


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

    for added in bank.add_all(all_worked(), given.on or _today(), _progress()):
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
        say(f"{_many(len(groups), 'group')} of problems with the same circuit and numbers.")
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


def _keep(bank: Bank, given: argparse.Namespace) -> int:
    """Keeps versions (.toml) and quizzes (.json) with a problem."""
    name, *files = _wanted(given, "NAME FILE...")
    texts = {path: _text(path) for path in _files(files, ("*.toml", "*.json"))}
    versions = {path.stem: text for path, text in texts.items() if path.suffix != ".json"}
    quizzes = {path.name: text for path, text in texts.items() if path.suffix == ".json"}
    kept = bank.keep(name, versions, quizzes)
    show(f"{name}: {kept:,} kept with it")
    return 0


def _slips(bank: Bank, given: argparse.Namespace) -> int:
    """What the numbers of problems tell of slips, and those of the versions kept with them."""
    for name in _wanted(given, "NAME..."):
        has_versions = bool(bank.versions(name))
        if not has_versions or circuit_kept(bank.problem(name)).has_all_numbers:
            show(f"{name}: {bank.certify(name).told}")
        for version, certificate in bank.certify_versions(name, _progress()):
            show(f"{name}, {version}: {certificate.told}")
    return 0


def _given(bank: Bank, given: argparse.Namespace) -> int:
    """Records folders of papers; tells what some students had, or which sets were given."""
    for what in given.what:
        if given.of or Path(what).is_dir():
            count = bank.record_papers(what, given.of, given.on or _today(), given.occasion)
            show(f"{what}: {_many(count, 'problem')} on papers recorded")
        else:
            for one in bank.given(student=what):
                show(f"{one.day}  {one.occasion}  {one.paper}  {one.problem}")
    for each in bank.sets() if not given.what else ():
        show(f"{each.day}  {each.occasion}  {_many(each.papers, 'paper')}: {listed(each.problems)}")
    return 0


def _export(bank: Bank, given: argparse.Namespace) -> int:
    (folder,) = map(Path, _wanted(given, "FOLDER")[:1])
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise FaultyMaterial(
            Finding("bank/not-an-empty-folder", f"{folder} holds something already.", "Name another folder.")
        )
    tell, count = _progress(), 0
    for count, (name, content) in enumerate(bank.plain_files(), 1):
        write(folder / name, content)
        if not count % 500:
            tell(f"{count:,} files written")
    show(f"{folder}: {count:,} files")
    return 0


def _import(bank: Bank, given: argparse.Namespace) -> int:
    for folder in _wanted(given, "FOLDER"):
        show(f"{folder}: {_many(bank.take_in(folder, _progress()), 'new problem')} put in")
    return 0


def _backup(bank: Bank, given: argparse.Namespace) -> int:
    for file in _wanted(given, "FILE"):
        bank.back_up(file, _progress())
        show(f"{file}: a backup of {given.file}")
    return 0


def _restore(bank: Bank, given: argparse.Namespace) -> int:
    (file,) = _wanted(given, "FILE")[:1]
    bank.restore(file, _progress())
    show(f"{given.file}: as it was in {file}")
    return 0


def _schema(bank: Bank, given: argparse.Namespace) -> int:
    show(f"{given.file}: schema {NEWEST}")
    return 0


def _schema_wished(given: argparse.Namespace) -> int:
    number = given.what[0]
    bring_to(given.file, int(number) if number.isdecimal() else 0, let_go=given.let_go)
    show(f"{given.file}: schema {number}")
    return 0


def _many(count: int, what: str) -> str:
    """`1 paper`, `2 papers`."""
    return f"{count:,} {what}{'s' * (count != 1)}"


def _today() -> str:
    return time.strftime("%Y-%m-%d")


BEGINNING = ("add", "import", "restore")  # the verbs that begin a bank where there is none
VERBS: dict[str, Callable[[Bank, argparse.Namespace], int]] = {
    "about": _about,
    "add": _add,
    "find": _find,
    "alike": _alike,
    "show": _show,
    "keep": _keep,
    "slips": _slips,
    "given": _given,
    "export": _export,
    "import": _import,
    "backup": _backup,
    "restore": _restore,
    "schema": _schema,
    "remove": _remove,
}


def _wanted(given: argparse.Namespace, what: str) -> list[str]:
    """What was named after the verb; FaultyMaterial where nothing was."""
    if not given.what:
        mend = f"Write loopwright bank {given.file} {given.verb} {what}."
        raise FaultyMaterial(Finding("bank/nothing-named", f"It is not said what to {given.verb}.", mend))
    named: list[str] = given.what
    return named


def _files(named: list[str], kinds: tuple[str, ...] = ("*.toml",)) -> Iterator[Path]:
    """The files named; a folder stands for all files of these kinds in it."""
    for name in named:
        path = Path(name)
        yield from (p for kind in kinds for p in sorted(path.glob(kind))) if path.is_dir() else [path]


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
