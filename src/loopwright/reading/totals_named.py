"""Names of what the only battery of a circuit does as a whole: the current that it gives, what it sees, the
power that it delivers. `I = 40/20 = 2 A` says so of the battery, whether that is right or not."""

from __future__ import annotations

import re
from fractions import Fraction

from ..circuit.changed import sources_in
from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..circuit.targets import Asked, Target, targets
from ..expressions.dimensions import AMPERE, of_unit
from ..expressions.nodes import Equation, Expr, Product, Quotient, Symbol, negate, numbers_in
from ..expressions.said import Said
from ..expressions.tidy import tidy
from ..expressions.values import symbols_of
from .page.naming import resistances_of
from .so_far import SoFar
from .truth.meaning import UnknownName
from .truth.rounding import half_unit, lone
from .truth.size import TooLong
from .verdicts import ClaimKind, Truth, Verdict
from .working import CircuitChange, Claim, WrittenLine

OPENED = re.compile(
    r"\b(?:th[eé]v[eé]nin\w*|norton\w*|open\w*|seen|sees|remov\w+|without|taken? out|short\w*|equivalent|"
    r"[VUER]_?\{?(?:th|oc|0|i|n)\}?)\b",
    re.IGNORECASE,
)
NEAR = Fraction(1, 100)  # what rounding of a resistance may make of a current
_ALL = r"(?:t|tot|total|ges|gesamt|all|source|bat|batt|battery|supply)?"
_CURRENT, _POWER = re.compile(rf"I_?{_ALL}", re.IGNORECASE), re.compile(rf"P_?{_ALL}", re.IGNORECASE)
_SEEN = re.compile(r"R_?(?:tot|total|ges|gesamt|all)", re.IGNORECASE)


def of_the_battery(so_far: SoFar, line: WrittenLine, name: str, given: Expr) -> Expr | None:
    """What a name without meaning stands for by itself where it is given as what the one battery does, alone
    on the whole circuit; None where it is not."""
    circuit, battery = so_far.circuit, _only_battery(so_far)
    if not battery:
        return None
    branch = circuit.branch_of(battery)
    along = next(p.sign for p in branch.passes if p.element == battery)
    if _CURRENT.fullmatch(name) and isinstance(given, Quotient) and is_emf(so_far, given.above):
        return Symbol(branch.name) if along > 0 else negate(Symbol(branch.name))
    if (
        _POWER.fullmatch(name)
        and isinstance(given, Product)
        and any(is_emf(so_far, f) for f in given.factors)
    ):
        return Symbol(f"P({battery})")
    ways = seen_in_all(so_far)[:-1] if _SEEN.fullmatch(name) else ()
    return next((way for way in ways if _comes_to(so_far, way, given)), next(iter(ways), None))


def powers_asked(circuit: Circuit) -> list[Target]:
    """The powers that the problem asks for."""
    return [t for t in targets(circuit) if t.kind is Asked.POWER]


def power_asked(so_far: SoFar, name: str, claim: Claim) -> Expr | None:
    """The power that the problem asks for, where a bare P, or a P with the mark of its resistor (P3), is
    given what is that; None for anything else."""
    asked = powers_asked(so_far.circuit)
    if name != "P":
        asked = [t for t in asked if name in (f"P{t.names[0][1:]}", f"P{t.names[0]}")]
    if len(asked) != 1:
        return None
    try:
        so_far.truths.define(name, asked[0].name)
        found = so_far.truths.value_of(claim.written)
    except (UnknownName, TooLong, ZeroDivisionError):
        return None
    finally:
        so_far.truths.forget(name)
    return asked[0].name if found is not None and found.truth is not Truth.NO else None


def seen_in_all(so_far: SoFar) -> tuple[Expr, ...]:
    """What the only battery sees, with what it has inside and without that, and without all that its own
    branch holds; nothing where there are more or none."""
    circuit, battery = so_far.circuit, _only_battery(so_far)
    if not battery:
        return ()
    branch = circuit.branch_of(battery)
    along = next(p.sign for p in branch.passes if p.element == battery)
    current = so_far.truths.solution.currents[branch.name]
    if not current:
        return ()
    whole = circuit.value(battery) / current * along
    inside = circuit.internal_resistance(battery)
    outside = (whole - inside,) if circuit.elements[battery].internal is not None else ()
    ways = (whole, *outside, whole - circuit.resistance(branch.name))
    return tuple(tidy(r.at({}, circuit.field)) for r in ways)


def _comes_to(so_far: SoFar, way: Expr, given: Expr) -> bool:
    """Whether a resistance is what is given for it."""
    try:
        found = so_far.truths.value_of(Equation(way, given))
    except (UnknownName, TooLong, ZeroDivisionError):
        return False
    return found is not None and found.truth is not Truth.NO


