"""A bank as plain files, and back: problem files, versions, quiz items, a table of what was given.

    bank.json                     what is said of each problem: title, day, certificate, its versions
    problems/NAME.toml            the text of each problem
    versions/NAME/VERSION.toml    its versions
    items/NAME.json               its quiz items
    given.csv                     what was given to whom and when

`bank.json` is written last and read first: a folder without it is no whole bank.
"""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import astuple, dataclass, fields
from pathlib import Path
from typing import Any

from ..errors import FaultyMaterial
from ..findings import Finding, Place
from .bank_extra import Connection, select
from .beside import KeptItem, KeptVersion, items_of, quiz_items, versions_of
from .given import GivenPaper, given
from .problems import Kept, WorkedProblem, kept, worked
from .tables import PROBLEMS

INDEX, GIVEN_TABLE, FORM = "bank.json", "given.csv", 1


@dataclass(frozen=True, slots=True)
class WholeProblem:
    """A problem read from plain files, with all that is kept with it."""

    problem: WorkedProblem
    added: str
    certificate: str
    versions: tuple[KeptVersion, ...]
    items: tuple[KeptItem, ...]


def plain_files(connection: Connection) -> Iterator[tuple[str, str]]:
    """Every file of an export, by its path in the folder, one after another; the index comes last."""
    index: list[dict[str, Any]] = []
    for key in connection.execute(select(PROBLEMS.c.id).order_by(PROBLEMS.c.name)).scalars().all():
        problem = kept(connection.execute(select(PROBLEMS).where(PROBLEMS.c.id == key)).one())
        versions, items = versions_of(connection, problem), items_of(connection, problem)
        index.append(_entry(problem, versions))
        yield f"problems/{problem.name}.toml", problem.text
        yield from ((f"versions/{problem.name}/{one.name}.toml", one.text) for one in versions)
        if items:
            listed = {"title": problem.title, "items": [json.loads(one.data) for one in items]}
            yield f"items/{problem.name}.json", _json(listed)
    yield GIVEN_TABLE, _table(given(connection))
    yield INDEX, _json({"form": FORM, "problems": index})


def _entry(problem: Kept, versions: Sequence[KeptVersion]) -> dict[str, Any]:
    found: dict[str, Any] = {"name": problem.name, "title": problem.title, "added": problem.added}
    if problem.certificate:
        found["certificate"] = json.loads(problem.certificate)
    if versions:
        found["versions"] = [one.name for one in versions]
    if any(one.certificate for one in versions):
        certified = {one.name: json.loads(one.certificate) for one in versions if one.certificate}
        found["version certificates"] = certified
    return found


def _json(content: Mapping[str, Any]) -> str:
    return json.dumps(content, ensure_ascii=False, indent=1) + "\n"


def _table(rows: Sequence[GivenPaper]) -> str:
    text = io.StringIO()
    table = csv.writer(text, lineterminator="\n")
    table.writerow([field.name for field in fields(GivenPaper)])
    table.writerows(map(astuple, rows))
    return text.getvalue()


# -- back -----------------------------------------------------------------------------------------


def read_plain_files(folder: Path) -> Iterator[WholeProblem]:
    """Every problem of an export. Raises FaultyMaterial where the folder is no whole export, or a file in it
    cannot be read."""
    index = _index(folder)
    for entry in index:
        try:
            name, added = str(entry["name"]), str(entry["added"])
            certificate = entry.get("certificate")
            versions = [str(version) for version in entry.get("versions", ())]
            certified = dict(entry.get("version certificates", {}))
        except (KeyError, TypeError, ValueError, AttributeError):
            raise FaultyMaterial(_no_export(folder, f"{INDEX} is not as it was written")) from None
        text = _text(folder, f"problems/{name}.toml")
        items = folder / "items" / f"{name}.json"
        yield WholeProblem(
            worked(text, name, f"{name}.toml"),
            added,
            _one_line(certificate),
            tuple(
                KeptVersion(v, _text(folder, f"versions/{name}/{v}.toml"), _one_line(certified.get(v)))
                for v in versions
            ),
            quiz_items(_text(folder, f"items/{name}.json"), items.name) if items.is_file() else (),
        )


def _one_line(certificate: object) -> str:
    return json.dumps(certificate, ensure_ascii=False) if certificate else ""


def read_given(folder: Path) -> tuple[GivenPaper, ...]:
    """The table of what was given in an export. Raises FaultyMaterial for any other table."""
    heads = [field.name for field in fields(GivenPaper)]
    try:
        rows = list(csv.reader(io.StringIO(_text(folder, GIVEN_TABLE)), strict=True))
    except csv.Error:
        rows = []
    if not rows or rows[0] != heads or any(len(row) != len(heads) for row in rows):
        raise FaultyMaterial(_no_export(folder, f"{GIVEN_TABLE} is not as it was written"))
    return tuple(GivenPaper(*row) for row in rows[1:])


def _index(folder: Path) -> list[Any]:
    if not (folder / INDEX).is_file():
        raise FaultyMaterial(_no_export(folder, f"it has no {INDEX}"))
    try:
        content = json.loads(_text(folder, INDEX))
        found: list[Any] = content["problems"]
        if content["form"] == FORM and isinstance(found, list):
            return found
    except (ValueError, KeyError, TypeError):
        pass
    raise FaultyMaterial(_no_export(folder, f"{INDEX} is not as it was written"))


def _text(folder: Path, name: str) -> str:
    path = (folder / name).resolve()
    if not path.is_relative_to(folder.resolve()):
        raise FaultyMaterial(_no_export(folder, f"{name} lies outside"))
    try:
        return path.read_bytes().decode("utf-8")
    except FileNotFoundError:
        raise FaultyMaterial(_no_export(folder, f"{name} is missing")) from None
    except UnicodeDecodeError:
        raise FaultyMaterial(_no_export(folder, f"{name} is not UTF-8 text")) from None


def _no_export(folder: Path, why: str) -> Finding:
    message = f"The folder is no whole export of a bank: {why}."
    return Finding(
        "bank/no-export", message, "Export the bank again; nothing was put in.", Place(str(folder))
    )
