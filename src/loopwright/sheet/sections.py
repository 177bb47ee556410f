"""The sections of a sheet, one function each, from results to blocks. Words are plain British English.

Each function gives the blocks of one section; its sentence says what they tell.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

from ..checks.ledger.ledger import Ledger
from ..checks.limits.cases import LimitCase
from ..checks.limits.expectations import ExpectationVerdict
from ..checks.remarks.cautions import RULES
from ..checks.remarks.cautions import Caution as Warned
from ..circuit.circuit import Circuit
from ..circuit.elements import UNIT_OF
from ..circuit.names import listed
from ..circuit.targets import Asked, target
from ..circuit.unknowns import given_of
from ..derive.rules import with_given
from ..derive.steps import AskedStep, Derivation, Move, Step
from ..expressions.amounts import amount, measured
from ..expressions.nodes import Equation, Expr, Negative, Number, Symbol, numbers_in
from ..expressions.said import OwnWords, counted, in_a_row
from ..expressions.values import ratio_of
from ..graph.lines import same_loop
from ..laws.equations import Law, LawEquation, junction_equation, loop_equation
from ..laws.laws import laws
from ..laws.loops import as_sum, is_plain
from ..laws.term_reasons import SIGN_RULE
from ..quantities import STORED, UNITS, UnreadableQuantity, read_quantity, simple
from ..solve.method_quantities import (
    GreatestLoadPower,
    MethodQuantity,
    OpenVoltage,
    PointPotential,
    SeenResistance,
    VoltageBetween,
    WireCurrent,
)
from .answers import Answer
from .backwards import asked_items, given_text
from .document import Block, CautionBox, DisplayedLine, Heading, Listing, Paragraph, Table, Text
from .ranking_blocks import ranked_items

if TYPE_CHECKING:
    from ..checks.limits.joint import JointCase
    from ..slips.coverage import Coverage

SIGNS_OF_POWER = (
    "The power of a source counts as positive when it is delivered, "
    "that of a resistance when it is taken in as heat."
)
ARROWS = (
    "An arrow shows the direction in which a current is counted positive. Should a result come "
    "out negative, that current runs against its arrow; no equation changes. " + SIGN_RULE
)
SPARE_LOOPS = 4  # loops not used that are spelt out; more are only counted
MOST_CHECKS_NAMED = 8  # checks that one line names; of more it says how many


def story_blocks(circuit: Circuit) -> tuple[Block, ...]:
    """The person's own words."""
    return (Paragraph((OwnWords(circuit.story),)),) if circuit.story else ()


def opening_blocks(circuit: Circuit) -> tuple[Block, ...]:
    """The story and what is asked."""
    given = [one.name for one in given_of(circuit)]
    asked = [text for text in circuit.find or circuit.currents if text not in given]
    items: list[Text] = [(target(text, circuit).name,) for text in asked]
    items += [*asked_items(circuit), *ranked_items(circuit)]
    told: tuple[Block, ...] = (Paragraph(given_text(circuit)),) if given else ()
    return (*story_blocks(circuit), *told, Paragraph(("To find: ", *in_a_row(items), ".")))


def undrawn_blocks(missing: Sequence[str]) -> tuple[Block, ...]:
    """Which loops travelled the figure does not show, by the numbers of their equations."""
    if not missing:
        return ()
    loops = "The loop of equation" if len(missing) == 1 else "The loops of equations"
    verb = "is" if len(missing) == 1 else "are"
    return (Paragraph((f"{loops} {listed(missing)} {verb} not drawn in the figure, for want of room.",)),)


