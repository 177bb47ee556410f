"""What can be typed: the commands and their options. Light, so that help answers at once."""

from __future__ import annotations

import argparse

from ..circuit.board_wishes import LOOKS, SHAPES
from ..circuit.page_wishes import EDITIONS, METHODS, PAPERS, SHORTEST
from .bank_options import add_bank
from .shared_options import (
    add_bound,
    add_elsewhere,
    add_output,
    add_symbols,
    command_on_file,
    count,
    gaps,
    millimetres,
    minutes,
)

OVERVIEW = """\
Work a multi-loop circuit: equations that follow your arrows, a derivation in steps, limiting cases
proved twice, and a ledger of the checks made.

commands:
  sheet     the worked sheet, for students, for the instructor, or as a problem that gives nothing away
  limits    every resistance to zero and to infinity, every source to zero
  loops     every loop with its equation, and which are enough
  methods   the methods that serve a circuit, what each takes to write, and the shortest
  slips     the wrong answers that single slips lead to, and the slip behind an answer
  figure    the circuit drawn, with its arrows
  plot      a quantity against one value from 0 to infinity, or its sign over two
  board     the working as a lecture that builds up, with its words, as one page that needs no network
  twin      a circuit in time with coils for capacitors, as a second problem: its ends change places
  numbers   one good set of numbers for a circuit
  versions  the problem in other numbers, a version for everybody, all of one difficulty
  items     quiz items whose wrong options come from slips: as a package, on paper with a key, as data
  papers    a paper for every student on a roster, with keys, a table of answers and a cover
  read      someone's working, read line by line: what is true, what follows, what is wrong in it
  bank      problems kept in a folder, found again by words, by what they hold and by likeness
  desk      a page on this machine where the circuit, its text and its working lie side by side

examples:
  loopwright sheet bus.toml                    the sheet as bus.html
  loopwright sheet bus.toml --as pdf --as say  for print, and to read aloud
  loopwright limits bus.toml
  loopwright loops bus.toml --through rail E1 R1 bus R2 E2
  loopwright methods bus.toml
  loopwright slips bus.toml --answers Ic=1.25A Ib=-2.35A Ih=3.60A
  loopwright figure bus.toml -o bus.svg
  loopwright plot bus.toml "P(Rh) against Rh" -o load.svg
  loopwright board bus.toml -o bus-board.html
  loopwright numbers bus.toml --hold "E2 charged"
  loopwright versions bus.toml --count 200 -o versions/
  loopwright items bus.toml -o quiz.zip
  loopwright papers bus.toml bridge.toml --roster week5.csv -o week5/
  loopwright read bus.toml working.txt --mark ten
  loopwright bank bank/ find "two sources, bridge, whole numbers"
  loopwright desk week5/

FILE is a problem file; - reads it from standard input. `loopwright COMMAND --help` tells more.
Exit status: 0 done; 1 the circuit, an expectation or a working is at fault or was not decided; 2 the command
line is at fault; 3 a check of Loopwright's own failed, and nothing was published; 130 stopped by Ctrl-C,
nothing half written.
"""

