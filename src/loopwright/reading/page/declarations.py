"""What a working declares before its claims count: its arrows, and the names that it uses.

Arrows: `Ib: rail -> bus through E2`, `let Ib flow from rail to bus`. Names: those of the arrows, letters of
the working's own, and spellings that cannot be slips because both stand side by side (`I1 = i1`,
`V1 = E1 − I1 r`). Knows the names of the circuit's points and elements; whether such a branch exists is
found out elsewhere.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Sequence
from fractions import Fraction

from ...circuit.circuit import Circuit
from ...expressions.tokens import NAME, parts_of
from ...quantities import read_unit
from ..working import ArrowSaid, Trouble
from .arrows_listed import arrows_listed
from .assumptions_said import KILOHMS
from .labels import label_at_front
from .loops_said import LOOP_CURRENTS, ROUND_LOOPS, loops_in, loops_listed
from .mapped import Mapped
from .naming import NamesInUse, name_of, resistances_of, strung_together
from .pieces import WORDS_LIKE_NAMES, is_name
from .potentials_said import potentials_in
from .walks_said import walks_in

_POINT = r"\w[\w'′]*"
_ARROW = r"(?:[-−–]{1,2}>|→|⟶|\bto\b|\btowards?\b|\binto\b)"
_THROUGH = r"(?:through|via|along|across|in|over|by way of)"
_FLOW = (
    r"(?:(?:be|is|are|flow(?:s|ing)?|run(?:s|ning)?|go(?:es|ing)?|pass(?:es|ing)?|point(?:s|ing)?|the|a|branch|current|"
    r"arrow|positive|counted|drawn|taken|as|down|up|left|right|downwards?|upwards?)\s+)*"
)
_LEAD = (
    r"\s*(?:(?:let|take|choose|define|call|say|arrows?|currents?|the|assume|suppose|set|and|where|with|that)"
    r"\b[\s:]*)*"
)
_LIST = rf"{_THROUGH}\s+(?P<{{}}>[^.;:=→>]+?)"
_DECLARED = re.compile(
    rf"{_LEAD}(?P<name>{NAME.pattern})\s*(?:[:,=]\s*|\s)\s*{_FLOW}(?:{_LIST.format('first')}\s+)?"
    rf"(?:from\s+|:\s*)?(?:point\s+|junction\s+|node\s+)?(?P<start>{_POINT})\s*{_ARROW}\s*"
    rf"(?P<rest>.*?)\s*[.;,]?\s*",
    re.IGNORECASE | re.DOTALL,
)
_REST = re.compile(
    rf"(?:point\s+|junction\s+|node\s+|the\s+)*(?P<end>{_POINT})"
    rf"(?:\s*,?\s*\(?\s*{_LIST.format('last')}\)?|\s*,?\s*\((?P<beside>[^()=→>]+)\))?",
    re.IGNORECASE,
)
_LISTED = re.compile(r"\s*(?:,|&|\band\b|\bthen\b|\+)\s*", re.IGNORECASE)
_HOPS = re.compile(r"\s*(?:[-−–]{1,2}>|→|⟶)\s*")
_LONGEST = 300

_BEGINS = r"(?:^|[,;:.⇒⟹]|=>|\b(?:so|and|then|thus|hence|with)\b)\s{0,9}"  # where an equation begins
_VOLTAGE = re.compile(r"(?<![^\W_])[VUvu]_?\{?([\d₀-₉]{1,3})\}?(?!\w)")
_DEFINED = re.compile(
    rf"{_BEGINS}[VUvu]_?\{{?[\d₀-₉]{{1,3}}\}}?\s{{0,9}}[=≈](?!\s{{0,9}}[0-9.,]+\s{{0,9}}(?:m|k)?[Vv])"
)
_OWN_VOLTAGE = re.compile(rf"{_BEGINS}([VU](?:_[a-z]{{1,4}}|_\{{[a-z]{{1,4}}\}}|[a-z]{{1,4}}))\s{{0,9}}[=≈]")
_NAME = re.compile(r"([A-Za-zε])_?\{?(\d{1,3})|(?<![^\W_])([A-Za-zε])(?![^\W_])")
_LETTER = re.compile(r"(?<![\w'’])([IixyzJj])\s{0,3}[=≈+·*/]|[=≈+\-−·*/]\s{0,3}([IixyzJj])(?![\w'’(])")


_VOLT = re.compile(
    r"(?:^(?!\s{0,9}V[.)]\s)|\((?!\s{0,3}V\s{0,3}\))|[=+\-−*/·,;:]|\b(?:so|and|then|thus|hence|call|let)\b)"
    r"\s{0,9}V(?!\w|\s*\(\s*\w+\s*,)"
)  # not the label of a fifth equation, (V)


_FACTOR = re.compile(r"(?:^|[,;:]|\b(?:so|then|factor|ratio)\b)\s{0,9}([kK])\s{0,3}=")


_TOTAL_CURRENT = re.compile(r"(?<![\w'’])It\s{0,3}[=≈]")  # elsewhere a word


_DETERMINANT = re.compile(
    r"(?<![\w'’])((?:[DΔ]|[Dd]et|[Dd]elta)(?:_?[A-Za-z0-9]|_[A-Za-z](?:_?\w){1,3}|_\{\w{1,5}\})?)\s{0,3}[=≈]"
)


_ALONE = re.compile(
    rf"(?:^|[=:,;.(]|\s)\s{{0,9}}({NAME.pattern})\s{{0,3}}(?:[=≈]|:=)"
)  # a name that has a side of an equation to itself


_AMID = re.compile(r"[\w)\]}′]\s{0,9}[+\-−–*·×/]\s{0,9}$")  # a side of which more comes


_FIRST = re.compile(rf"(?:^|[:,;])\s{{0,9}}({NAME.pattern})\s{{0,3}}[=≈]")  # a name that begins an equation


_EQUATION = re.compile(r"[=≈→]|->")
_LONE_VOLTAGE = re.compile(
    r"(?:^|[,;:.]|(?<![^\W\d_])[^\W\d_]{2,20}(?=\s))\s{0,9}([VU])\s{0,9}=\s{0,9}([^=]{1,80})"
)


_POTENTIAL_OF = r"(?<![^\W\d])[VU](?:_?\{(\w+)\}|_(\w+)|(\w+))(?![\w'′(])"
_POTENTIAL = re.compile(_POTENTIAL_OF)
_DIFFERENCE = re.compile(rf"{_POTENTIAL_OF}\s?[-−–]\s?{_POTENTIAL_OF}")


_ALONE_AS_LETTER = re.compile(
    r"(?:^|[=≈(,;:]|[+\-−–]|⇒|=>|->|→)\s{0,3}(?<![^\W\d_])([a-df-hl-np-z])\s{0,3}(?=[=≈+\-−–*·/),;]|$)"
)  # a letter that is no unit there, since no number stands before it
_OF_A_FAMILY = re.compile(
    r"(?:^|[=+\-−–*·/(,;:]|\d|(?<![^\W\d_])[A-Z]\s)\s{0,3}(?<![^\W\d_])([a-z][a-z])\s{0,3}(?=[=≈+\-−–*·/)]|$)"
)  # a pair of letters that stands where a quantity does


_OF_POINTS = re.compile(rf"(?<!\w)(?:(\w+)\s*{_ARROW}\s*(\w+)|[VUφ]\s*\((\w+)\))(?!\w)")  # a → b, V(a)


_ASIDE = r"(?:\s{0,3}\([^()=]{1,40}\))?"  # p (left), q (top)
_LETTERS_LISTED = re.compile(
    rf"(?<![^\W_])[a-zA-Z]{_ASIDE}(?:\s*,\s*(?:and\s+)?|\s+and\s+)"
    rf"(?:[a-zA-Z]\b{_ASIDE}(?:\s*,\s*(?:and\s+)?|\s+and\s+)?)+(?![^\W_])"
)


_NUMBERED = re.compile(r"(?:^|[=+\-−(,;:$])\s{0,3}([xyz]_?\{?\d{1,2}\}?)(?!\w)")


def _number(text: str) -> Fraction | None:
    """A number in volts at the front of a text that holds nothing else; None for anything else."""
    match = re.fullmatch(r"\s*(\d+(?:\.\d+)?)\s*(?:V|volts?)?[\s.,;]*", text)
    return Fraction(match[1]) if match else None


def arrow_in(line: Mapped, names: NamesInUse) -> tuple[ArrowSaid | None, Trouble | None]:
    """The arrow that a line declares, if it is such a line; or what is wrong with it."""
    text = line.text.strip()
    if len(text) > _LONGEST or "=" in text.replace("=", "", text.count("= current")):
        return None, None
    match = _DECLARED.fullmatch(text)
    if match is None:
        return None, None
    name = name_of(match["name"])
    return _with_points(match, name, names, line)


def arrows_in(line: Mapped, names: NamesInUse) -> tuple[tuple[ArrowSaid, ...], Trouble | None]:
    """The arrows that a line declares, one or several with stops between them; or what is wrong with it."""
    arrow, trouble = arrow_in(line, names)
    if arrow is not None:
        return (arrow,), trouble
    listed = arrows_listed(line, lambda part: arrow_in(part, names)[0])
    return listed, None if listed else trouble


def _with_points(
    match: re.Match[str], name: str, names: NamesInUse, line: Mapped
) -> tuple[ArrowSaid | None, Trouble | None]:
    hops = _HOPS.split(match["rest"])
    rest = _REST.fullmatch(hops[-1])
    if rest is None:
        return None, None
    start, end = names.point(match["start"]), names.point(rest["end"])
    beside = _elements(rest["beside"])  # in brackets: elements, or a remark
    beside = beside if all(_element(one, names) for one in beside) else []
    elements = [*hops[:-1], *_elements(match["first"]), *_elements(rest["last"]), *beside]
    read = [_element(one, names) for one in elements]
    known = name in names.known or name in names.spellings
    if start is None or end is None:
        sure = (start is not None or end is not None) and known
        missing = match["start"] if start is None else rest["end"]
        return None, (_no_such("point", missing, line) if sure else None)
    if None in read:
        missing = next(one for one, found in zip(elements, read, strict=True) if found is None)
        return None, _no_such("element", missing, line)
    found = tuple(one for one in read if one)
    meant = names.read(name)[0]
    own = meant in names.circuit.elements or meant in names.circuit.symbols  # v is a current here, no emf
    return ArrowSaid(name if own else meant, start, end, found), None


def _elements(text: str | None) -> list[str]:
    return [one.strip() for one in _LISTED.split(text or "") if one.strip()]


def _element(written: str, names: NamesInUse) -> str | None:
    """The element's name; empty for a point on the way, None for neither."""
    element = names.element(written.removeprefix("the ").strip())
    return element or ("" if names.point(written) else None)


