"""What is left to be loaded later is loaded when it is used, and not before."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from loopwright.later import later

SOURCE = str(Path(__file__).parents[2] / "src")


def loaded_after(use: str) -> str:
    program = f"import sys; from loopwright.later import later; {use}; print('colorsys' in sys.modules)"
    env = {**os.environ, "PYTHONPATH": SOURCE}
    told = subprocess.check_output([sys.executable, "-c", program], env=env, text=True)
    return told.strip()


@pytest.mark.parametrize("names", ["'colorsys'", "'colorsys', 'rgb_to_hsv'"])
def test_naming_loads_nothing(names: str) -> None:
    assert loaded_after(f"later({names})") == "False"


@pytest.mark.parametrize(
    "use", ["later('colorsys').ONE_THIRD", "later('colorsys', 'rgb_to_hsv')(0.1, 0.2, 0.3)"]
)
def test_use_loads_it(use: str) -> None:
    assert loaded_after(use) == "True"


def test_a_function_gives_what_it_gives() -> None:
    assert later("math", "dist")((0, 0), (3, 4)) == 5.0  # type: ignore[operator]


def test_what_a_module_lacks_is_told() -> None:
    with pytest.raises(AttributeError, match="nothing_like_it"):
        _ = later("math").nothing_like_it  # type: ignore[attr-defined]
