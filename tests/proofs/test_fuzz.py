"""Spoilt files through the command line end in no traceback, within their bounds (more: `tests.fuzz`)."""

from pathlib import Path

import pytest

from tests.fuzz import KINDS, faults, spoilt
from tests.sweeps import parts


@pytest.mark.parametrize("part", parts(range(8), in_ci=3))
@pytest.mark.parametrize("kind", KINDS)
def test_spoilt_files_end_in_no_traceback(kind: str, part: int, tmp_path: Path) -> None:
    assert [
        (number, end.fault) for number, end in faults(kind, range(part * 60, part * 60 + 60), tmp_path)
    ] == []


@pytest.mark.parametrize("kind", KINDS)
def test_a_case_is_decided_by_its_number(kind: str) -> None:
    assert spoilt(kind, 7) == spoilt(kind, 7)
    assert spoilt(kind, 7) != spoilt(kind, 8)
