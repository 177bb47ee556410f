"""`loopwright desk` says in words what stands in its way."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from loopwright.cli.main import main
from tests.architecture.source import ROOT
from tests.open_desk import open_desk
from tests.sample_circuits import CHARGE_OR_HELP


@pytest.mark.parametrize("named", ["gone", "gone.toml", "text.txt", "link.toml"])
def test_what_cannot_be_opened_is_told(
    tmp_path: Path, named: str, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "text.txt").write_text("words")
    (tmp_path / "bus.toml").write_text(CHARGE_OR_HELP)
    (tmp_path / "link.toml").symlink_to(tmp_path / "bus.toml")
    assert main(["desk", str(tmp_path / named), "--no-browser"]) == 2
    assert named in capsys.readouterr().err


def test_without_its_libraries_it_says_what_to_install(tmp_path: Path) -> None:
    forget = "import sys; sys.modules['uvicorn'] = None"
    program = f"{forget}; from loopwright.cli.main import main; sys.exit(main(['desk']))"
    result = subprocess.run(
        [sys.executable, "-c", program],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(ROOT / "src")},
        capture_output=True,
        text=True,
        check=False,
    )
    assert (result.returncode, result.stdout) == (1, "")
    assert result.stderr.endswith('pip install "loopwright[desk]"\n')
    assert "Traceback" not in result.stderr


def test_a_file_is_opened_in_its_folder(tmp_path: Path) -> None:
    (tmp_path / "week one.toml").write_text(CHARGE_OR_HELP)
    with open_desk(tmp_path / "week one.toml", entered=False) as desk:
        _, headers, _ = desk.send("GET", desk.way_in)
    assert headers["location"] == "/#week%20one"


def test_the_page_opens_without_waiting_for_the_engine() -> None:
    program = "import sys, loopwright.cli.desk_command; print(*sys.modules)"
    loaded = subprocess.run(
        [sys.executable, "-c", program],
        env={**os.environ, "PYTHONPATH": str(ROOT / "src")},
        capture_output=True,
        text=True,
        check=True,
    ).stdout.split()
    assert "loopwright.desk.server" in loaded
    assert [
        name for name in loaded if name.startswith(("flint", "numpy", "typst", "loopwright.problem"))
    ] == []
