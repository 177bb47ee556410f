"""What can be typed: the commands and their options. Light, so that help answers at once."""

from __future__ import annotations

import argparse

from ..circuit.page_wishes import EDITIONS, PAPERS, TERMS

OVERVIEW = """\
Work a multi-loop circuit: equations that follow your arrows, a derivation in steps, limiting cases
proved twice, and a ledger of the checks made.

commands:
  sheet     the worked sheet, for students, for the instructor, or as a problem that gives nothing away
  limits    every resistance to zero and to infinity, every source to zero
  loops     every loop with its equation, and which are enough
  slips     the wrong answers that single slips lead to, and the slip behind an answer
  figure    the circuit drawn, with its arrows
  read      someone's working, read line by line: what is true, what follows, what is wrong in it

examples:
  loopwright sheet bus.toml                    the sheet as bus.html
  loopwright sheet bus.toml --as pdf --as say  for print, and to read aloud
  loopwright limits bus.toml
  loopwright loops bus.toml --through rail E1 R1 bus R2 E2
  loopwright slips bus.toml --answers Ic=1.25A Ib=-2.35A Ih=3.60A
  loopwright figure bus.toml -o bus.svg
  loopwright read bus.toml working.txt --mark ten

FILE is a problem file; - reads it from standard input. `loopwright COMMAND --help` tells more.
Exit status: 0 done; 1 the circuit, an expectation or a working is at fault; 2 the command line is; 3 a check
of Loopwright's own failed, and nothing was published; 130 stopped by Ctrl-C, nothing half written.
"""

FORMATS = ("html", "pdf", "tex", "md", "say")  # the names of `sheet.forms.FORMS`, which takes long to load


