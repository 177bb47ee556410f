"""Items that show a complete working with one slip carried through, and ask for the line that it is in.

What is said of each line is what the reader says of it. A working in which the reader does not find the slip
at its line is not used.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence

from ..errors import FaultyMaterial
from ..expressions.nodes import Expr
from ..expressions.said import Said, as_text
from ..expressions.writers import plain
from ..findings import Finding
from ..reading.judge import read_working
from ..reading.reading import Reading
from ..reading.remarks import Standing
from ..slips.catalogue import CATALOGUE
from .ground import QuizGround
from .item import AnswerOption, ItemKind, QuizItem
from .slip_answers import slips_told
from .timed_wrong_working import LineInTime, TimedHunt, can_be_worked, right_working, slipped_workings
from .wrong_working import LineOfWorking, NotWorked, WrittenWorking, slipped, worked

LEAST_LINES = 5  # of a working in which a line is worth looking for


def hunts(ground: QuizGround, line: int = 0) -> Iterator[QuizItem]:
    """Find the wrong line: one working after another, no two with the same slip at the same line as long as
    there are others. `line`: the slip is always in this line (0: in any but the last). Nothing where the
    circuit cannot be worked so. Raises FaultyMaterial where the line lets no slip be made."""
    try:
        right = worked(ground.answers.here)
    except NotWorked:
        return
    if len(right.lines) < LEAST_LINES:
        return
    found = [w for w in slipped(ground.answers.here, line) if line or w.wrong < len(w.lines)]
    if not found and line:
        raise FaultyMaterial(_no_slip(len(right.lines), [at.number for at in right.lines if at.slips], line))
    keys = [(each.wrong, each.slip.entry if each.slip else "") for each in found]
    for wrong in (found[at] for at in _in_turn(keys, ground.seed)):
        reading = read_working(ground.circuit, "\n".join(map(_with_what_it_uses, wrong.lines)))
        if _is_read_as_meant(reading, wrong.wrong, len(wrong.lines)):
            yield _item(wrong, reading, right)


def hunts_in_time(ground: QuizGround, line: int = 0) -> Iterator[QuizItem]:
    """The same in time. Nothing where the circuit is not one of those that are worked so."""
    slips = ground.in_time
    if not can_be_worked(slips):
        return
    right = right_working(slips)
    found = [h for h in slipped_workings(slips) if h.wrong == line or (not line and h.wrong < len(h.lines))]
    if not found and line:
        open_to = sorted({hunt.wrong for hunt in slipped_workings(slips)})
        raise FaultyMaterial(_no_slip(len(right), open_to, line))
    keys = [(hunt.wrong, hunt.slip.entry) for hunt in found]
    for at in _in_turn(keys, ground.seed):
        hunt = found[at]
        reading = read_working(ground.circuit, "\n".join(as_text(each.written) for each in hunt.lines))
        if _is_read_as_meant(reading, hunt.wrong, len(hunt.lines)):
            yield _item_in_time(hunt, reading, right)


def _item_in_time(hunt: TimedHunt, reading: Reading, right: Sequence[LineInTime]) -> QuizItem:
    options: list[AnswerOption] = []
    mended = as_text(right[hunt.wrong - 1].written)
    for number, each in enumerate(hunt.lines, 1):
        wrong = number == hunt.wrong
        yes = f"Yes. {slips_told([hunt.slip])} It should read {mended}."
        options.append(
            AnswerOption(
                f"L{number}",
                (f"({number})  {each.said}: ", *each.written),
                yes if wrong else _no(reading, number),
                wrong,
                (hunt.slip.entry,) if wrong else (),
                line=as_text(each.written),
            )
        )
    return _hunt_item(options, hunt.wrong, "Somebody has worked this circuit in numbers.")


def _no_slip(lines: int, open_to: Sequence[int], line: int) -> Finding:
    return Finding(
        "items/no-slip-in-line",
        f"The working has {lines} lines, and no slip is made in line {line}.",
        f"Choose one of the lines {', '.join(map(str, open_to))}.",
    )


def _in_turn(keys: Sequence[tuple[int, str]], seed: str) -> list[int]:
    """The places of workings, of each the wrong line and the slip, in an order drawn by the seed, lines and
    kinds of slip as mixed as they can be."""
    mixed = list(range(len(keys)))
    random.Random(f"{seed} wrong-line").shuffle(mixed)
    turns: list[tuple[int, int, int, int]] = []
    lines: dict[int, int] = {}
    kinds: dict[str, int] = {}
    for at, each in enumerate(mixed):
        line, entry = keys[each]
        lines[line] = lines.get(line, 0) + 1
        kinds[entry] = kinds.get(entry, 0) + 1
        turns.append((lines[line] + kinds[entry], lines[line], at, each))
    return [each for *_, each in sorted(turns, key=lambda turn: turn[:3])]


def as_written(line: LineOfWorking) -> str:
    """A line as a person writes it, without its number."""
    first, *rest = line.equations
    return plain.render(first) + "".join(f" {e.relation} {plain.render(e.right)}" for e in rest)


def _with_what_it_uses(line: LineOfWorking) -> str:
    """A line with its number and those of the lines it is made of, so that nothing else is told of it."""
    uses = " and ".join(f"({number})" for number in line.uses)
    return f"({line.number}) {f'from {uses}: ' if uses else ''}{as_written(line)}"


def _is_read_as_meant(reading: Reading, wrong: int, lines: int) -> bool:
    """Whether the reader finds the slip at its line, and takes all after it for right or for following."""
    first = reading.first_untrue
    if first is None or first.line != wrong or len(reading.remarks) != lines:
        return False
    after = (each.standing for each in reading.remarks[wrong:])
    return all(standing in (Standing.RIGHT, Standing.CARRIED) for standing in after)


def _item(wrong: WrittenWorking, reading: Reading, right: WrittenWorking) -> QuizItem:
    options = [
        AnswerOption(
            f"L{line.number}",
            _set(line),
            _yes(wrong, reading, right) if line.number == wrong.wrong else _no(reading, line.number),
            line.number == wrong.wrong,
            (wrong.slip.entry,) if wrong.slip and line.number == wrong.wrong else (),
            line=as_written(line),
        )
        for line in wrong.lines
    ]
    return _hunt_item(
        options, wrong.wrong, f"Somebody has worked this circuit in numbers, all in {wrong.units}."
    )


def _hunt_item(options: Sequence[AnswerOption], wrong: int, stem: str) -> QuizItem:
    return QuizItem(
        "",
        ItemKind.WRONG_LINE,
        "Find the wrong line",
        (
            "One line of this working is wrong, and those after it are worked from what stands there. "
            "Which is it?",
        ),
        stem=((stem,),),
        options=tuple(options),
        shuffled=False,
        about=f"line {wrong}",
    )


def _set(line: LineOfWorking) -> Said:
    """A line with its number and what is done in it, its equation to be set as one."""
    first, *rest = line.equations
    more: list[str | Expr] = [piece for e in rest for piece in (f" {e.relation} ", e.right)]
    return (f"({line.number})  {line.said}: ", first, *more)


def _yes(wrong: WrittenWorking, reading: Reading, right: WrittenWorking) -> str:
    """What is said of the wrong line: the reader's words where it names the slip, else the catalogue's."""
    first, slip = reading.first_untrue, wrong.slip
    told = [as_text(said) for said in reading.remarks[wrong.wrong - 1].remarks]
    if slip is None or (first is not None and any(r.entry == slip.entry for r in first.repairs[:1])):
        return f"Yes. {told[0]}"
    mended = as_written(right.lines[wrong.wrong - 1])
    return f"Yes. {CATALOGUE[slip.entry].said[:-1]}: {slip.place}. It should read {mended}."


def _no(reading: Reading, line: int) -> str:
    """What is said of another line: what it is, or that what is wrong in it comes from above."""
    told = as_text(next(v.said for v in reading.verdicts if v.line == line))
    if reading.remarks[line - 1].standing is Standing.CARRIED:
        return f"No: what is wrong in this line was wrong before. {told}"
    return f"No: this line is right. {told}"
