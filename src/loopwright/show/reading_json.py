"""A reading as plain data for JSON: one stable shape (docs/marking.md), formulas as plain text."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from ..expressions.nodes import Equation
from ..expressions.said import as_text
from ..quantities import simple
from ..reading.marking.mark import PROPOSED, Mark
from ..reading.reading import Reading
from ..reading.remarks import Remarked, remarks
from ..reading.verdicts import Counter, Repair, Verdict

Plain = dict[str, object]


def as_data(reading: Reading, mark: Mark | None = None) -> Plain:
    """The reading, and the mark proposed for it, in dictionaries, lists, texts, numbers and truth values."""
    first = reading.first_untrue
    data: Plain = {
        "right": reading.right,
        "first_untrue": first.line if first is not None else None,
        "arrows": {
            "names": {name: dict(meaning) for name, meaning in reading.arrows.names.items()},
            "inferred": list(reading.arrows.inferred),
            "otherwise": [
                {name: dict(meaning) for name, meaning in other.items()} for other in reading.arrows.otherwise
            ],
            "said": as_text(reading.arrows.said),
        },
        "lines": [_line(each, reading) for each in reading.remarks],
        "enough": {
            "enough": reading.enough.enough,
            "rank": reading.enough.rank,
            "needed": reading.enough.needed,
            "redundant": {str(line): list(of) for line, of in reading.enough.redundant.items()},
            "missing": [_formula(equation) for equation in reading.enough.missing],
            "said": [as_text(said) for said in reading.enough.said],
        },
        "faults": [{"line": fault.line or None, "what": fault.what} for fault in reading.faults],
    }
    if mark is not None:
        data["mark"] = _mark(mark)
    return data


def _line(each: Remarked, reading: Reading) -> Plain:
    line = each.line
    verdicts = [v for v in reading.verdicts if v.line == line.number]
    return {
        "number": line.number,
        "text": line.text,
        "label": line.label,
        "standing": str(each.standing),
        "claims": [_verdict(verdict, reading) for verdict in verdicts],
        "notes": list(line.notes),
        "trouble": None
        if line.trouble is None
        else {"why": line.trouble.why, "position": line.trouble.position},
    }


def _verdict(verdict: Verdict, reading: Reading) -> Plain:
    return {
        "read": _formula(verdict.claim.written),
        "start": verdict.claim.start,
        "end": verdict.claim.end,
        "case": [_formula(equation) for equation in verdict.claim.case],
        "kind": str(verdict.kind),
        "holds": verdict.holds,
        "truth": str(verdict.truth),
        "said": [as_text(said) for said in remarks(verdict, reading.names)],
        "used": list(verdict.used),
        "how": str(verdict.how) if verdict.how is not None else None,
        "loops": [[{"branch": name, "sense": sense} for name, sense in loop] for loop in verdict.loops],
        "points": list(verdict.points),
        "carried": verdict.carried,
        "cause": verdict.cause,
        "counter": _counter(verdict.counter) if verdict.counter is not None else None,
        "repairs": [_repair(repair) for repair in verdict.repairs],
    }


def _counter(counter: Counter) -> Plain:
    return {
        "values": {name: _number(value) for name, value in counter.values.items()},
        "left": _number(counter.left),
        "right": _number(counter.right),
    }


def _repair(repair: Repair) -> Plain:
    return {"entry": repair.entry, "said": as_text(repair.said), "mended": _formula(repair.mended)}


def _mark(mark: Mark) -> Plain:
    return {
        "scheme": mark.scheme.title,
        "total": float(mark.total),
        "out_of": float(mark.scheme.out_of),
        "parts": [
            {
                "part": str(award.part),
                "points": float(award.points),
                "of": float(award.of),
                "why": as_text(award.said),
                "lines": list(award.lines),
            }
            for award in mark.awards
        ],
        "follow_on": list(mark.follow_on),
        "unread": list(mark.unread),
        "proposal": PROPOSED,
    }


def _formula(equation: Equation) -> str:
    return as_text((equation,))


def _number(value: Fraction) -> Mapping[str, object]:
    """An exact number, as text, and about."""
    return {"exact": simple(value), "about": float(value)}
