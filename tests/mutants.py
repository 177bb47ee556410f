"""Faults made at random, one at a time, in a copy of the tree: does some quick test notice?

`python -m tests.mutants` draws lines of the source by a seed, makes one fault in each (Cosmic Ray knows how)
and runs the tests that import the changed module, nearest first, until one fails. What survives is for a
person to judge: docs/mutants.md. Needs the packages of locks/mutants.txt; no test of the suite needs this.
"""

from __future__ import annotations

import argparse
import ast
import json
import math
import multiprocessing
import os
import random
import resource
import shutil
import signal
import sys
import time
from collections import deque
from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass
from multiprocessing.connection import Connection
from pathlib import Path

import flint  # noqa: F401  (this and the like: loaded once here, not again for every fault)
import hypothesis  # noqa: F401
import networkx  # noqa: F401
import numpy  # noqa: F401
import pytest
import scipy.sparse  # noqa: F401
import sympy  # noqa: F401
import typst  # noqa: F401
from cosmic_ray.ast import ast_nodes, get_ast
from cosmic_ray.mutating import mutate_code
from cosmic_ray.operators.operator import Operator
from cosmic_ray.plugins import get_operator, operator_names
from parso.tree import NodeOrLeaf

from tests.architecture.source import ROOT, Module, modules

COPY = ROOT / "build" / "mutants" / "tree"
LEFT_BEHIND = shutil.ignore_patterns(".git", ".venv*", "build", "out", "__pycache__", ".*_cache")
STUCK = 10.0  # seconds of the processor: a test that takes longer does not end, and so notices
BY_THE_CLOCK = ("tests/unit/cli/test_watch.py",)  # may fail on a busy machine: judge what they import alone
ASLEEP = 900.0  # seconds of the clock without a word: the same
COMMANDS = "loopwright.cli.main"  # loads its neighbours by the names of commands

Imports = dict[str, frozenset[str]]


