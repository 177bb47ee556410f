"""Every code that can be found stands in docs/findings.md, once, and is shown by a test."""

import ast
import re

from tests.architecture.source import ROOT, called, modules

_CODE = re.compile(r"[a-z]+/[a-z0-9-]+")
_ROW = re.compile(
    r"^\| `(?P<code>[a-z]+/[a-z0-9-]+)` \| (?P<weight>\w+) \| (?P<meaning>.+?) \| (?P<example>.*) \|$"
)


def raised() -> set[str]:
    """The codes given to `Finding(...)`, `.add(...)` and `.warn(...)` anywhere in the source."""
    found: set[str] = set()
    for node in (each for module in modules("src") for each in module.nodes):
        if isinstance(node, ast.Call) and node.args and isinstance(node.args[0], ast.Constant):
            code = node.args[0].value
            if called(node) in ("Finding", "add", "warn") and isinstance(code, str) and _CODE.fullmatch(code):
                found.add(code)
    return found


def documented() -> list[str]:
    """The codes with a row in the registry, in its order."""
    text = (ROOT / "docs" / "findings.md").read_text(encoding="utf-8")
    return [match["code"] for line in text.splitlines() if (match := _ROW.match(line))]


def test_every_code_is_documented_and_every_documented_code_exists() -> None:
    assert sorted(documented()) == sorted(raised())


def test_no_code_is_documented_twice() -> None:
    assert len(documented()) == len(set(documented()))


def test_every_code_about_a_file_or_circuit_has_an_example_in_the_tests() -> None:
    texts = [path.read_text(encoding="utf-8") for path in (ROOT / "tests").rglob("*.toml")]
    texts += [path.read_text(encoding="utf-8") for path in (ROOT / "tests" / "unit").rglob("*.py")]
    shown = set(_CODE.findall(" ".join(texts)))
    assert {code for code in raised() if code.startswith(("file/", "circuit/"))} - shown == set()
