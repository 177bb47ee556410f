"""Verdicts in words: short sentences made of plain words and expressions."""

from __future__ import annotations

import re
from collections.abc import Sequence

from ..circuit.circuit import Circuit
from ..circuit.elements import Pass
from ..circuit.names import listed
from ..expressions.dimensions import (
    AMPERE,
    COULOMB,
    FARAD,
    HENRY,
    JOULE,
    OHM,
    PLAIN,
    SECOND,
    VOLT,
    WATT,
    Dimension,
)
from ..expressions.nodes import Expr, Symbol, put
from ..expressions.said import Said, in_a_row
from ..expressions.values import symbols_of
from ..graph.lines import Loop
from ..laws.loops import from_a_source, points_of
from .truth.law_made_one import LawMadeOne
from .truth.which_law import StatedLaw
from .verdicts import How


def lines_named(numbers: Sequence[int]) -> str:
    """`line 3`, or `lines 2 and 3`."""
    return ("line " if len(numbers) == 1 else "lines ") + listed([str(n) for n in numbers])


def loop_named(circuit: Circuit, loop: Loop) -> str:
    """A loop by what it meets in order of travel: `bus, Rh, rail, E1, R1`."""
    return ", ".join(_met(circuit, from_a_source(circuit, loop)))


def _met(circuit: Circuit, loop: Loop) -> list[str]:
    met: list[str] = []
    for point, (name, sense) in zip(points_of(circuit, loop), loop, strict=False):
        met.append(point)
        along = circuit.branch(name).along
        met.extend(i.element for i in (along if sense > 0 else along[::-1]) if isinstance(i, Pass))
    return met


def of_law(circuit: Circuit, stated: StatedLaw, own_names: bool = True) -> Said:
    """Which law a true row states. `own_names`: the currents are the circuit's, not sums of them."""
    put_in = "" if stated.plainly or not own_names else ", a junction equation put in"
    if stated.path:
        along = ", ".join(name for name, _ in stated.path)
        return (f"Potentials along {along}{put_in}.",)
    if len(stated.loops) == 1:
        return (f"Loop equation round {loop_named(circuit, stated.loops[0])}{put_in}.",)
    if stated.loops:
        rounds = "; ".join(loop_named(circuit, loop) for loop in stated.loops)
        return (f"Sum of loop equations: round {rounds}{put_in}.",)
    if not stated.points:
        return (f"The current that an element fixes in {listed(list(stated.fixed))}.",)
    if stated.fixed:
        put_in = f", with the current that is fixed in {listed(list(stated.fixed))}"
        return (f"Junction equation at {listed(list(stated.points))}{put_in}.",)
    if len(stated.points) == 1:
        put_in = listed(list(stated.by_potentials))
        along = f", by the potentials along {put_in}" if put_in else ""
        return (f"Junction equation at {stated.points[0]}{along}.",)
    return (f"Junction equations at {listed(list(stated.points))} added.",)


def of_law_made_one(law: LawMadeOne) -> Said:
    """Which law a row states of the circuit drawn with resistors made one, and which these are."""
    (said,) = of_law(law.circuit, law.stated)
    words = str(said).removesuffix(".")
    named = {n for n in law.made if re.search(rf"\b{re.escape(n)}(?![\w′])", words)}
    each = [f"{n} being {listed(list(law.made[n]))} made one" for n in law.made if n in named]
    each += [f"with {listed(list(r))} made one" for n, r in law.made.items() if n not in named]
    return (", ".join((words, *each)) + ".",)


def of_following(
    way: How,
    used: Sequence[int],
    along: Sequence[str] = (),
    at: Sequence[str] = (),
    *,
    sums: bool = False,
    supposed: bool = False,
) -> Said:
    """From which lines a claim follows, and how. `along`: branches whose own relation is used besides;
    `at`: points whose junction rule is; `sums`: whether parts by single sources are added up; `supposed`:
    whether what was supposed is used."""
    besides = ["what is supposed"] if supposed else []
    besides += [f"the potentials along {listed(list(along))}"] if along else []
    besides += [f"the junction rule at {listed(list(at))}"] if at else []
    besides += ["the parts that each source makes, added up"] if sums else []
    if besides:
        given = [lines_named(used)] if used else []
        return (f"Follows from {listed([*given, *besides])}.",)
    where = lines_named(used)
    match way:
        case How.IDENTITY:
            return ("The same expression rewritten.",)
        case How.SAME:
            return (f"Repeats {where}.",)
        case How.MULTIPLE:
            return (f"Follows from {where}: rearranged or multiplied through.",)
        case How.SUM | How.DIFFERENCE:
            return (f"Follows from {where}: their {'sum' if way is How.SUM else 'difference'}.",)
        case How.SUBSTITUTION:
            return (f"Follows from {where}: one put into the other.",)
        case How.COMBINATION:
            return (f"Follows from {where}.",)


def shown_source(combination: Expr) -> Expr:
    """A combination of lines with their labels in brackets: `R2 (1) − R1 (2)`."""
    labels = {
        n: Symbol(f"({n})") for n in symbols_of(combination) if not n[:1].isalpha() or _ROMAN.fullmatch(n)
    }
    return put(combination, labels)


_ROMAN = re.compile("[ivx]+")


def unknown(names: Sequence[str]) -> Said:
    """That nothing says what names stand for."""
    verb = "stands" if len(names) == 1 else "stand"
    return ("Not said: what ", *in_a_row([(Symbol(n),) for n in names]), f" {verb} for.")


def of_units(one: Dimension, other: Dimension) -> Said:
    """That two kinds of quantity meet which cannot be equal or added."""
    return (f"The units do not fit: {_kind_of(one)} and {_kind_of(other)} meet.",)


_KINDS = {
    VOLT: "volts", AMPERE: "amperes", OHM: "ohms", WATT: "watts", PLAIN / OHM: "one over ohms",
    PLAIN: "pure numbers", SECOND: "seconds", FARAD: "farads", HENRY: "henries", COULOMB: "coulombs",
    JOULE: "joules",
}  # fmt: skip


_RAISED = str.maketrans("0123456789-", "⁰¹²³⁴⁵⁶⁷⁸⁹⁻")


def _kind_of(dimension: Dimension) -> str:
    """What is of this dimension, by its name, or by its unit in V, A and s: `A²`, `V² A⁻¹`."""
    powers = (("V", dimension.volts), ("A", dimension.amperes), ("s", dimension.seconds))
    raised = (name if power == 1 else f"{name}{power}".translate(_RAISED) for name, power in powers if power)
    return _KINDS.get(dimension) or " ".join(raised)
