"""Documents for the tests of the writers: one rich sheet, and small ones with hostile words.

The numbers of the rich sheet: E1 = 23 V, E2 = 18 V, R1 = 4 Ω, R2 = 3 Ω, Rh = 5 Ω give
(Ic, Ib, Ih) = (2, −1, 3) A, worked by hand: 47 Ω² below, 94, −47 and 141 V Ω above.
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
    Gap,
    Heading,
    Listing,
    Masthead,
    Paragraph,
    Picture,
    ProblemHead,
    Table,
    WorkingRoom,
    Written,
)

IC, IB, IH, E1, E2, R1, R2, RH = (Symbol(name) for name in ["Ic", "Ib", "Ih", "E1", "E2", "R1", "R2", "Rh"])
I1, I2, I3 = (Symbol(name) for name in ["I1", "I2", "I3"])  # for small pages of no circuit
ROLES = {
    name: {"I": "current", "E": "emf", "R": "resistance"}[name[0]]
    for name in ["Ic", "Ib", "Ih", "I1", "I2", "I3", "E1", "E2", "R1", "R2", "Rh"]
}


def product(*factors: Expr) -> Product:
    return Product(factors)


def plus(*terms: Expr) -> Sum:
    return Sum(terms)


def measure(value: int, unit: str, text: str = "") -> Number:
    return Number(Fraction(value), unit, text)


D = plus(product(R1, R2), product(R1, RH), product(R2, RH))


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


def box_alone() -> Drawing:
    """A small drawing, in the place of a code for cameras."""
    return Drawing(8, 14, (box(4, 7),))


LONG_SUM = plus(*(product(Symbol(f"R{a}"), Symbol(f"R{b}"), Symbol(f"R{c}"))
                  for a in range(1, 4) for b in range(4, 6) for c in range(6, 9)))  # fmt: skip

BLOCKS: tuple[Block, ...] = (
    Paragraph(
        (
            "A charger, a battery and a heater hang on one bus. Find ",
            IC,
            ", ",
            IB,
            " and ",
            IH,
            ".",
        )
    ),
    Picture(
        drawing(),
        "Circuit with two junctions, bus and rail, and three branches. Branch Ic runs from rail to bus "
        "through battery E1, + terminal towards bus, then R1.\nBranch Ib runs from bus to rail through "
        "R2, then battery E2, + terminal towards bus. Branch Ih runs from bus to rail through Rh.",
        "Charger, battery and heater",
    ),
    Heading("Equations"),
    DisplayedLine((IC, plus(IB, IH)), 1, ("Junction bus: what flows in flows out.",)),
    DisplayedLine(
        (plus(E1, Negative(product(IC, R1)), Negative(product(IH, RH))), Number(Fraction(0))),
        2,
        (
            "Left window, from rail clockwise: rise ",
            E1,
            ", drops ",
            product(IC, R1),
            " and ",
            product(IH, RH),
            ".",
        ),
    ),
    DisplayedLine(
        (plus(E2, product(IB, R2), Negative(product(IH, RH))), Number(Fraction(0))),
        3,
        ("Right window, anticlockwise from rail.",),
    ),
    Heading("Working"),
    DisplayedLine(
        (E1, plus(product(IB, R1), product(IH, plus(R1, RH)))), 4, ("Put (1) into (2) and collect ", IH, ".")
    ),
    DisplayedLine((IB, Quotient(plus(product(IH, RH), Negative(E2)), R2)), 5, ("Solve (3) for ", IB, ".")),
    DisplayedLine(
        (IH, Quotient(plus(product(E1, R2), product(E2, R1)), D)),
        6,
        ("Put (5) into (4), and clear the fraction.",),
    ),
    DisplayedLine(
        (
            IC,
            Quotient(
                plus(product(E1, plus(R2, RH)), Negative(product(E2, RH))),
                plus(product(R1, plus(R2, RH)), product(R2, RH)),
            ),
        ),
        7,
        ("Put (6) back into (2).",),
        result=True,
    ),
    DisplayedLine(
        (
            IB,
            plus(IC, Negative(IH)),
            Quotient(plus(product(E1, RH), Negative(product(E2, plus(R1, RH)))), D),
        ),
        8,
        ("Take (6) from (7).",),
        result=True,
    ),
    DisplayedLine(
        (IH, Quotient(E1, plus(RH, Parallel((R1, R2))))), 0, ("The same when both emfs are alike.",)
    ),
    DisplayedLine((Symbol("D"), LONG_SUM), 9, ("A long denominator, to try the width of the page.",)),
    DisplayedLine((Symbol("I4"), Quotient(product(E1, plus(R1, R2)), LONG_SUM)), 10),
    Heading("Numbers"),
    DisplayedLine(
        (IB, Negative(measure(1, "A", "1.00"))),
        11,
        ("The minus sign says that the current runs against its arrow; no equation changes.",),
        result=True,
    ),
    DisplayedLine((product(Power(IH, 2), RH), measure(45, "W", "45.0")), 12, relation="≈"),
    Heading("A working"),
    Written(1, "Ic=Ib+Ih", (Equation(IC, plus(IB, IH)),), "right", (("Junction equation at bus.",),)),
    Written(
        2,
        "E2 - Ib R2 - Ih Rh = 0",
        (Equation(plus(E2, Negative(product(IB, R2)), Negative(product(IH, RH))), Number(Fraction(0))),),
        "not true",
        (("A drop is signed as if its arrow were met the other way. It should read ", E2, " ..."),),
        fault=True,
    ),
    Written(3, "now put (1) into (2)"),
    Gap(2, 12, ("Solve for ", IB, ".")),
    Heading("Limits"),
    Listing(
        (
            (Equation(RH, Symbol("∞"), "→"), ": one loop is left, so ", Equation(IC, IB), "."),
            ("The junction equation has no resistance in it and stays.",),
        )
    ),
    Table(
        "Limit cases, each found twice",
        (("Case",), ("Closed form",), ("Circuit redrawn",), ("In words",)),
        (
            (
                (Equation(RH, Number(Fraction(0)), "→"),),
                (Quotient(E1, R1), ", ", Negative(Quotient(E2, R2))),
                (Quotient(E1, R1),),
                ("Each source is shorted through its own resistance: neither depends on the other.",),
            ),
            (
                (Equation(R2, Number(Fraction(0)), "→"),),
                (IH, " = ", Quotient(E2, RH)),
                (Quotient(E2, RH),),
                ("The heater sees the battery alone.",),
            ),
        ),
    ),
    Table(
        "Ledger",
        (("Check",), ("Method",), ("Result",)),
        (
            (("Outer loop",), ("put in, exactly",), ("holds",)),
            (("Power balance",), ("46 W + 18 W = 64 W against 16 W + 3 W + 45 W",), ("agrees",)),
            (("Node potentials",), ("numbers, 5 draws",), ("agree to 1 part in 10⁹",)),
        ),
    ),
    Heading("Cautions"),
    CautionBox(
        (
            "A wire across ",
            E1,
            " and its resistance would carry 5.75 A. Put a fuse or a current limit next to it. "
            "Local rules and licensed practice come first.",
        )
    ),
    Masthead((("Three problems, 24 points.",),), "K7-2Q4-X", box_alone()),
    ProblemHead("Second problem", ROLES | {"I4": "current"}, leaf=True),
    Heading("Equations afresh"),
    DisplayedLine((I1, I2), 1, ("In series.",)),
    Paragraph(("By (1) they are alike.",)),
    WorkingRoom("Working", 40.0),
)

SAMPLE = Document(
    "Charge or help", BLOCKS, ROLES | {f"R{n}": "resistance" for n in range(4, 9)} | {"I4": "current"}
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
        Masthead(((words,),), words, box_alone()),
        ProblemHead(words, ROLES),
        WorkingRoom(words, 20.0),
        title=words,
    )
