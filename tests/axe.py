"""axe-core as a text that a page can run: the rules of accessibility that a machine can judge."""

from __future__ import annotations

import os
from importlib.util import find_spec
from pathlib import Path

import pytest


def axe_script() -> str:
    """The script; a test is skipped where the package that brings it is not installed, which in CI it is."""
    found = find_spec("axe_playwright_python")
    if found is None or found.origin is None:
        if os.environ.get("CI") == "true":
            pytest.fail("axe-playwright-python is missing")
        pytest.skip("axe-playwright-python is not installed")
    return (Path(found.origin).parent / "axe.min.js").read_text(encoding="utf-8")
