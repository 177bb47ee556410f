"""Rules of import that the contracts in pyproject.toml cannot say."""

import ast
import os
import re
import subprocess
import sys
import tomllib

import pytest

from tests.architecture.source import CODE, ROOT, Module, called, modules

# These import by name when first used: two by a table of their own, one what shows the results, one what
# others name at their top.
BY_TABLE = {
    *("src/loopwright/__init__.py", "src/loopwright/cli/main.py"),
    *("src/loopwright/shown.py", "src/loopwright/later.py"),
}

# A library or module of Python's own -> the only rooms that may know it.
KNOWN_TO = {
    "approx_chol": {"solve"},
    "argparse": {"cli"},
    "flint": {"algebra", "graph", "solve", "checks", "slips"},
    "numpy": {"solve", "checks", "slips", "transients", "versions", "reading"},
    "scipy": {"solve"},
    "segno": {"papers"},
    "sqlite3": {"bank"},
    "tomllib": {"problem", "bank"},
    "typst": {"sheet"},
    "random": {"checks", "slips", "versions", "reading", "items", "papers"},
    # For a one-time key, and for the name of a file until it is whole: nothing that we write may depend on
    # chance or on the clock.
    "secrets": {"desk", "whole_files"},
    "time": {"cli", "desk", "many"},  # which tell how long work goes on, and give it up in words
    "datetime": set(),
}

# Those who write a form of output; a family is told by the start of a file's name.
WRITERS = ("html", "mathml", "latex", "markdown", "pdf", "typst", "spoken", "slides")
SAME_FAMILY = ({"html", "mathml"}, {"pdf", "typst"})


def family(stem: str) -> str:
    """The writer a file belongs to, or nothing."""
    return next((writer for writer in WRITERS if stem.startswith(writer)), "")


def strangers(module: Module) -> set[str]:
    """What a writer imports and should not: another writer beside it, or the algebra."""
    own = family(module.name.split(".")[-1])
    if not own:
        return set()
    beside = {name for name in module.imports if name.split(".")[:2] == module.name.split(".")[:2]}
    others = {name for name in beside if family(name.split(".")[-1]) not in ("", own)}
    kin = {name for name in others if {family(name.split(".")[-1]), own} in SAME_FAMILY}
    return (others - kin) | {name for name in module.imports if name.startswith("loopwright.algebra")}


def brought_by_extras() -> dict[str, str]:
    """Every library that people install only with an extra -> the name of the extra."""
    extras = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]["optional-dependencies"]
    return {
        re.split(r"[^\w-]", requirement)[0].replace("-", "_"): extra
        for extra, needs in extras.items()
        for requirement in needs
        if extra not in ("dev", "mutants")  # these are for developing
    }


def where_extras_belong(library: str) -> str:
    """The end of the path of the one module that may import a library of an extra."""
    return f"{brought_by_extras()[library]}_extra.py"


def unseeded(module: Module) -> list[str]:
    """Uses of `random` other than a generator of its own with a seed."""
    seeded = {
        id(node.func)
        for node in module.nodes
        if isinstance(node, ast.Call) and ast.unparse(node.func) == "random.Random" and node.args
    }
    uses = [node for node in module.nodes if isinstance(node, ast.Attribute)]
    found = [node for node in uses if ast.unparse(node.value) == "random" and id(node) not in seeded]
    by_name = [name for name in module.imports if name.startswith("random.")]
    return [*by_name, *(f"{module.path}:{node.lineno}" for node in found)]


def test_no_import_hides_inside_a_function() -> None:
    plain = [module for module in modules(*CODE) if module.path not in BY_TABLE]
    assert [(module.path, hidden) for module in plain for hidden in module.hidden_imports()] == []


def test_libraries_are_known_only_where_they_belong() -> None:
    known = [(m, name) for m in modules("src") for name in m.libraries & KNOWN_TO.keys()]
    assert [(m.path, name) for m, name in known if m.room not in KNOWN_TO[name]] == []


def put_off(module: Module) -> list[str]:
    """The full names of what a file leaves to be loaded `later`."""
    calls = [n for n in module.nodes if isinstance(n, ast.Call) and called(n) == "later"]
    return [".".join(ast.literal_eval(part) for part in call.args) for call in calls]


def test_what_is_loaded_later_stands_among_the_imports() -> None:
    assert [m.path for m in modules("src") if not set(put_off(m)) <= m.imports] == []


def test_what_is_loaded_later_and_not_imported_is_seen() -> None:
    text = "from .document import Block\nhtml = later('loopwright.sheet.html', 'write')\n"
    made_up = Module("src/loopwright/sheet/made_up.py", text)
    assert put_off(made_up) == ["loopwright.sheet.html.write"]
    assert not set(put_off(made_up)) <= made_up.imports


@pytest.mark.parametrize("library", brought_by_extras())
def test_what_an_extra_brings_is_loaded_in_one_module(library: str) -> None:
    (home,) = (module.path for module in modules("src") if library in module.libraries)
    assert home.endswith(where_extras_belong(library))


@pytest.mark.parametrize("library", brought_by_extras())
def test_where_an_extra_is_missing_a_sentence_says_what_to_install(library: str) -> None:
    (home,) = (module for module in modules("src") if library in module.libraries)
    program = f"import sys; sys.modules[{library!r}] = None; import {home.name}"
    result = subprocess.run(
        [sys.executable, "-c", program],
        env={**os.environ, "PYTHONPATH": str(ROOT / "src")},
        capture_output=True,
        text=True,
        check=False,
    )
    assert "ModuleNotFoundError" not in result.stderr
    last = result.stderr.splitlines()[-1]
    assert last.startswith("loopwright.errors.MissingExtra: ")
    assert last.endswith(f'pip install "loopwright[{brought_by_extras()[library]}]"')


def test_chance_is_seeded() -> None:
    assert [use for module in modules("src") for use in unseeded(module)] == []


def test_source_never_imports_tests_or_its_own_front_door() -> None:
    assert [module.path for module in modules("src") if "tests" in module.libraries] == []
    imports = [(module.path, name) for module in modules("src") for name in module.imports]
    front = [each for each in imports if each[1].startswith("loopwright.__")]
    assert [each for each in front if each[1] != "loopwright.__version__"] == []


def test_writers_know_neither_each_other_nor_the_algebra() -> None:
    assert [(module.path, name) for module in modules("src") for name in strangers(module)] == []


@pytest.mark.parametrize(
    "text",
    ["def f():\n    import os\n", "async def f():\n    from a import b\n", "importlib.import_module('a')\n"],
)
def test_a_hidden_import_is_seen(text: str) -> None:
    assert list(Module("src/loopwright/circuit/made_up.py", text).hidden_imports()) != []


@pytest.mark.parametrize(
    ("text", "seen"),
    [
        ("from .html import page", {"loopwright.sheet.html"}),
        ("from . import markdown", {"loopwright.sheet.markdown"}),
        ("import loopwright.algebra.ratios", {"loopwright.algebra.ratios"}),
        ("from .document import Document\nfrom ..expressions.latex import written", set()),
    ],
)
def test_a_writer_that_knows_too_much_is_seen(text: str, seen: set[str]) -> None:
    assert strangers(Module("src/loopwright/sheet/latex.py", text)) == seen


@pytest.mark.parametrize(
    "text",
    ["import random\nrandom.random()\n", "import random\nrandom.Random()\n", "from random import choice\n"],
)
def test_unseeded_chance_is_seen(text: str) -> None:
    assert unseeded(Module("src/loopwright/checks/made_up.py", text)) != []
