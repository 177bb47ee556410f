"""What the pages and the heads of files name is there: folders, modules, and what they define."""

from __future__ import annotations

import ast
import re
from fnmatch import fnmatch
from functools import cache

from tests.architecture.source import ROOT, Module, files, modules

PAGES = sorted([*ROOT.glob("*.md"), *(ROOT / "docs").glob("*.md")])
SOURCE = modules("src")
QUOTED = re.compile(r"`([^`\n]+)`")
PATH = re.compile(r"[a-z_]+(?:/[a-z_*-]+)+/?(?:\.\w+)*|[a-z_]+/")
WORD = re.compile(r"[a-z_]{3,}(?:\.[A-Za-z_]+)*")
STANDS_ON = re.compile(r"Stands on (.*?)[.;:](?:\s|$)", re.DOTALL)
SHOWN_IMPORT = re.compile(r"from (loopwright[\w.]*) import ([\w, ]+)")
CODES = {code for module in SOURCE for code in re.findall(r'"([a-z]+/[a-z-]+)"', module.text)}


@cache
def places() -> frozenset[str]:
    """Every file and folder by its path and by every end of that path, such as `limits/cases`."""
    found: set[str] = set()
    for path in files():
        parts = path.relative_to(ROOT).parts
        for end in range(1, len(parts) + 1):
            whole = "/".join(parts[:end])
            for name in (whole, whole.removesuffix(".py")):
                found.update("/".join(name.split("/")[start:]) for start in range(end))
    return frozenset(found)


@cache
def defined() -> frozenset[str]:
    """Every name that a module defines at its top or a class of it holds."""
    found: set[str] = set()
    for module in SOURCE:
        at_top = module.tree.body
        in_classes = [inner for node in at_top if isinstance(node, ast.ClassDef) for inner in node.body]
        for node in (*at_top, *in_classes):
            targets = node.targets if isinstance(node, ast.Assign) else [getattr(node, "target", None)]
            found.update(target.id for target in targets if isinstance(target, ast.Name))
            found.add(getattr(node, "name", ""))
    return frozenset(found)


def is_there(path: str) -> bool:
    """Whether a path such as `solve/exact.solve` or `slips/models_of_*` leads to something."""
    if path in places() or path.rstrip("/") in places():
        return True
    place, _, attribute = path.partition(".")
    if "*" in place:
        return any(fnmatch(known, place) for known in places())
    return place in places() and attribute in defined()


def paths_in(text: str) -> list[str]:
    """The words in backquotes that are paths (`solve/exact`, `tests/architecture/`) and no codes of findings
    or of the ledger."""
    return [word for word in QUOTED.findall(text) if PATH.fullmatch(word) and word not in CODES]


def test_every_path_that_a_page_names_is_there() -> None:
    named = [(page.name, path) for page in PAGES for path in paths_in(page.read_text("utf-8"))]
    assert [(page, path) for page, path in named if not is_there(path)] == []


def test_every_module_that_the_head_of_a_file_names_is_there() -> None:
    heads = {module: ast.get_docstring(module.tree) or "" for module in SOURCE}
    named = [(module.path, path) for module, head in heads.items() for path in paths_in(head)]
    assert [(file, path) for file, path in named if not is_there(path)] == []
    known = places() | defined()
    for module, head in heads.items():
        used = set(re.findall(r"\w+", module.text.replace(head, "")))
        words = [word for word in QUOTED.findall(head) if WORD.fullmatch(word)]
        assert [(module.path, w) for w in words if not set(w.split(".")) - used <= known] == []


def test_a_module_imports_what_its_head_says_it_stands_on() -> None:
    assert [(module.path, name) for module in SOURCE for name in not_imported(module)] == []


def not_imported(module: Module) -> list[str]:
    """What a file says that it stands on, and does not import."""
    said = STANDS_ON.search(ast.get_docstring(module.tree) or "")
    named = re.findall(r"`([a-z_.]+)`", said[1]) if said else []
    imported = {f"{name.removeprefix('loopwright.')}." for name in module.imports}
    beside = module.name.removeprefix("loopwright.").rpartition(".")[0]
    starts = {name: (f"{name}.", f"{beside}.{name}.") for name in named}
    return [name for name, ways in starts.items() if not any(i.startswith(ways) for i in imported)]


def shown_imports() -> list[tuple[str, str]]:
    """Every (module, name) in an import that a page or the head of a file shows."""
    texts = [page.read_text("utf-8") for page in PAGES]
    texts += [ast.get_docstring(module.tree) or "" for module in SOURCE]
    found = [match for text in texts for match in SHOWN_IMPORT.findall(text)]
    return sorted({(home, name) for home, names in found for name in re.findall(r"\w+", names)})


def test_every_import_that_a_page_shows_finds_its_name() -> None:
    homes = {module.name: module for module in SOURCE}
    shown = shown_imports()
    assert ("loopwright", "solve") in shown
    known = {(home, name) for home, name in shown if home in homes and name in homes[home].text}
    folders = {(home, name) for home, name in shown if f"{home}.{name}" in homes}
    assert [pair for pair in shown if pair not in known | folders] == []


def test_a_path_that_leads_nowhere_is_seen() -> None:
    text = "see `solve/exact`, `solve/exact.no_such`, `solve/gone`, `gone/` and `file/not-toml`"
    assert [p for p in paths_in(text) if not is_there(p)] == [
        "solve/exact.no_such",
        "solve/gone",
        "gone/",
    ]
