"""Which current or voltage a line supposes to be of a size of its own: "let 1 A flow in R5", "take I5 = 1 A".

A method of the trade for a circuit with one source: what the source would have to give is worked out from the
far end, and then everything is scaled. Knows the names of elements and currents; what the supposition comes
to is found out elsewhere.
"""

from __future__ import annotations

import re
from fractions import Fraction

from ...circuit.changed import sources_in
from ...circuit.circuit import Circuit
from ...circuit.elements import Kind
from ...expressions.tokens import NAME, scale_of
from ..working import CircuitChange
from .naming import NamesInUse, name_of

KILOHMS = 100  # ohms from which on a bare number is in milliamperes
_SUPPOSE = (
    r"\b(?:suppos(?:e|ing)|assum(?:e|ing|ption)|let|tak(?:e|ing)|say|guess(?:ing)?|pretend(?:ing)?|imagin(?:e|ing)|"
    r"try(?:ing)?(?:\s+with)?|test(?:ing)?(?:\s+with)?|"
    r"(?:start|begin)(?:ing)?\s+with|if|trial(?:\s+value)?|unit[- ]current)\b[\s:,]*"
)
_AMOUNT = r"(?P<amount>\d+(?:\.\d+)?)\s*(?P<unit>m?A|amperes?|amps?|milliamps?|m?V|volts?)?(?![\w./*·×+-])"
_IS = r"\s*(?:=|(?:to\s+)?be|is|was|were|as|of)\s*"
_IN = (
    r"(?:(?:flow(?:s|ing)?|run(?:s|ning)?|pass(?:es|ing)?|go(?:es|ing)?|of|current|voltage|drop|in|through|thro|"
    r"along|into|across|over|down|the|a|an|last|farthest|far|end|branch|resistor|with|resistance|there|that)\s+)+"
)
_THING = rf"(?P<thing>\d+(?:\.\d+)?\s*k?(?:Ω|ohms?)|{NAME.pattern})"
_THAT = r"(?:(?:that|there|is|are|the|a|current|of)\s+)*?"
_NAMED = re.compile(rf"{_SUPPOSE}{_THAT}(?P<thing>{NAME.pattern}){_IS}{_AMOUNT}", re.IGNORECASE)
_THROUGH = re.compile(rf"{_SUPPOSE}{_THAT}{_AMOUNT}\s+{_IN}{_THING}", re.IGNORECASE)
_OF = re.compile(rf"{_SUPPOSE}{_THAT}{_IN}{_THING}{_IS}{_AMOUNT}", re.IGNORECASE)
_LATER = re.compile(
    rf"{_SUPPOSE}[^=≈:.;]{{1,60}}\((?P<thing>{NAME.pattern})\s*=\s*{_AMOUNT}\s*\)", re.IGNORECASE
)
_TRIED = re.compile(
    rf"^\W*(?:(?:then|now|next|first|and|with|dann|jetzt)\W+)?(?P<thing>{NAME.pattern})\s*=\s*{_AMOUNT}\s*[:,;(→-]",
    re.I,
)
_OFF = re.compile(
    r"\b(?:too|zu|trop|demasiado|troppo)\s+(?:much|many|little|few|high|low|big|small|large|viel|wenig|gro(?:ß|ss)|klein|hoch|"
    r"niedrig|grande?|petit|fort|faible|alt[oa]|baj[oa]|poc[oa]|much[oa])\b|\bnot\s+enough\b|\bdoes(?:\s+not|n['’]t)\s+(?:fit|balance|add)\b",
    re.I,
)  # what is said of a value that was tried out
_OHMS = re.compile(r"(\d+(?:\.\d+)?)\s*(k?)(?:Ω|ohms?)", re.I)
_SCALED = re.compile(
    r"\b(?:re)?scal\w+|\bactual\w*|\breal(?:ly|ity)?\b|\btrue\b|\bin\s+fact\b|\bgiven\b|\bratio\b|\bfactor\b|"
    r"\bmultipl\w+|\btimes\s+(?:too|as)\b|\btoo\s+(?:big|large|small|high|low|much|little)\b|\bproportion\w*|"
    r"\blinear\w*|\bbut\b.{0,40}\b(?:source|battery|supply|emf|cell)\b|\bfor\s+real\b|\bwe\s+(?:only\s+)?have\b|\bbut\s+(?:in|the)\b",
    re.I,
)
_FOUND = re.compile(
    r"\binterpol\w+|\bin[- ]?between\b|\bstraight[- ]line\b|\blinear\w*|\breal(?:ly)?\b|\btrue\b|\bactual\w*|"
    r"\bfinal\w*|\bresults?\b|\banswers?\b|\bmust\s+be\b",
    re.I,
)
_GROUND = frozenset(("g", "gnd", "ground", "0", "o", "earth", "e", "ref"))
OF_SOURCE = re.compile(
    r"[EVUeεvu]_?(?:s|src|source|in|tot|total|batt?|needed|req|required|supply|emf)|[Eε]"
)  # what the source is called that would be needed
_GIVEN = re.compile(rf"(?<![\w′'])({NAME.pattern})\s*(?:=|≈|(?:would\s+)?(?:have\s+to\s+|must\s+)?be\b|is\b)")
_FACTOR = re.compile(r"^\W*(?:(?:so|then|hence|therefore|thus|now)\b\W*)?([A-Za-zα-ω])\s*=\s*[^=]*[/÷∕]")


