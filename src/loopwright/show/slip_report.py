"""The table of slips and decoded numbers as people read them: plain text, Markdown, and data for JSON."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from typing import Any

from ..expressions.said import counted
from ..quantities import rounded, simple
from ..slips.broken_laws import BrokenLaw
from ..slips.catalogue import CATALOGUE
from ..slips.decoded import Decoded, Match
from ..slips.settings import Model, SlipOutcome
from ..slips.slip_classes import SlipClass
from ..slips.slip_table import SlipTable

UNIT_BY_LETTER = {"V": "V", "P": "W"}


def amounts(values: Mapping[str, Fraction], figures: int) -> str:
    """Values by name, rounded: `Ic = 2.00 A, Ib = −1.00 A`."""
    return ", ".join(
        f"{name} = {rounded(value, _unit(name), figures).text}" for name, value in values.items()
    )


def _unit(name: str) -> str:
    return UNIT_BY_LETTER.get(name[0], "A") if "(" in name else "A"


def _slip(model: Model) -> str:
    entry = CATALOGUE[model.entry]
    return f"{entry.name}: {model.place}"


def _undetermined(outcome: SlipOutcome, figures: int) -> str:
    """What is undetermined: `I1 = 2.00 A − 1.50 t, ...`."""
    parts: list[str] = []
    for name, value in outcome.values.items():
        text = rounded(value, "A", figures).text if value else ""
        for letter, way in zip("tuvw", outcome.ways, strict=False):
            if way[name]:
                size = "" if abs(way[name]) == 1 else f"{simple(abs(way[name]))} "
                sign = "−" if way[name] < 0 else "+"
                text = f"{text} {sign} {size}{letter}" if text else f"{sign}{size}{letter}".removeprefix("+")
        parts.append(f"{name} = {text or '0 A'}")
    return ", ".join(parts)


# -- the table -------------------------------------------------------------------------------------


def chosen(table: SlipTable, keys: Sequence[str] = ()) -> list[int]:
    """The positions of the classes that hold a slip with one of these keys; all where there are none."""
    return [i for i, c in enumerate(table.classes) if not keys or any(m.entry in keys for m in c.members)]


def summary(table: SlipTable) -> list[str]:
    """How many slips there are, how many collide, and what each check catches."""
    count = len(table.classes)
    lines = [
        f"{counted(table.slips, 'slip')} looked at, each in each place; the answers fall into "
        f"{counted(count, 'class', 'classes')}.",
        f"{counted(len(table.structural), 'class', 'classes')} of more than one kind of slip: "
        "no numbers can tell these apart, the written line can.",
        f"{counted(len(table.colliding), 'class', 'classes')} within 2 % of another by these numbers.",
        f"{counted(len(table.hidden), 'class', 'classes')} with right answers all the same.",
        f"{counted(sum(len(c.members) for c in table.open_), 'slip')} leave currents undetermined; "
        f"{counted(len(table.contradictions), 'slip')} end in a contradiction.",
    ]
    if len(table.right) > 1:
        alone = ", ".join(f"{name} {table.meeting(name)}" for name in table.right)
        whole = table.meeting(*table.right)
        lines.append(
            f"Classes that would meet another if one current were asked: {alone}; all currents: {whole}."
        )
    caught = Counter(name for names in table.caught for name in names)
    lines += [f"Caught by {name}: {caught[name]} of {count}." for name in table.checks if caught[name]]
    never = sum(not names for names in table.caught)
    lines.append(f"Caught by none of these: {never} of {count}.")
    return [*lines, f"The fewest that catch all the others: {'; '.join(table.smallest_set)}."]


def table_text(table: SlipTable, keys: Sequence[str] = ()) -> str:
    """The table for the terminal: for each class its answers, its slips, and what would have caught it."""
    figures = table.circuit.figures
    lines = [f"Right: {amounts(table.right, figures)}", ""]
    for i in chosen(table, keys):
        c = table.classes[i]
        lines.append(_headline(c, figures))
        lines += [f"    {_slip(m)}" for m in c.members]
        lines += [f"    {note}" for note in _notes(table, i)]
        lines.append("")
    wanted = [c for c in table.open_ if not keys or any(m.entry in keys for m in c.members)]
    if wanted:
        lines += ["Undetermined (any t)", ""]
    for c in wanted:
        lines += [_undetermined(c.outcome, figures), *(f"    {_slip(m)}" for m in c.members), ""]
    against = [m for m in table.contradictions if not keys or m.entry in keys]
    if against:
        lines += ["No answer: the equations contradict one another", ""]
        lines += [*(f"    {_slip(m)}" for m in against), ""]
    return "\n".join([*lines, *(line[0].upper() + line[1:] for line in summary(table))]) + "\n"


def _headline(c: SlipClass, figures: int) -> str:
    right = {
        "always": "   (right, whatever the numbers)",
        "here": "   (right within 2 %, with these numbers)",
    }
    return amounts(c.outcome.values, figures) + right.get(c.hidden, "")


def _notes(table: SlipTable, i: int) -> list[str]:
    c, caught = table.classes[i], table.caught[i]
    notes = [f"caught by: {'; '.join(caught)}" if caught else "caught by none of these checks"]
    if len(c.entries) > 1:
        notes.append(f"told apart by: {'; '.join(c.lines)}" if len(c.lines) > 1 else "one and the same line")
    if c.close:
        near = [table.classes[j].members[0] for j in c.close[:3]]
        more = f" and {len(c.close) - 3} more" if len(c.close) > 3 else ""
        notes.append(f"within 2 % of: {'; '.join(_slip(m) for m in near)}{more}")
    return notes


def table_markdown(table: SlipTable, keys: Sequence[str] = ()) -> str:
    """The table in Markdown, one row a class."""
    figures = table.circuit.figures
    lines = [
        f"Right: {amounts(table.right, figures)}",
        "",
        "| wrong answers | slips | caught by |",
        "| --- | --- | --- |",
    ]
    for i in chosen(table, keys):
        c = table.classes[i]
        slips = "<br>".join(_slip(m) for m in c.members)
        lines.append(f"| {_headline(c, figures)} | {slips} | {'; '.join(table.caught[i]) or 'none'} |")
    for c in table.open_:
        if not keys or any(m.entry in keys for m in c.members):
            slips = "<br>".join(_slip(m) for m in c.members)
            lines.append(f"| undetermined: {_undetermined(c.outcome, figures)} | {slips} | |")
    for m in table.contradictions:
        if not keys or m.entry in keys:
            lines.append(f"| none: a contradiction | {_slip(m)} | |")
    return "\n".join([*lines, "", *(f"- {line}" for line in summary(table))]) + "\n"


def table_data(table: SlipTable, keys: Sequence[str] = ()) -> dict[str, Any]:
    """The table for JSON; values are exact, as text (`-1`, `12/7`), in SI units."""
    return {
        "right": _exact(table.right),
        "slips": table.slips,
        "classes": [
            {
                "answers": _exact(table.classes[i].outcome.values),
                "slips": [_model_data(m) for m in table.classes[i].members],
                "caught_by": list(table.caught[i]),
                "close_to": list(table.classes[i].close),
                "right_all_the_same": table.classes[i].hidden,
                "number": i,
            }
            for i in chosen(table, keys)
        ],
        "open": [
            {
                "answers": _exact(c.outcome.values),
                "ways": [_exact(way) for way in c.outcome.ways],
                "slips": [_model_data(m) for m in c.members],
            }
            for c in table.open_
            if not keys or any(m.entry in keys for m in c.members)
        ],
        "contradictions": [_model_data(m) for m in table.contradictions if not keys or m.entry in keys],
        "fewest_checks": list(table.smallest_set),
        "summary": summary(table),
    }


def _exact(values: Mapping[str, Fraction]) -> dict[str, str]:
    return {name: str(value) for name, value in values.items()}


def _model_data(model: Model) -> dict[str, str]:
    entry = CATALOGUE[model.entry]
    return {
        "key": entry.key,
        "name": entry.name,
        "place": model.place,
        "line": model.line,
    }


# -- decoded numbers -------------------------------------------------------------------------------


def decoded_lines(found: Decoded, figures: int) -> list[str]:
    """What the numbers tell, one statement a line; details begin with four spaces."""
    lines: list[str] = []
    if found.unitless:
        units = {"V": "V", "P": "W"}
        taken = dict.fromkeys(units.get(n[0], "A") if "(" in n else found.unit for n in found.unitless)
        lines.append(f"No unit is given for {', '.join(found.unitless)}: taken in {' and '.join(taken)}.")
    if found.right is not None:
        how = "" if found.right.exact else ", as rounded"
        where = (
            f", if the arrow of {' and '.join(found.right.turned)} is the other way"
            if found.right.turned
            else ""
        )
        lines.append(f"Right{how}{where}.")
    elif found.near:
        lines.append("Within 2 % of right, but not as rounded: rounded on the way, or read off.")
    if found.lone is not None:
        value = amounts({found.lone.name: found.lone.right}, figures)
        lines.append(f"All are right but {found.lone.name}: {value} is right{_because(found.lone.said)}.")
    lines += _matched(found, figures)
    lines += _law(found)
    return lines


def _because(said: str) -> str:
    return f"; {said}" if said else ""


def _matched(found: Decoded, figures: int) -> list[str]:
    best = found.best
    if not best:
        return _unmatched(found)
    if found.right is not None and not found.right.turned:
        count = counted(len(found.matches), "class", "classes")
        if not found.complete:
            return [f"{count} of slips leave these numbers as they are: ask for all currents to see those."]
        if not found.right.exact:
            return [f"{count} of slips come to these digits too: ask for more figures to see those."]
    single = len(best) == 1 and len(best[0].slips.members) == 1
    which = "One slip gives" if single else "Single slips that give"
    lines = [f"{which} these numbers{' too' if found.right is not None else ''}:"]
    for match in best:
        lines += [f"    {_slip(m)}{_conditions(match)}" for m in match.slips.members]
        if not match.exact:
            lines.append(f"        exactly {amounts(match.slips.outcome.values, figures)}")
    others = len(found.matches) - len(best)
    if others:
        lines.append(f"Besides, {counted(others, 'class', 'classes')} of slips that fit less well.")
    if len(found.lines) > 1:
        alone = "No numbers tell" if len(best) == 1 else "These numbers do not tell"
        lines.append(f"{alone} these apart; the written line does. Look at")
        lines += [f"    {line}" for line in found.lines]
    elif found.lines:
        lines.append(f"They are all in one place: look at {found.lines[0]}.")
    return [line if line.startswith(" ") else line[0].upper() + line[1:] for line in lines]


def _unmatched(found: Decoded) -> list[str]:
    if found.right is not None:
        return []
    lines = ["No single slip of the catalogue gives these numbers."]
    loose = [m for c in found.open_ for m in c.members]
    if loose:
        lines.append("They fit equations that leave the currents open, filled in somehow:")
        lines += [f"    {_slip(m)}" for m in loose]
    return lines


def _conditions(match: Match) -> str:
    parts = []
    if match.turned:
        parts.append(f"if the arrow of {match.turned[0]} is the other way")
    if match.silent:
        parts.append(f"says nothing of {', '.join(match.silent)}")
    return f" ({'; '.join(parts)})" if parts else ""


def _law(found: Decoded) -> list[str]:
    broken = found.broken
    if found.right is not None:
        if not (found.right.turned and broken.places):
            return []
        return [f"If all arrows are as drawn, they break {broken.law}: {'; '.join(broken.places)}."]
    if broken.law is BrokenLaw.UNTOLD:
        return ["Which law they break is not told by so few numbers."]
    if broken.law is BrokenLaw.NONE:
        return ["They break neither law where that can be tested."]
    return [f"They break {broken.law}, as the arrows are drawn: {'; '.join(broken.places)}."]


def decoded_data(found: Decoded) -> dict[str, Any]:
    """The decoded numbers for JSON."""
    return {
        "given": {g.name: str(g.value) for g in found.given},
        "right": None
        if found.right is None
        else {"turned_arrows": list(found.right.turned), "exactly": found.right.exact},
        "near": found.near,
        "one_wrong": None
        if found.lone is None
        else {"name": found.lone.name, "right": str(found.lone.right), "said": found.lone.said},
        "slips": [
            {
                "slips": [_model_data(m) for m in match.slips.members],
                "answers": _exact(match.slips.outcome.values),
                "turned_arrows": list(match.turned),
                "silent_on": list(match.silent),
                "exactly": match.exact,
            }
            for match in found.matches
        ],
        "look_at": list(found.lines),
        "broken": str(found.broken.law),
        "broken_in": list(found.broken.places),
        "junction_sum": _sum(found.broken.junction_sum),
        "loop_sum": _sum(found.broken.loop_sum),
        "without_unit": list(found.unitless),
        "unit_taken": found.unit,
    }


def _sum(value: Fraction | None) -> str | None:
    return None if value is None else str(value)


# -- what is typed after --as ----------------------------------------------------------------------


def _in_json(data: dict[str, Any]) -> str:
    return json.dumps(data, ensure_ascii=False, indent=2)


def _in_markdown(lines: Sequence[str]) -> str:
    return "\n".join(f"  - {line.strip()}" if line.startswith(" ") else f"- {line}" for line in lines)


TABLE_FORMS: Mapping[str, Callable[[SlipTable, Sequence[str]], str]] = {
    "text": table_text,
    "md": table_markdown,
    "json": lambda table, keys: _in_json(table_data(table, keys)),
}
DECODED_FORMS: Mapping[str, Callable[[Decoded, int], str]] = {
    "text": lambda found, figures: "\n".join(decoded_lines(found, figures)),
    "md": lambda found, figures: _in_markdown(decoded_lines(found, figures)),
    "json": lambda found, _: _in_json(decoded_data(found)),
}
