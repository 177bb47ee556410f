"""From the lines of a sheet to text: labels, words, formulas between their signs, lines run together."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from random import Random

from .ink import Num, Tree
from .paper import Line, Paper


@dataclass(frozen=True, slots=True)
class Written:
    """The text of a working, which of its lines has the slip (from 1; 0: none), and which hold a formula."""

    text: str
    planted: int
    formulas: frozenset[int]


def written(paper: Paper, rng: Random) -> Written:
    """The whole sheet."""
    rows: list[tuple[str, bool, bool]] = []
    merging = False
    for line in paper.lines:
        if line.prose:
            rows.append((line.prose, False, False))
            merging = False
            continue
        body = _body(paper, line)
        joins = merging and not line.label and not line.before and rng.random() < 0.5
        if joins and rows[-1][2]:
            text, planted, _ = rows[-1]
            rows[-1] = (text + _joint(paper) + body, planted or line.planted, True)
            continue
        rows.append((_labelled(paper, line, body), line.planted, True))
        merging = bool(paper.habits.merge) and not (line.label and paper.habits.numbering == "right")
    text = "\n".join(row[0] for row in rows) + "\n"
    at = next((k for k, row in enumerate(rows, 1) if row[1]), 0)
    return Written(text, at, frozenset(k for k, row in enumerate(rows, 1) if row[2]))


def _joint(paper: Paper) -> str:
    joint, kind = paper.habits.merge, paper.habits.pen.kind
    if joint == " => ":
        return {"plain": " => ", "unicode": " ⇒ ", "latex": " $\\Rightarrow$ "}[kind]
    return joint


def _body(paper: Paper, line: Line) -> str:
    pen = paper.habits.pen
    chains = []
    for chain in line.chains:
        text = pen.write(chain[0], lead=True)
        for side in chain[1:]:
            text += f" {_relation(paper, side)} {pen.write(side, lead=True)}"
        chains.append(text)
    inner = ", ".join(chains)
    if pen.kind != "latex":
        return inner
    wraps = {"$": "$", "$$": "$$", "\\[": "\\]", "\\(": "\\)"}
    gap = " " if paper.habits.wrap == "\\[" else ""
    return f"{paper.habits.wrap}{gap}{inner}{gap}{wraps[paper.habits.wrap]}"


def _relation(paper: Paper, side: Tree) -> str:
    if isinstance(side, Num) and side.half != Fraction(0) and paper.habits.about != "=":
        return paper.habits.about
    return "="


def _labelled(paper: Paper, line: Line, body: str) -> str:
    text = f"{line.before}{body}{line.behind}"
    if not line.label:
        return text
    match paper.habits.numbering:
        case "right":
            return f"{text}    {line.label}"
        case "star":
            return f"eq. {line.label}: {text}"
        case _:
            return f"{line.label} {text}"
