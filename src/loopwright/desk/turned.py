"""What must change in a text so that it means the same once arrows are turned or names changed.

A current is counted along its arrow, and so is the voltage of what stands in the branch. A question for one
of them by itself stays: it asks for the current along the arrow, whichever way that points. Everywhere else
the quantity changes its sign: in a sum, in a result that is given, in an expectation, in what a storage holds
at the start. Knows expressions as they are typed, and no circuit.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping

_NAME = re.compile(r"[^\W\d_][\w′']*")
_CALL = re.compile(r"[^\W\d_][\w′']*\s*\([^()]*\)")  # V(C1), P(R1): a quantity by a name with brackets
_RELATION = re.compile(r"(->|→|=|≈)")
_CASE = re.compile(r"\b(?:as|when|if|for)\b")
_MOMENT = re.compile(r"\s+(?:before|just after|long after|at)\b|\(t\)$")
_PLOTTED = re.compile(r"(\s*(?:sign\s+of\s+)?)(.+?)(\s+(?:against|over)\s.*)", re.DOTALL)
_OPEN, _CLOSE = "([{", ")]}"


def question_turned(text: str, turned: Collection[str]) -> str:
    """A question of `find` after the arrows of `turned` quantities were turned."""
    if text.startswith("t when "):
        return f"t when {_relation_turned(text.removeprefix('t when '), turned)}"
    if text.startswith("rank ") or _is_alone(text, turned):
        return text
    return sum_turned(text, turned)


def given_turned(text: str, turned: Collection[str]) -> str:
    """A result of `given`, such as `I1 = 0.50 A`."""
    return _relation_turned(text, turned) if "=" in text else text


def expected_turned(text: str, turned: Collection[str]) -> str:
    """A claim of `expect`, such as `Ib -> 0 as R2 -> ∞`."""
    case = _CASE.search(text)
    if case is None:
        return text
    return _relation_turned(text[: case.start()], turned) + text[case.start() :]


def plotted_turned(text: str, turned: Collection[str]) -> str:
    """A request of `plots`, such as `I1 - I2 against R1`: its quantity is a question."""
    found = _PLOTTED.fullmatch(text)
    return found[1] + question_turned(found[2], turned) + found[3] if found else text


def _relation_turned(text: str, turned: Collection[str]) -> str:
    """Each side with its signs changed; where one side is a quantity alone and the other free of any, the
    sign goes over to the other side: `I1 = 0.5 A` gives `I1 = -0.5 A`."""
    parts = _RELATION.split(text)
    if len(parts) != 3:
        return sum_turned(text, turned)
    left, sign, right = parts
    if _is_alone(left.strip(), turned) and sum_turned(right, turned) == right:
        return f"{left}{sign}{negated(right)}"
    return f"{sum_turned(left, turned)}{sign}{sum_turned(right, turned)}"


def negated(text: str) -> str:
    """A sum with every sign changed; nothing stays nothing."""
    head, body, tail = _trimmed(text)
    if body in ("0", "0 V", "0 A", "0 C"):
        return text
    terms = _terms(body)
    changed = [(_other(sign), term) for sign, term in terms]
    return head + _joined(body, changed) + tail


def sum_turned(text: str, turned: Collection[str]) -> str:
    """A sum in which the quantities `turned` have changed their sign; the text itself where none is in it."""
    head, body, tail = _trimmed(text)
    terms = _terms(body)
    changed: list[tuple[str, str]] = []
    for sign, term in terms:
        flips, new = _term_turned(term, turned)
        changed.append((_other(sign) if flips else sign, new))
    if changed == terms:
        return text
    return head + _joined(body, changed) + tail


def _term_turned(term: str, turned: Collection[str]) -> tuple[bool, str]:
    """Whether a product or quotient changes its sign, and the term with the sums in its brackets changed."""
    flips = False
    out: list[str] = []
    at = 0
    while at < len(term):
        call = _CALL.match(term, at)
        name = _NAME.match(term, at)
        word = call or name
        if word is not None:
            if _plain(word[0]) in turned and not _is_even_power(term[word.end() :]):
                flips = not flips
            out.append(word[0])
            at = word.end()
        elif term[at] in _OPEN:
            end = _closing(term, at)
            out.append(term[at] + sum_turned(term[at + 1 : end], turned) + term[end : end + 1])
            at = end + 1
        else:
            out.append(term[at])
            at += 1
    return flips, "".join(out)


def _is_even_power(rest: str) -> bool:
    found = re.match(r"\s*(?:\^\s*(\d+)|([²⁴⁶⁸]))", rest)
    return bool(found) and (found[2] is not None or int(found[1]) % 2 == 0) if found else False


def _is_alone(text: str, turned: Collection[str]) -> bool:
    """Whether a text is one of the quantities by itself, or at a moment."""
    bare = _MOMENT.split(text.strip(), maxsplit=1)[0]
    return _plain(bare) in turned


def _plain(name: str) -> str:
    return re.sub(r"\s+", "", name).replace("'", "′")


# -- sums as text --------------------------------------------------------------------------------


def _trimmed(text: str) -> tuple[str, str, str]:
    body = text.strip()
    at = text.find(body) if body else 0
    return text[:at], body, text[at + len(body) :]


def _terms(body: str) -> list[tuple[str, str]]:
    """The terms of a sum with their signs; the first has none where none is written."""
    terms: list[tuple[str, str]] = []
    sign, start, depth = "", 0, 0
    for at, character in enumerate(body):
        depth += (character in _OPEN) - (character in _CLOSE)
        if depth or character not in "+-−–":
            continue
        before = body[start:at].rstrip()
        if before and before[-1] in "*/·×^∥|eE" and not (before[-1] in "eE" and not before[-2:-1].isdigit()):
            continue  # the sign of a factor or of a power of ten
        if before:
            terms.append((sign, before))
        sign, start = character, at + 1
    terms.append((sign, body[start:].strip()))
    return [(sign, term.strip()) for sign, term in terms]


def _joined(body: str, terms: list[tuple[str, str]]) -> str:
    """The terms as a sum again."""
    (sign, first), *rest = terms
    whole = f"{'-' if sign in ('-', '−', '–') else ''}{first}"
    return whole + "".join(f" {'+' if sign == '+' else '-'} {term}" for sign, term in rest)


def _other(sign: str) -> str:
    return "-" if sign in ("", "+") else "+"


def _closing(text: str, at: int) -> int:
    depth = 0
    for place in range(at, len(text)):
        depth += (text[place] in _OPEN) - (text[place] in _CLOSE)
        if not depth:
            return place
    return len(text)


# -- names ---------------------------------------------------------------------------------------


def apart(text: str, known: Collection[str], wanted: Collection[str]) -> str:
    """The text with names that are written together, as in `I1R1`, set apart where one of the `wanted` is
    among them; `known`: all names in use."""

    def split(word: str) -> list[str] | None:
        if _plain(word) in known:
            return [word]
        for end in range(len(word) - 1, 0, -1):
            rest = split(word[end:]) if _plain(word[:end]) in known else None
            if rest is not None:
                return [word[:end], *rest]
        return None

    def spaced(found: re.Match[str]) -> str:
        names = split(found[0])
        return " ".join(names) if names and any(_plain(name) in wanted for name in names) else found[0]

    return _NAME.sub(spaced, text)


def renamed(text: str, names: Mapping[str, str]) -> str:
    """A text of formulas with other names, whole names only."""
    return _NAME.sub(lambda found: names.get(_plain(found[0]), found[0]), text)