def equation_blocks(circuit: Circuit, derivation: Derivation, *, spare: bool) -> tuple[Block, ...]:
    """The equations in symbols, and whether they are enough; `spare`: the loops not used as well. The laws
    of a derivation in numbers are written in the circuit's symbols, under the same numbers. Where parts are
    made one, that no equations are needed."""
    arrows = Paragraph((ARROWS,))
    if is_by_reduction(derivation):
        simple = (
            "One source drives parts in series and side by side. They are made one, so that no junction "
            "and loop equations need be solved together."
        )
        return (Heading("How it is worked"), arrows, Paragraph((simple,)))
    lines: list[DisplayedLine] = []
    for step in beginning(derivation):
        law = step.law
        if law is None or not derivation.unit_words:
            lines += step_lines(step)
            continue
        symbolic = _in_symbols(circuit, law).written
        lines.append(DisplayedLine((symbolic.left, symbolic.right), step.number, step.reason))
    return (
        Heading("Equations"),
        arrows,
        *lines,
        Paragraph(_enough(circuit, derivation)),
        *(_spare_loops(circuit, derivation) if spare else ()),
    )


def _in_symbols(circuit: Circuit, law: LawEquation) -> LawEquation:
    """The same law with the circuit's symbols in it, currents put in at once that elements fix."""
    elements = laws(circuit).elements
    if law.law is Law.ELEMENT:
        return next(e for e in elements if e.branch == law.branch)
    fresh = (
        junction_equation(circuit, law.point) if law.law is Law.JUNCTION else loop_equation(circuit, law.loop)
    )
    return with_given(fresh, [e for e in elements if e.branch not in law.linear.coefficients])


def beginning(derivation: Derivation) -> list[Step]:
    """What a derivation starts from: laws, and what symmetry says; nothing where parts are made one."""
    if is_by_reduction(derivation):
        return []
    return [s for s in derivation.steps if s.law is not None or s.move is Move.SYMMETRY]


def symbol_blocks(derivation: Derivation) -> tuple[Block, ...]:
    """The steps from the equations to the closed forms."""
    start = beginning(derivation)
    rest = [s for s in derivation.steps if s not in start]
    return (Heading("Solution in symbols"), *(line for s in rest for line in step_lines(s)))


def is_by_reduction(derivation: Derivation) -> bool:
    """Whether parts were made one, so that the derivation starts from no junction or loop equations."""
    return not any(law.law is not Law.ELEMENT for law in derivation.laws) and not any(
        step.move is Move.SYMMETRY for step in derivation.steps
    )


def step_lines(step: Step) -> list[DisplayedLine]:
    """A step as displayed lines: one, or more where it states equalities that make no chain."""
    lines = [DisplayedLine(step.chain, step.number, step.reason)]
    return lines + [DisplayedLine((e.left, e.right)) for e in step.apart]


def _enough(circuit: Circuit, derivation: Derivation) -> Text:
    """How many equations are needed, and that these are as many and independent."""
    known = laws(circuit)
    used = derivation.laws
    kinds = {kind: sum(law.law is kind for law in used) for kind in Law}
    symmetric = [s for s in derivation.steps if s.move is Move.SYMMETRY]
    need = len(circuit.branches)
    parts = [
        counted(kinds[Law.JUNCTION], "junction equation"),
        counted(kinds[Law.LOOP], "loop equation"),
        *([counted(kinds[Law.ELEMENT], "fixed current")] if kinds[Law.ELEMENT] else []),
    ]
    if symmetric:
        gained = sum(len(s.equations) for s in symmetric)
        return (
            f"{counted(need, 'current is', 'currents are').capitalize()} unknown. Symmetry gives "
            f"{counted(gained, 'equation')}, so {listed(parts)} are enough.",
        )
    if need == 1:
        return ("One current is unknown, so one loop equation is enough.",)
    judged = known.judge(used)
    verdict = "They are independent, so they are enough" if judged.enough else "They are not enough"
    return (
        f"{counted(need, 'current is', 'currents are').capitalize()} unknown, so "
        f"{counted(need, 'independent equation')} are needed: {listed(parts)}. {verdict}.",
    )


