"""Documents for the tests of the writers: one rich sheet, and small ones with hostile words.

The numbers of the rich sheet: E1 = 12 V, E2 = 24 V, R1 = 6 Ω, R2 = 2 Ω, R3 = 9 Ω give
(I1, I2, I3) = (−1, 3, 2) A, worked by hand: 84 Ω² below, −84, 252 and 168 V Ω above.
"""

from __future__ import annotations

from fractions import Fraction

from loopwright.expressions.nodes import (
    Equation,
    Expr,
    Negative,
    Number,
    Parallel,
    Power,
    Product,
    Quotient,
    Sum,
    Symbol,
)
from loopwright.figure.drawing import Bend, Drawing, Drawn, Label, Round, Stroke
from loopwright.sheet.document import (
    Block,
    CautionBox,
    DisplayedLine,
    Document,
    Heading,
    Listing,
    Paragraph,
    Picture,
    Table,
    Written,
)

I1, I2, I3, E1, E2, R1, R2, R3 = (Symbol(name) for name in ["I1", "I2", "I3", "E1", "E2", "R1", "R2", "R3"])
ROLES = {
    name: {"I": "current", "E": "emf", "R": "resistance"}[name[0]]
    for name in ["I1", "I2", "I3", "E1", "E2", "R1", "R2", "R3"]
}


def product(*factors: Expr) -> Product:
    return Product(factors)


def plus(*terms: Expr) -> Sum:
    return Sum(terms)


def measure(value: int, unit: str, text: str = "") -> Number:
    return Number(Fraction(value), unit, text)


D = plus(product(R1, R2), product(R1, R3), product(R2, R3))


def box(x: float, y: float) -> Stroke:
    """An upright resistor with its middle at (x, y)."""
    return Stroke(((x - 2, y - 5), (x + 2, y - 5), (x + 2, y + 5), (x - 2, y + 5)), closed=True)


def drawing() -> Drawing:
    """Three upright branches between two rails: a stand-in for a drawn circuit."""
    rails = [Stroke(((8, y), (72, y))) for y in (6, 50)]
    wires = [Stroke(((x, a), (x, b))) for x in (8, 40, 72) for a, b in ((6, 15), (25, 50))]
    names = [Label("R", (x + 7, 20), sub=str(n)) for n, x in enumerate((8, 40, 65), start=1)]
    dots = [Round((40, y), 0.8, filled=True) for y in (6, 50)]
    sense: list[Drawn] = [
        Bend((24, 28), 6, 0, 270),
        Stroke(((24, 22), (26, 21), (26, 23)), closed=True, filled=True),
    ]
    boxes = [box(x, 20) for x in (8, 40, 72)]
    currents = [Label("I", (x + 5, 38), sub=str(n), size=3.2) for n, x in enumerate((8, 40, 62), start=1)]
    return Drawing(80, 56, (*rails, *wires, *boxes, *dots, *sense, *names, *currents))


LONG_SUM = plus(*(product(Symbol(f"R{a}"), Symbol(f"R{b}"), Symbol(f"R{c}"))
                  for a in range(1, 4) for b in range(4, 6) for c in range(6, 9)))  # fmt: skip

