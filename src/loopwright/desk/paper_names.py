"""Which names a paper may have: those that any file system keeps and any eye tells apart.

A paper is a file NAME.toml that lies in the folder itself. What is there already under another kind of name
is still listed and opened; this is for names that somebody gives here.
"""

from __future__ import annotations

import unicodedata

from ..legible import legible_line
from .refusals import Refusal

ENDING = ".toml"
MOST_BYTES = 120  # of a name in UTF-8; file systems take 255, and endings are added to it
_NOT_IN_NAMES = set('/\\:*?"<>|')
_TAKEN_BY_SYSTEMS = {"con", "prn", "aux", "nul", *(f"{d}{n}" for d in ("com", "lpt") for n in range(1, 10))}


def good_name(name: object) -> str:
    """The name in composed form, without `.toml`; raises Refusal where it will not do."""
    if not isinstance(name, str):
        raise Refusal(400, "The name of a paper is a text.", "Send it as a string.")
    given = unicodedata.normalize("NFC", name).strip().removesuffix(ENDING).strip()
    if wrong := _fault(given):
        raise Refusal(422, f"That name will not do: {wrong}.", "Use letters, digits, spaces and hyphens.")
    return given


def _fault(name: str) -> str:
    if not name:
        return "it is empty"
    if len(name.encode("utf-8", "surrogatepass")) > MOST_BYTES:
        return f"it is longer than {MOST_BYTES} bytes"
    if not name.isprintable() or legible_line(name) != name:
        return "it holds signs that cannot be seen"
    if odd := sorted(set(name) & _NOT_IN_NAMES):
        return f"it holds {odd[0]}, which not every system takes in a file's name"
    if name[0] in ".~" or name[-1] == ".":
        return "it begins with a dot or ~, or ends with a dot"
    if name.split(".")[0].strip().casefold() in _TAKEN_BY_SYSTEMS:
        return "some systems keep it for themselves"
    return ""


def copy_of(name: str, taken: set[str]) -> str:
    """The first of `NAME 2`, `NAME 3`, ... that is not taken."""
    number = 2
    while f"{name} {number}".casefold() in taken:
        number += 1
    return f"{name} {number}"