def _spare_loops(circuit: Circuit, derivation: Derivation) -> tuple[Block, ...]:
    """The loops not used, each as the combination of the equations above that it is."""
    used = [s for s in derivation.steps if s.law is not None]
    if any(s.move is Move.SYMMETRY for s in derivation.steps):
        return ()
    spare = [
        law
        for law in laws(circuit).every_loop
        if is_plain(circuit, law.loop)
        and not any(s.law is not None and same_loop(law.loop, s.law.loop) for s in used)
    ]
    if not spare:
        return ()
    if len(spare) > SPARE_LOOPS:
        return (
            Paragraph(
                (
                    f"The circuit has {counted(len(spare), 'more loop')}; "
                    "each says only what these equations say already.",
                )
            ),
        )
    items: list[Text] = []
    travelled = [s for s in used if s.law is not None and s.law.loop]
    for law in spare:
        found = as_sum(law.loop, [s.law.loop for s in travelled if s.law is not None])
        if found is None or any(m not in (-1, 0, 1) for m in found):
            continue
        told = [f"{'−' if m < 0 else '+'} ({s.number})" for m, s in zip(found, travelled, strict=True) if m]
        items.append((law.written, f" is {' '.join(told).removeprefix('+ ')}."))
    lead = (
        "One more loop could be travelled; it adds nothing:"
        if len(spare) == 1
        else "Other loops add nothing:"
    )
    return (Paragraph((lead,)), Listing(tuple(items))) if items else ()


def number_blocks(circuit: Circuit, derivation: Derivation, *, alone: bool) -> tuple[Block, ...]:
    """The derivation with the numbers put in at the start. `alone`: it follows its equations in symbols, so
    that of these only what the numbers change is written again."""
    start = beginning(derivation) if alone else []
    again = [s for s in start if s.law is not None and s.written != _in_symbols(circuit, s.law).written]
    steps = [s for s in derivation.steps if s not in start]
    put_in = [replace(line, number=0, reason=()) for s in again for line in step_lines(s)]
    numbered = [f"({s.number})" for s in again]
    become = f", {listed(numbered)} {'becomes' if len(again) == 1 else 'become'}" if again else ""
    return (
        Heading("Solution in numbers"),
        Paragraph((*numbers_given(circuit), f", all in {derivation.unit_words}{become}:")),
        *put_in,
        *(line for s in steps for line in with_units(step_lines(s), s, derivation)),
    )


def numbers_given(circuit: Circuit) -> Text:
    """`With E1 = 12 V and R1 = 6 Ω`: every number of the circuit as the person wrote it."""
    given = [(Equation(Symbol(n), as_written(circuit, n)),) for n in circuit.symbols if n in circuit.numbers]
    return ("With ", *in_a_row(given))


def with_units(lines: list[DisplayedLine], step: Step, derivation: Derivation) -> list[DisplayedLine]:
    """Results, and resistances made one, with their unit: the bare numbers before them are in coherent
    units."""
    milli = "milli" in derivation.unit_words
    if step.move is Move.MAKE_ONE:
        unit, size = ("kΩ", Fraction(1000)) if milli else ("Ω", Fraction(1))
    elif isinstance(_meaning(step, derivation), PointPotential | VoltageBetween | OpenVoltage):
        unit, size = "V", Fraction(1)
    elif isinstance(step.gives, GreatestLoadPower):
        unit, size = ("mW", Fraction(1, 1000)) if milli else ("W", Fraction(1))
    elif isinstance(step.gives, SeenResistance):
        unit, size = ("kΩ", Fraction(1000)) if milli else ("Ω", Fraction(1))
    elif step.is_result or isinstance(step.gives, WireCurrent):
        unit, size = ("mA", Fraction(1, 1000)) if milli else ("A", Fraction(1))
    else:
        return lines
    ended: list[DisplayedLine] = []
    for line in lines:
        last = line.sides[-1]
        value = ratio_of(last, derivation.field).constant()
        if value is None:
            return lines
        shown = next(iter(numbers_in(last)), None)
        number = Number(abs(value) * size, unit, shown.text if shown and shown.text else simple(abs(value)))
        ended.append(replace(line, sides=(*line.sides[:-1], Negative(number) if value < 0 else number)))
    return ended