QUIZ_PACKAGES = ("qti30", "qti22", "json", "csv")  # and FORMATS: the names of `items.quiz_forms.QUIZ_FORMS`
ITEM_KINDS = ("choice", "number", "formula", "ranking", "direction", "enough", "limit", "wrong-line")
FORMATS = ("html", "pdf", "tex", "md", "say")  # the names of `sheet.forms.FORMS`, which takes long to load
BOARD_OUTPUTS = (  # the names of `board.outputs.OUTPUTS`
    "board",
    "script",
    "handout",
    "key",
    "slides",
    "notes",
    "beamer",
    "frames",
    "description",
    "recording",
    "captions",
    "film",
)
BOARD_FORMS = (*FORMATS, "svg", "png", "vtt", "mp4")


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
    sheet = command_on_file(
        commands,
        "sheet",
        "Write the worked sheet of a circuit.",
        "loopwright sheet bus.toml -o out/ --as html --as pdf\n"
        "  loopwright sheet bus.toml --edition problem --paper letter --as pdf\n"
        "  loopwright sheet - --as md -o - < bus.toml",
    )
    add_output(sheet, "where to write: a file, a folder (ending in /), or - for standard output")
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
    sheet.add_argument(
        "--method",
        choices=(*METHODS, SHORTEST),
        default="",
        metavar="METHOD",
        help=f"by which method the circuit is worked: {', '.join(METHODS)}, or {SHORTEST}",
    )
    sheet.add_argument("--paper", choices=PAPERS, default="", help="a4 (the default) or letter, for print")
    add_symbols(sheet)
    add_bound(sheet)
    limits = command_on_file(
        commands,
        "limits",
        "Take every resistance to 0 and to infinity, every source to 0, by two routes.",
        "loopwright limits bus.toml",
    )
    limits.add_argument("--of", metavar="ELEMENT", action="append", help="only the cases of this element")
    add_bound(limits)
    loops = command_on_file(
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
    add_bound(loops)
    methods = command_on_file(
        commands,
        "methods",
        "Say which methods serve a circuit, what each takes to write, and which is shortest.",
        "loopwright methods bus.toml",
    )
    add_bound(methods)
    _slips(commands)
    figure = command_on_file(
        commands,
        "figure",
        "Draw the circuit with its arrows, as SVG.",
        "loopwright figure bus.toml -o bus.svg\n  loopwright figure bus.toml --words",
    )
    add_output(figure, "where to write: a file, or - for standard output")
    figure.add_argument(
        "--loops", action="store_true", help="draw the usual loops with their sense of travel"
    )
    figure.add_argument("--words", action="store_true", help="describe the figure in words instead")
    add_symbols(figure)
    add_bound(figure)
    _plot(commands)
    _board(commands)
    two = command_on_file(
        commands,
        "twin",
        "Write the problem file of the same circuit with a coil in the place of each capacitor and a\n"
        "capacitor in that of each coil: what every current is just after and long after changes places.",
        "loopwright twin lamp.toml -o lamp-twin.toml\n  loopwright twin lamp.toml | loopwright sheet - -o -",
    )
    add_output(two, "where to write: a file, or - for standard output (the default)")
    _numbers(commands)
    _versions(commands)
    _items(commands)
    _papers(commands)
    _read(commands)
    add_bank(commands)
    _desk(commands)
    return whole


def _plot(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    plot = command_on_file(
        commands,
        "plot",
        "Draw a quantity against one value from 0 to infinity, or its sign over two, all other values at\n"
        "their numbers; every label comes from the closed form.",
        'loopwright plot bus.toml "P(Rh) against Rh" -o load.svg\n'
        '  loopwright plot bus.toml "Ib against Rh" -o points.csv\n'
        '  loopwright plot bus.toml "sign of Ib over R1, Rh" --as say',
    )
    plot.add_argument(
        "request", metavar="WHAT", help='"P(Rh) against Rh" for a curve, "sign of Ib over R1, Rh" for a map'
    )
    add_output(plot, "where to write: a file, its ending .svg, .csv or .txt, or - for standard output")
    plot.add_argument(
        "--as",
        dest="form",
        choices=("svg", "csv", "say"),
        default="",
        metavar="FORM",
        help="svg (the default), csv (its points) or say (in words)",
    )
    add_bound(plot)


def _slips(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    slips = command_on_file(
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
    add_bound(slips)


def _board(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    board = command_on_file(
        commands,
        "board",
        "Make a lecture of a circuit: stages that each change one thing, with what is said.",
        "loopwright board bus.toml -o bus-board.html\n"
        '  loopwright board bus.toml --method "loop currents" --method "node potentials"\n'
        "  loopwright board bus.toml --make handout --as pdf --gaps equations,7",
    )
    add_output(board, "where to write: a file, or - for standard output")
    board.add_argument(
        "--method",
        dest="methods",
        action="append",
        choices=(*METHODS, SHORTEST),
        metavar="METHOD",
        help="by which method; given more than once, one after the other",
    )
    board.add_argument(
        "--minutes",
        type=minutes,
        default=None,
        metavar="N",
        help="leave out what is missed least until it takes no longer (default 10); 0: leave out nothing",
    )
    board.add_argument(
        "--look", choices=LOOKS, default="", help="dark (chalk, the default) or light (paper); L changes it"
    )
    board.add_argument(
        "--shape",
        choices=SHAPES,
        default="",
        help="of slides, notes, frames and a film (16:9 when not given); the page follows its window",
    )
    board.add_argument(
        "--make",
        choices=BOARD_OUTPUTS,
        default="board",
        metavar="WHAT",
        help=f"what to make of it: {', '.join(BOARD_OUTPUTS)}; board, the page, when not given",
    )
    board.add_argument(
        "--as",
        dest="form",
        choices=BOARD_FORMS,
        default="",
        metavar="FORM",
        help="what is read as html (default), pdf, md, tex or say; frames as svg or png",
    )
    board.add_argument(
        "--timed",
        metavar="FILE",
        default="",
        help="times from a run of the page, as T there saves them, in the place of those reckoned",
    )
    board.add_argument(
        "--gaps",
        type=gaps,
        default=(),
        metavar="WHICH",
        help="what a handout leaves empty: acts and numbers of lines, such as equations,7",
    )
    board.add_argument(
        "--paper", choices=PAPERS, default="", help="a4 (the default) or letter, for what is printed"
    )
    add_symbols(board)
    add_bound(board)


def _numbers(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    numbers = command_on_file(
        commands,
        "numbers",
        "Find one good set of numbers: by what [versions] in the file says, or with currents that have few\n"
        "decimals, none zero, no two alike, and no resistance of 1 ohm.",
        "loopwright numbers bus.toml\n"
        '  loopwright numbers bus.toml --hold "E2 charged" --vary "R1=E12 from 10 ohm to 100 ohm"',
    )
    add_output(numbers, "where to write the problem with these numbers: a file, or - for standard output")
    _wishes(numbers)
    _searchers(numbers)
    add_bound(numbers)


def _versions(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    versions = command_on_file(
        commands,
        "versions",
        "Find a problem in other numbers, as [versions] in its file says: all distinct, of one difficulty.\n"
        "Where wishes clash, say which. Without -o the versions are printed as a table.",
        "loopwright versions bus.toml --count 200 -o versions/\n"
        '  loopwright versions bus.toml --count 12 --hold "one current negative" --seed 7',
    )
    add_output(versions, "a folder: a problem file for each version, and a table of all as CSV")
    versions.add_argument(
        "--count", type=count, default=10, metavar="N", help="how many versions (10 when not given)"
    )
    versions.add_argument(
        "--mixed", action="store_true", help="of any difficulty: not all of one pattern of signs"
    )
    _wishes(versions)
    _searchers(versions)
    add_bound(versions)


def _searchers(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--jobs", type=int, default=0, metavar="N", help="processes that search (default: one on each core)"
    )
    add_elsewhere(command)


def _wishes(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--hold", metavar="WISH", action="append", help="what must hold besides, as under [versions]"
    )
    command.add_argument(
        "--vary", metavar="NAME=CHOICES", action="append", help="what a symbol may be, as under [versions]"
    )
    command.add_argument(
        "--seed", type=int, default=1, metavar="N", help="another seed finds others (1 when not given)"
    )


def _items(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    items = command_on_file(
        commands,
        "items",
        "Make quiz items of a circuit; every wrong option comes from a slip, and says from which.",
        "loopwright items bus.toml -o quiz.zip                             a package in QTI 3.0\n"
        "  loopwright items bus.toml --kinds wrong-line --each 4 -o hunt.pdf    a paper, and its key beside\n"
        "  loopwright items bus.toml --kinds wrong-line --line 3 --as csv -o -",
    )
    add_output(items, "where to write: a file, a folder (ending in /), or - for standard output")
    items.add_argument(
        "--kinds",
        nargs="+",
        choices=ITEM_KINDS,
        metavar="KIND",
        help=f"which kinds, in this order: {', '.join(ITEM_KINDS)} (all when not given)",
    )
    items.add_argument(
        "--each", type=count, default=2, metavar="N", help="how many of a kind, at most (2 when not given)"
    )
    items.add_argument(
        "--seed", type=int, default=1, metavar="N", help="another number draws another order and other slips"
    )
    items.add_argument(
        "--line", type=count, default=0, metavar="N", help="in which line the wrong one is to be found"
    )
    items.add_argument(
        "--as",
        dest="formats",
        action="append",
        choices=(*QUIZ_PACKAGES, *FORMATS),
        metavar="FORM",
        help="qti30, qti22 (content packages), json, csv, or a paper with its key: html (default), pdf, tex, "
        "md, say; may be given more than once",
    )
    items.add_argument("--paper", choices=PAPERS, default="", help="a4 (the default) or letter, for print")
    add_symbols(items)
    add_bound(items)


def _papers(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    papers = command_on_file(
        commands,
        "papers",
        "Make a paper for every student on a roster: the problems in numbers of their own ([versions]),\n"
        "room for working, a code; a key for each with the solutions; a table of answers; a cover. A run\n"
        "that was interrupted goes on when it is asked for again.",
        'loopwright papers bus.toml bridge.toml --roster week5.csv --title "Week five" -o week5/\n'
        "  loopwright papers bus.toml --roster week5.csv --points 12 --no-names --as pdf -o week5/",
    )
    papers.add_argument("others", metavar="FILE", nargs="*", help="more problem files, in order")
    papers.add_argument("--roster", metavar="CSV", required=True, help="who gets a paper: see docs/papers.md")
    add_output(papers, "the folder into which all is written")
    papers.add_argument("--title", default="Circuits", help="what stands at the head of every paper")
    papers.add_argument(
        "--points", nargs="+", type=count, default=(), metavar="N",
        help="points of each problem, or one number for all (10 when not given)",
    )  # fmt: skip
    papers.add_argument(
        "--room", type=millimetres, default=60.0, metavar="MM",
        help="room for the working of each problem, at least, and the rest of its page "
        "(60 when not given); 0: none",
    )  # fmt: skip
    papers.add_argument("--no-names", action="store_true", help="papers bear a code in place of a name")
    papers.add_argument(
        "--versions", type=count, default=0, metavar="N",
        help="only so many versions of each problem, dealt out in turn (one for each paper when not given)",
    )  # fmt: skip
    papers.add_argument(
        "--seed", type=int, default=1, metavar="N", help="another seed finds other versions and codes"
    )
    papers.add_argument(
        "--edition",
        choices=EDITIONS,
        default="problem",
        help="of what is handed out (problem when not given)",
    )
    papers.add_argument(
        "--key",
        choices=EDITIONS[1:],
        default="solution",
        help="edition of the keys (solution when not given)",
    )
    papers.add_argument(
        "--as",
        dest="formats",
        action="append",
        choices=FORMATS,
        metavar="FORM",
        help="pdf, html (both when not given), tex, md or say; may be given more than once",
    )
    papers.add_argument("--paper", choices=PAPERS, default="a4", help="a4 (the default) or letter, for print")
    papers.add_argument(
        "--jobs", type=int, default=0, metavar="N", help="papers at a time (default: one on each core)"
    )
    add_elsewhere(papers)
    add_symbols(papers)
    add_bound(papers, "give up where one paper takes so long")


def _read(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    read = command_on_file(
        commands,
        "read",
        "Read someone's working of a problem line by line: any arrows, any loops, any order are right if\n"
        "they are right. A folder stands for all texts in it; - reads one working from standard input.",
        "loopwright read bus.toml working.txt\n"
        "  loopwright read bus.toml week5/ --mark ten --as html -o marked/\n"
        "  loopwright read bus.toml handout.md          the formulas and numbers in a text of your own\n"
        "  loopwright read bus.toml half.txt --finish   and how it goes on from there",
    )
    read.add_argument("workings", metavar="WORKING", nargs="+", help="a text, a folder of texts, or -")
    add_output(read, "where to write: a file, a folder (ending in /), or - for standard output")
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
    read.add_argument(
        "--finish",
        action="store_true",
        help="write the rest of the working, in its own names and from where it stands",
    )
    read.add_argument(
        "--what-next",
        type=int,
        choices=(1, 2, 3, 4),
        default=0,
        metavar="LEVEL",
        help="only the next step: 1 which law is missing, 2 where, 3 the equation, 4 the next line",
    )
    read.add_argument(
        "--decimal-comma", action="store_true", help="2,5 is two and a half even if no number shows it"
    )
    read.add_argument(
        "--own-arrows", action="store_true", help="the writer was free to reverse the arrows of the problem"
    )
    read.add_argument(
        "--jobs", type=int, default=0, metavar="N", help="workings at a time (default: one on each core)"
    )
    add_elsewhere(read)
    add_symbols(read)
    add_bound(read, "give up a working after so long")


def _desk(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    desk: argparse.ArgumentParser = commands.add_parser(
        "desk",
        prog="loopwright desk",
        description="Open a page on this machine where the circuits of a folder are drawn, worked and kept.",
        epilog="examples:\n  loopwright desk week5/\n  loopwright desk bus.toml --no-browser",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    desk.add_argument(
        "file",
        metavar="FILE",
        nargs="?",
        default=".",
        help="a folder of problem files, or the one to open (default: this folder)",
    )
    desk.add_argument(
        "--no-browser",
        dest="browser",
        action="store_false",
        help="print the address, and leave it to you to open it",
    )
    desk.set_defaults(terms="")
