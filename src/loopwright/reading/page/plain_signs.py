"""A line put into plain signs before it is read: words that stand for signs, and units as they are slipped.

Words: `R3 goes to infinity`, `if R3 is very large`, `I(R3)`. Units: `4.7k` for 4.7 kΩ, `5 Kohm`, `12v`,
`6 V/A`. Only where there is one plausible reading, which is said; all else that is said in words stays prose
or becomes a trouble. Common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from fractions import Fraction

from ...circuit.elements import Kind
from .assumptions_said import KILOHMS
from .mapped import Mapped
from .naming import NamesInUse, name_of, resistances_of, strung_together

LONG_WORD = 5  # letters
_NAME = r"[^\W\d_][\w{}]{0,20}['′]{0,2}"
_END = r"(?P<infinite>infinity|infinite|oo\b|∞)|(?P<zero>zero|nothing|0(?![\d.]))"
_GOES = re.compile(
    rf"(?P<name>{_NAME})\s{{1,4}}(?:goes|go|going|tends|tend|tending|approaches|approach|approaching|grows)\s{{1,4}}"
    rf"(?:(?:on|up|down)\s{{1,4}})?(?:to(?:wards)?\s{{1,4}})?(?:{_END})"
)
_BECOMES = re.compile(
    rf"(?P<name>{_NAME})\s{{1,4}}(?:is|are|be|becomes?|gets?|were|was|being)\s{{1,4}}(?:made\s{{1,4}}|taken\s{{1,4}})?"
    r"(?:(?:very|infinitely|extremely|much\s{1,4}too|an?)\s{1,4})?"
    r"(?:(?P<infinite>large|big|high|great|huge|infinite|open(?:\s{1,4}circuit)?|removed|disconnected|cut|broken)"
    r"|(?P<zero>small|tiny|zero|negligible|short(?:ed|[\s-]{1,4}circuit(?:ed)?)?|0(?![\d.])))\b"
)
_CASE = re.compile(
    r"\b(?:as|when|if|for|let|whenever|taking|once|where|limit|suppose)\s{1,9}$", re.IGNORECASE
)
_THROUGH = re.compile(
    r"(?<![\w])(?:I\s?\(\s{0,3}(\w{1,20})\s{0,3}\)|I_(?:\{(\w{1,20})\}|([^\W_]{1,20})))(?!\w)"
)
_POTENTIAL = re.compile(r"(?<![\w])[VvUu]\s?\(\s{0,3}(\w{1,20})\s{0,3}\)")
_SIDE = re.compile(
    r"\b(?:[LR]\.?H\.?S\b\.?|(?:left|right)(?:[\s-]{1,3}hand)?\s{1,3}side)\s{0,9}(?:[=:]|is)|[=≈]\s{0,9}[LR]\.?H\.?S\b\.?",
    re.IGNORECASE,
)
_TIMES = re.compile(r"(?<=[0-9²³])\s{0,3}[xX]\s{0,3}(?=\.?[0-9])")
_TIMES_APART = re.compile(r"(?<=[0-9)²³])\s{1,3}[xX]\s{1,3}(?=[(\s]{0,6}[-−–]?\s{0,3}\.?[0-9])")
_TIMES_BEHIND_UNIT = re.compile(  # 6.128 mA x 2.78k
    r"(?P<amount>[0-9]\s?(?:[mkM]?(?:A|V|W|Ω|[Oo]hms?)|k))\s{1,3}[xX]\s{1,3}(?=\(?\.?[0-9])"
)
_HALVES = {"½": "(1/2)", "⅓": "(1/3)", "⅔": "(2/3)", "¼": "(1/4)", "¾": "(3/4)"}
_HALF = re.compile(r"(?<![0-9])[½⅓⅔¼¾]")
_AND_A_HALF = re.compile(r"(?<![0-9.,])(\d{1,6})\s?([½⅓⅔¼¾])(\s?(?=[mkM]?(?:V|A|W|Ω|[Oo]hms?)(?!\w)))?")
_MIXED = re.compile(
    r"(?<=[=≈+\-−(,])(\s{0,3})(\d{1,4})\s(\d{1,2})/(\d{1,2})(?=\s?(?:m|k|M)?(?:A|V|W|Ω|[Oo]hms?)(?!\w)|\s{0,3}(?:$|[,;)=≈]))"
)
_SIEMENS = re.compile(r"(?<![\w.])(\d+(?:\.\d+)?)\s?(m?)(?:S|mho|[Ss]iemens)(?![\w′'_(])")
_OVER_OHMS = re.compile(
    r"(?<=\d)(\s?)(?:1\s?/\s?|/\s?)(k?)(?:Ω|[Oo]hms?)(?![\w^²])|(?<=\d)(\s)(k?)(?:Ω|[Oo]hms?)\^?(?:-1|⁻¹|\(-1\))"
)
_SHARE = re.compile(
    r"(?P<ratio>[^=:;,]*/[^=:;,]*=\s*)(?P<number>\d{1,3}(?:\.\d{1,6})?)\s?%(?!\s*(?:of|von|de|du|del)\b)"
)
# what a result is, behind it: 9.1 V = the voltage wanted
_IN_WORDS = re.compile(r"(?<=[\dAVWΩ])\s*=\s*(?P<words>(?:[^\W\d_]{2,}\s+){1,8}[^\W\d_]{2,})\s*\.?\s*$")
_STEP = re.compile(
    r"(?<=[\w)\]}.′'])\s{0,9}\|\s{0,3}(?:[:·⋅×*/÷+\-−–]|[xX](?=\s?[0-9]))\s{0,3}[^|=≈]{1,40}$"
    r"|(?<=[\w)\]}.′'])\s{1,9}\|\s{1,3}[a-z]{2,12}(?:\s[a-z]{2,12}){0,4}\.?\s*$"  # | put in
)
_STEP_IN_BRACKETS = re.compile(
    r"[(\[]\s{0,3}(?:[:·⋅×*/÷]|([xX]))\s{0,3}([0-9]+(?:[.,/][0-9]+)?)\s{0,3}[)\]](?=\s{0,9}(?:$|[-−–=]*>|[→⇒⟹:;,]))"
)
_STEP_BEHIND_ARROW = re.compile(  # 8 = Vp/2 + Vq/3 -> *6: 48 = 3 Vp + 2 Vq
    r"(-{1,3}>|→|⇒|=>|⟹)\s{0,3}[:·⋅×*/÷]\s?[0-9]+(?:[.,][0-9]+)?\s{0,3}:?(?=\s)"
)
_MORE_EXACTLY = re.compile(  # 22.0 mA (21.94)
    r"(?<![\w.])(?P<rounded>\d+(?:\.\d+)?)\s?[mk]?(?:V|A|W|Ω|[Oo]hms?)(?P<bracket>\s{0,3}\([-−–]?(?P<more>\d+(?:\.\d+)?)"
    r"(?:\s?[mk]?(?:V|A|W|Ω|[Oo]hms?))?\))(?=\s{0,9}(?:$|[,;.]))"
)
_AT_POINT = re.compile(
    r"(?<=[\w)\]′])\s{1,3}\((?P<point>\w{1,9})\)(?=\s{0,3}(?:[;,]|$))"
)  # I1 = I2 + I4 (a);
_AND_THAT = re.compile(rf"\s&\s(?={_NAME}\s?[=≈])")  # I4 = I1 - I2 & I5 = I2 + I3
_PART_OF = re.compile(r"(?<![\w./])(?P<part>\d{1,3}/\d{1,3})\s+of\s+(?=\d)")  # 3/9 of 12 V
_BESIDE_IT = re.compile(  # 4*4.5/8.5 = 2.1; || R4 = 6*2.1/8.1 = 1.6
    rf"(?P<lead>^\s{{0,9}}|[;,]\s{{1,9}})(?:\|\||//|∥)\s?(?P<name>{_NAME})\s?[=≈]\s?(?=[\d(][^=≈;,]{{1,80}}[=≈])"
)
_TOLD_BEFORE = re.compile(  # R2 6*2 = 12
    rf"(?P<before>(?:^|[,;:])\s{{0,9}})(?P<name>{_NAME})\s{{1,3}}(?=\d[\d.]{{0,12}}\s?[*·×⋅/]\s?\d[^,;:=≈]{{0,40}}[=≈])"
)
_LONG_DASH = re.compile(r"(?<=\s)-{2,3}(?=\s)")
_ACROSS = re.compile(
    r"(?:\bthe\s{1,3})?\b(?:[Vv]oltage(?:\s{1,3}drop)?|[Dd]rop|[Pp]otential\s{1,3}difference|p\.?d\.?|"
    r"(?<!\d)(?<!\d\s)[VU])\s{1,3}(?:across|over|of|on|at)\s{1,3}(?:the\s{1,3})?(\w{1,20})(?=\s{0,3}(?:[=≈]|is\b))"
)

_SCALE = re.compile(
    r"\b(?:(?:the\s{1,3})?scal(?:e|ing)\s{1,3}(?:factor|ratio)|(?:the\s{1,3})?(?:factor|ratio|multiplier))(?=\s{0,3}[=≈])",
    re.IGNORECASE,
)
_DIVIDED = re.compile(  # 24 V : 5.1 Ω, as it is taught where a colon divides
    r"(?<==)([^=:;,]{1,80}[\w)Ω]\s{1,3}):(?=\s{1,3}\(?[\d.]+\s?(?:[mkM]?(?:A|V|W|Ω|[Oo]hms?))?\)?\s{0,9}[=≈])"
)
_WOULD_BE = re.compile(  # what a source would have to give
    rf"(?<!\bin )(?P<name>(?<![\w′']){_NAME})\s{{1,3}}"
    r"(?:would|must|should|will|has\s+to|had\s+to|needs\s+to)\s{1,3}(?:have\s{1,3}to\s{1,3})?be\s{1,3}(?=[-−(]?\s?\d)"
)
_NORTON = re.compile(  # a name, though it is a word too
    r"(?<![\w])IN(?=\s{0,9}[=≈])|(?:(?<=[=≈·*+/(])|(?<=[=≈·*+/(]\s))IN(?!\w)"
)
_LISTED = re.compile(
    rf"(?P<names>{_NAME}(?:\s{{0,3}}(?:,|&|\+|\band\b|\bwith\b)\s{{0,3}}{_NAME}){{1,3}})\s{{0,3}}"
    r"(?P<sign>-{1,3}>|→|⇒|=>|[=≈])(?=\s{0,3}[\d(])"
)
_AMID_A_SIDE = tuple("=≈+-−–*·×⋅/÷)]0123456789")  # what stands before goes on with what comes
_LAST_WORD = re.compile(r"[^\W\d_][\w{}]{0,20}['′]{0,2}$")
_AFTER_DIGIT = r"(?<=[0-9])"
_UNIT_END = r"(?![\w′'_(])"
_NAME_BEFORE = re.compile(r"(?:(?<![0-9.])[^\W\d_]|(?<=[0-9.])[^\W\d_eE])_?\{?[0-9]+$")  # R1 before k is R1k
_BELOW_IN_THOUSANDS = re.compile(
    rf"(?<=/)(\s?)(\d+(?:\.\d+)?)[kK]{_UNIT_END}"
)  # 10/5k: the k goes with the 5
_JOULES = re.compile(rf"{_AFTER_DIGIT}\s?J\s?/\s?s(?:ec)?{_UNIT_END}")
_UNIT_SLIPS = (  # pattern, what is meant, the letter that must not be a name in use
    (re.compile(rf"{_AFTER_DIGIT}\s?[kK]{_UNIT_END}"), " kΩ", "kK"),
    (re.compile(rf"{_AFTER_DIGIT}\s?K(?=(?:Ω|[Oo]hms?|V|A|W)\b)"), " k", ""),
    (re.compile(rf"{_AFTER_DIGIT}M{_UNIT_END}"), " MΩ", "M"),
    (re.compile(rf"{_AFTER_DIGIT}\s?V\s?/\s?A{_UNIT_END}"), " Ω", "V"),
    (re.compile(rf"{_AFTER_DIGIT}\s?V\s?/\s?(?:Ω|[Oo]hms?){_UNIT_END}"), " A", "V"),
    (re.compile(rf"{_AFTER_DIGIT}\s?A\s?[·*⋅ ]?\s?(?:Ω|[Oo]hms?){_UNIT_END}"), " V", "A"),
    (re.compile(rf"{_AFTER_DIGIT}v{_UNIT_END}"), " V", "v"),
    (re.compile(rf"{_AFTER_DIGIT}a{_UNIT_END}"), " A", "a"),
    (re.compile(rf"{_AFTER_DIGIT}w{_UNIT_END}"), " W", "w"),
)

_BARE_MILLI = re.compile(rf"{_AFTER_DIGIT}\s?m{_UNIT_END}")
_NUMBER_BEFORE = re.compile(r"[-−–]?\s?(?<![\w.])\d[\d.]{0,12}$")
_GIVES = re.compile(
    r"(?<![\w(])([IiUuVvP])\w*(?:\([^()=]{1,9}\))?\s{0,3}[=≈]"
)  # a name with a side to itself
_THOUSANDTHS = {"I": "mA", "U": "mV", "V": "mV", "P": "mW"}

_SO_BEHIND = re.compile(  # in series with R3 -> 8 + 4 = 12
    rf"(?P<before>\b(?:with|beside|and|plus|to|of)\s{{1,3}}(?:the\s{{1,3}})?)(?P<name>{_NAME})\s{{0,3}}"
    r"(?:-{1,3}>|→|⇒|=>)(?=\s{0,3}[\d(])(?!\s{0,3}0\s{0,3}(?:[,;:.]|$))"
)

_THAT_IS = re.compile(r"(?<![\w.])(?:i\.\s?e\.|e\.\s?g\.|d\.\s?h\.|z\.\s?B\.)[,:]?")
_OF_MOST = re.compile(  # Pmax(R4) =
    rf"(?<![\w])(P_?\{{?max\}}?)\s?\({_NAME}\)(?=\s{{0,9}}[=≈])", re.IGNORECASE
)
_HYPHENED = re.compile(r"(?<![\w-])([a-z]{3,20})-([a-z]{3,20})(?![\w-])")  # the open-circuit voltage
_ARM = re.compile(r"(?<![\w)])\w{1,3}[-–](?:arm|branch|leg|side|path|window|mesh|loop)\b(?=\s)", re.I)


def with_halves(line: Mapped) -> Mapped:
    """The line with `½` as (1/2) and `4½` as (9/2)."""
    if not any(half in line.text for half in _HALVES):
        return line
    line = line.replaced(_AND_A_HALF, _and_a_half)
    return line.replaced(_HALF, lambda match: _HALVES[match[0]])


_OHMS = r"\d+(?:\.\d+)?\s?k?(?:[Oo]hms?|Ω)"
_BY_IT = (
    r"(?:,|&|\band\b|\bbehind\b|\bbeside\b|\bacross\b|\bwith\b|(?:\bin\s+)?\b(?:series|parallel)(?:\s+(?:with|to))?\b|"
    r"\|\||//|∥|\+)"
)
_TURNED = re.compile(  # a source and its resistance, turned into one of the other kind
    rf"(?<![\w.])(?P<source>-?\d+(?:\.\d+)?\s?m?(?P<kind>[VA]))\s*{_BY_IT}\s*(?P<ohms>{_OHMS})"
    r"(?:\s+\((?P<made>\d+(?:\.\d+)?(?:\s?\+\s?\d+(?:\.\d+)?)+)\))?(?:\s+(?:in\s+)?(?:series|parallel|across|beside))?"
    r"\s*(?P<sign>=|≈|->|→|\bgives|\bis|\bbecomes)\s*(?P<other>-?\d+(?:\.\d+)?\s?m?(?!(?P=kind))[VA])"
    rf"(?:\s*(?:\|\||//|∥|\+)\s*(?P=ohms)|(?=\s+(?:current\s+|voltage\s+)?source\b|\s*{_BY_IT}\s*(?P=ohms)))"
)
_ON_BESIDE = re.compile(  # 4.2 + 3.5 = 7.7, || 11 = 4.53
    r"(?P<last>(?<![\w.])\d+(?:\.\d+)?)(?P<unit>\s?(?:k?(?:Ω|[Oo]hms?)|k)?)(?P<apart>\s{0,3}[,;]\s{0,3}(?:(?:and|then)\s+)?)"
    r"(?P<beside>\|\||//|∥)(?=\s?[\d(])"
)


def _turned(match: re.Match[str]) -> str:
    """`18 V, 3 ohm = 6 A source` as 18 V/(3 ohm) = 6 A, `6 A, 3 ohm = 18 V source` as 6 A·(3 ohm) = 18 V."""
    sign = "/" if match["kind"] == "V" else "·"
    made = f"; {match['made']} = {match['ohms']}" if match["made"] else ""
    return f"{match['source']}{sign}({match['ohms']}) = {match['other']}{made}"


def in_signs(line: Mapped, names: NamesInUse) -> tuple[Mapped, tuple[str, ...]]:
    """The line with such words as signs, every sign still at its place, and notes on names read so."""
    text = line.text
    notes: dict[str, None] = {}
    if "|" in text:
        line = line.replaced(_STEP, lambda _: " ")
    if "--" in text:
        line = line.replaced(_LONG_DASH, lambda _: "–")
    if "." in text:
        line = line.replaced(_THAT_IS, lambda _: " ; ")
    if "-" in text:
        line = line.replaced(_HYPHENED, lambda match: _hyphened(match, names))
    if "max" in text:
        line = line.replaced(_OF_MOST, lambda match: match[1])
    line = line.replaced(_STEP_BEHIND_ARROW, lambda _: "⇒ ")
    line = line.replaced(_STEP_IN_BRACKETS, lambda match: _step(match, names))
    line = line.replaced(_AT_POINT, lambda match: _at_point(match, names))
    if "&" in text:
        line = line.replaced(_AND_THAT, lambda _: " ; ")
    line = line.replaced(_PART_OF, lambda match: f"({match['part']})·")
    line = line.replaced(_BESIDE_IT, lambda match: match["lead"])
    line = line.replaced(_MORE_EXACTLY, _more_exactly)
    line = line.replaced(_TOLD_BEFORE, lambda match: _told_before(match, names))
    line = line.replaced(_ARM, lambda match: " " * len(match[0]))
    line = line.replaced(_ACROSS, lambda match: _across(match, names))
    line = line.replaced(_MIXED, _mixed)
    if " : " in text:
        line = line.replaced(_DIVIDED, lambda match: f"{match[1]}/")
    if "IN" in text:
        line = line.replaced(_NORTON, lambda _: "I_N")
    if "hm" in text or "Ω" in text:
        line = line.replaced(_TURNED, _turned)
    line = line.replaced(
        _ON_BESIDE, lambda m: f"{m[0].removesuffix(m['beside'])}{m['last']}{m['unit']}{m['beside']}"
    )
    line = line.replaced(_WOULD_BE, lambda match: _would_be(match, names))
    line = line.replaced(_LISTED, lambda match: _listed(match, names))
    line = line.replaced(_SO_BEHIND, lambda match: _so_behind(match, names))
    line = line.replaced(_SHARE, _as_share)
    line = line.replaced(_IN_WORDS, lambda match: match[0] if _has_names(match["words"], names) else "")
    if "S" not in names.known:
        line = line.replaced(_OVER_OHMS, lambda match: " mS" if match[2] or match[4] else " S")
        line = line.replaced(_SIEMENS, lambda match: _siemens(match, names))
    if "k" not in names.known:
        line = line.replaced(_SCALE, lambda _: "k")
    line = with_halves(line)
    if "x" in text or "X" in text:
        line = line.replaced(_TIMES, lambda match: _times(match, names))
        if not {"x", "X"} & names.known:
            line = line.replaced(_TIMES_APART, lambda _: " × ")
            line = line.replaced(_TIMES_BEHIND_UNIT, lambda match: f"{match['amount']} × ")
    if "V" not in names.known and "(" in text:
        line = line.replaced(_POTENTIAL, lambda match: _potential(match, names))
    if "I(" in text or "I (" in text or "I_" in text:
        line = line.replaced(_THROUGH, lambda match: _current(match, names, notes))
    if "s" in text.lower():
        line = line.replaced(_SIDE, lambda _: " ")
    line = line.replaced(_GOES, lambda match: _limit(match, names, case=True))
    return line.replaced(_BECOMES, lambda match: _limit(match, names, case=False)), tuple(notes)


def _at_point(match: re.Match[str], names: NamesInUse) -> str:
    """Spaces for the point in brackets of which an equation is, where its letters name nothing else."""
    point = match["point"]
    known = names.point(point) in names.circuit.named_points and not names.readings(name_of(point))
    return " " * len(match[0]) if known and not point.isdigit() else match[0]


def _more_exactly(match: re.Match[str]) -> str:
    """A number with its unit without the same one in brackets behind it, with more figures."""
    rounded, more = Fraction(match["rounded"]), Fraction(match["more"])
    decimals = len(match["rounded"].partition(".")[2])
    same = abs(rounded - more) <= Fraction(1, 10**decimals)
    return match[0][: match.start("bracket") - match.start()] if same else match[0]


def _told_before(match: re.Match[str], names: NamesInUse) -> str:
    """An element and what is worked out for it, `R2 6·2 = 12`, as `R2: 6·2 = 12`."""
    is_element = names.element(match["name"]) in names.met
    return f"{match['before']}{match['name']}: " if is_element else match[0]


def _and_a_half(match: re.Match[str]) -> str:
    """`4½` as (9/2), and as 9/2 before a unit."""
    above, _, below = _HALVES[match[2]].strip("()").partition("/")
    whole = f"{int(match[1]) * int(below) + int(above)}/{below}"
    return f"{whole} " if match[3] is not None else f"({whole})"


def _has_names(words: str, names: NamesInUse) -> bool:
    """Whether one of some words may be the name of a quantity, or none is long enough to be more."""
    return any(map(names.readings, words.split())) or max(map(len, words.split())) < LONG_WORD


def _as_share(match: re.Match[str]) -> str:
    """A ratio that is given in hundredths, with the number that it is: 35.17/36 = 97.7 %."""
    places = len(match["number"].partition(".")[2]) + 2
    return f"{match['ratio']}{float(Fraction(match['number']) / 100):.{places}f}"


def _siemens(match: re.Match[str], names: NamesInUse) -> str:
    """A conductance as one over ohms: in a circuit of ohms the bare number, from `167 mS` 0.167, and with the
    unit in one of kilohms, where bare numbers may be read in these."""
    worth = [names.circuit.numbers.get(n, Fraction(0)) for n in resistances_of(names.circuit)]
    if max(worth, default=Fraction(0)) >= KILOHMS:
        return f"{match[1]}/(1 {'k' if match[2] else ''}Ω)"
    if not match[2]:
        return match[1]
    digits = match[1].replace(".", "")
    places = len(match[1].partition(".")[2]) + 3
    padded = digits.rjust(places + 1, "0")
    return f"{padded[:-places]}.{padded[-places:]}"


def _mixed(match: re.Match[str]) -> str:
    """`2 1/4 A` as 9/4 A; no change where the fraction is none below one."""
    whole, above, below = int(match[2]), int(match[3]), int(match[4])
    return f"{match[1]}{whole * below + above}/{below}" if above < below else match[0]


def _step(match: re.Match[str], names: NamesInUse) -> str:
    """Nothing for what a bracket says is done to the line before it, `(x4)`; what may be a factor stays."""
    named = match[1] and {f"{match[1]}{match[2]}", match[1]} & names.known
    return match[0] if named else " "


def _across(match: re.Match[str], names: NamesInUse) -> str:
    """The voltage across an element that is said in words, as V(R1)."""
    name = name_of(match[1])
    element = names.readings(name)[0] if len(names.readings(name)) == 1 else name
    return f"V({element}) " if f"V({element})" in names.known else match[0]


def _hyphened(match: re.Match[str], names: NamesInUse) -> str:
    """Two words for one with a hyphen, where neither is a name."""
    own = any(names.readings(name_of(word)) or names.point(word) for word in match.groups())
    return match[0] if own else f"{match[1]} {match[2]}"


def _would_be(match: re.Match[str], names: NamesInUse) -> str:
    """`E = 33.75 V` for `E would be 33.75 V`."""
    return f"{match['name']} = " if names.readings(name_of(match["name"])) else match[0]


def _listed(match: re.Match[str], names: NamesInUse) -> str:
    """Spaces for elements of two kinds that are made something together, `E1, R1 → 18/3 = 6 A`: none of them
    is that by itself. Not for the last terms of a side, `0 = E1 - I3 R3 + E2 ⇒ 4 I1 = 8`."""
    before = match.string[: match.start()].rstrip()
    factor = _LAST_WORD.search(before)
    if before.endswith(_AMID_A_SIDE) or (factor and names.readings(name_of(factor[0]))):
        return match[0]
    words = re.split(r"\s*(?:,|&|\+|\band\b|\bwith\b)\s*", match["names"])
    found = [names.read(name_of(word))[0] for word in words]
    elements = [names.circuit.elements[n].kind for n in found if n in names.met]
    if len(elements) < len(words) or len(set(elements)) < 2:
        return match[0]
    joined = match["sign"] not in "=≈" or re.search(r"\b(?:and|with)\b", match["names"])
    return " " * len(match[0]) if joined else match[0]


def _so_behind(match: re.Match[str], names: NamesInUse) -> str:
    """Spaces for the end of a clause about a resistor, and the arrow that says what comes of it."""
    name = names.read(name_of(match["name"]))[0]
    element = names.circuit.elements.get(name)
    is_resistor = element is not None and element.kind is Kind.RESISTOR
    made_one = len(strung_together(name, resistances_of(names.circuit))) > 1
    return " " * len(match[0]) if is_resistor or made_one else match[0]


def _times(match: re.Match[str], names: NamesInUse) -> str:
    """The sign for an x between numbers, where it does not begin a name: `2 x 3`, but `15 x1`."""
    digits = re.match(r"\d+", match.string[match.end() :])
    own = f"{match[0].strip()}{digits[0] if digits else ''}"
    return match[0] if own in names.known else "×"


def _current(match: re.Match[str], names: NamesInUse, notes: dict[str, None]) -> str:
    """The current through an element, where it is not a product with a current I."""
    said = name_of(match[1] or match[2] or match[3])
    element = names.element(said) if said in names.known else said
    if element not in names.met or (match[1] and names.readings("I")):
        return match[0]
    if name_of(match[0].strip()) in names.declared:
        return match[0]  # the working says itself which way it runs
    current = names.circuit.branch_of(element).name
    if current == name_of(match[0]):
        return match[0]
    notes[f"I_{said} is read as {current}"] = None
    joined = match.string[match.end() : match.end() + 1].isalnum()
    return f"{current} " if joined else current  # two spaces would part two claims


def _potential(match: re.Match[str], names: NamesInUse) -> str:
    """`V(a)`, the potential of a point, as the name it has: Va."""
    point = names.point(match[1])
    return f"V_{{{point}}}" if point in names.places else match[0]


def _limit(match: re.Match[str], names: NamesInUse, *, case: bool) -> str:
    """`R3 → ∞` for the words; the words themselves when they are about something else."""
    name = match["name"]
    found = names.readings(name_of(name))
    is_case = case or _CASE.search(match.string[max(0, match.start() - 20) : match.start()])
    if not found or not (is_case or match["infinite"] in ("removed", "infinite")):
        return match[0]
    if not case and found[0] in names.circuit.currents:
        return match[0]
    return f"{name} → {'∞' if match['infinite'] else '0'}"


def with_units_mended(line: Mapped, known: Collection[str]) -> tuple[Mapped, tuple[str, ...]]:
    """The line with its units as they are meant, and a note for each that was written otherwise."""
    notes: list[str] = []
    if "k" not in known and "K" not in known:
        line = line.replaced(_BELOW_IN_THOUSANDS, lambda match: f"{match[1]}({match[2]}k)")
    if "J" in line.text:
        line = line.replaced(_JOULES, lambda _: " W")
    for pattern, meant, letters in _UNIT_SLIPS:
        if any(letter in known for letter in letters):
            continue

        def mended(match: re.Match[str], meant: str = meant) -> str:
            if _NAME_BEFORE.search(match.string[: match.start()]):
                return match[0]
            notes.append(f'"{match[0].strip()}" after a number is read as{meant}')
            return meant

        line = line.replaced(pattern, mended)
    if "m" not in known:
        line = line.replaced(_BARE_MILLI, lambda match: _milli(match, notes))
    return line, tuple(dict.fromkeys(notes))


def _milli(match: re.Match[str], notes: list[str]) -> str:
    """The unit of which a bare m behind a number says a thousandth: of a result that of its name,
    `P1 = 7.02m`; of a number put in that of a current, `10k·(0.838m)²`."""
    text = match.string
    number = _NUMBER_BEFORE.search(text, 0, match.start())
    before = text[: number.start()].rstrip() if number else ""
    is_result = before.endswith(("=", "≈")) and not re.match(r"\s{0,9}[+\-−–*·×/)\w(^²]", text[match.end() :])
    unit = "mA"
    if is_result:
        given = [found[1].upper() for found in _GIVES.finditer(before)]
        unit = _THOUSANDTHS[given[-1]] if given else ""
    if not unit or number is None:
        return match[0]
    notes.append(f'"m" after a number is read as {unit}')
    return f" {unit}"
