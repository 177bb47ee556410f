"""A quiz as data, for programs of one's own: JSON with everything, CSV with one row for each answer.

The keys are documented in `docs/items.md` and stay. Values are exact, as text, in the unit that is named.
"""

from __future__ import annotations

import csv
import io
import json
from typing import Any

from ..expressions.said import Said, as_text
from ..expressions.writers import plain
from .item import QuizItem, decimal, right_answer
from .quiz import Quiz

COLUMNS = (
    "item",
    "kind",
    "points",
    "question",
    "answer",
    "says",
    "right",
    "slips",
    "value",
    "unit",
    "feedback",
)


def as_json(quiz: Quiz) -> str:
    """The quiz as JSON."""
    return json.dumps(data(quiz), ensure_ascii=False, indent=2) + "\n"


def data(quiz: Quiz) -> dict[str, Any]:
    """The quiz as plain lists and texts."""
    return {
        "title": quiz.title,
        "seed": quiz.seed,
        "items": [_item(item) for item in quiz.items],
        "notes": [{"code": note.code, "message": note.message} for note in quiz.notes],
    }


def _item(item: QuizItem) -> dict[str, Any]:
    found: dict[str, Any] = {
        "item": item.name,
        "kind": str(item.kind),
        "answered_by": str(item.answered),
        "points": item.points,
        "about": item.about,
        "stem": [*map(as_text, item.stem), *(" = ".join(map(plain.render, sides)) for sides in item.shown)],
        "question": as_text(item.prompt),
        "right": list(item.right),
        "options": [
            {
                "answer": option.name,
                "says": as_text(option.said),
                "right": option.right,
                "value": None if option.value is None else str(option.value),
                "slips": list(option.slips),
                "feedback": option.feedback,
            }
            for option in item.options
        ],
    }
    if item.number is not None:
        found["number"] = {
            "value": str(item.number.value),
            "unit": item.number.unit,
            "tolerance": str(item.number.tolerance),
            "foreseen": [
                {"value": str(f.value), "slips": list(f.slips), "feedback": f.feedback}
                for f in item.number.foreseen
            ],
        }
    if item.order:
        found["foreseen_orders"] = [
            {"order": list(f.names), "slips": list(f.slips), "feedback": f.feedback} for f in item.foreseen
        ]
    return found | ({"yes": item.yes, "otherwise": item.otherwise} if item.yes else {})


def as_csv(quiz: Quiz) -> str:
    """The quiz as a table with a head: a row for each option, each foreseen number, each foreseen order."""
    held = io.StringIO()
    table = csv.writer(held, lineterminator="\r\n")  # RFC 4180
    table.writerow(COLUMNS)
    for item in quiz.items:
        front = (item.name, item.kind, item.points, as_text(item.prompt))
        for row in _rows(item):
            table.writerow([*front, *row])
    return held.getvalue()


def _rows(item: QuizItem) -> list[tuple[str, ...]]:
    """The answers of an item: name, what it says, whether it is right, slips, value, unit, feedback."""
    rows: list[tuple[str, ...]] = []
    if item.number is not None:
        number = item.number
        rows.append(("", right_answer(item), "yes", "", str(number.value), number.unit, item.yes))
        for wrong in number.foreseen:
            says = f"{decimal(wrong.value, 4)} {number.unit}".replace("-", "−")
            slips = " ".join(wrong.slips)
            rows.append(("", says, "no", slips, str(wrong.value), number.unit, wrong.feedback))
        return rows
    if item.order:
        said = {option.name: option.said for option in item.options}
        rows.append((" ".join(item.order), _in_order(item.order, said), "yes", "", "", "", item.yes))
        for order in item.foreseen:
            put = _in_order(order.names, said)
            rows.append((" ".join(order.names), put, "no", " ".join(order.slips), "", "", order.feedback))
        return rows
    return [
        (
            option.name,
            as_text(option.said),
            "yes" if option.right else "no",
            " ".join(option.slips),
            "" if option.value is None else str(option.value),
            "" if option.value is None else "SI",
            option.feedback,
        )
        for option in item.options
    ]


def _in_order(names: tuple[str, ...], said: dict[str, Said]) -> str:
    return " > ".join(as_text(said[name]) for name in names)
