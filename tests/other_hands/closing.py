"""The end of a working: directions in words, numbers at the end, and at times a voltage or a power."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from .ink import Prod, Quot, Square, Sum, Sym, Tree
from .net import Part
from .paper import Paper


def ending(paper: Paper, named: Mapping[str, tuple[str, int]] | None = None) -> None:
    """Directions in words, and at times a voltage, a power, a check."""
    net, rng = paper.net, paper.rng
    of = named if named is not None else {b.name: (b.name, 1) for b in net.branches if b.fixed is None}
    known = [(b, *of[b.name]) for b in net.branches if b.fixed is None and of[b.name][0] in paper.numbers]
    pen = paper.habits.pen
    d = "$" if pen.kind == "latex" else ""
    against = [n for _, n, _ in known if paper.held[n] < 0]
    if against and paper.habits.reversed_said:
        listed = ", ".join(f"{d}{pen.name(n)}{d}" for n in against)
        paper.say(
            rng.choice(
                (
                    f"{listed} negative: flows against its arrow.",
                    f"The minus means that {listed} runs the other way.",
                    f"{listed} < 0, so opposite to the arrow drawn.",
                )
            )
            if pen.kind != "latex"
            else f"The minus means that {listed} runs the other way."
        )
    if paper.habits.form == "symbols":
        paper.say(rng.choice(("With the numbers:", "In numbers:", "Numbers at the end:")))
        for _, n, _ in known:
            paper.write(Sym(n), paper.numbers[n])
    for b in net.branches:
        if b.fixed is not None and rng.random() < 0.3:
            paper.know(b.name, b.fixed.sign * b.fixed.value, paper.amp)
            paper.result(b.name, Sum(((b.fixed.sign, Sym(b.fixed.name)),)), paper.amp, last=True)
    if not paper.habits.check or not known:
        return
    b, name, _ = rng.choice(known)
    resistors: list[Part] = [p for p in b.of("R") if not p.inside]
    if not resistors:
        return
    part = rng.choice(resistors)
    way = rng.choice(("power", "voltage"))
    label = f"P{part.name[1:]}" if part.name[0] == "R" else ""
    if way == "power" and label and label not in paper.truth:
        slip = paper.hand.slips("square-lost")
        paper.know(
            label, paper.truth[name] ** 2 * part.value if name in paper.truth else Fraction(0), paper.watt
        )
        square: Tree = (
            Prod((Sym(part.name), Sym(name))) if slip else Prod((Sym(part.name), Square(Sym(name))))
        )
        paper.result(label, square, paper.watt, last=True)
    else:
        label = f"U{part.name[1:]}"
        if label in paper.truth or any(p.name.startswith("U") for p in net.parts("E")):
            return
        slip = paper.hand.slips("divided-for-multiplied")
        paper.know(label, paper.truth[name] * part.value if name in paper.truth else Fraction(0), "V")
        made: Tree = Quot(Sym(part.name), Sym(name)) if slip else Prod((Sym(part.name), Sym(name)))
        paper.result(label, made, "V", last=True)