@dataclass(frozen=True, slots=True)
class Fault:
    """One change to one line: the `occurrence`th place in the file at which an operator can make one."""

    path: str
    line: int
    operator: str
    occurrence: int


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of a fault. `noticed`: the test that failed, or empty; `ran`: files of tests that came to
    their end; `all_ran`: whether those were all that import the module."""

    fault: Fault
    before: str
    after: str
    noticed: str
    ran: int
    all_ran: bool
    seconds: float


# -- faults ----------------------------------------------------------------------------------------


class _Drawing:
    """Draws faults from the source: every line that can be changed is as likely as another."""

    def __init__(self, seed: int) -> None:
        self.chance = random.Random(seed)
        self.sources = {module.path: module for module in modules("src")}
        self.operators = {name: get_operator(name)() for name in sorted(operator_names()) if _is_plain(name)}
        self.nodes: dict[str, list[NodeOrLeaf]] = {}

    def faults(self, count: int) -> Iterator[tuple[Fault, str]]:
        """So many faults, each with the text of its changed file."""
        lines = [(path, n + 1) for path, m in self.sources.items() for n in range(m.text.count("\n"))]
        self.chance.shuffle(lines)
        for path, line in lines:
            if not count:
                return
            found = self.on_line(path, line)
            if not found:
                continue
            fault, text = self.chance.choice(found), self.sources[path].text
            changed = mutate_code(text, self.operators[fault.operator], fault.occurrence)
            if changed is not None and _meaning(changed) not in ("", _meaning(text)):
                count -= 1
                yield fault, changed

    def on_line(self, path: str, line: int) -> list[Fault]:
        """Every fault that can be made in one line."""
        if path not in self.nodes:
            self.nodes[path] = list(ast_nodes(get_ast(self.sources[path].text)))
        near = [n for n in self.nodes[path] if n.start_pos[0] <= line <= n.end_pos[0]]
        able = [name for name, op in self.operators.items() if any(True for _ in _starts(op, near, line))]
        return [
            Fault(path, line, name, occurrence)
            for name in able
            for occurrence, at in enumerate(_starts(self.operators[name], self.nodes[path]))
            if at == line
        ]


def _is_plain(operator: str) -> bool:
    """Whether an operator needs nothing told: the others change names of variables that one lists."""
    return not get_operator(operator).arguments()


def _starts(operator: Operator, nodes: Sequence[NodeOrLeaf], line: int = 0) -> Iterator[int]:
    """The lines on which an operator can change something, in the order in which it counts its places; of one
    line alone where it is given."""
    for node in nodes:
        for start, _ in operator.mutation_positions(node):
            if line in (0, start[0]):
                yield start[0]


def _meaning(text: str) -> str:
    """What a file says to the machine: no annotations, which nothing evaluates; empty if it says nothing."""
    try:
        tree = ast.parse(text)
    except SyntaxError:
        return ""
    for node in ast.walk(tree):
        if isinstance(node, ast.AnnAssign):
            node.annotation = ast.Constant(None)
        elif isinstance(node, ast.arg):
            node.annotation = None
        elif isinstance(node, ast.FunctionDef):
            node.returns = None
    return ast.dump(tree)


# -- which tests -----------------------------------------------------------------------------------


def imports_of(everything: tuple[Module, ...]) -> Imports:
    """For each of our modules, those of ours that it imports, or names in full to load them when asked."""
    names = {module.name for module in everything}
    found: Imports = {}
    for module in everything:
        words = {
            n.value for n in ast.walk(module.tree) if isinstance(n, ast.Constant) and isinstance(n.value, str)
        }
        beside = {n for n in names if n.endswith("_command")} if module.name == COMMANDS else set()
        found[module.name] = frozenset((module.imports | words | beside) & names)
    return found


def tests_by_distance(everything: tuple[Module, ...], imports: Imports, changed: str) -> list[str]:
    """The files of tests from which imports lead to a module, those in the fewest steps first, and last those
    that read the source."""
    steps, queue = {changed: 0}, deque([changed])
    while queue:
        at = queue.popleft()
        for name in imports:
            if name not in steps and at in imports[name]:
                steps[name] = steps[at] + 1
                queue.append(name)
    found = [m for m in everything if m.name in steps and Path(m.path).name.startswith("test_")]
    found = [m for m in found if m.path not in BY_THE_CLOCK or steps[m.name] == 1]
    near = sorted(found, key=lambda m: (steps[m.name], "/unit/" not in m.path, m.path))
    shape = [m.path for m in everything if m.path.startswith("tests/architecture/test_") and m not in near]
    return [*(m.path for m in near), *shape]


# -- one run ---------------------------------------------------------------------------------------


class _Telling:
    """Tells the parent which test begins and which fails, and ends the process where one does not end."""

    def __init__(self, parent: Connection) -> None:
        self.parent = parent

    def pytest_runtest_logstart(self, nodeid: str) -> None:
        self.parent.send(("begins", nodeid))
        signal.setitimer(signal.ITIMER_PROF, STUCK)

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.failed:
            self.parent.send(("fails", report.nodeid))


def _run(tests: list[str], limit: int, parent: Connection) -> None:
    """The child: the tests in the copy of the tree, to the first that fails. Time is that of the processor,
    so that a busy machine changes no verdict."""
    for name in [name for name in sys.modules if name.split(".")[0] in ("tests", "loopwright")]:
        del sys.modules[name]
    sys.path = [entry for entry in sys.path if entry and Path(entry) not in (ROOT, ROOT / "src")]
    os.chdir(COPY)
    silence = os.open(os.devnull, os.O_WRONLY)
    os.dup2(silence, 1)
    os.dup2(silence, 2)
    used = math.ceil(time.process_time())
    resource.setrlimit(resource.RLIMIT_CPU, (used + limit, used + limit + 5))
    how = ["-x", "-q", "-m", "not slow", "-p", "no:cacheprovider", "--rootdir", str(COPY)]
    how += [
        "-W",
        "ignore::pytest.PytestAssertRewriteWarning",
    ]  # the libraries are loaded already, by the parent
    parent.send(("ended", str(int(pytest.main([*how, *tests], plugins=[_Telling(parent)])))))


def noticed_by(tests: list[str], limit: int) -> tuple[str, int]:
    """The test that notices a fault, or an empty word, and how many files of tests came to their end."""
    fork = multiprocessing.get_context("fork")
    ours, theirs = fork.Pipe(duplex=False)
    child = fork.Process(target=_run, args=(tests, limit, theirs))
    child.start()
    theirs.close()
    at, begun = "before any test", set[str]()
    try:
        while ours.poll(ASLEEP):
            word, what = ours.recv()
            if word == "fails":
                return what, len(begun) - 1
            if word == "ended":
                return ("", len(tests)) if what == "0" else (f"{at}, exit {what}", len(begun) - 1)
            at = what
            begun.add(at.split("::")[0])
    except EOFError:
        child.join()
        if child.exitcode == -signal.SIGXCPU:
            return "", len(begun) - 1
        return f"{at}, {'does not end' if child.exitcode == -signal.SIGPROF else 'process dies'}", len(
            begun
        ) - 1
    finally:
        child.kill()
        child.join()
    return f"{at}, falls asleep", len(begun) - 1


def examined(
    fault: Fault, changed: str, everything: tuple[Module, ...], imports: Imports, limit: int
) -> Outcome:
    """Makes one fault in the copy, runs the tests, and takes it back."""
    module = next(module for module in everything if module.path == fault.path)
    before, after = (text.splitlines() for text in (module.text, changed))
    at = next((i for i, (a, b) in enumerate(zip(before, after, strict=False)) if a != b), fault.line - 1)
    tests = tests_by_distance(everything, imports, module.name)
    begun = time.monotonic()
    (COPY / fault.path).write_text(changed, "utf-8")
    try:
        noticed, ran = noticed_by(tests, limit) if tests else ("", 0)
    finally:
        shutil.copy2(ROOT / fault.path, COPY / fault.path)
        for compiled in (COPY / fault.path).parent.glob(f"__pycache__/{Path(fault.path).stem}.*"):
            compiled.unlink()
    seconds = round(time.monotonic() - begun, 1)
    return Outcome(fault, before[at].strip(), after[at].strip(), noticed, ran, ran == len(tests), seconds)


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.mutants", description=__doc__)
    parser.add_argument("--count", type=int, default=300, help="how many faults (300)")
    parser.add_argument("--seed", type=int, default=1, help="which faults (1)")
    parser.add_argument("--limit", type=int, default=300, help="seconds of the processor for one fault (300)")
    chosen = parser.parse_args()
    shutil.rmtree(COPY, ignore_errors=True)
    shutil.copytree(ROOT, COPY, ignore=LEFT_BEHIND)
    everything = modules("src", "tests")
    imports = imports_of(everything)
    kept = COPY.parent / f"seed-{chosen.seed}.jsonl"
    known = [json.loads(line) for line in kept.read_text("utf-8").splitlines()] if kept.exists() else []
    done = {(o["fault"]["path"], o["fault"]["operator"], o["fault"]["occurrence"]): o for o in known}
    survivors = 0
    for number, (fault, changed) in enumerate(_Drawing(chosen.seed).faults(chosen.count), start=1):
        outcome = done.get((fault.path, fault.operator, fault.occurrence))
        if outcome is None or not (outcome["noticed"] or outcome["all_ran"]):
            outcome = asdict(examined(fault, changed, everything, imports, chosen.limit))
            with kept.open("a", encoding="utf-8") as file:
                file.write(json.dumps(outcome, ensure_ascii=False) + "\n")
        if not outcome["noticed"]:
            survivors += 1
            whole = "all tests" if outcome["all_ran"] else f"{outcome['ran']} files of tests"
            print(f"{fault.path}:{fault.line} survives {whole}")
            print(f"  - {outcome['before']}\n  + {outcome['after']}", flush=True)
        print(f"{number} of {chosen.count}: {survivors} survive", file=sys.stderr)
    print(f"{chosen.count - survivors} of {chosen.count} noticed")


if __name__ == "__main__":
    main()
