"""What a request brings: the paper's name, the fields of its body; refused in words where they are amiss."""

from __future__ import annotations

import json
from typing import Any

from .desk_extra import Request
from .refusals import Refusal


def name_of(request: Request) -> str:
    """The paper that an address names."""
    return str(request.path_params["name"])


async def fields_of(request: Request) -> dict[str, Any]:
    """The fields of a request's body, which is one JSON object."""
    try:
        given = json.loads(await request.body())
    except (ValueError, RecursionError):
        raise Refusal(400, "That is not JSON.", "Send one object.") from None
    if not isinstance(given, dict):
        raise Refusal(400, "That is JSON, but no object.", "Send one object.")
    return given


def text_in(given: dict[str, Any], field: str) -> str:
    """A field that is a text."""
    value = given.get(field)
    if not isinstance(value, str):
        raise Refusal(400, f"{field} is missing, or no text.", "Send it as a string.")
    return value


def edits_in(given: dict[str, Any]) -> list[dict[str, Any]]:
    """The edits that are to be made."""
    edits = given.get("edits")
    if not isinstance(edits, list) or not all(isinstance(edit, dict) for edit in edits):
        raise Refusal(400, "edits is a list of what is to be done.", "Send at least one edit.")
    return edits
