"""What a command costs before it has anything to do, each in the same run as its measure.

`loopwright --help` against `python -c pass`: within 2.5 times plus 60 ms. A cold `loopwright sheet` of a
two-loop circuit, from the shell to the finished page, against loading two libraries: within twice
`python -c "import flint, numpy"`. Bytecode is kept, as after a first run.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from pathlib import Path

from benchmarks.timing import compared, milliseconds, times

TWO_LOOPS = Path(__file__).parents[1] / "examples" / "charge-or-help.toml"


def run() -> bool:
    """Prints the figures; whether the bars are met."""
    with tempfile.TemporaryDirectory() as folder:
        kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
        env = {**kept, "PYTHONPYCACHEPREFIX": folder}

        def run_once(*arguments: str) -> None:
            subprocess.run([sys.executable, *arguments], check=True, capture_output=True, env=env)

        page = str(Path(folder) / "sheet.html")
        helped, bare, sheet, libraries = times(
            lambda: run_once("-m", "loopwright", "--help"),
            lambda: run_once("-c", "pass"),
            lambda: run_once("-m", "loopwright", "sheet", str(TWO_LOOPS), "-o", page),
            lambda: run_once("-c", "import flint, numpy"),
        )
    against = compared(helped, [2.5 * seconds + 0.060 for seconds in bare], 1.0)
    print(
        f"\nStart-up: --help {milliseconds(helped)}, python -c pass {milliseconds(bare)};"
        f" to 2.5 times that and 60 ms: {against}"
    )
    cold = compared(sheet, libraries, 2.0)
    print(f"  a cold sheet {milliseconds(sheet)}, import flint, numpy {milliseconds(libraries)}: {cold}")
    return against.met and cold.met
