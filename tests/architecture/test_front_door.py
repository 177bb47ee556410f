"""`import loopwright` is light, and its verbs win over the folders that share their names."""

import os
import pickle
import subprocess
import sys
from pathlib import Path

import pytest

import loopwright
import loopwright.laws.loops
from loopwright import HOME_OF, laws
from loopwright.laws.laws import laws as laws_at_home
from tests.architecture.source import ROOT
from tests.sample_circuits import CHARGE_OR_HELP, circuit_of


def words_printed(program: str) -> list[str]:
    """The words that a fresh Python prints."""
    result = subprocess.run(
        [sys.executable, "-c", program],
        env={**os.environ, "PYTHONPATH": str(ROOT / "src")},
        check=True,
        capture_output=True,
        text=True,
    )
    return result.stdout.split()


def test_importing_it_imports_no_library_and_nothing_else_of_ours() -> None:
    loaded = words_printed(
        "import sys; known = set(sys.modules); import loopwright; print(*sorted(set(sys.modules) - known))"
    )
    assert "loopwright" in loaded
    assert [name for name in loaded if name.startswith(("numpy", "flint", "typst", "loopwright."))] == []


def test_no_verb_loads_what_only_large_networks_need() -> None:
    loaded = words_printed(
        f"import sys, loopwright; [getattr(loopwright, v) for v in {list(HOME_OF)}]; print(*sys.modules)"
    )
    assert "loopwright.solve.exact" in loaded
    assert [name for name in loaded if name.startswith(("scipy", "approx_chol"))] == []


def test_a_sheet_in_html_loads_only_what_it_prints(tmp_path: Path) -> None:
    asked = ["sheet", str(ROOT / "examples/charge-or-help.toml"), "-o", str(tmp_path / "sheet.html")]
    loaded = words_printed(
        f"import sys; from loopwright.cli.main import main; main({asked}); print(*sys.modules)"
    )
    assert "loopwright.sheet.html" in loaded
    unused = (
        "numpy",
        "typst",
        "urllib.request",
        "loopwright.slips",
        "loopwright.sheet.latex",
        "sqlalchemy",
        "alembic",
    )
    assert [name for name in loaded if name.startswith(unused)] == []


@pytest.mark.parametrize("verb", HOME_OF)
def test_every_verb_is_where_the_table_says(verb: str) -> None:
    found = getattr(loopwright, verb)
    assert callable(found)
    assert (found.__module__, found.__name__) == (HOME_OF[verb], verb)


def test_the_table_lists_what_is_public() -> None:
    assert list(HOME_OF) == loopwright.__all__
    assert set(HOME_OF) <= set(dir(loopwright))


def test_a_verb_wins_when_its_folder_was_imported_first() -> None:
    assert loopwright.laws is laws_at_home
    assert laws(circuit_of(CHARGE_OR_HELP)).loops


@pytest.mark.parametrize(
    "imports",
    [
        "import loopwright.laws.loops; from loopwright import laws",
        "from loopwright import laws; import loopwright.laws.loops",
        "from loopwright.laws import loops; from loopwright import laws",
        "from loopwright import laws; from loopwright.laws.loops import default_loops",
    ],
)
def test_verb_and_folder_live_together_in_either_order(imports: str) -> None:
    program = f"import loopwright; {imports}; print(loopwright.laws is laws, type(laws).__name__)"
    assert words_printed(program) == ["True", "function"]


def test_verbs_can_be_sent_to_another_process() -> None:
    assert pickle.loads(pickle.dumps(loopwright.laws)) is laws_at_home


def test_an_unknown_name_is_an_attribute_error() -> None:
    with pytest.raises(AttributeError, match="no attribute 'lawz'"):
        getattr(loopwright, "lawz")  # noqa: B009  # the type checker refuses the plain form
