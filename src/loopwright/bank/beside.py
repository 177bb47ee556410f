"""What is kept with a problem: versions in other numbers, quiz items, and what certificates say of slips."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from ..errors import FaultyMaterial
from ..findings import Finding, Place, Severity
from ..problem.problem_file import read_text
from ..versions.slips_apart import SlipCertificate, certificate
from .bank_extra import Connection, delete, func, insert, select, update
from .problems import Kept, circuit_kept
from .tables import ITEMS, PROBLEMS, TRAITS, VERSIONS

APART = "slips apart"  # the feature of a problem whose certificate says so


@dataclass(frozen=True, slots=True)
class KeptVersion:
    """A version as it is kept. `certificate`: what it says of slips, as plain data; empty where none was
    worked."""

    name: str
    text: str
    certificate: str = ""


@dataclass(frozen=True, slots=True)
class KeptItem:
    """A quiz item as it is kept: its kind, and all of it as JSON (`docs/items.md`)."""

    name: str
    kind: str
    data: str


def checked_versions(many: Mapping[str, str]) -> tuple[KeptVersion, ...]:
    """Versions by name and text. Raises FaultyMaterial with all faults of their texts."""
    faults: list[Finding] = []
    for name, text in many.items():
        faults += [f for f in read_text(text, name)[1] if f.severity is Severity.ERROR]
    if faults:
        raise FaultyMaterial(*faults)
    return tuple(KeptVersion(name, text.replace("\r\n", "\n")) for name, text in many.items())


def quiz_items(text: str, file: str = "quiz") -> tuple[KeptItem, ...]:
    """The items of a quiz written as JSON. Raises FaultyMaterial for any other text."""
    try:
        content = json.loads(text)
        return tuple(
            KeptItem(str(item["item"]), str(item["kind"]), json.dumps(item, ensure_ascii=False))
            for item in content["items"]
        )
    except (ValueError, KeyError, TypeError):
        message, mend = "this is no quiz as JSON.", "Write one: loopwright items FILE --as json."
        raise FaultyMaterial(Finding("bank/no-quiz", message, mend, Place(file))) from None


def keep_versions(connection: Connection, problem: Kept, many: Iterable[KeptVersion]) -> int:
    """Keeps versions with a problem, in the place of those of the same names; how many."""
    rows = [asdict(one) | {"problem": problem.key} for one in many]
    return _keep(connection, VERSIONS, problem, rows)


def keep_items(connection: Connection, problem: Kept, many: Iterable[KeptItem]) -> int:
    """Keeps quiz items with a problem, in the place of those of the same names; how many."""
    return _keep(connection, ITEMS, problem, [asdict(one) | {"problem": problem.key} for one in many])


def _keep(connection: Connection, table: Any, problem: Kept, rows: Sequence[dict[str, Any]]) -> int:
    names = [row["name"] for row in rows]
    for at in range(0, len(names), 500):
        again = table.c.name.in_(names[at : at + 500])
        connection.execute(delete(table).where(table.c.problem == problem.key, again))
    if rows:
        connection.execute(insert(table), rows)
    return len(rows)


def versions_of(connection: Connection, problem: Kept) -> tuple[KeptVersion, ...]:
    """The versions kept with a problem, by name."""
    rows = connection.execute(
        select(VERSIONS).where(VERSIONS.c.problem == problem.key).order_by(VERSIONS.c.name)
    )
    return tuple(KeptVersion(row.name, row.text, row.certificate) for row in rows)


def items_of(connection: Connection, problem: Kept) -> tuple[KeptItem, ...]:
    """The quiz items kept with a problem, by name."""
    rows = connection.execute(select(ITEMS).where(ITEMS.c.problem == problem.key).order_by(ITEMS.c.name))
    return tuple(KeptItem(row.name, row.kind, row.data) for row in rows)


def counts(connection: Connection) -> Mapping[str, int]:
    """How many problems, versions and items there are."""
    tables = {"problems": PROBLEMS, "versions": VERSIONS, "quiz items": ITEMS}
    found = {
        name: connection.execute(select(func.count()).select_from(table)).scalar_one()
        for name, table in tables.items()
    }
    return {name: int(count) for name, count in found.items()}


# -- certificates ----------------------------------------------------------------------------------


def certificate_worked(problem: Kept) -> SlipCertificate:
    """What the numbers of a problem tell of slips. Raises FaultyMaterial where it has none."""
    return certificate(circuit_kept(problem))


def certificate_of(version: KeptVersion) -> SlipCertificate | None:
    """What the numbers of a version tell of slips; None for one without numbers. Raises FaultyMaterial for a
    circuit of which nothing can be told."""
    circuit, findings = read_text(version.text, version.name)
    if circuit is None:
        raise FaultyMaterial(*findings)
    return certificate(circuit) if circuit.has_all_numbers else None


def keep_version_certificate(
    connection: Connection, problem: Kept, name: str, found: SlipCertificate
) -> None:
    """Keeps a certificate with its version."""
    which = (VERSIONS.c.problem == problem.key, VERSIONS.c.name == name)
    connection.execute(update(VERSIONS).where(*which).values(certificate=_as_json(found)))


def keep_certificate(connection: Connection, problem: Kept, found: SlipCertificate) -> None:
    """Keeps a certificate with its problem, which then is found by what it says."""
    put_certificate(connection, problem.key, _as_json(found))


def _as_json(found: SlipCertificate) -> str:
    return json.dumps(asdict(found) | {"told": found.told}, ensure_ascii=False)


def put_certificate(connection: Connection, key: int, told: str) -> None:
    """Keeps a certificate as it was written, and the feature it proves."""
    content = json.loads(told)
    apart = not content["meeting"] and not content["hidden"]
    connection.execute(update(PROBLEMS).where(PROBLEMS.c.id == key).values(certificate=told))
    connection.execute(delete(TRAITS).where(TRAITS.c.problem == key, TRAITS.c.feature == APART))
    connection.execute(insert(TRAITS).values(problem=key, feature=APART, amount=int(apart)))
