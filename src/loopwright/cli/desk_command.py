"""`loopwright desk`: a page on this machine where circuits are drawn, worked and kept."""

from __future__ import annotations

import argparse
import sys
import threading
import webbrowser
from pathlib import Path

from ..desk.server import serve
from ..legible import legible, legible_line


def run(given: argparse.Namespace) -> int:
    """Serves the folder until Ctrl-C."""
    place = Path(given.file)
    paper = ""
    if place.is_file():
        if place.suffix != ".toml" or place.is_symlink():
            _say(f"{place} is no problem file: the desk opens files that end in .toml, and no links.")
            return 2
        place, paper = place.parent, place.stem
    if not place.is_dir():
        _say(f"{place} is not there: name a folder, or a problem file in one.")
        return 2

    def ready(address: str) -> None:
        _show(f"The desk of {place.resolve()} is open at")
        _show(f"  {address}")
        _show("The address lets one browser in, once. Ctrl-C closes the desk; every change is saved already.")
        if given.browser:
            threading.Thread(target=webbrowser.open, args=(address,), daemon=True).start()

    serve(place, paper, ready)
    _say("The desk is closed.")
    return 0


def _show(text: str) -> None:
    print(legible(text), flush=True)


def _say(text: str) -> None:
    print(legible_line(text), file=sys.stderr)