def parser() -> argparse.ArgumentParser:
    """The whole command line."""
    whole = argparse.ArgumentParser(
        prog="loopwright",
        usage="loopwright COMMAND FILE [options]",
        description=OVERVIEW,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    whole.add_argument("--version", action="store_true", help="print the version and stop")
    commands = whole.add_subparsers(dest="command", metavar="COMMAND", help=argparse.SUPPRESS)
    sheet = _command(
        commands,
        "sheet",
        "Write the worked sheet of a circuit.",
        "loopwright sheet bus.toml -o out/ --as html --as pdf\n"
        "  loopwright sheet bus.toml --edition problem --paper letter --as pdf\n"
        "  loopwright sheet - --as md -o - < bus.toml",
    )
    _output(sheet, "where to write: a file, a folder (ending in /), or - for standard output")
    sheet.add_argument(
        "--as",
        dest="formats",
        action="append",
        choices=FORMATS,
        metavar="FORM",
        help="html (default), pdf, tex, md, or say (to read aloud); may be given more than once",
    )
    sheet.add_argument(
        "--edition",
        choices=EDITIONS,
        default="",
        help="problem (gives nothing away), solution (the default) or instructor (all of it)",
    )
    sheet.add_argument("--paper", choices=PAPERS, default="", help="a4 (the default) or letter, for print")
    sheet.add_argument(
        "--terms", choices=TERMS, default="", help="british (the default) or american terms and spelling"
    )
    _symbols(sheet)
    _bounded(sheet)
    limits = _command(
        commands,
        "limits",
        "Take every resistance to 0 and to infinity, every source to 0, by two routes.",
        "loopwright limits bus.toml",
    )
    limits.add_argument("--of", metavar="ELEMENT", action="append", help="only the cases of this element")
    _bounded(limits)
    loops = _command(
        commands,
        "loops",
        "List every loop with its equation, and which equations are enough.",
        "loopwright loops bus.toml\n  loopwright loops bus.toml --through rail E1 R1 bus R2 E2",
    )
    loops.add_argument(
        "--through",
        nargs="+",
        metavar="NAME",
        help="only the loop through these points, elements or currents",
    )
    _bounded(loops)
    _slips(commands)
    figure = _command(
        commands,
        "figure",
        "Draw the circuit with its arrows, as SVG.",
        "loopwright figure bus.toml -o bus.svg\n  loopwright figure bus.toml --words",
    )
    _output(figure, "where to write: a file, or - for standard output")
    figure.add_argument(
        "--loops", action="store_true", help="draw the usual loops with their sense of travel"
    )
    figure.add_argument("--words", action="store_true", help="describe the figure in words instead")
    _symbols(figure)
    _bounded(figure)
    _read(commands)
    return whole


def _slips(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    slips = _command(
        commands,
        "slips",
        "List the wrong answers that single slips lead to, or say which slips lead to the answers given.",
        "loopwright slips bus.toml\n"
        '  loopwright slips bus.toml --of drop-sign --of "a drop left out"\n'
        "  loopwright slips bus.toml --answers Ic=1.25A Ib=-2.35A Ih=3.60A",
    )
    slips.add_argument(
        "--answers",
        nargs="+",
        metavar="NAME=VALUE",
        help="final numbers to decode: currents, V(a,b) or P(R1); some are enough",
    )
    slips.add_argument(
        "--as-drawn",
        action="store_true",
        help="the answers follow the arrows of the file (else a sign may be that of another arrow)",
    )
    slips.add_argument(
        "--of", metavar="SLIP", action="append", help="only this slip: its key (drop-sign) or its name"
    )
    slips.add_argument(
        "--other-loops", action="store_true", help="slips in loops outside the usual set as well"
    )
    slips.add_argument(
        "--as",
        dest="form",
        choices=("text", "md", "json"),
        default="text",
        metavar="FORM",
        help="text (default), md or json",
    )
    _bounded(slips)


def _read(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    read = _command(
        commands,
        "read",
        "Read someone's working of a problem line by line: any arrows, any loops, any order are right if\n"
        "they are right. A folder stands for all texts in it; - reads one working from standard input.",
        "loopwright read bus.toml working.txt\n"
        "  loopwright read bus.toml week5/ --mark ten --as html -o marked/\n"
        "  loopwright read bus.toml handout.md          the formulas and numbers in a text of your own",
    )
    read.add_argument("workings", metavar="WORKING", nargs="+", help="a text, a folder of texts, or -")
    _output(read, "where to write: a file, a folder (ending in /), or - for standard output")
    read.add_argument(
        "--as",
        dest="formats",
        action="append",
        choices=("text", "json", *FORMATS),
        metavar="FORM",
        help="text (default, to the terminal), json, html, pdf, tex, md or say; may be given more than once",
    )
    read.add_argument("--mark", metavar="SCHEME", help="propose a mark: ten, twenty, or the file of a scheme")
    read.add_argument(
        "--no-follow-on",
        action="store_true",
        help="give no points for what follows correctly from a slip",
    )
    read.add_argument(
        "--tolerance", metavar="PERCENT", help='how far off a result may be beyond its rounding, as in "1 %%"'
    )
    read.add_argument("--decimal-comma", action="store_true", help="2,5 is two and a half")
    read.add_argument(
        "--own-arrows", action="store_true", help="the writer was free to reverse the arrows of the problem"
    )
    read.add_argument(
        "--jobs", type=int, default=0, metavar="N", help="workings at a time (default: one on each core)"
    )
    _symbols(read)
    _bounded(read, "give up a working after so long")


def _command(
    commands: argparse._SubParsersAction[argparse.ArgumentParser], name: str, what: str, examples: str
) -> argparse.ArgumentParser:
    command: argparse.ArgumentParser = commands.add_parser(
        name,
        prog=f"loopwright {name}",
        description=what,
        epilog=f"examples:\n  {examples}",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    command.add_argument("file", metavar="FILE", help="the problem file, or - for standard input")
    return command


def _output(command: argparse.ArgumentParser, what: str) -> None:
    command.add_argument("-o", dest="output", metavar="PATH", default="", help=what)


def _symbols(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--resistors",
        choices=("iec", "ieee"),
        default="iec",
        help="draw resistors as rectangles (iec, the default) or as zigzags (ieee)",
    )


def _bounded(command: argparse.ArgumentParser, what: str = "give up after so long") -> None:
    command.add_argument(
        "--longest",
        type=_seconds,
        default=300.0,
        metavar="SECONDS",
        help=f"{what} (300 when not given); Ctrl-C stops at any time",
    )


def _seconds(text: str) -> float:
    seconds = float(text)
    if not 0 < seconds < 1e9:
        raise ValueError
    return seconds
