"""The exceptions of Loopwright: misuse of the library, or a promise broken.

What is wrong with the person's own material is not an exception but a `Finding`; a list of
findings travels through `FaultyMaterial` when nothing useful can be returned.
Stands on `findings` alone.
"""

from __future__ import annotations

from .findings import Finding


class LoopwrightError(Exception):
    """The base of everything Loopwright raises on purpose."""


class FaultyMaterial(LoopwrightError, ValueError):
    """The circuit, file or question cannot be worked; `findings` says why, where and the mend."""

    def __init__(self, *findings: Finding) -> None:
        super().__init__("\n".join(finding.as_text() for finding in findings))
        self.findings = findings

    def __reduce__(self) -> tuple[type[FaultyMaterial], tuple[Finding, ...]]:
        return type(self), self.findings


class BrokenPromise(LoopwrightError, AssertionError):
    """A result failed its own verification: a bug of ours, and the sheet is not published."""


class MissingExtra(LoopwrightError, ImportError):
    """What was asked for `needs` libraries that come with an `extra` which was not installed."""

    def __init__(self, needs: str, extra: str) -> None:
        super().__init__(needs, extra)

    def __str__(self) -> str:
        needs, extra = self.args
        return f'{needs} Install them: pip install "loopwright[{extra}]"'