def _meaning(step: Step, derivation: Derivation) -> MethodQuantity | None:
    """What quantity of a method a line gives, if any."""
    return step.gives or (derivation.meanings.get(step.solves) if step.is_result else None)


def as_written(circuit: Circuit, symbol: str) -> Expr:
    """A number as the person wrote it, or as short as it can be."""
    text = circuit.written.get(symbol, "")
    try:
        found = read_quantity(text, (*UNITS, *STORED))
    except UnreadableQuantity:
        kind = circuit.role(symbol)
        return amount(circuit.numbers[symbol], UNIT_OF.get(kind, "") if kind else "", 6)
    return measured(found)


def answer_blocks(
    circuit: Circuit, found: Sequence[Answer], steps: Sequence[AskedStep], *, forms: bool
) -> tuple[Block, ...]:
    """What was asked: a line for everything that is no current, in closed forms with `forms`, else in
    numbers; the closed forms of the currents; and a table of numbers."""
    blocks: list[Block] = [Heading("Results"), *_meaning_of_voltages(steps)]
    answered = {answer.target: answer for answer in found}
    for answer in found if forms else ():
        if answer.target.kind is Asked.CURRENT:
            blocks.append(DisplayedLine(_once(answer.name, answer.form, answer.beside), result=True))
    for step in steps:
        given = answered.get(step.target)
        number = None if given is None else given.rounded
        ends = (
            (step.result, None if given is None else given.beside) if forms or number is None else (number,)
        )
        sides = _once(step.target.name, step.shown, *ends)
        reason = _withstep_lines(step, "" if given is None else given.words.strip(", "))
        blocks.append(DisplayedLine(sides, step.number, reason, result=given is not None))
    return (*blocks, *answer_table(circuit, found))


def _withstep_lines(step: AskedStep, words: str) -> Text:
    """The reason of a step, the lines put in, and which way a power goes or what its number counts."""
    told = [f"{listed(f'({n})' for n in step.uses)} put in."] if step.uses else []
    told += [f"{words[0].upper()}{words[1:]}."] if words else []
    if not told:
        return step.reason
    return (*step.reason, f"{' ' if step.reason else ''}{' '.join(told)}")


def _once(*sides: Expr | None) -> tuple[Expr, ...]:
    """The sides of a line, each once."""
    return tuple(dict.fromkeys(side for side in sides if side is not None))


def _meaning_of_voltages(steps: Sequence[AskedStep]) -> tuple[Block, ...]:
    """What a voltage between points means, said of the first one."""
    for step in steps:
        if step.target.kind is Asked.POTENTIAL:
            a, b = step.target.names
            meant = f" is the potential of {a} minus the potential of {b}: "
            way = f"the drops less the rises on a way from {a} to {b}."
            return (Paragraph((Symbol(f"V({a}, {b})"), meant + way)),)
    return ()


def answer_table(circuit: Circuit, found: Sequence[Answer]) -> tuple[Block, ...]:
    """What was asked, in numbers; nothing where there are none."""
    blocks: list[Block] = []
    if any(a.rounded is not None for a in found):
        is_exact = any(a.exact is not None for a in found)
        head: list[Text] = [("Quantity",), *([("Exact",)] if is_exact else [])]
        head.append((f"To {counted(circuit.figures, 'figure')}",))
        rows: list[tuple[Text, ...]] = []
        for a in found:
            if a.rounded is not None:
                exact: Text = ("–",) if a.exact is None else (a.exact, a.unit_words)
                rows.append(((a.name,), *([exact] if is_exact else []), (a.rounded, a.words)))
        blocks.append(Table("The numbers", tuple(head), tuple(rows)))
    if any(q.kind == "power" for a in found for q in (a.target, *a.target.parts)):
        blocks.append(Paragraph((SIGNS_OF_POWER,)))
    negative = [a for a in found if isinstance(a.rounded, Negative) and a.target.kind == "current"]
    if negative:
        blocks.append(Paragraph(_negative_words(negative)))
    return tuple(blocks)


