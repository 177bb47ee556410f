"""What a line tells of an element in words, put as an equation: `R3 carries x − z`, `the battery gives
x + y`, `current in the 3-ohm resistor = x − y`, `through R4: 4.5/12 = 0.375 A`, `R4: 4.5 V, 0.375 A`.

Words of this kind say no sense, so that the claim may be meant either way round. Common practice, no source.
"""

from __future__ import annotations

import re
from fractions import Fraction

from ...circuit.elements import Kind
from ...expressions.nodes import Equation, Symbol, negate
from ...expressions.parse import Unreadable, expression
from ...expressions.values import symbols_of
from ..working import Claim
from .assumptions_said import is_worth
from .mapped import Mapped
from .naming import NamesInUse, name_of, resistances_of, strung_together

_SOURCE = r"(?:battery|source|cell|supply|generator)"
_HAS = (
    r"(?:then\s+|now\s+|thus\s+|must\s+|will\s+)?"
    r"(?:carr(?:y|ies)|takes|gets|gives|supplies|delivers|provides)"
)
_TOLD = re.compile(
    rf"(?<![\w′'])(?:(?:the\s+)?{_SOURCE}|(?P<element>[^\W\d_]\w{{0,9}}))\s+{_HAS}\s+(?P<what>[^,;:=≈→<>]{{1,80}}?)"
    r"(?=\s{0,9}(?:$|[,;:]|\.\s|\.$|\b(?:and|while|so|since|because|then)\b))",
    re.IGNORECASE,
)
_RESULT = re.compile(  # I1: 1.66 A, and I3: 1.66 A − 0.57 A = 1.09 A
    r"(?:^|(?<=[,;]))(?P<lead>\s*(?:[-*•]\s+)?)(?P<name>[^\W\d_]\w{0,8})\s{0,3}:\s{0,6}"
    r"(?P<what>[-−–(\d.](?:[-\d.\s+−–·*×/()=≈~]|[mk]?(?:A|V|W|Ω|[Oo]hms?)\b)*?)(?=\s*(?:[,;]|$|\())"
)
_OF_RESISTOR = re.compile(  # R4: y + z
    r"(?:^|(?<=[,;]))(?P<lead>\s*)(?P<name>R\w{0,4})\s{0,3}:\s{0,6}(?P<what>[^\W\d_]\w{0,4}(?:\s*[-+−–]\s*[^\W\d_]\w{0,4}){1,3})"
    r"(?=\s*(?:[,;]|$))"
)
_NUMBERS = r"[-−–(\d.](?:[-\d.\s+−–·*×/^²()=≈~]|[mkµμ]?(?:A|V|W|Ω|[Oo]hms?)\b)*?"
_KIND = (
    r"(?:current|voltage|drop|power|heat|Strom|Spannung|Leistung|courant|tension|puissance|corriente|tensi[oó]n|"
    r"potencia|corrente|tensione|potenza)"
)
_OF = (
    r"(?:(?:drop|dissipated|lost|converted)\s+)?(?:through|in|across|over|of|at|by|durch|an|von|über|dans|de|"
    r"aux\s+bornes\s+de|en|por|di|su|attraverso)"
)
_OF_ELEMENT = re.compile(  # "the current in R4 is 4.5/12 = 0.375 A", and R4: 4.5 V, 0.375 A
    rf"(?:^|(?<=[,;.])|\b(?={_KIND}\s))(?P<lead>\s*(?:(?:[-*•]|so|and|then|thus|hence|with)\s+)?)"
    rf"(?:the\s+)?(?P<kind>{_KIND}\s+{_OF}\s+|through\s+|"
    rf"(?:for|in|at)\s+|)(?:the\s+)?(?P<name>[^\W\d_]\w{{0,8}})\s{{0,3}}(?P<sign>:|is(?:\s+then)?\b)\s{{0,6}}"
    r"(?:(?P<letter>[PpIiVvUu])\s{0,3}=\s{0,3}(?=[-−–(\d.]))?"
    rf"(?P<what>{_NUMBERS}(?:,\s{_NUMBERS})*)(?=\s*(?:[,;(]|$|\.\s|\.$|and\b|\band\b|so\b))",
    re.IGNORECASE,
)
_KINDS = {
    **dict.fromkeys(("current", "through", "strom", "courant", "corriente", "corrente"), "A"),
    **dict.fromkeys(("voltage", "drop", "spannung", "tension", "tensión", "tensione"), "V"),
    **dict.fromkeys(("power", "heat", "leistung", "puissance", "potencia", "potenza"), "W"),
}
_UNIT = re.compile(r"[\d)]\s?[mkµμ]?([AVW])$")
_HEAD = re.compile(r"[^=:]{0,60}?(?::|\bis\b)")
_AT_ELEMENT = re.compile(  # 5*3.2 = 16 V across R2
    r"(?P<lead>^|[,;:]\s)\s*(?P<numbers>[-−–(\d.](?:[-\d.\s+−–·*×/()^²=≈~]|[mk]?(?:A|V|W|Ω|[Oo]hms?)\b)*?\s?"
    r"[mk]?(?P<unit>[AVW]))\s+(?:across|through|over|in|at)\s+"
    r"(?:the\s+)?(?P<name>[^\W\d_]\w{0,8})(?=\s*(?:[,;]|\.?$))"
)
_PERCENT = re.compile(  # 40 % of I1, and where it goes: 40 % of I1 through R2
    r"(?<![\w.])(?P<number>\d{1,3}(?:\.\d{1,6})?)\s?%\s+(?:of|von|de)\s+(?:the\s+)?(?P<name>[^\W\d_]\w{0,8})(?![\w'′])"
    r"(?P<where>\s+(?:(?:goes|flows|passes|runs|is)\s+)?(?:through|in|into)\s+(?:the\s+)?(?P<element>[^\W\d_]\w{0,8}))?"
)
_PERCENT_OF = re.compile(  # 3.38 W = 8.2 % of the 41.1 W
    r"(?P<part>(?<![\w.])\d+(?:\.\d+)?\s?(?P<unit>[mk]?[AVW]))\s*(?:=|≈|,?\s*(?:that|which)\s+is|i\.e\.)\s*"
    r"(?P<number>\d{1,3}(?:\.\d{1,6})?)\s?%\s+(?:of|von|de)\s+(?:the\s+|den\s+)?(?P<whole>\d+(?:\.\d+)?\s?(?P=unit))(?!\w)"
)
_LISTED_BEFORE = re.compile(r"[^\W\d_]\w{0,4}\s*(?:,|\band|\bund)\s*$")
_SPELLED = re.compile(rf"\b{_HAS}\b", re.IGNORECASE)
_OF_SIZE = re.compile(
    r"(?P<lead>\b(?:current|voltage|drop|power)\s+(?:in|through|across|over|of)\s+)(?:the\s+)?"
    r"(?P<size>\d+(?:\.\d+)?)\s?[-–]?\s?(?P<kilo>k?)(?:Ω|ohms?)[-\s]{1,3}resistor\b",
    re.IGNORECASE,
)


