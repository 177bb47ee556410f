"""Faults made at random, one at a time, in a copy of the tree: does some quick test notice?

`python -m tests.mutants` draws lines of the source by a seed, makes one fault in each (Cosmic Ray knows how)
and runs the tests that run the changed line, the quickest first, until one fails. What survives is for a
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
from tests.lines_run import LinesRun, Measuring

COPY = ROOT / "build" / "mutants" / "tree"
MEASURED = ROOT / "build" / "mutants" / "lines-run"
LEFT_BEHIND = shutil.ignore_patterns(".git", ".venv*", "build", "out", "__pycache__", ".*_cache")
STUCK = 10.0  # seconds of the processor: a test that takes longer does not end, and so notices
BY_THE_CLOCK = (  # may fail on a busy machine: judge what they import alone
    "tests/unit/cli/test_watch.py",
    "tests/architecture/test_benchmark_bars.py",
)
ASLEEP = 900.0  # seconds of the clock without a word: the same
COMMANDS = "loopwright.cli.main"  # loads its neighbours by the names of commands

Imports = dict[str, frozenset[str]]
Round = tuple[str, ...]  # files of tests, or tests, that pytest collects together


@dataclass(frozen=True, slots=True)
class Fault:
    """One change to one line: the `occurrence`th place in the file at which an operator can make one."""

    path: str
    line: int
    operator: str
    occurrence: int


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of a fault. `noticed`: the test that failed, or empty; `ran`: tests that came to their
    end; `all_ran`: whether those were all there were to run."""

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


def by_distance(everything: tuple[Module, ...], imports: Imports, changed: str) -> tuple[Round, Round]:
    """The files of tests that import a module themselves, and those from which imports lead to it, in the
    fewest steps first."""
    steps, queue = {changed: 0}, deque([changed])
    while queue:
        at = queue.popleft()
        for name in imports:
            if name not in steps and at in imports[name]:
                steps[name] = steps[at] + 1
                queue.append(name)
    found = [m for m in everything if m.name in steps and Path(m.path).name.startswith("test_")]
    found = [m for m in found if m.path not in BY_THE_CLOCK or steps[m.name] == 1]
    stem = changed.split(".")[-1]
    found.sort(key=lambda m: (steps[m.name], "/unit/" not in m.path, stem not in m.path, m.path))
    itself = sum(steps[m.name] == 1 for m in found)
    return tuple(m.path for m in found[:itself]), tuple(m.path for m in found[itself:])


def rounds(everything: tuple[Module, ...], imports: Imports, measured: LinesRun, fault: Fault) -> list[Round]:
    """What to run for a fault: the tests that run its line, first those of the nearest files, the quickest
    first; the files that import the module, as a value kept from test to test hides its line from the second;
    if only the import of the module runs the line, all files from which imports lead there; what reads the
    source."""
    module = next(module for module in everything if module.path == fault.path)
    near, far = by_distance(everything, imports, module.name)
    late = {*BY_THE_CLOCK} - {*near}
    meeting = [t for t in measured.tests_of(module, fault.line) if t.split("::")[0] not in late]
    shape = [m.path for m in everything if m.path.startswith("tests/architecture/test_")]
    shape = [path for path in shape if path not in late]
    first = [test for test in meeting if test.split("::")[0] in near[:4]][:100]
    others = [test for test in meeting if test not in set(first)]
    found: list[Sequence[str]] = [
        first,
        others[:40],
        others[40:400],
        others[400:],
        *([name] for name in near),
    ]
    if not meeting:
        found += [far[at : at + 8] for at in range(0, len(far), 8)]
    return [tuple(some) for some in (*found, shape) if some]


# -- one run ---------------------------------------------------------------------------------------


class _Telling:
    """Tells the parent which test begins and which fails, and ends the process where one does not end."""

    def __init__(self, parent: Connection, chosen: Round) -> None:
        self.parent = parent
        self.place = {test: place for place, test in enumerate(chosen) if "::" in test}

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        """Of the files, the tests that were chosen, in the order in which they were."""
        place = self.place
        if place:
            items[:] = sorted((i for i in items if i.nodeid in place), key=lambda i: place[i.nodeid])

    def pytest_runtest_logstart(self, nodeid: str) -> None:
        self.parent.send(("begins", nodeid))
        signal.setitimer(signal.ITIMER_PROF, STUCK)

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.failed:
            self.parent.send(("fails", report.nodeid))


def _in_the_copy() -> None:
    """Makes this process one that knows the copy of the tree alone, and says nothing."""
    for name in [name for name in sys.modules if name.split(".")[0] in ("tests", "loopwright")]:
        del sys.modules[name]
    sys.path = [entry for entry in sys.path if entry and Path(entry) not in (ROOT, ROOT / "src")]
    sys.dont_write_bytecode = False  # compiled once, for all faults
    os.environ["PYTHONPATH"] = str(COPY / "src")  # of the commands that tests start
    signal.signal(signal.SIGINT, signal.default_int_handler)  # in the background it is ignored
    os.chdir(COPY)
    silence = os.open(os.devnull, os.O_WRONLY)
    os.dup2(silence, 1)
    os.dup2(silence, 2)


HOW: tuple[str, ...] = ("-q", "-m", "not slow", "-p", "no:cacheprovider", "--rootdir", str(COPY))
HOW += ("-W", "ignore::pytest.PytestAssertRewriteWarning")  # the parent has loaded the libraries already


