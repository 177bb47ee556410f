"""One item as a tree of the standard: what is declared, what is shown, how an answer is marked.

Stands on `qti_tree` for names; the same tree is written in both versions.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from ..expressions.nodes import Equation, Expr, Number, Symbol
from ..expressions.notation import Name, Style, notation
from ..expressions.said import Said, as_text
from ..expressions.writers import mathml, plain, spoken
from .item import AnsweredBy, QuizItem, decimal
from .qti_tree import XmlChild, XmlMath, XmlPart, part

SPARE = Fraction(1, 10**6)  # of a tolerance: a bound that is hit exactly must not fail by rounding
MATHML = "http://www.w3.org/1998/Math/MathML"
EMPTY = "Nothing that reads as an answer was given."


@dataclass(frozen=True, slots=True)
class ShownCircuit:
    """What every item shows of its circuit: paragraphs before and after the figure; the figure's files and
    size in pixels (none where it is not drawn), its alternative text, and the description in words. `roles`:
    what symbols stand for."""

    before: tuple[Said, ...]
    after: tuple[Said, ...]
    words: tuple[str, ...]
    alternative: str
    drawn: str = ""
    picture: str = ""
    width: int = 0
    height: int = 0
    roles: Mapping[str, str] = field(default_factory=dict)
    language: str = "en-GB"


def item_tree(item: QuizItem, circuit: ShownCircuit) -> XmlPart:
    """The whole item."""
    interaction, processing = _BY_ANSWER[item.answered](item, circuit.roles)
    body = part("itemBody", *_circuit(circuit), *_stem(item, circuit.roles), *interaction)
    return part(
        "assessmentItem",
        _response(item),
        _outcome("SCORE", "float", "0", normalMaximum=item.points),
        _outcome("MAXSCORE", "float", str(item.points)),
        part(
            "outcomeDeclaration",
            identifier="FEEDBACK",
            cardinality="multiple" if item.answered is AnsweredBy.ALL else "single",
            baseType="identifier",
        ),
        body,
        part("responseProcessing", *processing),
        identifier=item.name,
        title=item.title,
        adaptive=False,
        timeDependent=False,
        **{"xml:lang": circuit.language},
    )


def _outcome(name: str, kind: str, default: str, **more: int) -> XmlPart:
    value = part("defaultValue", part("value", default))
    return part("outcomeDeclaration", value, identifier=name, cardinality="single", baseType=kind, **more)


def _response(item: QuizItem) -> XmlPart:
    """The declaration of what is answered, with what is right."""
    if item.number is not None:
        correct = part("correctResponse", part("value", decimal(item.number.value)))
        return part(
            "responseDeclaration", correct, identifier="RESPONSE", cardinality="single", baseType="float"
        )
    correct = part("correctResponse", *(part("value", name) for name in item.right))
    cardinality = {AnsweredBy.ALL: "multiple", AnsweredBy.ORDER: "ordered"}.get(item.answered, "single")
    mapping = (_mapping(item),) if item.answered is AnsweredBy.ALL else ()
    return part(
        "responseDeclaration",
        correct,
        *mapping,
        identifier="RESPONSE",
        cardinality=cardinality,
        baseType="identifier",
    )


def _mapping(item: QuizItem) -> XmlPart:
    """A point for each right option, one off for each wrong one, but never fewer than none."""
    entries = (
        part("mapEntry", mapKey=option.name, mappedValue=1 if option.right else -1) for option in item.options
    )
    return part("mapping", *entries, lowerBound=0, upperBound=item.points, defaultValue=0)


# -- what is shown ---------------------------------------------------------------------------------


def _circuit(circuit: ShownCircuit) -> list[XmlPart]:
    found = [part("p", *inline(text, circuit.roles)) for text in circuit.before]
    if circuit.drawn:
        size = {"width": circuit.width, "height": circuit.height}
        picture = part("img", src=circuit.picture, **size, alt=circuit.alternative)
        drawn = part(
            "object",
            picture,
            data=circuit.drawn,
            type="image/svg+xml",
            **size,
            aria__describedby="figure-in-words",
        )
        found.append(part("div", drawn))
    words = " ".join(circuit.words)
    found.append(part("p", f"In words: {words}", id="figure-in-words"))
    return found + [part("p", *inline(text, circuit.roles)) for text in circuit.after]


def _stem(item: QuizItem, roles: Mapping[str, str]) -> list[XmlPart]:
    found = [part("p", *inline(text, roles)) for text in item.stem]
    for sides in item.shown:
        line = Equation(sides[0], sides[1])
        found.append(part("div", _math(line, roles, block=True)))
        found.append(
            part("p", f"In plain signs: {plain.render(line)}. In words: {spoken.render(line, roles)}.")
        )
    return found


def inline(text: Said, roles: Mapping[str, str]) -> list[XmlChild]:
    """Running text: names of quantities with their subscripts, formulas as MathML, the rest as words."""
    found: list[XmlChild] = []
    for piece in text:
        if isinstance(piece, str):
            found.append(piece)
        elif isinstance(piece, Symbol):
            found += _name(piece, roles)
        elif (
            isinstance(piece, Equation) and isinstance(piece.left, Symbol) and isinstance(piece.right, Number)
        ):
            found += [*_name(piece.left, roles), f" = {plain.render(piece.right)}"]
        else:
            found.append(_math(piece, roles))
    return found


def _name(symbol: Symbol, roles: Mapping[str, str]) -> list[XmlChild]:
    node = notation(symbol, roles)
    if not isinstance(node, Name) or node.primes:
        return [plain.render(symbol)]
    base = "ℰ" if node.style is Style.SCRIPT else node.base
    return [base, *((part("sub", node.sub),) if node.sub else ())]


def _math(piece: Expr | Equation, roles: Mapping[str, str], *, block: bool = False) -> XmlMath:
    text = plain.render(piece)
    said = spoken.render(piece, roles)
    quoted = said.replace("&", "&amp;").replace("<", "&lt;").replace('"', "&quot;")
    written = re.sub(
        r"<mo [^>]*>", "<mo>", mathml.render(piece, roles, block=block)
    )  # spacing is the platform's
    return XmlMath(written.replace("<math", f'<math xmlns="{MATHML}" alttext="{quoted}"', 1), text)


# -- how it is answered and marked -----------------------------------------------------------------

_Answered = tuple[list[XmlPart], list[XmlPart]]  # what is shown, and what is processed


def _choice(item: QuizItem, roles: Mapping[str, str], most: int) -> XmlPart:
    """The options to choose from, each with what is said of it; at most so many, or any number for 0."""
    options = [_option(option.name, option.said, option.feedback, roles) for option in item.options]
    prompt = part("prompt", *inline(item.prompt, roles))
    return part(
        "choiceInteraction",
        prompt,
        *options,
        responseIdentifier="RESPONSE",
        shuffle=item.shuffled,
        maxChoices=most,
    )


def _one(item: QuizItem, roles: Mapping[str, str]) -> _Answered:
    """A choice of one option, each with what is said of it."""
    return [_choice(item, roles, most=1)], [_if_right(), _set("FEEDBACK", _variable())]


def _all(item: QuizItem, roles: Mapping[str, str]) -> _Answered:
    """A choice of all options that hold, marked by the mapping."""
    marked = part(
        "responseCondition",
        part("responseIf", _is_null(), _set("SCORE", _base("float", "0"))),
        part("responseElse", _set("SCORE", part("mapResponse", identifier="RESPONSE"))),
    )
    return [_choice(item, roles, most=0)], [marked, _set("FEEDBACK", _variable())]


def _line(item: QuizItem, roles: Mapping[str, str]) -> _Answered:
    """Lines to be selected, each in a paragraph of its own, in plain signs: what platforms take best."""
    lines = [
        part("p", part("hottext", as_text(option.said), identifier=option.name)) for option in item.options
    ]
    prompt = part("prompt", *inline(item.prompt, roles))
    shown = part("hottextInteraction", prompt, *lines, responseIdentifier="RESPONSE", maxChoices=1)
    told = [_block(option.name, option.feedback) for option in item.options]
    return [shown, *told], [_if_right(), _set("FEEDBACK", _variable())]


def _order(item: QuizItem, roles: Mapping[str, str]) -> _Answered:
    """Options to be put in order."""
    options = [
        part("simpleChoice", *inline(option.said, roles), identifier=option.name) for option in item.options
    ]
    prompt = part("prompt", *inline(item.prompt, roles))
    shown = part("orderInteraction", prompt, *options, responseIdentifier="RESPONSE", shuffle=item.shuffled)
    told = [_block("right", item.yes), _block("empty", EMPTY)]
    cases = [(_is_null(), [_said("empty")]), (_match(), [_earned(item.points), _said("right")])]
    for at, order in enumerate(item.foreseen, 1):
        told.append(_block(f"order{at}", order.feedback))
        put = part("ordered", *(_base("identifier", name) for name in order.names))
        cases.append((part("match", _variable(), put), [_said(f"order{at}")]))
    told.append(_block("other", item.otherwise))
    return [shown, *told], [_cases(cases, [_said("other")])]


def _number(item: QuizItem, roles: Mapping[str, str]) -> _Answered:
    """A number to be typed, held against the right one and against those that are foreseen."""
    typed = item.number
    if typed is None:
        raise TypeError(f"{item.name} has no number")
    entry = part("textEntryInteraction", responseIdentifier="RESPONSE", expectedLength=10)
    how = " Type a plain number: a point for decimals, no unit. "
    shown = part("p", *inline(item.prompt, roles), how, entry, f" {typed.unit}")
    told = [_block("right", item.yes), _block("empty", f"{EMPTY} Use a point for decimals and no unit.")]
    cases = [
        (_is_null(), [_said("empty")]),
        (
            _within(part("correct", identifier="RESPONSE"), typed.tolerance),
            [_earned(item.points), _said("right")],
        ),
    ]
    for at, foreseen in enumerate(typed.foreseen, 1):
        told.append(_block(f"slip{at}", foreseen.feedback))
        value = _base("float", decimal(foreseen.value))
        cases.append((_within(value, typed.tolerance), [_said(f"slip{at}")]))
    told.append(_block("other", item.otherwise))
    return [shown, *told], [_cases(cases, [_said("other")])]


_BY_ANSWER = {
    AnsweredBy.ONE: _one,
    AnsweredBy.ALL: _all,
    AnsweredBy.LINE: _line,
    AnsweredBy.ORDER: _order,
    AnsweredBy.NUMBER: _number,
}


def _option(name: str, said: Said, feedback: str, roles: Mapping[str, str]) -> XmlPart:
    told = part(
        "feedbackInline", f" {feedback}", outcomeIdentifier="FEEDBACK", identifier=name, showHide="show"
    )
    return part("simpleChoice", *inline(said, roles), told, identifier=name)


def _block(name: str, feedback: str) -> XmlPart:
    return part(
        "feedbackBlock",
        part("p", feedback),
        outcomeIdentifier="FEEDBACK",
        identifier=name,
        showHide="show",
    )


def _variable() -> XmlPart:
    return part("variable", identifier="RESPONSE")


def _is_null() -> XmlPart:
    return part("isNull", _variable())


def _match() -> XmlPart:
    return part("match", _variable(), part("correct", identifier="RESPONSE"))


def _within(reference: XmlPart, tolerance: Fraction) -> XmlPart:
    """The reference first, the answer second; an absolute tolerance on both sides, bounds included."""
    off = decimal(tolerance * (1 + SPARE))
    return part(
        "equal",
        reference,
        _variable(),
        toleranceMode="absolute",
        tolerance=f"{off} {off}",
        includeLowerBound=True,
        includeUpperBound=True,
    )


def _base(kind: str, value: str) -> XmlPart:
    return part("baseValue", value, baseType=kind)


def _set(name: str, value: XmlPart) -> XmlPart:
    return part("setOutcomeValue", value, identifier=name)


def _said(name: str) -> XmlPart:
    return _set("FEEDBACK", _base("identifier", name))


def _earned(points: int) -> XmlPart:
    return _set("SCORE", _base("float", str(points)))


def _if_right() -> XmlPart:
    return part("responseCondition", part("responseIf", _match(), _earned(1)))


def _cases(cases: Sequence[tuple[XmlPart, list[XmlPart]]], otherwise: list[XmlPart]) -> XmlPart:
    found = [
        part("responseElseIf" if at else "responseIf", condition, *then)
        for at, (condition, then) in enumerate(cases)
    ]
    return part("responseCondition", *found, part("responseElse", *otherwise))
