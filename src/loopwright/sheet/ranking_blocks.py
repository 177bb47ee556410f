"""What was asked to be put in order, as blocks: the order, and what proves it or on what it depends."""

from __future__ import annotations

from collections.abc import Sequence

from ..circuit.circuit import Circuit
from ..circuit.rankings import BY_SIZE, ranking
from ..circuit.targets import Target
from ..expressions.nodes import Expr
from ..expressions.said import in_a_row
from ..expressions.tidy import tidy
from ..solve.exact import Solution
from ..solve.ranking import RankedPair, Ranking, rank
from .document import Block, Heading, Listing, Paragraph, Text


def ranked_items(circuit: Circuit) -> list[Text]:
    """What is asked to be put in order, as items of a list."""
    asked = [ranking(text, circuit) for text in circuit.ranked]
    return [
        (
            "the order by size of " if each[0].kind in BY_SIZE else "the order of ",
            *in_a_row([(target.name,) for target in each]),
        )
        for each in asked
    ]


def ranking_blocks(solution: Solution) -> tuple[Block, ...]:
    """Each order that was asked, the greatest first, with what is proved of every two neighbours."""
    circuit = solution.circuit
    blocks: list[Block] = []
    for text in circuit.ranked:
        found = rank(solution, ranking(text, circuit))
        blocks += [Paragraph(_order(found)), Listing(tuple(_told(pair) for pair in found.pairs))]
    return (Heading("Ranking"), *blocks) if blocks else ()


def _order(found: Ranking) -> Text:
    by_size = " by size" if found.by_size else ""
    if not found.order:
        return (f"The order{by_size} depends on the values:",)
    row: list[str | Expr] = []
    for at, group in enumerate(_equal(found.order)):
        row += [" > "] if at else []
        row += group
    with_numbers = " with these numbers" if any(not pair.settled for pair in found.pairs) else ""
    return (f"The order{by_size}{with_numbers}: ", *row, ".")


def _equal(order: Sequence[Sequence[Target]]) -> list[list[str | Expr]]:
    """The names of each group with equals signs between them."""
    rows: list[list[str | Expr]] = []
    for group in order:
        row: list[str | Expr] = []
        for at, target in enumerate(group):
            row += [" = ", target.name] if at else [target.name]
        rows.append(row)
    return rows


def _told(pair: RankedPair) -> Text:
    """What is proved of two quantities."""
    one, other = pair.first.name, pair.second.name
    if pair.equal:
        return (one, " = ", other, " for all values.")
    if pair.sign:
        touching: Text = (
            () if pair.touching is None else ("; they are equal where ", tidy(pair.touching), " = 0")
        )
        sign = " > " if pair.sign > 0 else " < "
        return (one, sign, other, " for all positive values", *touching, ".")
    condition = pair.condition
    if condition is None:
        raise ValueError("an order that depends on nothing")
    if pair.here is None:
        return (one, " > ", other, " when ", condition, ", else the other way round.")
    here = {1: " > ", 0: " = ", -1: " < "}[pair.here]
    return (one, here, other, " with these numbers; ", one, " is the greater exactly when ", condition, ".")