def _run(chosen: list[Round], limit: int, parent: Connection) -> None:
    """The child: the tests in the copy of the tree, to the first that fails. Time is that of the processor,
    so that a busy machine changes no verdict."""
    os.setsid()  # a fault that ends a whole group of processes is not to end this one's parent
    _in_the_copy()
    used = math.ceil(time.process_time())
    resource.setrlimit(resource.RLIMIT_CPU, (used + limit, used + limit + 5))
    for some in chosen:
        files = dict.fromkeys(test.split("::")[0] for test in some)
        code = int(pytest.main(["-x", *HOW, *files], plugins=[_Telling(parent, some)]))
        if code not in (0, 5):  # 5: nothing to run, as where all tests of a file are slow
            parent.send(("ended", str(code)))
            return
    parent.send(("ended", "0"))


def _measure() -> None:
    """The child that runs every quick test once and keeps which lines each runs."""
    _in_the_copy()
    sys.exit(int(pytest.main([*HOW], plugins=[Measuring(COPY / "src" / "loopwright", MEASURED)])))


def noticed_by(chosen: list[Round], limit: int) -> tuple[str, int, bool]:
    """The test that notices a fault, or an empty word; how many tests came to their end; whether all did."""
    fork = multiprocessing.get_context("fork")
    ours, theirs = fork.Pipe(duplex=False)
    child = fork.Process(target=_run, args=(chosen, limit, theirs))
    child.start()
    theirs.close()
    at, ran = "before any test", -1
    try:
        while ours.poll(ASLEEP):
            word, what = ours.recv()
            if word == "fails":
                return what, ran, False
            if word == "ended":
                return ("", ran + 1, True) if what == "0" else (f"{at}, exit {what}", ran, False)
            at, ran = what, ran + 1
    except EOFError:
        child.join()
        if child.exitcode == -signal.SIGXCPU:
            return "", ran, False
        return f"{at}, {'does not end' if child.exitcode == -signal.SIGPROF else 'process dies'}", ran, False
    finally:
        child.kill()
        child.join()
    return f"{at}, falls asleep", ran, False


def examined(fault: Fault, changed: str, module: Module, chosen: list[Round], limit: int) -> Outcome:
    """Makes one fault in the copy, runs the tests, and takes it back."""
    before, after = (text.splitlines() for text in (module.text, changed))
    at = next((i for i, (a, b) in enumerate(zip(before, after, strict=False)) if a != b), fault.line - 1)
    begun = time.monotonic()
    (COPY / fault.path).write_text(changed, "utf-8")
    try:
        noticed, ran, all_ran = noticed_by(chosen, limit)
    finally:
        shutil.copy2(ROOT / fault.path, COPY / fault.path)
        for compiled in (COPY / fault.path).parent.glob(f"__pycache__/{Path(fault.path).stem}.*"):
            compiled.unlink()
    seconds = round(time.monotonic() - begun, 1)
    return Outcome(fault, before[at].strip(), after[at].strip(), noticed, ran, all_ran, seconds)


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.mutants", description=__doc__)
    parser.add_argument("--count", type=int, default=300, help="how many faults (300)")
    parser.add_argument("--seed", type=int, default=1, help="which faults (1)")
    parser.add_argument("--limit", type=int, default=40, help="seconds of the processor for one fault (40)")
    chosen = parser.parse_args()
    shutil.rmtree(COPY, ignore_errors=True)
    shutil.copytree(ROOT, COPY, ignore=LEFT_BEHIND)
    everything = modules("src", "tests")
    imports = imports_of(everything)
    sources = {module.path: module for module in everything}
    if not MEASURED.exists():
        child = multiprocessing.get_context("fork").Process(target=_measure)
        child.start()
        child.join()
        if child.exitcode:
            MEASURED.unlink(missing_ok=True)
            parser.exit(
                1, "The tests are not green without a fault: nothing to be noticed. See `make test`.\n"
            )
    measured = LinesRun(MEASURED, COPY)
    kept = COPY.parent / f"seed-{chosen.seed}.jsonl"
    known = [json.loads(line) for line in kept.read_text("utf-8").splitlines()] if kept.exists() else []
    done = {(o["fault"]["path"], o["fault"]["operator"], o["fault"]["occurrence"]): o for o in known}
    survivors = 0
    for number, (fault, changed) in enumerate(_Drawing(chosen.seed).faults(chosen.count), start=1):
        outcome = done.get((fault.path, fault.operator, fault.occurrence))
        if outcome is None or not (outcome["noticed"] or outcome["all_ran"]):
            tests = rounds(everything, imports, measured, fault)
            outcome = asdict(examined(fault, changed, sources[fault.path], tests, chosen.limit))
            with kept.open("a", encoding="utf-8") as file:
                file.write(json.dumps(outcome, ensure_ascii=False) + "\n")
        if not outcome["noticed"]:
            survivors += 1
            whole = "all tests" if outcome["all_ran"] else f"{outcome['ran']} tests in time"
            print(f"{fault.path}:{fault.line} survives {whole}")
            print(f"  - {outcome['before']}\n  + {outcome['after']}", flush=True)
        print(f"{number} of {chosen.count}: {survivors} survive", file=sys.stderr)
    print(f"{chosen.count - survivors} of {chosen.count} noticed")


if __name__ == "__main__":
    main()
