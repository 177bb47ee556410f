"""What the page shows of a text, in two beats: `first` at once, `second` as soon as it is proved.

`first`: the sheet of paper, and the pieces beside it: what is wrong, every equation term by term, currents
and values as numbers. `second`: the sections of the instructor's sheet, as our own page writes them. ForPage
is data that JSON can carry; every formula comes as MathML and in words. Knows no web.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from fractions import Fraction
from html import escape

from ..circuit.circuit import Circuit
from ..circuit.diagnose import CURRENTS_UNSETTLED, diagnose
from ..circuit.names import listed
from ..errors import FaultyMaterial
from ..expressions.amounts import amount
from ..expressions.writers import plain
from ..findings import Finding, Severity, in_order
from ..sheet.build import sheet
from ..sheet.document import DisplayedLine, Document
from ..sheet.html import fragments
from ..sheet.latex import formula
from ..solve.exact import solve
from .equations import ForPage, equation_rows, told_enough
from .paper import blank, paper, stood
from .pieces import current_buttons, equation_items, finding_items, gutter, loop_choice, told, value_lines
from .plot_choice import plot_choice
from .read_once import in_part

_UNFINISHED = frozenset({"circuit/point-used-once", "file/no-branches"})  # as a drawing grows
_LINE = re.compile(r'<div( class="line[ "](?!gap))')
_FIGURE_NAMES = re.compile(r'(?<=[" ])figure-\d+-(title|words)(?=[" ])')  # within an attribute
_BEFORE_EQUATIONS = "Every equation stands here, term by term, as soon as the circuit is closed."


def first(text: str, like: str = "") -> ForPage:
    """All that is shown at once of a text. `like`: the text whose picture is kept as far as it fits; `kept`:
    whether it is. `drawable`: whether this figure tells more than the last good one. Values are left as they
    stand while a text has faults."""
    circuit, findings = in_part(text)
    faults = [f for f in findings if f.severity is Severity.ERROR]
    numbers: Mapping[str, Fraction] = {}
    rows: list[ForPage] = []
    pieces = {"currents": "", "loops-inside": "", "enough": _BEFORE_EQUATIONS}
    if circuit is not None and not faults:
        findings = in_order([*findings, *diagnose(circuit)])
        pieces |= {"lines": value_lines(circuit), "plot-choice": plot_choice(circuit)}
        if circuit.ladder is not None:
            pieces["enough"] = "A ladder without end has no list of equations."
        else:
            rows = equation_rows(circuit)
            pieces["enough"] = escape(told_enough(circuit))
        if circuit.ladder is None and not circuit.storages:
            pieces["loops-inside"] = loop_choice(circuit)
            if not {f.code for f in findings} & CURRENTS_UNSETTLED:
                numbers = current_numbers(circuit)
                pieces["currents"] = current_buttons(circuit, amounts(circuit, numbers))
    pieces |= {
        "findings": finding_items(findings, circuit),
        "gutter": gutter(text, findings),
        "equations": equation_items(rows),
    }
    stands = stood(text, like)
    besides = {} if circuit is None else _besides(circuit, rows, amounts(circuit, numbers))
    return {
        "title": circuit.title if circuit is not None else "",
        "drawable": not any(map(_spoils_the_figure, faults)),
        "kept": text == like or (stands is not None and stands.kept),
        "paper": blank() if stands is None else paper(stands, text, shares(numbers), besides),
        "pieces": pieces,
    }


def second(text: str) -> ForPage:
    """The sections that take longer, each proved: derivation, results, limits, directions, ledger.
    Where there is no sheet, why not."""
    circuit, findings = in_part(text)
    if circuit is None or any(f.severity is Severity.ERROR for f in findings):
        return {"html": ""}
    try:
        worked = sheet(circuit, edition="instructor")
    except FaultyMaterial as trouble:
        return {"html": "".join(_waits(f, circuit) for f in trouble.findings)}
    sections, _ = fragments(worked.document)
    notes = "".join(_waits(f, circuit) for f in worked.notes)
    formulas = formulas_of(worked.document)
    shown = (_section(title, own_lines(part, "proved", formulas)) for title, part in sections if title)
    return {"html": notes + "".join(shown)}


def formulas_of(document: Document) -> Iterator[str]:
    """Every displayed line as LaTeX, in order."""
    return (formula(block, document.roles) for block in document.blocks if isinstance(block, DisplayedLine))


def own_lines(html: str, part: str, formulas: Iterator[str]) -> str:
    """A part of the page whose lines and figures bear names of its own, for other parts may have some too.
    Its lines are one stop, along which the keys go, and each bears its formula as LaTeX."""
    html = _LINE.sub(lambda line: f'<div tabindex="-1" data-latex="{escape(next(formulas))}"{line[1]}', html)
    html = html.replace('tabindex="-1"', 'tabindex="0"', 1)
    html = html.replace('id="line-', f'id="{part}-line-').replace('href="#line-', f'href="#{part}-line-')
    return _FIGURE_NAMES.sub(rf"{part}-\g<0>", html)


def _section(title: str, html: str) -> str:
    shown = "The equations it starts from" if title == "Equations" else title
    is_open = " open" if title in ("Equations", "Solution in symbols", "Results") else ""
    name = title.lower().replace(" ", "-")
    head = f'<details id="proved:{escape(name)}"{is_open}><summary>{escape(shown)}</summary>'
    return f"{head}<div>{html}</div></details>"


def _waits(finding: Finding, circuit: Circuit) -> str:
    return f'<p class="waits">{escape(told(finding, circuit))}</p>'


def fault_on_the_wire(text: str, branch: str) -> str:
    """What is wrong with what is written along a branch, as it is told there while it is written."""
    circuit, findings = in_part(text)
    own = [f for f in findings if f.place.key == f"branches.{branch}" and f.code not in _UNFINISHED]
    return " ".join(told(finding, circuit) for finding in own)


def _spoils_the_figure(finding: Finding) -> bool:
    """Whether a fault leaves open what a branch is, so that the last good figure tells more than this one."""
    in_branches = finding.place.key.startswith("branches") or finding.code.startswith("circuit/unknown-kind")
    return finding.code == "file/not-toml" or (in_branches and finding.code not in _UNFINISHED)


# -- what is worked ------------------------------------------------------------------------------


def current_numbers(circuit: Circuit) -> dict[str, Fraction]:
    """Every current that has a number, in amperes: worked in numbers where all are given, since closed forms
    may be long."""
    try:
        solution = solve(circuit.in_numbers(Fraction(1)) if circuit.has_all_numbers else circuit)
    except FaultyMaterial:
        return {}
    return {name: number for name, number in solution.in_numbers.items() if number is not None}


def amounts(circuit: Circuit, numbers: Mapping[str, Fraction]) -> dict[str, str]:
    """Currents as they are told, to the figures of the problem."""
    return {name: plain.render(amount(number, "A", circuit.figures)) for name, number in numbers.items()}


def shares(numbers: Mapping[str, Fraction]) -> dict[str, float]:
    """Each current as a share of the greatest."""
    most = max(map(abs, numbers.values()), default=Fraction(0))
    return {name: float(number / most) for name, number in numbers.items()} if most else {}


def _besides(circuit: Circuit, rows: list[ForPage], currents: Mapping[str, str]) -> dict[str, str]:
    """What is heard of a branch or an element besides its name: its number, and its equations."""
    found = {name: f"{name} is {text}" for name, text in currents.items()}
    for name, element in circuit.elements.items():
        value = plain.render(element.value)
        at = [f"({row['number']})" for row in rows if any(term["of"] == name for term in row["terms"])]
        told_value = circuit.written.get(value, "" if value == name else value)
        where = f"in equation {listed(at)}" if at else ""
        found[name] = ", ".join(filter(None, (told_value, where)))
    return found