def _no_such(what: str, written: str, line: Mapped) -> Trouble:
    at = max(line.text.find(written), 0)
    return Trouble(f"there is no {what} {written} in this circuit", line.place(at))


def names_in_use(lines: Sequence[Mapped], circuit: Circuit, given: tuple[str, ...]) -> NamesInUse:
    """The circuit's names, those given, and those of the working, with the spellings that are read so."""
    plain = NamesInUse(circuit, given)
    declared: dict[str, None] = dict.fromkeys(given)
    for line in lines:
        walked = walks_in(line, plain)[0]
        arrows = () if walked else arrows_in(label_at_front(line, (), ())[1], plain)[0]
        declared.update(dict.fromkeys(arrow.name for arrow in arrows))
        rounds = walked or loops_in(line, plain) or loops_listed(line, plain)[0]
        declared.update(dict.fromkeys(loop.name for loop in rounds))
    texts = [line.text for line in lines]
    letters = (letter for text in texts for match in _LETTER.finditer(text) for letter in match.groups())
    declared.update(dict.fromkeys(letter for letter in letters if letter and not plain.readings(letter)))
    declared.update(dict.fromkeys(_marked(texts, plain)))
    declared.update(dict.fromkeys(_behind_another(texts, plain)))
    declared.update(dict.fromkeys(_given_a_value(texts, plain)))
    declared.update(dict.fromkeys(_run_together(texts, NamesInUse(circuit, tuple(declared)))))
    declared.update(dict.fromkeys(_of_points(texts, plain)))
    declared.update(dict.fromkeys(_own_voltages(texts, plain)))
    declared.update(dict.fromkeys(_marked_like_resistors(texts, plain)))
    declared.update(dict.fromkeys(_with_numbers(texts, plain)))
    declared.update(dict.fromkeys(_of_a_family(texts, plain)))
    declared.update(dict.fromkeys(_letters_alone(texts, plain)))
    if not plain.readings("It") and any(_TOTAL_CURRENT.search(text) for text in texts):
        declared["It"] = None
    if max((circuit.numbers.get(n, 0) for n in resistances_of(circuit)), default=0) < KILOHMS:
        declared.update(dict.fromkeys(m[1] for text in texts for m in _FACTOR.finditer(text)))
    named = (name_of(match[1]) for text in texts for match in _DETERMINANT.finditer(text))
    declared.update(dict.fromkeys(name for name in named if not plain.readings(name)))
    levels = {said.name for line in lines for said in potentials_in(line, plain) if said.name} - plain.known
    apart = _apart(texts, plain) | _worked_out(texts, plain) | levels
    drops = _has_drops(texts, plain) or any(name[0] in "VUvu" for name in apart)
    volt = "V" not in plain.known and any(_VOLT.search(text) for text in texts)
    potentials = _potentials(texts, plain)
    across = _across_elements(texts, plain)
    return NamesInUse(circuit, tuple(declared), drops, frozenset(apart), volt, potentials, across)


