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
_OHMS = re.compile(r"(\d+(?:\.\d+)?)\s*(k?)(?:Ω|ohms?)", re.I)
_SCALED = re.compile(
    r"\b(?:re)?scal\w+|\bactual\w*|\breal(?:ly|ity)?\b|\btrue\b|\bin\s+fact\b|\bgiven\b|\bratio\b|\bfactor\b|"
    r"\bmultipl\w+|\btimes\s+(?:too|as)\b|\btoo\s+(?:big|large|small|high|low|much|little)\b|\bproportion\w*|"
    r"\blinear\w*|\bbut\b.{0,40}\b(?:source|battery|supply|emf|cell)\b|\bfor\s+real\b|\bwe\s+(?:only\s+)?have\b|\bbut\s+(?:in|the)\b",
    re.I,
)
OF_SOURCE = re.compile(
    r"[EVUeεvu]_?(?:s|src|source|in|tot|total|batt?|needed|req|required|supply|emf)|[Eε]"
)  # what the source is called that would be needed
_GIVEN = re.compile(rf"(?<![\w′'])({NAME.pattern})\s*(?:=|≈|(?:would\s+)?(?:have\s+to\s+|must\s+)?be\b|is\b)")
_FACTOR = re.compile(r"^\W*(?:(?:so|then|hence|therefore|thus|now)\b\W*)?([A-Za-zα-ω])\s*=\s*[^=]*[/÷∕]")


def supposed_in(text: str, names: NamesInUse) -> CircuitChange | None:
    """What a line supposes, in a circuit with one source; None where it supposes nothing of the kind."""
    if len(sources_in(names.circuit)) != 1:
        return None
    for pattern in (_NAMED, _THROUGH, _OF, _LATER):
        for match in pattern.finditer(text):
            found = _change(match, names)
            if found is not None:
                return found
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
        fits = [n for n in own if _is_worth(circuit, n, value)]
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
    return name if name.startswith("V(") else ""


def _is_worth(circuit: Circuit, name: str, value: Fraction) -> bool:
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
    (source,) = sources_in(names.circuit)
    name = name_of(written)
    return names.read(name.rstrip("′"))[0] == source or OF_SOURCE.fullmatch(name.rstrip("′")) is not None


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
