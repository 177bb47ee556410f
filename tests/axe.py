"""axe-core as a text that a page can run: the rules of accessibility that a machine can judge."""

from __future__ import annotations

import os
from collections.abc import Sequence
from importlib.util import find_spec
from pathlib import Path

import pytest
from playwright.sync_api import Page

_FOUND = """async ([only, without]) => (await axe.run({ include: document, exclude: without }, {
  resultTypes: ["violations"], ...(only.length && { runOnly: only }),
})).violations.map((v) => `${v.id}: ${v.nodes.slice(0, 4).map((n) => n.html.slice(0, 120)).join(" | ")}`)"""
OF_COLOURS = ("color-contrast", "link-in-text-block")  # the rules whose answer depends on colours


def violations(page: Page, *only: str, without: Sequence[str] = ()) -> list[str]:
    """What a machine finds amiss on the page, by all rules or by these only. `without`: selectors of what is
    left out, where another test answers for it."""
    if not page.evaluate("'axe' in window"):
        page.evaluate(axe_script())
    found: list[str] = page.evaluate(_FOUND, [list(only), list(without)])
    return found


def axe_script() -> str:
    """The script; a test is skipped where the package that brings it is not installed, which in CI it is."""
    found = find_spec("axe_playwright_python")
    if found is None or found.origin is None:
        if os.environ.get("CI") == "true":
            pytest.fail("axe-playwright-python is missing")
        pytest.skip("axe-playwright-python is not installed")
    return (Path(found.origin).parent / "axe.min.js").read_text(encoding="utf-8")