def round_loops_in(text: str, names: NamesInUse) -> tuple[str, ...]:
    """The currents that a line of words says run round loops: "loop currents I1 and I2, both clockwise"."""
    said = (name_of(match[0]) for match in NAME.finditer(_told_round(text)))
    currents = names.circuit.currents
    found = [n for n in said if n in names.known and (n in currents or n[0] in "IiJj")]
    listed = _LETTERS_LISTED.search(_told_round(text))
    bare = re.sub(r"\([^()]*\)", "", listed[0]) if listed else ""
    letters = re.findall(r"(?<![^\W_])[a-zA-Z](?![^\W_])", bare)
    return tuple(dict.fromkeys((*found, *(n for n in letters if n not in names.circuit.symbols))))


def _told_round(text: str) -> str:
    """The part of a line that lists currents round loops; of a list that ends in an equation all to there,
    "mesh currents i1 (left), i2 = 2 A", but nothing of "loop currents i1, i2: I2 = i1 − i2" behind it."""
    equation = _EQUATION.search(text)
    if equation is None:
        return text if ROUND_LOOPS.search(text) else ""
    listed = text[: equation.start()] if LOOP_CURRENTS.search(text) else ""
    told = [match.end() for match in _NAME.finditer(listed)]
    if len(told) < 2:
        return ""
    end = listed.find(":", told[0])
    return listed if end < 0 else listed[:end]