BLOCKS: tuple[Block, ...] = (
    Paragraph(
        (
            "A harbour buoy's lamp is fed by a main pack and a spare pack. Find ",
            I1,
            ", ",
            I2,
            " and ",
            I3,
            ".",
        )
    ),
    Picture(
        drawing(),
        "Circuit with two junctions, top and foot, and three branches. Branch I1 runs from foot to top "
        "through battery E1, + terminal towards top, then R1.\nBranch I2 runs from foot to top through "
        "battery E2, + terminal towards top, then R2. Branch I3 runs from top to foot through R3.",
        "The buoy: two packs feed one lamp",
    ),
    Heading("Equations"),
    DisplayedLine((plus(I1, I2), I3), 1, ("Junction top: what flows in flows out.",)),
    DisplayedLine(
        (plus(E1, Negative(product(I1, R1)), Negative(product(I3, R3))), Number(Fraction(0))),
        2,
        (
            "Left window, from foot clockwise: rise ",
            E1,
            ", drops ",
            product(I1, R1),
            " and ",
            product(I3, R3),
            ".",
        ),
    ),
    DisplayedLine(
        (plus(E2, Negative(product(I2, R2)), Negative(product(I3, R3))), Number(Fraction(0))),
        3,
        ("Right window, anticlockwise from foot.",),
    ),
    Heading("Working"),
    DisplayedLine(
        (E1, plus(product(I1, plus(R1, R3)), product(I2, R3))), 4, ("Put (1) into (2) and collect ", I1, ".")
    ),
    DisplayedLine((E2, plus(product(I1, R3), product(I2, plus(R2, R3)))), 5, ("Put (1) into (3).",)),
    DisplayedLine(
        (I2, Quotient(plus(product(E2, plus(R1, R3)), Negative(product(E1, R3))), D)),
        6,
        ("Take ", I1, " from (4), put it into (5), and clear the fraction."),
    ),
    DisplayedLine(
        (
            I1,
            Quotient(
                plus(product(E1, plus(R2, R3)), Negative(product(E2, R3))),
                plus(product(R1, R2), product(R3, plus(R1, R2))),
            ),
        ),
        7,
        ("Put (6) back into (4).",),
        result=True,
    ),
    DisplayedLine(
        (I3, plus(I1, I2), Quotient(plus(product(E1, R2), product(E2, R1)), D)),
        8,
        ("Add (6) and (7).",),
        result=True,
    ),
    DisplayedLine(
        (I3, Quotient(E1, plus(R3, Parallel((R1, R2))))), 0, ("The same when both packs are alike.",)
    ),
    DisplayedLine((Symbol("D"), LONG_SUM), 9, ("A long denominator, to try the width of the page.",)),
    DisplayedLine((Symbol("I4"), Quotient(product(E1, plus(R1, R2)), LONG_SUM)), 10),
    Heading("Numbers"),
    DisplayedLine(
        (I1, Negative(measure(1, "A", "1.00"))),
        11,
        ("The minus sign says that the current runs against its arrow; no equation changes.",),
        result=True,
    ),
    DisplayedLine((product(Power(I3, 2), R3), measure(36, "W", "36.0")), 12, relation="≈"),
    Heading("A working"),
    Written(1, "I1+I2=I3", (Equation(plus(I1, I2), I3),), "right", (("Junction equation at top.",),)),
    Written(
        2,
        "E2 + I2 R2 - I3 R3 = 0",
        (Equation(plus(E2, product(I2, R2), Negative(product(I3, R3))), Number(Fraction(0))),),
        "not true",
        (("A drop is signed as if its arrow were met the other way. It should read ", E2, " ..."),),
        fault=True,
    ),
    Written(3, "now put (1) into (2)"),
    Heading("Limits"),
    Listing(
        (
            (Equation(R3, Symbol("∞"), "→"), ": one loop is left, so ", Equation(I1, Negative(I2)), "."),
            ("The junction equation has no resistance in it and stays.",),
        )
    ),
    Table(
        "Limit cases, each found twice",
        (("Case",), ("Closed form",), ("Circuit redrawn",), ("In words",)),
        (
            (
                (Equation(R3, Number(Fraction(0)), "→"),),
                (Quotient(E1, R1), ", ", Quotient(E2, R2)),
                (Quotient(E1, R1),),
                ("Each pack is shorted through its own resistance: neither depends on the other.",),
            ),
            (
                (Equation(R1, Number(Fraction(0)), "→"),),
                (I3, " = ", Quotient(E1, R3)),
                (Quotient(E1, R3),),
                ("The lamp sees the main pack alone.",),
            ),
        ),
    ),
    Table(
        "Ledger",
        (("Check",), ("Method",), ("Result",)),
        (
            (("Outer loop",), ("put in, exactly",), ("holds",)),
            (("Power balance",), ("−12 W + 72 W = 60 W against 6 W + 18 W + 36 W",), ("agrees",)),
            (("Node potentials",), ("numbers, 5 draws",), ("agree to 1 part in 10⁹",)),
        ),
    ),
    Heading("Cautions"),
    CautionBox(
        (
            "Battery ",
            E1,
            " is driven backwards (1.00 A against its emf). Never do this with primary cells. "
            "Local rules and licensed practice come first.",
        )
    ),
)

SAMPLE = Document(
    "Two packs, one lamp", BLOCKS, ROLES | {f"R{n}": "resistance" for n in range(4, 9)} | {"I4": "current"}
)

HOSTILE_WORDS = (
    '<script>alert("x")</script> $5 #let & \\input{x} _a_ *b* `c` {d} %e ^f ~g [h](i) | j --> k @l'
)


def one(*blocks: Block, title: str = "A page") -> Document:
    """A small document of these blocks."""
    return Document(title, blocks, ROLES)


def hostile() -> Document:
    """A document whose every word tries to act as markup."""
    words = HOSTILE_WORDS
    return one(
        Heading(words),
        Paragraph((words,)),
        DisplayedLine((I1, I2), 1, (words,), result=True),
        Written(2, words, (), "_a_ &<b> {c}", ((words,),), fault=True),
        Listing(((words,),)),
        Table(words, ((words,), ("b",)), (((words,), (I1,)),)),
        Picture(drawing(), words, words),
        CautionBox((words,)),
        title=words,
    )
