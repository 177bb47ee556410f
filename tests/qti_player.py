"""A small interpreter of the open standard QTI, 2.2 and 3.0, for tests: marks an answer, says what is shown.

Written from the standard's rules and sharing no code with the writer: it reads the bytes that are handed out.
Source: 1EdTech Question and Test Interoperability, information models 2.2 and 3.0 (response processing).
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import dataclass

Value = list[str] | list[float] | None  # a container of values, or nothing: NULL
FLOAT = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?")


@dataclass(frozen=True)
class Played:
    """What comes of an answer: the score, the most there is, and the feedback that is shown."""

    score: float
    most: float
    feedback: list[str]


def bare(name: str) -> str:
    """A name without namespace, prefix, hyphens and capitals: the same in both versions."""
    return name.rpartition("}")[2].removeprefix("qti-").replace("-", "").lower()


def find(root: ET.Element, name: str) -> list[ET.Element]:
    """Every element of this bare name, in order."""
    return [one for one in root.iter() if bare(one.tag) == name]


def attribute(one: ET.Element, name: str) -> str:
    """An attribute by its bare name; empty where there is none."""
    return next((value for key, value in one.attrib.items() if bare(key) == name), "")


class Player:
    """One item with one answer to RESPONSE: text typed, names chosen, or nothing."""

    def __init__(self, content: bytes) -> None:
        self.root = ET.fromstring(content)
        (self.declared,) = find(self.root, "responsedeclaration")
        self.outcomes: dict[str, Value] = {}

    def play(self, answer: str | list[str] | None) -> Played:
        self.response = self._response(answer)
        self.outcomes = {}
        for one in find(self.root, "outcomedeclaration"):
            values = [v.text or "" for v in find(one, "value")]
            numeric = attribute(one, "basetype") == "float"
            held: Value = ([float(v) for v in values] if numeric else values) if values else None
            self.outcomes[attribute(one, "identifier")] = held
        (processing,) = find(self.root, "responseprocessing")
        for rule in processing:
            self._run(rule)
        shown = self.outcomes["FEEDBACK"] or []
        told = [
            " ".join("".join(one.itertext()).split())
            for kind in ("feedbackinline", "feedbackblock")
            for one in find(self.root, kind)
            if attribute(one, "identifier") in shown and attribute(one, "showhide") == "show"
        ]
        return Played(self._number("SCORE"), self._number("MAXSCORE"), told)

    def _number(self, outcome: str) -> float:
        (value,) = self.outcomes[outcome] or [0.0]
        return float(value)

    def _response(self, answer: str | list[str] | None) -> Value:
        if answer is None or answer in ("", []):
            return None
        if attribute(self.declared, "basetype") == "float":
            text = str(answer).strip()
            return [float(text)] if FLOAT.fullmatch(text) else None
        return [answer] if isinstance(answer, str) else list(answer)

    def _run(self, rule: ET.Element) -> None:
        if bare(rule.tag) == "setoutcomevalue":
            self.outcomes[attribute(rule, "identifier")] = self._value(rule[0])
            return
        for case in rule:
            first = 0 if bare(case.tag) == "responseelse" else 1
            if first == 0 or self._value(case[0]) == ["true"]:
                for inner in case[first:]:
                    self._run(inner)
                return

    def _value(self, one: ET.Element) -> Value:
        name = bare(one.tag)
        held = [self._value(child) for child in one]
        if name == "variable":
            return self.response
        if name == "correct":
            return self._correct()
        if name == "basevalue":
            text = one.text or ""
            return [float(text)] if attribute(one, "basetype") == "float" else [text]
        if name == "isnull":
            return ["true"] if held[0] is None else ["false"]
        if name == "ordered":
            return [str(value) for values in held for value in values or []]
        if name == "match":
            return self._match(held)
        if name == "equal":
            return self._equal(one, held)
        if name == "mapresponse":
            return self._mapped()
        raise ValueError(f"not played: {name}")

    def _correct(self) -> Value:
        (correct,) = find(self.declared, "correctresponse")
        values = [v.text or "" for v in find(correct, "value")]
        return [float(v) for v in values] if attribute(self.declared, "basetype") == "float" else values

    def _match(self, held: list[Value]) -> Value:
        one, other = held
        if one is None or other is None:
            return None
        in_order = attribute(self.declared, "cardinality") == "ordered"
        same = one == other if in_order else sorted(map(str, one)) == sorted(map(str, other))
        return ["true"] if same else ["false"]

    def _equal(self, one: ET.Element, held: list[Value]) -> Value:
        if held[0] is None or held[1] is None:
            return None
        (reference,), (answer,) = held[0], held[1]
        below, above = map(float, attribute(one, "tolerance").split())
        assert attribute(one, "tolerancemode") == "absolute"
        inside = float(reference) - below <= float(answer) <= float(reference) + above
        return ["true"] if inside else ["false"]

    def _mapped(self) -> Value:
        (mapping,) = find(self.declared, "mapping")
        entries = {
            attribute(e, "mapkey"): float(attribute(e, "mappedvalue")) for e in find(mapping, "mapentry")
        }
        default = float(attribute(mapping, "defaultvalue") or 0)
        total = sum(entries.get(str(key), default) for key in set(self.response or []))
        low, high = attribute(mapping, "lowerbound"), attribute(mapping, "upperbound")
        total = max(total, float(low)) if low else total
        return [min(total, float(high)) if high else total]