def line_of_the_total(so_far: SoFar, claim: Claim) -> int:
    """The last line that came to what the only battery sees, where a claim tells the current of its branch;
    0 for any other claim."""
    circuit, left = so_far.circuit, claim.written.left
    told = (
        isinstance(left, Symbol) and left.name in circuit.currents and lone(claim.written.right) is not None
    )
    battery = _only_battery(so_far) if told and circuit.has_all_numbers else ""
    branch = circuit.branch_of(battery).name if battery else ""
    if not branch or left != Symbol(branch):
        return 0
    current = so_far.truths.solution.currents[branch].value(circuit.numbers)
    if not current:
        return 0
    seen = abs(circuit.value(battery).value(circuit.numbers) / current)
    near = (n for came, lines in so_far.came_to.items() for n in lines if _is_near(came, seen))
    return max(near, default=0)


def _is_near(came_to: Fraction, seen: Fraction) -> bool:
    """Whether a number is a resistance, in ohms or kilohms, as near as rounding leaves it."""
    return any(abs(came_to * scale - seen) <= seen * NEAR for scale in (1, 1000))


def unnamed_current(so_far: SoFar, line: WrittenLine, claim: Claim) -> Verdict | None:
    """The verdict on an emf over a resistance, without a name, that comes to amperes which nothing in the
    circuit of the only battery carries: `40/20 = 2 A`. None for anything else, and where it may be the
    current of a source that it is turned into, or what a wrong resistance above gives."""
    circuit, given, end = so_far.circuit, claim.written.left, lone(claim.written.right)
    battery = _only_battery(so_far)
    if not battery or end is None or of_unit(end.unit) != AMPERE or symbols_of(claim.written):
        return None
    if so_far.head_of(line, claim) != given:
        return None  # what the chain begins with says what it is
    if not isinstance(given, Quotient) or not is_emf(so_far, given.above) or not circuit.has_all_numbers:
        return None
    inside = circuit.resistance(circuit.branch_of(battery).name).value(circuit.numbers)
    below = so_far.truths.views[-1].meanings.ratio(given.below).constant()
    if below is None or not below or below in (inside, inside / 1000):
        return None
    rounded = NEAR + sum(half_unit(n) / abs(n.value) for n in numbers_in(given.below) if n.value)
    given_ = abs(circuit.value(battery).value(circuit.numbers) / below)
    sizes = [abs(current.value(circuit.numbers)) for current in so_far.truths.solution.currents.values()]
    if any(abs(given_ / scale - size) <= size * rounded for size in sizes for scale in (1, 1000)):
        return None
    if any(True for _ in so_far.wrong.without(claim.written)):
        return None
    said: Said = ("No current of this circuit has this size: say what it is.",)
    return Verdict(line.number, claim, ClaimKind.UNDECIDED, said)


def settings_meant(so_far: SoFar, claim: Claim) -> tuple[CircuitChange, ...]:
    """The circuits that a claim can be of: its own, else every one that the working speaks of, and where it
    speaks of points seen with something taken out, that without any one resistor."""
    if claim.setting:
        return (claim.setting,)
    spoken = dict.fromkeys(c.setting for each in so_far.working.lines for c in each.claims)
    if any(OPENED.search(each.text) for each in so_far.working.lines):
        own = [n for n in resistances_of(so_far.circuit) if n in so_far.circuit.elements]
        spoken.update(dict.fromkeys(CircuitChange(out=(name,)) for name in own))
    return tuple(dict.fromkeys((claim.setting, *spoken)))


def _only_battery(so_far: SoFar) -> str:
    """The battery that is the only source, where the working speaks of no other circuit; else empty."""
    sources = sources_in(so_far.circuit)
    if len(sources) != 1 or so_far.circuit.elements[sources[0]].kind is not Kind.BATTERY:
        return ""
    return "" if is_changed(so_far) else sources[0]


def is_changed(so_far: SoFar) -> bool:
    """Whether the working speaks of other circuits than that which is drawn."""
    return any(each.setting or OPENED.search(each.text) for each in so_far.working.lines)


def is_emf(so_far: SoFar, expr: Expr) -> bool:
    """Whether an expression is the emf of a battery, as a name or a number."""
    circuit = so_far.circuit
    batteries = [n for n in sources_in(circuit) if circuit.elements[n].kind is Kind.BATTERY]
    own = lone(expr)
    if own is not None:
        return own.value in {circuit.numbers[n] for n in batteries if n in circuit.numbers}
    return isinstance(expr, Symbol) and expr.name in batteries
