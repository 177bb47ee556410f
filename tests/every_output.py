"""Writes all that the commands print for all examples into a folder, to compare two states of the source.

python -m tests.every_output FOLDER && diff -r FOLDER OTHER
"""

from __future__ import annotations

import contextlib
import io
import os
import sys
from pathlib import Path

from loopwright.circuit.page_wishes import EDITIONS
from loopwright.cli.main import main

EXAMPLES = Path(__file__).parents[1] / "examples"
SHEETS = ("html", "pdf", "tex", "md", "say")
PRINTED = {
    "limits": ["limits", "FILE"],
    "loops": ["loops", "FILE"],
    "methods": ["methods", "FILE"],
    "figure.svg": ["figure", "FILE", "-o", "-"],
    "figure.txt": ["figure", "FILE", "--words"],
    "slips": ["slips", "FILE"],
    "slips.md": ["slips", "FILE", "--as", "md"],
    "slips.json": ["slips", "FILE", "--as", "json"],
}


def printed(arguments: list[str]) -> str:
    """What a command prints to both streams, and its exit status."""
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        try:
            status: object = main(arguments)
        except SystemExit as end:
            status = end.code
    return f"{out.getvalue()}--\n{err.getvalue()}-- exit status {status}\n"


def write_all(folder: Path) -> None:
    """Every example in every form, and every working read against each lead example."""
    folder = folder.absolute()
    folder.mkdir(parents=True, exist_ok=True)
    os.chdir(EXAMPLES)  # so that no path of this machine is printed
    for problem in sorted(Path().glob("*.toml")):
        forms = [word for form in SHEETS for word in ("--as", form)]
        for edition in EDITIONS:
            beside = f"{folder}/{problem.stem}.{edition}/"
            main(["sheet", str(problem), "--edition", edition, "-o", beside, *forms])
        for name, arguments in PRINTED.items():
            given = [str(problem) if word == "FILE" else word for word in arguments]
            (folder / f"{problem.stem}.{name}").write_text(printed(given), encoding="utf-8")
    workings = sorted(path for path in Path("workings").iterdir() if path.suffix in (".txt", ".tex"))
    for problem in sorted(Path().glob("*.toml"))[:8]:
        for form in ("text", "json", "md"):
            where = ["-o", "-"] if form == "text" else ["-o", f"{folder}/{problem.stem}.read/"]
            text = printed(["read", str(problem), *map(str, workings), "--mark", "ten", "--as", form, *where])
            (folder / f"{problem.stem}.read.{form}").write_text(
                text.replace(str(folder), "FOLDER"), encoding="utf-8"
            )


if __name__ == "__main__":
    write_all(Path(sys.argv[1]))