def currents_told(line: Mapped, names: NamesInUse) -> Mapped:
    """The line with such words as equations, and a resistor that is called by its size by its name."""
    if "resistor" in line.text:
        line = line.replaced(_OF_SIZE, lambda match: _by_size(match, names))
    if "%" in line.text:
        line = line.replaced(_PERCENT, lambda match: _share(match, names))
        line = line.replaced(_PERCENT_OF, _hundredths_of)
    if ":" in line.text:
        line = line.replaced(_RESULT, lambda match: _result(match, names))
        line = line.replaced(_OF_RESISTOR, lambda match: _of_resistor(match, names))
    if ":" in line.text or " is " in line.text:
        line = line.replaced(_OF_ELEMENT, lambda match: _of_element(match, names))
    line = line.replaced(_AT_ELEMENT, lambda match: _at_element(match, names))
    return line.replaced(_TOLD, lambda match: _told(match, names)) if _SPELLED.search(line.text) else line


def with_either_sense(claim: Claim, text: str) -> Claim:
    """A claim that was told in such words, as it may be meant the other way round too."""
    own = text[claim.start : claim.end]
    written = claim.written
    if not (
        _SPELLED.search(own)
        or _OF_RESISTOR.match(own)
        or _is_headed(written, own)
        or _is_at_element(claim, text)
        or ((share := _PERCENT.match(own)) and share["where"])
    ):
        return claim
    other = Equation(written.left, negate(written.right), written.relation)
    return Claim(written, claim.start, claim.end, claim.case, (*claim.otherwise, other))


def _is_at_element(claim: Claim, text: str) -> bool:
    """Whether a claim was put together from numbers and words behind them that say of what they are."""
    found = any(m.start() <= claim.start < m.end() for m in _AT_ELEMENT.finditer(text))
    return found and isinstance(claim.written.left, Symbol)


def _result(match: re.Match[str], names: NamesInUse) -> str:
    """A current with a number behind a colon, or a resistance that is called after several resistors with an
    operation, as an equation; a label stays one."""
    name = name_of(match["name"])
    read = names.readings(name)
    is_current = len(read) == 1 and read[0] in names.circuit.currents
    made_one = len(strung_together(name, resistances_of(names.circuit))) > 1
    is_current = is_current or (made_one and "=" in match["what"])
    digit = any(sign.isdigit() for sign in match["what"])
    return f"{match['lead']}{match['name']} = {match['what']}" if is_current and digit else match[0]


def _share(match: re.Match[str], names: NamesInUse) -> str:
    """A share of a current in hundredths as a product, and as the current of an element where it is said to
    go through that."""
    if not names.readings(name_of(match["name"])):
        return match[0]
    share = f"{_hundredths(match['number'])} {match['name']}"
    if not match["where"]:
        return share
    element = names.element(name_of(match["element"])) or ""
    branch = names.circuit.branch_of(element).name if element in names.met else ""
    one_figure = len(match["number"].replace(".", "").lstrip("0")) < 2  # 7 % is no more than about that
    sign = "≈" if one_figure else "="
    return f"{branch} {sign} {share}" if branch else share + match["where"]


