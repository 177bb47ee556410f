"""The source as these tests see it: every module, what it imports, and where the import stands."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, cached_property
from pathlib import Path

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "src" / "loopwright"
CODE = ("src", "tests", "benchmarks")
NOT_OURS = {"scratch", "__pycache__", "loopwright.egg-info"}
Function = ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda


@dataclass(frozen=True)
class Module:
    """One file of Python, by its path from the root of the repository."""

    path: str
    text: str

    @cached_property
    def tree(self) -> ast.Module:
        """The file, parsed."""
        return ast.parse(self.text, self.path)

    @cached_property
    def nodes(self) -> tuple[ast.AST, ...]:
        """All that stands in the tree."""
        return tuple(ast.walk(self.tree))

    @property
    def room(self) -> str:
        """The folder of the package it lives in (`circuit`), or its own name at the top (`errors`)."""
        return self.path.removeprefix("src/loopwright/").split("/")[0].removesuffix(".py")

    @property
    def name(self) -> str:
        """Its dotted name: `loopwright.circuit.elements`."""
        return self.path.removeprefix("src/").removesuffix(".py").removesuffix("/__init__").replace("/", ".")

    @cached_property
    def imports(self) -> frozenset[str]:
        """Dotted names of all it imports, in full; `from a import b` gives `a` and `a.b`."""
        found: set[str] = set()
        package = self.path.removeprefix("src/").split("/")[:-1]
        for node in self.nodes:
            if isinstance(node, ast.Import):
                found.update(alias.name for alias in node.names)
            elif isinstance(node, ast.ImportFrom):
                above = package[: len(package) - node.level + 1] if node.level else []
                base = ".".join([*above, *([node.module] if node.module else [])])
                found.update([base, *(f"{base}.{alias.name}" for alias in node.names)])
        return frozenset(found)

    @cached_property
    def libraries(self) -> frozenset[str]:
        """The top names of all it imports: `numpy`, `argparse`, ..."""
        return frozenset(name.split(".")[0] for name in self.imports)

    def hidden_imports(self) -> Iterator[str]:
        """Imports that stand inside a function, and calls that import by name, anywhere."""
        for function in self.nodes:
            if isinstance(function, Function):
                for node in ast.walk(function):
                    if isinstance(node, ast.Import | ast.ImportFrom):
                        yield f"{self.path}:{node.lineno}"
        for node in self.nodes:
            if isinstance(node, ast.Call) and called(node) in BY_NAME:
                yield f"{self.path}:{node.lineno}"


BY_NAME = {"import_module", "__import__"}


def called(node: ast.Call) -> str:
    """The last name of what a call calls: `add` for `faults.add(...)`; empty where it is no name."""
    return node.func.id if isinstance(node.func, ast.Name) else str(getattr(node.func, "attr", ""))


def modules(*tops: str) -> tuple[Module, ...]:
    """Every Python file under these folders of the repository, sorted."""
    return tuple(sorted((module for top in tops for module in _under(top)), key=lambda module: module.path))


@cache  # every rule asks for the same files, which then are read and parsed once
def _under(top: str) -> tuple[Module, ...]:
    paths = [path for path in (ROOT / top).rglob("*.py") if not NOT_OURS & set(path.parts)]
    return tuple(Module(str(path.relative_to(ROOT)), path.read_text("utf-8")) for path in paths)


def files() -> tuple[Path, ...]:
    """Every text file of the repository that we wrote."""
    tops = [ROOT / name for name in (*CODE, "docs", "examples", "locks", ".ci")]
    deep = [path for top in tops for path in top.rglob("*") if not NOT_OURS & set(path.parts)]
    plain = [path for path in ROOT.glob("*") if path.suffix != ".lock" and path.name != ".git"]
    return tuple(sorted(path for path in (*deep, *plain, ROOT / ".gitignore") if path.is_file()))
