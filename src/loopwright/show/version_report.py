"""Versions as people read them: a table of numbers and answers, as plain text and as CSV."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from fractions import Fraction

from ..circuit.circuit import Circuit
from ..circuit.targets import targets
from ..circuit.timed_wishes import is_in_time
from ..quantities import rounded, simple
from ..sheet.answers import UNIT
from ..transients.timed_numbers import timed_numbers
from ..versions.told import answers_in
from ..versions.version import Version, VersionSet


def version_names(found: VersionSet) -> list[str]:
    """`001`, `002`, ...: by what the versions are told apart, in order."""
    width = max(3, len(str(len(found))))
    return [str(n + 1).rjust(width, "0") for n in range(len(found))]


def answers_told(answers: Mapping[str, Fraction], circuit: Circuit) -> list[str]:
    """Each answer as a person writes it: `I1 = −1.5 A` where that is exact, `I1 ≈ 134 mA` where it is not."""
    units = _units(circuit)
    found = []
    for name, value in answers.items():
        near = rounded(value, units[name], circuit.figures)
        found.append(f"{name} {'=' if near.value == value else '≈'} {near.text}")
    return found


def _units(circuit: Circuit) -> dict[str, str]:
    """The unit of each thing asked."""
    if is_in_time(circuit):
        return {each.asked: each.unit for each in timed_numbers(circuit) if each.value is not None}
    return {asked.as_text(): UNIT.get(asked.dimension, "") for asked in targets(circuit)}


def as_table(found: VersionSet) -> str:
    """One line a version: its name, its numbers, its form where these differ, its answers; then how many
    candidates were looked at."""
    lines = []
    for name, version, answers in zip(version_names(found), found.versions, answers_in(found), strict=True):
        told = ", ".join(answers_told(answers, version.circuit))
        form = f"  [{version.form.told}]" if found.in_form else ""
        lines.append(f"{name}  {_numbers(version)}{form}  ->  {told}")
    return "\n".join([*lines, summary(found)])


def _numbers(version: Version) -> str:
    return ", ".join(f"{name} = {text}" for name, text in version.numbers.items())


def summary(found: VersionSet) -> str:
    """How they were found, and what they have in common."""
    many = "1 version" if len(found) == 1 else f"{len(found):,} versions"
    first = found.versions[0] if found.versions else None
    alike = ""
    if first is not None and found.signed and len(found) > 1 and len({v.signs for v in found.versions}) == 1:
        signs = ", ".join(
            f"{name} {'> 0' if s > 0 else '< 0' if s < 0 else '= 0'}"
            for name, s in zip(found.signed, first.signs, strict=True)
        )
        alike = f", all with {signs}{' along the arrows of the file' if found.in_form else ''}"
        if first.lines is not None and len({v.lines for v in found.versions}) == 1:
            alike += f" and {first.lines} written lines"
    certified = [v.certificate for v in found.versions if v.certificate is not None]
    if certified:
        alike += f"; {'of the first, ' if len(found) > 1 else ''}{certified[0].told.removesuffix('.')}"
    return f"{many}{alike}; {found.looked_at:,} of {found.size:,} candidates looked at, seed {found.seed}."


def as_csv(found: VersionSet) -> str:
    """The same as a table of comma-separated values (RFC 4180): numbers as written, answers exactly in SI
    units, as decimals where these end and as fractions otherwise; nothing where a version does not ask."""
    text = io.StringIO()
    rows = csv.writer(text)
    several = answers_in(found)
    names = list(found.versions[0].numbers) if found.versions else []
    asked = {name: unit for circuit in found.circuits for name, unit in _units(circuit).items()}
    form = ["form"] if found.in_form else []
    units = (f"{name} in {unit}".removesuffix(" in ") for name, unit in asked.items())
    rows.writerow(["version", *names, *form, *units])
    for name, version, answers in zip(version_names(found), found.versions, several, strict=True):
        numbers = [version.numbers[n] for n in names]
        told = [simple(answers[a]) if a in answers else "" for a in asked]
        rows.writerow([name, *numbers, *([version.form.told] if form else []), *told])
    return text.getvalue()