def _hundredths(number: str) -> str:
    """A number of hundredths as a decimal, to as many figures."""
    return f"{float(Fraction(number) / 100):.{len(number.partition('.')[2]) + 2}f}"


def _hundredths_of(match: re.Match[str]) -> str:
    """A number that is told to be so many hundredths of another, with their ratio."""
    return f"{match['part']}; {match['part']}/({match['whole']}) = {_hundredths(match['number'])}"


def _only_reading(written: str, names: NamesInUse) -> str:
    """What a name can only stand for; empty where it may be several things, or none."""
    read = names.readings(name_of(written))
    return read[0] if len(read) == 1 else ""


def _had(element: str, unit: str, names: NamesInUse) -> str:
    """What an element has that is told in a unit: its current, voltage or power."""
    if unit == "A":
        return names.circuit.branch_of(element).name
    return f"V({element})" if unit == "V" else f"P({element})"


def _at_element(match: re.Match[str], names: NamesInUse) -> str:
    """Numbers of which words behind them say that they are what an element has, by their unit."""
    element = _only_reading(match["name"], names)
    if element not in names.met or "=" not in match["numbers"]:
        return match[0]
    return f"{match['lead']}{_had(element, match['unit'], names)} = {match['numbers']}"


def _of_resistor(match: re.Match[str], names: NamesInUse) -> str:
    """What a resistor carries, told in letters of the working's own behind a colon."""
    element = _only_reading(match["name"], names)
    given = {*names.circuit.elements, *names.circuit.symbols}
    held = {name_of(n) for n in re.findall(r"[^\W\d_]\w*", match["what"])}
    if element not in names.met or held & given or not _is_current(match["what"], names):
        return match[0]
    return f"{match['lead']}{names.circuit.branch_of(element).name} = {match['what']}"


def _of_element(match: re.Match[str], names: NamesInUse) -> str:
    """What a resistor is told to have: a current, a voltage or a power, by the words or by the unit. A sum
    without a word for what it is may as well be a potential behind the resistor, and stays arithmetic."""
    element = _only_reading(match["name"], names)
    if element not in names.met or names.circuit.elements[element].kind is not Kind.RESISTOR:
        return match[0]
    kind = match["kind"].partition(" ")[0].lower()
    before = _LISTED_BEFORE.search(match.string[: match.start()])
    if not kind and before and _only_reading(before[0].split(",")[0].split()[0], names) in names.met:
        return match[0]  # V over R3, R4: 12.6 V
    if match["sign"] != ":" and kind not in _KINDS:
        return match[0]
    given = {*names.circuit.currents, *names.circuit.elements, *names.circuit.symbols}
    if match["letter"] and (kind not in _KINDS or match["letter"] in given):
        return match[0]
    told: list[str] = []
    for what in re.split(r",\s", match["what"].strip()):
        unit = _UNIT.search(what)
        bare = "/" in what and _KINDS.get(kind) == "A"
        meant = _KINDS.get(kind) or (unit[1] if unit else "")
        sums = re.search(r"[\w)]\s*[-+−–]", what) and meant == "V" and not kind
        if (not unit and not bare) or (unit and unit[1] != meant) or sums:
            return match[0]
        told.append(f"{_had(element, meant, names)} = {what}")
    return f"{match['lead']}{', '.join(told)}"


def _is_headed(written: Equation, own: str) -> bool:
    """Whether an equation was told as a number behind the name of a resistor, which says no sense."""
    head = _HEAD.match(own)
    left = written.left
    if head is None or not isinstance(left, Symbol) or left.name.startswith("P("):
        return False
    return left.name not in {name_of(word) for word in re.findall(r"[^\W\d_][\w()]*", head[0])}


def _told(match: re.Match[str], names: NamesInUse) -> str:
    circuit = names.circuit
    if match["element"] is None:
        sources = [n for n in names.met if circuit.elements[n].has_sign]
        element = sources[0] if len(sources) == 1 else ""
    else:
        element = _only_reading(match["element"], names)
    if element not in names.met or not _is_current(match["what"], names):
        return match[0]
    return f"{circuit.branch_of(element).name} = {match['what']}"


def _is_current(written: str, names: NamesInUse) -> bool:
    """Whether it is a formula in names that are in use, or a number with its unit."""
    try:
        tree = expression(written, names.split, freely=True)
    except Unreadable:
        return False
    held = symbols_of(tree)
    return all(n in names.split for n in held) and (bool(held) or written.rstrip().endswith(("A", "amps")))


def _by_size(match: re.Match[str], names: NamesInUse) -> str:
    """The words with the name of the one resistor of that size; as they are where there are more, or none."""
    circuit = names.circuit
    size = Fraction(match["size"]) * (1000 if match["kilo"] else 1)
    own = [n for n in sorted(names.met) if circuit.elements[n].kind is Kind.RESISTOR]
    fits = [n for n in own if is_worth(circuit, n, size)]
    return f"{match['lead']}{fits[0]}" if len(fits) == 1 else match[0]
