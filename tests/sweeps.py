"""Sweeps too long for every run: all parts with `make test-all`, the first of them in CI."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import pytest

SLOW, LONG = pytest.mark.slow, pytest.mark.long


def parts(of: Iterable[int], in_ci: int) -> list[Any]:
    """The parts of a sweep as parameters of a test, all but the first `in_ci` marked long besides slow."""
    return [pytest.param(part, marks=(SLOW,) if k < in_ci else (SLOW, LONG)) for k, part in enumerate(of)]