def _worked_out(texts: Iterable[str], names: NamesInUse) -> set[str]:
    """V or U where a working works it out, so that it is no emf: `V = 24 − 4·1.09`."""
    circuit = names.circuit
    found: set[str] = set()
    for text in texts:
        for match in _LONE_VOLTAGE.finditer(text):
            meant = names.readings(match[1])
            emfs = [circuit.numbers[n] for n in meant if n in circuit.numbers]
            given = _number(match[2])
            if meant and "(" not in meant[0] and (given is None or given not in emfs):
                found.add(match[1])
    return found


def _given_a_value(texts: Iterable[str], names: NamesInUse) -> list[str]:
    """Names of resistances of the working's own, each alone before `=`: `Rp`, `R23`, and `Rbc` of Rb and Rc,
    which by its letters alone could be a word."""
    own = resistances_of(names.circuit)
    found: list[str] = []
    for text in texts:
        for match in _ALONE.finditer(text):
            name = name_of(match[1])
            if _AMID.search(text[: match.start(1)]):  # 12 - R3m2 = 0
                continue
            if name[:1] not in "Rr" or len(name) < 2 or names.readings(name) or parts_of(name, names.split):
                continue
            glued = any(len(one) > 1 and name.startswith(one) for one in names.split)  # R4IC is R4 by IC
            if strung_together(name, own) or (is_name(match[1], names) and not glued):
                found.append(name)
    return found