def supposed_in(text: str, names: NamesInUse) -> tuple[CircuitChange, str] | None:
    """What a line supposes, and what it calls that; None where it supposes nothing of the kind. In a circuit
    with several sources it can be a voltage alone, which is tried out."""
    sources = len(sources_in(names.circuit))
    tried = (_TRIED,) if sources > 1 and _OFF.search(text) else ()
    for pattern in (_NAMED, _THROUGH, _OF, _LATER, *tried) if sources else ():
        for match in pattern.finditer(text):
            found = _change(match, names)
            if found is not None and (sources == 1 or found.taken.startswith("V(")):
                return found, match["thing"]
    return None


def _change(match: re.Match[str], names: NamesInUse) -> CircuitChange | None:
    circuit, unit = names.circuit, (match["unit"] or "").lower()
    volts = unit.endswith(("v", "volt", "volts"))
    taken = _quantity(match["thing"], names, volts=volts)
    if not taken or (unit and volts is not taken.startswith("V(")):
        return None
    worth = Fraction(match["amount"])
    milli = unit in ("ma", "milliamp", "milliamps", "mv")
    if milli or (not unit and not taken.startswith("V(") and _in_kilohms(circuit)):
        worth *= scale_of("mA")
    return CircuitChange(taken=taken, worth=worth) if worth else None


def _quantity(written: str, names: NamesInUse, *, volts: bool) -> str:
    """The current or the voltage that is spoken of, by its own name or by its element; empty for none."""
    circuit = names.circuit
    if ohms := _OHMS.fullmatch(written):
        value = Fraction(ohms[1]) * (1000 if ohms[2] else 1)
        own = [n for n in names.met if circuit.elements[n].kind is Kind.RESISTOR]
        fits = [n for n in own if is_worth(circuit, n, value)]
        name = fits[0] if len(fits) == 1 else ""
    else:
        name = names.read(name_of(written).rstrip("′"))[0]
    if name in circuit.currents:
        return name
    inside = re.fullmatch(r"V\((\w+)\)", name)
    name = inside[1] if inside else name
    if name in names.met and circuit.elements[name].kind is Kind.RESISTOR:
        branch = circuit.branch_of(name)
        if not volts and not inside:
            return branch.name
        return f"V({branch.start}, {branch.end})" if len(branch.passes) == 1 else ""
    return name if name.startswith("V(") else _potential(name, names)


def _potential(name: str, names: NamesInUse) -> str:
    """The voltage that a potential is, Va of the point a, or V where there are two junctions; empty where a
    name is that of none. A potential is counted against the other junction, else against the one called after
    the ground, else against that where most branches meet."""
    circuit, mark = names.circuit, name[1:].lstrip("_")
    point = names.point(mark) if mark else None
    ends = circuit.junctions
    if name[:1] not in "VvUuφ" or name in names.known or (mark and point is None):
        return ""
    if len(ends) == 2 and (point is None or point in ends):
        one = point or max(ends, key=lambda end: _pushed(circuit, end))
        return f"V({one}, {next(end for end in ends if end != one)})"
    if point is None:
        return ""
    others = [end for end in ends if end != point]
    ground = [end for end in others if end.casefold() in _GROUND]
    met = {end: sum((b.start == end) + (b.end == end) for b in circuit.branches) for end in others}
    against = ground[0] if ground else max(others, key=lambda end: met[end], default="")
    return f"V({point}, {against})" if against else ""


def _pushed(circuit: Circuit, point: str) -> int:
    """How many more sources drive towards a point than away from it."""
    found = 0
    for b in circuit.branches:
        way = (b.end == point) - (b.start == point)
        found += way * sum(p.sign for p in b.passes if circuit.elements[p.element].has_sign)
    return found


def is_worth(circuit: Circuit, name: str, value: Fraction) -> bool:
    """Whether the value of an element is this number."""
    ratio = circuit.value(name)
    held = ratio.held()
    return all(s in circuit.numbers for s in held) and ratio.value(circuit.numbers) == value


def _in_kilohms(circuit: Circuit) -> bool:
    own = [v for n, v in circuit.numbers.items() if circuit.role(n) is Kind.RESISTOR]
    return min(own, default=Fraction(0)) >= KILOHMS


def speaks_of_source(text: str, names: NamesInUse) -> bool:
    """Whether a line says what the source would have to give."""
    return any(_is_source(match[1], names) for match in _GIVEN.finditer(text))


def _is_source(written: str, names: NamesInUse) -> bool:
    sources = sources_in(names.circuit)
    name = name_of(written)
    if len(sources) != 1:
        return False
    return names.read(name.rstrip("′"))[0] == sources[0] or OF_SOURCE.fullmatch(name.rstrip("′")) is not None


def is_found(text: str, called: str) -> bool:
    """Whether a line goes back from what was tried out to the circuit as it is: by its words, or by giving
    what was tried (`called` so) a value that is no trial."""
    again = re.search(rf"(?<![\w′'(]){re.escape(called.strip())}\s*(?:=|≈|is\b)", text)
    return again is not None or _FOUND.search(text) is not None


def is_scaled(text: str, names: NamesInUse, *, needed: bool) -> bool:
    """Whether a line goes back from what was supposed to the circuit as it is: by its words, by a factor with
    a letter of its own or, where it was said what the source would have to give (`needed`), by the value of
    the source over another."""
    if _SCALED.search(text):
        return True
    factor = _FACTOR.match(text)
    if factor is not None and (factor[1] in names.declared or not names.readings(factor[1])):
        return True
    if not needed:
        return False
    (source,) = sources_in(names.circuit)
    ratio = names.circuit.value(source)
    if not all(s in names.circuit.numbers for s in ratio.held()):
        return False
    value = float(ratio.value(names.circuit.numbers))
    written = rf"(?<![\d.]){value:g}(?:\.0*)?\s*(?:V|A|mA)?\s*[)}}]?\s*[/÷]\s*[({{]?\s*\d"
    return re.search(written, text) is not None