def _negative_words(found: Sequence[Answer]) -> Text:
    names = in_a_row([(a.name,) for a in found])
    if len(found) == 1:
        return (*names, " is negative: this current really runs against its arrow.")
    return (*names, " are negative: these currents really run against their arrows.")


def caution_blocks(found: Sequence[Warned]) -> tuple[Block, ...]:
    """What to mind before the circuit is built, in one box; the reminder of local rules stands once."""
    if not found:
        return ()
    texts = [(" ", *(piece for piece in c.text if piece != RULES)) for c in found]
    whole = tuple(piece for text in texts for piece in text)[1:]
    return (Heading("Before it is built"), CautionBox((*whole, RULES)))


def direction_blocks(told: tuple[Text, ...]) -> tuple[Block, ...]:
    """Which way each current flows, and when it would reverse."""
    return (
        Heading("Which way the currents flow"),
        Paragraph(("For positive values of all emfs and resistances:",)),
        Listing(told),
    )


def limit_blocks(cases: Sequence[LimitCase], joint: Sequence[JointCase]) -> tuple[Block, ...]:
    """Limiting cases in words."""
    told = (*(case.sentence for case in cases), *(pair.sentence for pair in joint))
    return (Heading("Limiting cases"), Listing(told)) if told else ()


def agreement_blocks(cases: Sequence[LimitCase]) -> tuple[Block, ...]:
    """That both routes to every limit agree."""
    routes = sum(len(case.formula) for case in cases)
    agreed = (
        "Each limit was found twice, from the closed form and by solving the changed circuit afresh: "
        f"all {routes} limits of currents agree."
    )
    return (Paragraph((agreed,)),)


def check_blocks(ledger: Ledger) -> tuple[Block, ...]:
    """In one line by how many independent checks the results were proved."""
    passed = [e.title[:1].lower() + e.title[1:] for e in ledger.entries if e.passed]
    few = len(passed) <= MOST_CHECKS_NAMED
    named = f": {listed(passed)}" if few else ", named in the instructor's edition"
    checks = counted(len(passed), "independent check")
    told = f"All is proved step by step and by {checks}{named}."
    return (Heading("Checks"), Paragraph((told,)))


def expectation_blocks(verdicts: Sequence[ExpectationVerdict]) -> tuple[Block, ...]:
    """The person's own expectations, confirmed or refuted."""
    if not verdicts:
        return ()
    return (Heading("Expectations"), Listing(tuple(v.sentence for v in verdicts)))


def ledger_blocks(ledger: Ledger) -> tuple[Block, ...]:
    """The independent checks made."""
    return (Heading("Ledger of checks"), ledger_table(ledger))


def slip_blocks(covered: Coverage, *, shown: bool) -> tuple[Block, ...]:
    """Which check would catch which slip; `shown`: whether the slips are counted in the equations of the
    sheet, and not in the usual set."""
    slips = len(covered.slips)
    caught = tuple((row.said, (f"{len(row.caught)} of {slips}",)) for row in covered.rows if not row.part_of)
    smallest = [covered.row(check).said for check in covered.smallest_set]
    where = "the equations above" if shown else "the usual set of junction and loop equations"
    told: Text = (
        f"Every single sign reversed and every single term left out in {where} makes "
        f"{counted(slips, 'slip')}. A check catches a slip when it shows the result to be wrong.",
    )
    if smallest:
        told = (*told, " Enough to catch all that can be caught: ", *in_a_row(smallest, "; "), ".")
    return (
        Heading("Which check catches which slip"),
        Paragraph(told),
        Table("Slips caught", (("Check",), ("Caught",)), caught),
    )


def ledger_table(ledger: Ledger) -> Table:
    """The independent checks made, each with its result."""
    rows = tuple(((e.title,), e.how, e.told, (e.mark,)) for e in ledger.entries)
    head: tuple[Text, ...] = (("Check",), ("How",), ("Result",), ("Verdict",))
    return Table("What was verified, by which independent way", head, rows)