def _marked(texts: Iterable[str], names: NamesInUse) -> list[str]:
    """Names that are a current's with a mark behind it, of a letter or of a source: `I1a`, `I_{1,E2}`.
    They are
    the working's own, although `1a` might be an ampere."""
    circuit = names.circuit
    found: list[str] = []
    for text in texts:
        for match in NAME.finditer(text):
            name = name_of(match[0])
            current = next(
                (n for n in circuit.currents if name.lower().startswith(n.lower()) and name != n), ""
            )
            mark = name[len(current) :].strip(",()")
            single = len(mark) == 1 and mark.isalpha() and mark not in names.known
            source = mark in circuit.elements and circuit.elements[mark].has_sign and "," in name
            word = name in WORDS_LIKE_NAMES  # "is" beside a current I
            if current and not word and name not in names.known and (single or source):
                found.append(name)
    return found


def _behind_another(texts: Iterable[str], names: NamesInUse) -> list[str]:
    """Names of the working's own that stand by themselves, and elsewhere right behind a known one: IB in
    `R3IB`."""
    met = {name_of(match[0]) for text in texts for match in NAME.finditer(text)}
    found: list[str] = []
    for own in sorted(met - names.split):
        if own[0] in "IiJjVU" and len(own) <= 3 and not names.readings(own):
            glued = (name.removesuffix(own) for name in met if name != own and name.endswith(own))
            if any(front in names.split for front in glued):
                found.append(own)
    return found


def _run_together(texts: Iterable[str], names: NamesInUse) -> list[str]:
    """Names that begin equations of the working and elsewhere stand side by side without a gap: Ik and R0 in
    `IkR0`."""
    begin = {name_of(match[1]) for text in texts for match in _FIRST.finditer(text)}
    met = {name_of(match[0]) for text in texts for match in NAME.finditer(text)}
    runs = (parts_of(name, begin | names.split) for name in sorted(met - begin - names.split))
    return [part for run in runs for part in run if len(run) > 1 and part in begin - names.split]


def _of_points(texts: Iterable[str], names: NamesInUse) -> list[str]:
    """Potentials that look like words or units: `US` at S, `VS`, where a sign stands beside them."""
    points = [p for p in names.circuit.named_points if p.isalpha()]
    found: list[str] = []
    for point in points:
        for own in (f"{head}{point}" for head in "VU"):
            sign = r"[=≈+\-−–*·/()|]"
            beside = re.compile(rf"(?<![^\W\d_]){own}(?!\w)\s{{0,3}}{sign}|{sign}\s{{0,3}}\d*\s?{own}(?!\w)")
            if not is_name(own, names) and any(beside.search(text) for text in texts):
                found.append(own)
    return found


def _own_voltages(texts: Iterable[str], names: NamesInUse) -> list[str]:
    """Voltages of the working's own that begin an equation, of which the letters alone could be a word or two
    emfs: `Up = I1 Rp`, `U_v`."""
    found = (name_of(match[1]) for text in texts for match in _OWN_VOLTAGE.finditer(text))
    factors = names.known - {name for name in names.known if name[0] in "EVUevu"}
    return [
        name
        for name in dict.fromkeys(found)
        if not names.readings(name)
        and not (len(name) == 2 and name[1] in factors)
        and not names.point(name[1:])
    ]


def _marked_like_resistors(texts: Sequence[str], names: NamesInUse) -> list[str]:
    """Voltages and powers that begin an equation and bear the letter of a resistor: `PD` and `UD` of RD."""
    found: list[str] = []
    for resistor in resistances_of(names.circuit):
        mark = resistor[1:]
        if resistor[0] != "R" or not mark.isalpha() or names.point(mark):
            continue
        for own in (f"{head}{mark}" for head in "PUV"):
            begins = re.compile(rf"{_BEGINS}{own[0]}_?\{{?{mark}\}}?\s{{0,9}}[=≈]")
            if not names.readings(own) and any(begins.search(text) for text in texts):
                found.append(own)
    return found


