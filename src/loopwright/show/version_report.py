"""Versions as people read them: a table of numbers and answers, as plain text and as CSV."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from fractions import Fraction

from ..quantities import rounded, simple
from ..solve.exact import solve
from ..versions.told import answers_of
from ..versions.versions import Version, VersionSet
from .slip_report import UNIT_BY_LETTER


def version_names(found: VersionSet) -> list[str]:
    """`001`, `002`, ...: by what the versions are told apart, in order."""
    width = max(3, len(str(len(found))))
    return [str(n + 1).rjust(width, "0") for n in range(len(found))]


def answers_told(answers: Sequence[tuple[str, Fraction]], figures: int) -> list[str]:
    """Each answer as a person writes it: `I1 = −1.5 A` where that is exact, `I1 ≈ 134 mA` where it is not."""
    found = []
    for name, value in answers:
        near = rounded(value, _unit(name), figures)
        found.append(f"{name} {'=' if near.value == value else '≈'} {near.text}")
    return found


def _unit(name: str) -> str:
    if "(" not in name:
        return "A"
    return {"R": "Ω"}.get(name[0], UNIT_BY_LETTER.get(name[0], ""))


def as_table(found: VersionSet) -> str:
    """One line a version: its name, its numbers, its answers; then how many candidates were looked at."""
    solution = solve(found.circuit)
    lines = []
    for name, version in zip(version_names(found), found.versions, strict=True):
        answers = list(answers_of(solution, version.circuit).items())
        told = ", ".join(answers_told(answers, version.circuit.figures))
        lines.append(f"{name}  {_numbers(version)}  ->  {told}")
    return "\n".join([*lines, summary(found)])


def _numbers(version: Version) -> str:
    return ", ".join(f"{name} = {text}" for name, text in version.numbers.items())


def summary(found: VersionSet) -> str:
    """How they were found, and what they have in common."""
    many = "1 version" if len(found) == 1 else f"{len(found):,} versions"
    first = found.versions[0] if found.versions else None
    alike = ""
    if first is not None and len(found) > 1 and len({v.signs for v in found.versions}) == 1:
        signs = ", ".join(
            f"{name} {'> 0' if s > 0 else '< 0' if s < 0 else '= 0'}"
            for name, s in zip(found.circuit.currents, first.signs, strict=True)
        )
        alike = f", all with {signs}"
        if first.lines is not None and len({v.lines for v in found.versions}) == 1:
            alike += f" and {first.lines} written lines"
    certified = [v.certificate for v in found.versions if v.certificate is not None]
    if certified:
        alike += f"; {'of the first, ' if len(found) > 1 else ''}{certified[0].told.removesuffix('.')}"
    return f"{many}{alike}; {found.looked_at:,} of {found.size:,} candidates looked at, seed {found.seed}."


def as_csv(found: VersionSet) -> str:
    """The same as a table of comma-separated values (RFC 4180): numbers as written, answers exactly in SI
    units, as decimals where these end and as fractions otherwise."""
    solution = solve(found.circuit)
    text = io.StringIO()
    rows = csv.writer(text)
    names = list(found.versions[0].numbers) if found.versions else []
    for number, (name, version) in enumerate(zip(version_names(found), found.versions, strict=True)):
        answers = answers_of(solution, version.circuit)
        if number == 0:
            rows.writerow(["version", *names, *(f"{a} in {_unit(a)}".removesuffix(" in ") for a in answers)])
        numbers = [version.numbers[n] for n in names]
        rows.writerow([name, *numbers, *(simple(value) for value in answers.values())])
    return text.getvalue()
