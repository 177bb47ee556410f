"""What is asked of every lecture, worked here and nowhere else."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

from loopwright.board.stage import BoardStage, Plan, Scene, changes
from loopwright.expressions.heard import heard
from loopwright.expressions.nodes import (
    Equation,
    Expr,
    Negative,
    Number,
    Power,
    Product,
    Quotient,
    Sum,
    Symbol,
    parts_of,
)
from loopwright.expressions.writers import spoken


def neighbours(plan: Plan) -> list[tuple[BoardStage | None, BoardStage]]:
    return [(None, plan.stages[0]), *pairwise(plan.stages)]


def more_than_one(plan: Plan) -> list[str]:
    """The stages that change more than one thing, or nothing and point at nothing new."""
    found: list[str] = []
    for before, stage in neighbours(plan):
        made = changes(before.scene if before else Scene(), stage.scene)
        points = not made and before is not None and stage.light != before.light
        if len(made) != 1 and not points:
            found.append(f"{stage.number}: {made} {stage.words}")
    return found


def worth(expr: Expr, values: dict[str, Fraction]) -> Fraction:
    """What an expression comes to, worked here and nowhere else."""
    match expr:
        case Sum(terms):
            return sum((worth(t, values) for t in terms), Fraction(0))
        case Product(factors):
            found = Fraction(1)
            for factor in factors:
                found *= worth(factor, values)
            return found
        case Negative(body):
            return -worth(body, values)
        case Quotient(above, below):
            return worth(above, values) / worth(below, values)
        case Power(base, exponent):
            return worth(base, values) ** exponent
        case Number(value, unit, text):
            return value if unit or not text else Fraction(text.replace("−", "-"))  # as it is shown
        case Symbol(name):
            return values.setdefault(name, Fraction(len(values) * 7 + 3, 2))
    raise AssertionError(expr)


def is_plain(expr: Expr) -> bool:
    kinds = (Sum, Product, Negative, Quotient, Power, Number, Symbol)
    return type(expr) in kinds and all(map(is_plain, parts_of(expr)))


def misheard(plan: Plan) -> tuple[list[str], int]:
    """The formulas that are said and not heard as the same algebra, at values that tell every symbol from
    every other; and how many were heard."""
    found: list[str] = []
    count = 0
    for piece in dict.fromkeys(piece for stage in plan.stages for piece in stage.said):
        if isinstance(piece, str):
            continue
        sides = (piece.left, piece.right) if isinstance(piece, Equation) else (piece,)
        if not all(map(is_plain, sides)):
            continue
        said = spoken.render(piece, plan.roles)
        again = heard(said)
        others = (again.left, again.right) if isinstance(again, Equation) else (again,)
        values: dict[str, Fraction] = {"∞": Fraction(0)}
        count += 1
        if len(sides) != len(others) or any(
            worth(one, values) != worth(other, values) for one, other in zip(sides, others, strict=True)
        ):
            found.append(said)
    return found, count


def unsaid(plan: Plan) -> list[str]:
    """The formulas that come to stand on the board and are said in no stage."""
    words = " ".join(stage.words for stage in plan.stages).lower()
    lines = dict.fromkeys(line for stage in plan.stages for line in stage.scene.lines)
    aloud = [spoken.render(side, plan.roles).lower() for line in lines for side in line.sides]
    return [said for said in dict.fromkeys(aloud) if said not in words]
