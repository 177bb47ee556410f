"""Which tests run which lines of the source: measured once, so that a fault meets those."""

from __future__ import annotations

import ast
import json
from pathlib import Path

import coverage
import pytest

from tests.architecture.source import Module

AT_IMPORT = ""  # what coverage calls the time outside every test


class Measuring:
    """A plugin of pytest: keeps for every line the tests that ran it, and for every test its seconds."""

    def __init__(self, package: Path, kept: Path) -> None:
        self.kept = kept
        self.seconds: dict[str, float] = {}
        self.coverage = coverage.Coverage(data_file=str(kept), source=[str(package)], config_file=False)
        self.coverage.start()

    def pytest_runtest_logstart(self, nodeid: str) -> None:
        self.coverage.switch_context(nodeid)

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        self.seconds[report.nodeid] = self.seconds.get(report.nodeid, 0) + report.duration

    def pytest_runtest_logfinish(self) -> None:
        self.coverage.switch_context(AT_IMPORT)

    def pytest_sessionfinish(self) -> None:
        self.coverage.stop()
        self.coverage.save()
        self.kept.with_suffix(".json").write_text(json.dumps(self.seconds), "utf-8")


class LinesRun:
    """What was measured."""

    def __init__(self, kept: Path, root: Path) -> None:
        self.root = root
        self.seconds: dict[str, float] = json.loads(kept.with_suffix(".json").read_text("utf-8"))
        self.data = coverage.CoverageData(str(kept))
        self.data.read()

    def tests_of(self, module: Module, line: int) -> tuple[str, ...]:
        """The tests that ran the statement on a line, or the head of the block there, the quickest first."""
        lines = self.data.contexts_by_lineno(str(self.root / module.path))
        found = {test for n in _statement(module.tree, line) for test in lines.get(n, ())} - {AT_IMPORT}
        return tuple(sorted(found, key=lambda test: (self.seconds.get(test, 0), test)))


def _statement(tree: ast.Module, line: int) -> range:
    """The lines of the smallest statement on a line, without what stands indented below it."""
    found = range(line, line + 1)
    for node in ast.walk(tree):
        if isinstance(node, ast.stmt) and node.lineno <= line <= (node.end_lineno or line):
            body = getattr(node, "body", None)
            end = body[0].lineno - 1 if body else node.end_lineno or line
            if node.lineno <= line <= end:
                found = range(node.lineno, end + 1)
    return found
