"""An item in British or American terms: all words of ours in it, none of the person's own."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from ..expressions.terms import in_terms, said_in_terms
from .item import AnswerOption, QuizItem


def item_in_terms(item: QuizItem, terms: str, own: Collection[str]) -> QuizItem:
    """The item in these terms. `own`: words of the person's own that stay as they are."""
    if terms == "british":
        return item

    def words(text: str) -> str:
        return in_terms(text, terms, own)

    def option(one: AnswerOption) -> AnswerOption:
        return replace(one, said=said_in_terms(one.said, terms, own), feedback=words(one.feedback))

    number = item.number
    if number is not None:
        foreseen = tuple(replace(f, feedback=words(f.feedback)) for f in number.foreseen)
        number = replace(number, foreseen=foreseen)
    return replace(
        item,
        title=words(item.title),
        prompt=said_in_terms(item.prompt, terms, own),
        stem=tuple(said_in_terms(text, terms, own) for text in item.stem),
        options=tuple(map(option, item.options)),
        number=number,
        foreseen=tuple(replace(order, feedback=words(order.feedback)) for order in item.foreseen),
        yes=words(item.yes),
        otherwise=words(item.otherwise),
    )
