"""The shape of the repository: small files, said purpose, locks in step, nothing of one machine."""

import ast
import re
import tomllib
from pathlib import Path

import pytest

from tests.architecture.source import CODE, PACKAGE, ROOT, Module, files, modules

LONGEST = 600
CATCH_ALLS = {"utils", "util", "helpers", "helper", "misc", "common"}
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
EXTRAS = PROJECT["project"]["optional-dependencies"]
PIN = re.compile(r"^([a-z0-9][a-z0-9._-]*)==(\S+) \\$", re.MULTILINE)
# Written in two halves, so that this file passes its own test.
OF_ONE_MACHINE = ("/wo" + "rk/", "/tm" + "p/", "/ro" + "ot/", "/ho" + "me/", "file" + "://")
HOSTS = ("pypi" + ".org", "python" + "hosted.org", "debian" + ".org", "npmjs" + ".org")


def lock(name: str) -> dict[str, str]:
    """The pins of one lock: package -> version."""
    return dict(PIN.findall((ROOT / "locks" / name).read_text("utf-8")))


def wanted(requirements: list[str]) -> set[str]:
    """The names in a list of requirements, in the spelling of the locks."""
    names = [re.split(r"[^A-Za-z0-9._-]", requirement)[0] for requirement in requirements]
    return {re.sub(r"[-_.]+", "-", name).lower() for name in names}


def of_extras() -> list[str]:
    """What all extras ask for."""
    return [each for needs in EXTRAS.values() for each in needs]


def test_files_stay_short() -> None:
    lengths = {module.path: module.text.count("\n") for module in modules(*CODE)}
    assert {path: length for path, length in lengths.items() if length > LONGEST} == {}


def test_files_say_what_they_are_for() -> None:
    full = [module for module in modules(*CODE) if module.tree.body]
    assert [module.path for module in full if not ast.get_docstring(module.tree)] == []


def test_no_room_is_a_catch_all() -> None:
    named = {part for module in modules(*CODE) for part in Path(module.path.removesuffix(".py")).parts}
    assert named & CATCH_ALLS == set()


def test_locks_hold_what_the_project_asks_for() -> None:
    project = PROJECT["project"]
    needed = wanted([*project["dependencies"], *PROJECT["build-system"]["requires"]])
    assert needed <= lock("run.txt").keys()
    assert needed | wanted(EXTRAS["desk"]) <= lock("desk.txt").keys()
    assert needed | wanted(of_extras()) <= lock("mutants.txt").keys()
    assert needed | wanted(of_extras()) - wanted(EXTRAS["mutants"]) <= lock("dev.txt").keys()


def test_what_only_an_extra_asks_for_is_not_installed_for_a_sheet() -> None:
    only = wanted(of_extras()) - wanted(PROJECT["project"]["dependencies"])
    assert only & lock("run.txt").keys() == set()


def test_developing_uses_the_versions_that_running_uses() -> None:
    assert (
        lock("run.txt").items()
        <= lock("desk.txt").items()
        <= lock("dev.txt").items()
        <= lock("mutants.txt").items()
    )


@pytest.mark.parametrize("name", ["run.txt", "desk.txt", "dev.txt", "mutants.txt"])
def test_every_locked_package_has_its_hash(name: str) -> None:
    entries = re.split(r"^(?=[a-z0-9])", (ROOT / "locks" / name).read_text("utf-8"), flags=re.MULTILINE)[1:]
    assert [entry.split()[0] for entry in entries if "--hash=sha256:" not in entry] == []
    assert len(entries) == len(lock(name))


def test_nothing_names_one_machine_or_a_registry() -> None:
    words = [word.encode() for word in (*OF_ONE_MACHINE, *HOSTS)]
    contents = {path.relative_to(ROOT): path.read_bytes() for path in files()}
    assert [(path, word) for path, content in contents.items() for word in words if word in content] == []


def test_unit_tests_stand_in_the_folders_of_the_source() -> None:
    unit = ROOT / "tests" / "unit"
    folders = {path.parent.relative_to(unit) for path in unit.rglob("test_*.py")}
    assert sorted(str(folder) for folder in folders if not (PACKAGE / folder).is_dir()) == []


def test_what_is_remembered_in_a_process_is_bounded() -> None:
    cached = re.compile(r"^ *@(?:functools\.)?(?:lru_)?cache\b.*", re.MULTILINE)
    uses = [(module.path, use.strip()) for module in modules("src") for use in cached.findall(module.text)]
    assert [use for use in uses if not re.search(r"maxsize=\d+", use[1])] == []


def test_every_room_is_in_the_architecture_page() -> None:
    page = (ROOT / "ARCHITECTURE.md").read_text("utf-8")
    rooms = sorted(path.name for path in PACKAGE.iterdir() if (path / "__init__.py").exists())
    assert [room for room in rooms if f"`{room}/`" not in page] == []


def test_every_dependency_has_its_decision() -> None:
    page = (ROOT / "docs" / "decisions.md").read_text("utf-8").lower()
    project = PROJECT["project"]
    asked = [*project["dependencies"], *of_extras(), *PROJECT["build-system"]["requires"]]
    assert sorted(name for name in wanted(asked) if name not in page) == []


def public_types(module: Module) -> set[str]:
    """The classes and named types that a module defines at its top, for others to use."""
    defined = [node.name for node in module.tree.body if isinstance(node, ast.ClassDef)]
    for node in module.tree.body:
        if isinstance(node, ast.Assign | ast.AnnAssign):
            target = node.targets[0] if isinstance(node, ast.Assign) else node.target
            if isinstance(target, ast.Name) and re.fullmatch(r"[A-Z]\w*[a-z]\w*", target.id):
                defined.append(target.id)
    return {name for name in defined if not name.startswith("_")}


def test_no_public_type_has_the_name_of_another() -> None:
    homes: dict[str, list[str]] = {}
    for module in modules("src"):
        for name in public_types(module):
            homes.setdefault(name, []).append(module.path)
    assert {name: paths for name, paths in homes.items() if len(paths) > 1} == {}


def frozen(node: ast.ClassDef) -> bool | None:
    """Whether a class of values cannot be changed once made; None for other classes."""
    for decorator in node.decorator_list:
        if ast.unparse(decorator).startswith("dataclass"):
            return "frozen=True" in ast.unparse(decorator)
    return None


def test_values_are_frozen_but_for_what_is_filled_as_the_work_goes() -> None:
    nodes = [node for module in modules("src") for node in ast.walk(module.tree)]
    classes = [node for node in nodes if isinstance(node, ast.ClassDef)]
    open_ones = {node.name for node in classes if frozen(node) is False and not node.name.startswith("_")}
    assert open_ones == {
        "ElementValues", "Faults", "Found", "KeyLines", "LineInPlay", "Skeleton", "Teller", "Tracks",
        "UnitKinds", "WalkFound",
    }  # fmt: skip
