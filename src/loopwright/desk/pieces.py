"""The pieces of the page beside the paper, in HTML: what is wrong, currents, equations term by term, loops to
choose from, values. Each goes into the element of the page that bears its name.

What lights something in the figure bears `data-of`, what does an act `data-act`; a list that the keys go
along has one stop. Knows no web.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from html import escape

from ..circuit.circuit import Circuit
from ..circuit.elements import UNIT_OF, Kind
from ..expressions.nodes import Symbol
from ..expressions.terms import in_terms
from ..expressions.values import symbols_of
from ..expressions.writers import mathml, spoken
from ..findings import Finding
from ..graph.lines import Loop, same_loop
from ..problem.loops_key import loop_text
from ..quantities import simple
from ..sheet.sheets import roles
from ..transients.laws_in_time import laws_at_last
from .equations import ForPage, loop_name, named_loops

_NOTHING_YET = frozenset({"file/empty"})


def told(finding: Finding, circuit: Circuit | None) -> str:
    """A finding with its mend, in the terms that the circuit is told in."""
    terms, own = ("", frozenset[str]()) if circuit is None else (circuit.page.terms, circuit.own_words)
    return f"{in_terms(finding.message, terms, own)} {in_terms(finding.mend, terms, own)}".strip()


def finding_items(findings: Iterable[Finding], circuit: Circuit | None) -> str:
    """What is to be put right, each with a way to its line."""
    items = []
    for f in findings:
        if f.code not in _NOTHING_YET:
            line = f.place.line
            way = f'<button type="button" data-line="{line}">Line {line}</button> ' if line else ""
            items.append(f'<li class="{f.severity}">{way}{escape(told(f, circuit))}</li>')
    return "".join(items)


def gutter(text: str, findings: Iterable[Finding]) -> str:
    """The numbers of the lines, those with a fault marked."""
    bad = {f.place.line for f in findings if f.severity == "error"}
    count = len(text.split("\n"))
    return "".join(f"<div{' class=bad' if n in bad else ''}>{n}</div>" for n in range(1, count + 1))


def current_buttons(circuit: Circuit, amounts: Mapping[str, str]) -> str:
    """Every current with what it comes to, where that is known."""
    names = roles(circuit)
    found = []
    for name in circuit.currents:
        amount = amounts.get(name, "")
        against = amount.startswith("−")
        said = f"{name} is {amount}{', against its arrow' if against else ''}" if amount else name
        shown = mathml.render(Symbol(name), names) + (f" = {escape(amount)}" if amount else "")
        found.append(
            f'<button type="button"{" class=against" if against else ""} id="current:{escape(name)}" '
            f'data-of="{escape(name)}" aria-label="{escape(said)}">{shown}</button>'
        )
    return "".join(found)


def equation_items(rows: Sequence[ForPage]) -> str:
    """The equations, each a row of terms that the keys go along."""
    found = []
    for i, row in enumerate(rows):
        terms, side = [], 0
        for j, term in enumerate(row["terms"]):
            if term["side"] and not side:
                terms.append('<span class="equals">=</span>')
            side = term["side"]
            said = f"{term['said']}. {term['why']}" if term["why"] else term["said"]
            terms.append(
                f'<button type="button" class="term" id="term:{i}:{j}" tabindex="{0 if i == j == 0 else -1}" '
                f'data-of="{escape(term["of"])}" data-why="{escape(term["why"])}" '
                f'aria-label="{escape(said)}">{term["html"]}</button>'
            )
        head = f"Equation {row['number']}, {row['name']}: {row['plain']}"
        found.append(
            f'<li data-latex="{escape(row["latex"])}"><span class="name">{escape(row["name"])}</span>'
            f'<span class="terms" role="group" aria-label="{escape(head)}">{"".join(terms)}</span>'
            f'<span class="number">({row["number"]})</span></li>'
        )
    return "".join(found)


def loop_choice(circuit: Circuit) -> str:
    """The loops that can be taken, those travelled now marked; each says what set there will be."""
    known = laws_at_last(circuit)
    now = list(circuit.loops) or [law.loop for law in known.usual_loops]
    offered = [*named_loops(circuit)]
    offered += [loop for loop in now if not any(same_loop(loop, other) for other in offered)]
    rows = []
    for loop in offered:
        taken = any(same_loop(loop, other) for other in now)
        then = [x for x in now if not same_loop(x, loop)] if taken else [*now, loop]
        rows.append(
            f'<label><input type="checkbox" id="loop:{escape(loop_name(loop))}"{" checked" if taken else ""} '
            f"{act_of(then)}> {escape(loop_name(loop))}</label>"
        )
    usual = f'<button type="button" id="usual-loops" {act_of([])}>the usual set</button>'
    return (
        "<p>Take the loops you want from the list, or press l on one branch after another. They "
        "are kept in the "
        f"file, and the derivation begins with them.</p>{''.join(rows)}{usual}"
    )


def act_of(loops: Sequence[Loop]) -> str:
    """The attribute by which something takes these loops when it is pressed."""
    return f'data-act="{escape(json.dumps({"do": "loops", "loops": [*map(loop_text, loops)]}))}"'


def value_lines(circuit: Circuit) -> str:
    """Every symbol of the values with its number as it was written, and a line from 0 to ∞."""
    names = roles(circuit)
    found = []
    for symbol in circuit.symbols:
        number = circuit.numbers.get(symbol)
        unit = unit_of(circuit, symbol)
        text = circuit.written.get(symbol, "") or ("" if number is None else simple(number))
        held = " ".join(elements_with(circuit, symbol))
        name = escape(symbol)
        moves = number is not None and number >= 0
        found.append(
            f'<div class="value" data-lights="{escape(held)}"><label for="value:{name}">'
            f"{mathml.render(Symbol(symbol), names)}</label>"
            f'<span class="far">0</span><input type="range" min="0" max="1000" id="value:{name}" '
            f'data-value="{name}" data-number="{"" if number is None else float(number)}"'
            f'{"" if moves else " disabled"} aria-label="{escape(spoken.render(Symbol(symbol), names))}, '
            f'from nothing to infinity" aria-valuetext="{escape(text or "no number")}">'
            f'<span class="far">∞</span><div class="told"><input type="text" id="typed:{name}" '
            f'data-value="{name}" '
            f'value="{escape(text)}" aria-label="{name} in figures" autocomplete="off" '
            f'placeholder="{escape(f"in {unit}" if unit else "")}"><span class="look"></span></div></div>'
        )
    return "".join(found)


def unit_of(circuit: Circuit, symbol: str) -> str:
    """The unit of a symbol's number."""
    return UNIT_OF.get(circuit.role(symbol) or Kind.RESISTOR, "")


def elements_with(circuit: Circuit, symbol: str) -> list[str]:
    """The elements in whose value a symbol stands."""
    return [name for name, element in circuit.elements.items() if symbol in symbols_of(element.value)]