def _potentials(texts: Iterable[str], names: NamesInUse) -> frozenset[str]:
    """The potentials of points, `Va` or `U_A`, that stand anywhere but in a difference of two of them."""
    found: set[str] = set()
    for text in texts:
        spans = [match.span() for match in _DIFFERENCE.finditer(text)]
        for match in _POTENTIAL.finditer(text):
            within = any(start <= match.start() and match.end() <= end for start, end in spans)
            if not within and names.point(match[1] or match[2] or match[3]):
                found.add(name_of(match[0]))
    return frozenset(found)


def _across_elements(texts: Iterable[str], names: NamesInUse) -> frozenset[str]:
    """Voltages that bear the whole name of an element as a subscript, `U_R2`, or that begin an equation,
    `UR2 = 6.9 V`: no emf U by R2."""
    found: set[str] = set()
    for text in texts:
        begin = {m.start(1) for m in _ALONE.finditer(text) if not _AMID.search(text[: m.start(1)])}
        for match in NAME.finditer(text):
            name = name_of(match[0])
            below = match[0][1:2] == "_" or match.start() in begin
            if below and name[0] in "VUvu" and name[1:] in names.met:
                found.add(name)
    return frozenset(found)


def _with_numbers(texts: Iterable[str], names: NamesInUse) -> list[str]:
    """Names such as x1, which could be a sign before a number: those that stand where a name begins, and not
    alone in brackets, `(x4)`."""
    within = ((text, match) for text in texts for match in _NUMBERED.finditer(text))
    found = (name_of(m[1]) for text, m in within if not (m[0].startswith("(") and text[m.end() :][:1] == ")"))
    return [name for name in dict.fromkeys(found) if name not in names.known]


def _of_a_family(texts: Iterable[str], names: NamesInUse) -> list[str]:
    """Pairs of letters that could be words, `ja` and `jb`: those that stand where quantities do, each more
    than once, where at least two of them begin alike."""
    met = Counter(match[1] for text in texts for match in _OF_A_FAMILY.finditer(text))
    often = [n for n, count in met.items() if count > 1 and not (names.readings(n) or read_unit(n))]
    begun = Counter(name[0] for name in often)
    return [name for name in often if begun[name[0]] > 1]


def _letters_alone(texts: Iterable[str], names: NamesInUse) -> list[str]:
    """Small letters that stand as quantities by themselves, each more than once, where there are two or more:
    `a` of `x = a - b`, so that 12a is no number of amperes."""

    def blank_if_points(match: re.Match[str]) -> str:
        return " " if all(names.point(one) for one in match.groups() if one) else match[0]

    plain = (_OF_POINTS.sub(blank_if_points, text) for text in texts)
    met = Counter(match[1] for text in plain for match in _ALONE_AS_LETTER.finditer(text))
    often = [n for n, count in met.items() if count > 1 and not names.readings(n)]
    return often if len(often) > 1 else []


def _apart(texts: Iterable[str], names: NamesInUse) -> set[str]:
    """Spellings of a known name that stand in one line with it, and so are names of their own."""
    found: set[str] = set()
    for text in texts:
        said = {match[3] or match[1] + match[2] for match in _NAME.finditer(text)}
        for match in _NAME.finditer(_told_round(text)):
            name = match[3] or match[1] + match[2]
            spelled = () if name in names.known else names.readings(name)
            if len(spelled) == 1 and spelled[0] in names.circuit.currents:
                found.add(name)
        for name in said - names.known:
            meant = names.readings(name)
            if len(meant) == 1 and meant[0] in said:
                found.add(name)
    currents = names.circuit.currents
    if any(name.swapcase() in currents for name in found):
        found.update(current.swapcase() for current in currents)  # i1 beside I1: so is i2 beside I2
    return found


def _has_drops(texts: Sequence[str], names: NamesInUse) -> bool:
    """Whether V1, V2, ... are the working's own names (drops) rather than emfs: one of them stands alone
    on the left of an equation, or has no battery of its number."""
    found = {name_of(match[1]) for text in texts for match in _VOLTAGE.finditer(text)}
    if any(not names.readings(f"V{number}") for number in found):
        return True
    return any(_DEFINED.search(text) for text in texts)
