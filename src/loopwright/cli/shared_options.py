"""What the options of several commands have in common."""

from __future__ import annotations

import argparse

from ..circuit.page_wishes import TERMS


def command_on_file(
    commands: argparse._SubParsersAction[argparse.ArgumentParser], name: str, what: str, examples: str
) -> argparse.ArgumentParser:
    """A command on a problem file, with what it is for and how it is typed."""
    command: argparse.ArgumentParser = commands.add_parser(
        name,
        prog=f"loopwright {name}",
        description=what,
        epilog=f"examples:\n  {examples}",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    command.add_argument("file", metavar="FILE", help="the problem file, or - for standard input")
    command.add_argument(
        "--terms", choices=TERMS, default="", help="british (the default) or american terms and spelling"
    )
    return command


def add_output(command: argparse.ArgumentParser, what: str) -> None:
    """Where to write."""
    command.add_argument("-o", dest="output", metavar="PATH", default="", help=what)


def add_symbols(command: argparse.ArgumentParser) -> None:
    """The symbols of the figure."""
    command.add_argument(
        "--resistors",
        choices=("iec", "ieee"),
        default="iec",
        help="draw resistors as rectangles (iec, the default) or as zigzags (ieee)",
    )


def add_bound(command: argparse.ArgumentParser, what: str = "give up after so long") -> None:
    """The time allowed."""
    command.add_argument(
        "--longest",
        type=seconds,
        default=300.0,
        metavar="SECONDS",
        help=f"{what} (300 when not given); Ctrl-C stops at any time",
    )


def add_elsewhere(command: argparse.ArgumentParser) -> None:
    """The machines that work."""
    command.add_argument(
        "--on",
        default="",
        metavar="ADDRESS",
        help="have the work done by the machines of the Dask scheduler at this address, such as "
        "tcp://hall:8786 (needs loopwright[many]); what comes out is the same",
    )


def gaps(text: str) -> tuple[str | int, ...]:
    """Acts and numbers of lines, between commas."""
    found = [part.strip().lower() for part in text.split(",") if part.strip()]
    return tuple(int(part) if part.isdecimal() else part for part in found)


def minutes(text: str) -> float:
    """A number of minutes; ValueError for none."""
    minutes = float(text)
    if not 0 <= minutes < 1e6:
        raise ValueError
    return minutes


def seconds(text: str) -> float:
    """A number of seconds above 0; ValueError for none."""
    seconds = float(text)
    if not 0 < seconds < 1e9:
        raise ValueError
    return seconds


def count(text: str) -> int:
    """A whole number from 1 to 100,000; ValueError for none."""
    count = int(text)
    if not 0 < count <= 100_000:
        raise ValueError
    return count


def millimetres(text: str) -> float:
    """A room on paper from 0 to 200 mm; ValueError for none."""
    room = float(text)
    if not 0 <= room <= 200:
        raise ValueError
    return room
