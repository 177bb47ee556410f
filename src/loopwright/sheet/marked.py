"""A working that was read, as a document: every line as written, with its verdict and what is said of it.

Verdicts are told in words, faults stand out without colour, and the mark, where one is asked for, is a
proposal with reasons.
"""

from __future__ import annotations

from ..circuit.circuit import Circuit
from ..expressions.said import Said, counted
from ..figure.describe import describe
from ..figure.figure import draw
from ..reading.marking.mark import Mark
from ..reading.reading import Reading
from ..reading.remarks import Remarked, Standing
from .document import Block, Document, Heading, Listing, Paragraph, Picture, Table, Text, Written
from .document_terms import document_in_terms
from .sheets import roles

FAULTS = (Standing.UNTRUE, Standing.UNREAD, Standing.OPEN)


def marked(
    reading: Reading, mark: Mark | None = None, *, title: str = "", resistors: str = "iec"
) -> Document:
    """The document of a reading. `title`: whose working it is, such as the name of a file;
    `resistors`: `"iec"` or `"ieee"`, as on a sheet."""
    circuit = reading.circuit
    lines = reading.remarks
    blocks: tuple[Block, ...] = (
        Paragraph(_summary(reading, lines)),
        Picture(draw(circuit, resistors=resistors), describe(circuit)),
        Heading("Line by line"),
        *_arrows(reading),
        *map(_written, lines),
        *_enough(reading),
        *(_mark(mark) if mark is not None else ()),
    )
    whole = " – ".join(part for part in (circuit.title or "Circuit", title) if part)
    document = Document(whole, blocks, _roles(circuit, reading))
    return document_in_terms(document, circuit.page.terms or "british", circuit.own_words)


def _summary(reading: Reading, lines: tuple[Remarked, ...]) -> Text:
    """What the working comes to, in a sentence or two."""
    count = sum(bool(each.standing) for each in lines)
    first = reading.first_untrue
    unread = [each.line.number for each in lines if each.standing in (Standing.OPEN, Standing.UNREAD)]
    carried = sum(each.standing is Standing.CARRIED for each in lines)
    if not count:
        return ("No equation or result was found in this text.",)
    said = f"{counted(count, 'line').capitalize()} with something to judge. "
    if first is None:
        said += "None is untrue." if unread else "All are true of this circuit."
    else:
        said += f"The first that is not true is line {first.line}."
    if carried:
        verb = "follows" if carried == 1 else "follow"
        said += f" After it, {counted(carried, 'line')} {verb} correctly from what was written."
    if unread:
        numbers = ", ".join(map(str, unread))
        said += f" Not read or not decided: {'line' if len(unread) == 1 else 'lines'} {numbers}."
    return (said,)


def _arrows(reading: Reading) -> tuple[Block, ...]:
    return (Paragraph(reading.arrows.said),) if reading.arrows.said else ()


def _written(each: Remarked) -> Written:
    line = each.line
    fault = each.standing in FAULTS
    read = each.read if len(each.read) == 1 else ()  # of several, the remarks tell each
    return Written(line.number, line.text.strip(), read, str(each.standing), each.remarks, fault)


def _enough(reading: Reading) -> tuple[Block, ...]:
    said = reading.enough.said
    if not said:
        return ()
    told: Block = Paragraph(said[0]) if len(said) == 1 else Listing(said)
    return (Heading("Are the equations enough?"), told)


def _mark(mark: Mark) -> tuple[Block, ...]:
    rows: list[tuple[Said, ...]] = [((a.title,), (a.score,), a.said) for a in mark.awards]
    rows.append((("Together",), (mark.score,), ("",)))
    table = Table(mark.scheme.title, (("Part",), ("Points",), ("Why",)), tuple(rows))
    return (Heading("Proposed mark"), table, *(Paragraph((note,)) for note in mark.notes))


def _roles(circuit: Circuit, reading: Reading) -> dict[str, str]:
    """The circuit's roles, and those of the currents that the working has its own names for."""
    own = {name for name, meaning in reading.arrows.names.items() if set(meaning) <= set(circuit.currents)}
    return {**roles(circuit), **dict.fromkeys(sorted(own), "current")}
