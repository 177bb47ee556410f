"""One stage of a circuit in time at the board: what it begins with, the switch, the circuit redrawn for just
after and for long after, and the laws that hold in between."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from ..algebra.ratios import Ratio
from ..circuit.circuit import Circuit
from ..circuit.elements import Element, Kind, Pass
from ..circuit.names import listed
from ..derive.search import reason_of
from ..derive.steps import Move, Step
from ..expressions.amounts import amount
from ..expressions.nodes import Equation, Expr, Symbol
from ..expressions.said import Said, counted, in_a_row
from ..figure.describe import describe
from ..figure.figure import draw, is_drawn
from ..laws.equations import Law, LawEquation, element_equations, loop_equation
from ..laws.laws import Laws
from ..sheet.document import DisplayedLine
from ..sheet.stage_blocks import StageBlocks
from ..sheet.storage_sheet import StorageSheet, course_called, value_before
from ..transients.loop_rule import loop_rule_lines
from ..transients.redrawn import just_after, long_after
from .document_stages import displayed_stages, document_stages
from .line_stages import law_stages
from .stage import Became, BoardFigure, Cut, LectureAct
from .staging import Staging

_MOVE_OF = {Law.JUNCTION: Move.JUNCTION, Law.LOOP: Move.LOOP, Law.ELEMENT: Move.GIVEN}


def is_moving(part: StageBlocks) -> bool:
    """Whether anything changes in a stage."""
    return any(not course.stays for course in part.stage.currents.values())


def called_after(sheet: StorageSheet, part: StageBlocks, words: str) -> str:
    """The head of a part of the lecture, with the move it belongs to where there are several."""
    k = sheet.parts.index(part)
    return f"{words}, move {k + 1}" if len(sheet.parts) > 1 else words


# -- before ------------------------------------------------------------------------------------------


def before_stages(staging: Staging, sheet: StorageSheet) -> None:
    """How the storages stand before anything moves, and what they hold."""
    staging.begin(LectureAct.EQUATIONS, "Before")
    part = sheet.parts[0]
    found = [name for name in sheet.circuit.storages if name not in sheet.circuit.start]
    for kind, what in ((Kind.CAPACITOR, Became.GAP), (Kind.COIL, Became.WIRE)):
        own = [n for n in found if sheet.circuit.elements[n].kind is kind]
        if not own:
            continue
        stands: Said = ("The circuit has stood for long: ", *in_a_row([part.ends_as(n) for n in own]), ".")
        if any(sheet.circuit.elements[name].internal is not None for name in own):
            staging.point(stands, parts=[("element", name) for name in own])
        else:
            staging.become(own, what, stands)
    for name in sheet.circuit.storages:
        held = part.stage.held[name]
        value = _value(part, sheet.held_name(name), held)
        words: Said = ("Before: ", Equation(Symbol(sheet.held_name(name)), value), ".")
        staging.write(words, words=words, parts=[("element", name)])


# -- just after and long after -----------------------------------------------------------------------


def moment_stages(staging: Staging, sheet: StorageSheet, part: StageBlocks) -> None:
    """The switch moves; the circuit redrawn for just after and for long after, each after a question to the
    room, with what every quantity is then."""
    if not is_moving(part):
        return
    staging.begin(LectureAct.EQUATIONS, called_after(sheet, part, "Just after"))
    _moved(staging, sheet, part)
    again = bool(part.stage.begins) and Cut.SECOND in staging.left_out
    for block in sheet.carried(part)[2:]:
        if isinstance(block, DisplayedLine):
            displayed_stages(staging, without_middle(block) if again else block)
    silence = staging.pace.silence(LectureAct.EQUATIONS)
    storages = sheet.circuit.storages
    parts = [("element", name) for name in storages]
    kept: Said = (
        "While a switch moves ",
        *in_a_row([(Symbol(n), f" keeps its {_kept(sheet.circuit, n)}") for n in storages]),
        ". What stands in its place just after?" if len(storages) == 1 else ". What stands in their place?",
    )
    if not again:
        staging.point(kept, parts=parts, pause=silence)
    stage = part.stage
    told = [part.stands(name) for name in storages]
    redrawn_stage(staging, part, just_after(part.circuit, stage.held), "Just after", told)
    shown = _shown(staging, sheet, part)
    for name in shown:
        was, now = value_before(stage, name), course_called(stage, name).just_after
        if was == now and Cut.UNASKED in staging.left_out:
            continue
        _value_line(staging, sheet, part, "Just after", name, now, was)
    document_stages(staging, part.in_no_time())
    staging.begin(LectureAct.EQUATIONS, called_after(sheet, part, "Long after"))
    last = "Long after" if part.is_last else "Long after, if nothing else moved"
    question = "Nothing changes any more: what current does a capacitor take then, what voltage a coil?"
    kinds = {sheet.circuit.elements[name].kind for name in storages}
    if len(kinds) == 1:
        only = "current does a capacitor" if Kind.CAPACITOR in kinds else "voltage does a coil"
        question = f"Nothing changes any more: what {only} take then?"
    if not again:
        staging.point((question,), parts=parts, pause=silence)
    if stage.end is not None:
        told = [part.ends_as(name) for name in storages]
        redrawn_stage(staging, part, long_after(part.circuit), last, told)
    for name in shown:
        end = course_called(stage, name).long_after
        if end is None:
            words_of: Said = ("Long after: ", Symbol(name), " grows without limit.")
            staging.write(words_of, words=words_of)
        else:
            _value_line(staging, sheet, part, "Long after", name, end, None)


def without_middle(line: DisplayedLine) -> DisplayedLine:
    """A line with its first side and its last."""
    return replace(line, sides=(line.sides[0], line.sides[-1]))


def _kept(circuit: Circuit, storage: str) -> str:
    return "voltage" if circuit.elements[storage].kind is Kind.CAPACITOR else "current"


def _moved(staging: Staging, sheet: StorageSheet, part: StageBlocks) -> None:
    """The figure with the switches as they stand now."""
    moved = [f"{m.switch} {'closes' if m.after else 'opens'}" for m in part.circuit.switching]
    if not moved:
        return
    when: Said = (f"Now {listed(moved)}.",)
    if part.stage.begins:
        time: Said = (Symbol(part.stage.begins),)
        if part.stage.begins in sheet.circuit.numbers:
            seconds = amount(sheet.circuit.numbers[part.stage.begins], "s", sheet.circuit.figures)
            time = (Equation(Symbol(part.stage.begins), seconds),)
        when = ("At ", *time, f" {listed(moved)}. What is stored then is what it goes on with.")
    if not is_drawn(sheet.drawn):
        staging.write(when, words=when)
        return
    after_stage(staging, sheet, part, when)


def after_stage(staging: Staging, sheet: StorageSheet, part: StageBlocks, said: Said) -> None:
    """The circuit of a stage, its switches as they stand in it; nothing where it stands already or none is
    drawn."""
    circuit = replace(part.circuit, switching=(), start={})
    if not is_drawn(sheet.drawn) or staging.figure.words == describe(circuit):
        return

    loops = [(f"({k})", law.loop) for k, law in enumerate(_told(staging, part), 1) if law.loop]

    def figure(name: str) -> BoardFigure:
        drawing = draw(
            circuit,
            resistors=part.page.resistors,
            like=sheet.drawn,
            loops=[loop for _, loop in loops],
            loop_names=[name for name, _ in loops],
        )
        return BoardFigure(name, drawing, describe(circuit))

    drawn = _once(staging, figure, describe(circuit), told=f"{len(loops)} loops")
    staging.draw(drawn, said, arrows=circuit.currents)


def _once(
    staging: Staging, figure: Callable[[str], BoardFigure], words: str, caption: str = "", told: str = ""
) -> BoardFigure:
    """A figure that the lecture has already, told by its words and its caption, or a new one; `told`: what
    else tells it from those of a lecture of which more is left out."""
    there = [f for f in staging.figures.values() if (f.words, f.caption) == (words, caption)]
    return there[0] if there else staging.made(figure, f"{caption}: {words} {told}")


def redrawn_stage(
    staging: Staging, part: StageBlocks, redrawn: Circuit, when: str, told: Sequence[Said]
) -> None:
    """The circuit redrawn for a moment; `told`: as what each storage stands in it."""
    said: Said = (f"{when}: ", *in_a_row(list(told)), ".")
    if not is_drawn(part.drawn):
        staging.write(said, words=said)
        return

    def figure(name: str) -> BoardFigure:
        shown = part.as_drawn(redrawn)
        drawing = draw(shown, resistors=part.page.resistors, like=part.drawn)
        return BoardFigure(name, drawing, describe(shown), when)

    drawn = _once(staging, figure, describe(part.as_drawn(redrawn)), when)
    staging.draw(drawn, said, arrows=part.circuit.currents, remark=said)


def _shown(staging: Staging, sheet: StorageSheet, part: StageBlocks) -> list[str]:
    """The quantities whose values are told: all, or where time is short those asked and those of storages."""
    every = sheet.quantities()
    if Cut.UNASKED not in staging.left_out:
        return every
    asked = {value.question.quantity for value in sheet.values}
    asked |= {sheet.held_name(name) for name in sheet.circuit.storages}
    return [name for name in every if name in asked]


def _value_line(
    staging: Staging,
    sheet: StorageSheet,
    part: StageBlocks,
    when: str,
    name: str,
    value: Ratio,
    was: Ratio | None,
) -> None:
    words: Said = (f"{when}: ", Equation(Symbol(name), _value(part, name, value)))
    if was is not None:
        words = (*words, ", as before." if was == value else "; it jumps from ")
        if was != value:
            words = (*words, _value(part, name, was), ".")
    else:
        words = (*words, ".")
    lit = [("arrow", name), ("wire", name)] if name in sheet.circuit.currents else [("element", name[2:-1])]
    staging.write(words, words=words, parts=lit)


def _value(part: StageBlocks, name: str, value: Ratio) -> Expr:
    return part.form_or_number(value, "V" if name.startswith("V(") else "A")


# -- the laws in between -----------------------------------------------------------------------------


def laws_in_time(circuit: Circuit) -> tuple[Circuit, tuple[LawEquation, ...]]:
    """The laws of a circuit at any time: its junctions, the switches that are open, its loops, with the
    voltage across every storage counted as a drop along the arrow; with the circuit in which these are
    written."""
    as_sources, written = _as_sources(circuit), _with_voltages(circuit)
    laws = Laws(as_sources)
    loops = tuple(loop_equation(written, law.loop) for law in laws.usual_loops)
    return written, (*laws.independent_junctions, *element_equations(as_sources), *loops)


def _as_sources(circuit: Circuit) -> Circuit:
    """The circuit with a battery for every storage: a path for a current like any other."""
    elements = dict(circuit.elements)
    for name in circuit.storages:
        elements[name] = Element(name, Kind.BATTERY, Symbol(f"V({name})"))
    branches = tuple(
        replace(
            b,
            along=tuple(
                Pass(i.element, -1) if isinstance(i, Pass) and i.element in circuit.storages else i
                for i in b.along
            ),
        )
        for b in circuit.branches
    )
    return replace(circuit, elements=elements, branches=branches, switching=(), start={}, in_time=(), find=())


def _with_voltages(circuit: Circuit) -> Circuit:
    """The circuit with elements across which a voltage of their own stands for every coil, as there does for
    a capacitor."""
    coils: Mapping[str, Element] = {
        name: Element(name, Kind.CAPACITOR)
        for name in circuit.storages
        if circuit.elements[name].kind is Kind.COIL
    }
    return replace(circuit, elements={**circuit.elements, **coils}, switching=(), start={}, in_time=())


def law_of_time_stages(staging: Staging, sheet: StorageSheet, part: StageBlocks) -> int:
    """The laws of a stage, the loops travelled term by term, and why they are enough; how many
    numbers they take."""
    staging.begin(LectureAct.EQUATIONS, called_after(sheet, part, "Equations"))
    circuit, laws = laws_in_time(part.circuit)
    after_stage(staging, sheet, part, ("In between, these laws hold at every time.",))
    told = _told(staging, part)
    for number, law in enumerate(told, 1):
        step = Step(number, _MOVE_OF[law.law], law.written, reason=reason_of(circuit, law), law=law)
        law_stages(staging, circuit, step, law)
    storages = sheet.circuit.storages
    unknown = f"{counted(len(circuit.currents), 'current')} and {counted(len(storages), 'voltage')}"
    count = len(laws) + len(storages)
    enough: Said = (f"With {_own_laws(sheet.circuit)} these are {count} equations for {unknown}: enough.",)
    if len(told) == len(laws):
        staging.write(enough, words=enough)
    return len(told)


def _told(staging: Staging, part: StageBlocks) -> list[LawEquation]:
    """The laws of a stage that are told, in order: where time is short, no loop on which nothing is stored,
    and no loop at all where one is travelled as a storage sees it."""
    circuit, laws = laws_in_time(part.circuit)
    kept = [law for law in laws if law.law is not Law.LOOP]
    if Cut.LOOPS in staging.left_out and loop_rule_lines(part.stage):
        return kept
    for law in laws:
        met = [p.element for name, _ in law.loop for p in circuit.branch(name).passes]
        stored = any(name in part.circuit.storages for name in met)
        if law.law is Law.LOOP and (stored or Cut.OTHER_LOOPS not in staging.left_out):
            kept.append(law)
    return kept


def _own_laws(circuit: Circuit) -> str:
    count = len(circuit.storages)
    return f"the law of {circuit.storages[0]}" if count == 1 else f"the laws of {listed(circuit.storages)}"
