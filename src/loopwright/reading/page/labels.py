"""Labels of lines and references to them: `(1)` before or after an equation, `(1) − (2):`, `from (3)`.

What is found is blanked out of the line, so that it is not taken for algebra.
"""

from __future__ import annotations

import re
from collections.abc import Collection

from ...expressions.nodes import Expr, Negative, Product, Quotient, Sum, Symbol, put
from ...expressions.parse import Unreadable, expression
from ...expressions.values import symbols_of
from ..working import LineSource
from .mapped import Mapped

_TAG = r"\d{1,3}[a-h]?['′]{0,2}|[ivxIVX]{1,5}|[a-h]"
_EQ = r"(?:[Ee]qn?s?|[Ee]quations?|EQ)(?![A-Za-z])\.?\s{0,9}"
REF = rf"(?:(?:{_EQ})?[(\[]\s*(?:{_EQ})?(?:{_TAG})\s*[)\]]|{_EQ}(?:\d{{1,3}}))"
_REF = re.compile(REF)
_TAG_IN = re.compile(rf"(?:{_TAG})(?=\s*[)\]]|$)")
_FRONT = re.compile(
    rf"\s*(?:{_EQ})?[(\[]\s*(?:{_EQ})?({_TAG})\s*[)\]](?:\s*[:.]|\s+(?=\S)|$)|\s*{_EQ}(\d{{1,3}})\s*[:.](?!\d)"
)
_FRONT_LIST = re.compile(
    r"\s*(?:(\d{1,3}|[a-h]|[ivx]{1,5})[.)]|([IVX]{1,5}|[A-H])\))(?:\s+(?=\S)|$)"  # not `I. e. `
)
_BACK = re.compile(rf"([\s.…·,;:—–-]{{0,200}})[(\[]\s*(?:{_EQ})?({_TAG})\s*[)\]][\s.;,]*$")
_AMID = re.compile(r"(\s+)[(\[]\s*(\d{1,2})\s*[)\]](?=\s*;)")
_BACK_EQ = re.compile(rf"(\s[\s.…]*){_EQ}\(?(\d{{1,3}})\)?\s*$")
_WIDE = r"[A-Z]{1,4}\d{0,2}|\*{1,3}"
_WIDE_FRONT = re.compile(rf"\s{{0,20}}(?:{_EQ})?[(\[]({_WIDE})[)\]](?:\s{{0,9}}:|\s{{1,9}}(?=[\w(]))")
_WIDE_BACK = re.compile(rf"[\s.…]{{1,99}}(?:{_EQ})?[(\[]({_WIDE})[)\]][\s.;,]{{0,9}}$")
_WIDE_SAID = re.compile(
    rf"\b(?:from|by|using|into|in|with|put|and|substitut\w{{0,4}}|see)\s{{1,9}}[(\[]({_WIDE})[)\]]",
    re.IGNORECASE,
)
_END_OF_SOURCE = re.compile(
    r":|⇒|=>|⟹|→|->|,|;|\b(?:gives?|yields?|leads?|impl(?:y|ies)|becomes?|makes?|we|I|results?|turns|is|shows?)\b"
)
_FRONT_COMBINATION = re.compile(
    rf"\s{{0,9}}(?:[^\W\d_]\w*\s{{0,9}}[*·×⋅]?\s{{0,9}}|\d+(?:\.\d+)?\s{{0,9}}[*·×⋅]?\s{{0,9}})?{REF}"
    rf"(?:\s{{0,9}}[+\-−–]\s{{0,9}}(?:[^\W\d_]\w*\s{{0,9}}[*·×⋅]?\s{{0,9}}|\d+(?:\.\d+)?\s{{0,9}}[*·×⋅]?\s{{0,9}})?{REF})+(?=\s|$|[:,;])"
)
_LEAD = re.compile(
    r"\s*(?:(?:so|then|thus|now|next|hence|take|taking|compute|form|forming|do|doing|from|with|by|using|the|sum|"
    r"difference|of|therefore|combining|combine)\b[\s,:]*)*",
    re.IGNORECASE,
)
_GOES_ON = re.compile(
    rf"\s{{0,9}}(?:(?:into|in|and|minus|plus|to|from|with|times)\s{{1,9}}{REF}"
    r"|(?:gives?|yields?|becomes?|impl(?:y|ies)|leads?|together)\b|&|⇒|=>|→|->)"
)
_RESTS_ON = re.compile(
    rf"\s{{0,9}}(?:\d{{0,3}}\s{{0,9}}{REF}|(?:from|by|using|put)\b|(?:in|into)\s{{1,9}}{REF}\s{{0,9}}:)"
)
_AND_REF = re.compile(
    rf"\s{{0,9}}[,+\-−–]\s{{0,9}}(?:[^\W\d_]\w*\s{{0,9}}[*·×⋅]?\s{{0,9}}|\d+(?:\.\d+)?\s{{0,9}}[*·×⋅]?\s{{0,9}})?({REF})"
)
_ENDS = re.compile(r"\s*(?:[:,;]|⇒|=>|$|gives?\b|yields?\b)")
_LIST = rf"{REF}(?:\s*(?:,|and|&|into|in|from|to|with|or)\s*(?:{REF}|\d{{1,3}}\b))*"
_LISTED_ON = re.compile(rf"\s*,\s*({_LIST})(?=\s*[:,;])")
_SAID = re.compile(
    rf"\b(?:from|by|using|use|used|into|in|with|of|put|putting|insert(?:ing)?|sub(?:st(?:itut(?:e|ing|ed|ion))?)?|"
    rf"plug(?:ging)?|add(?:ing)?|subtract(?:ing)?|see|via|per|combin(?:e|ing)|solv(?:e|ing)|multiply(?:ing)?|and|to|both|"
    rf"compar(?:e|ing)|equat(?:e|ing)|divid(?:e|ing)|inserting|rearrang(?:e|ing))\b\.?\s*({_LIST})",
    re.IGNORECASE,
)
_BARE = re.compile(
    r"\b(?:from|by|using|into|in|put|sub|and|lines?|add(?:ing)?|subtract(?:ing)?|to|equations?|eqn?s?\.?)\s*\(?"
    r"(\d{1,3})\)?(?=\s*(?:$|[,:;)]|\b(?:and|into|in|from|to|gives?|yields?|we|becomes?)\b|⇒|=>|⟹))",
    re.IGNORECASE,
)
_SUBTRACTED = re.compile(rf"\bsubtract(?:ing)?\s+({REF})\s+from\s+({REF})", re.IGNORECASE)
_ADDED = re.compile(rf"\badd(?:ing)?\s+({REF})\s+(?:and|to|with)\s+({REF})", re.IGNORECASE)
_MULTIPLIED = re.compile(
    rf"\b(multipl(?:y|ying|ied)|divid(?:e|ing|ed))\s{{1,9}}({REF})\s{{1,9}}by\s{{1,9}}([^,:;⇒=]{{1,80}}?)"
    r"(?=\s{0,9}(?:$|[,:;⇒=.]|\b(?:gives?|and|yields?|to|we|so)\b))",
    re.IGNORECASE,
)
_KNOWN = re.compile(rf"\s{{0,20}}({REF})(?:\s{{0,9}}:|\s|$)")
_ONE_INTO_OTHER = re.compile(
    rf"\s{{0,20}}({REF})\s{{0,9}}(?:[-−–]{{1,2}}>|→|⟶|⇒|=>)\s{{0,9}}({REF})\s{{0,9}}:"
)
_BARE_COMBINATION = re.compile(r"\s{0,20}(\d{1,3})\s{0,9}([+\-−–])\s{0,9}(\d{1,3})\s{0,9}:")
_WORDED = re.compile(rf"({REF})\s+(plus|minus)\s+({REF})", re.IGNORECASE)
_MARK = "ʟ"  # the letter that begins the name of a label while a combination is read


def label_at_front(line: Mapped, labels: Collection[str], names: Collection[str]) -> tuple[str, Mapped]:
    """The label that a line begins with, or nothing, and the line without it. `labels`: those above."""
    if (wide := _WIDE_FRONT.match(line.text)) and wide[1] not in names and wide[1] not in labels:
        return wide[1], line.blanked([wide.span()])
    match = _FRONT.match(line.text) or _FRONT_LIST.match(line.text)
    if match is None:
        return "", line
    tag = next(filter(None, match.groups()))
    rest = line.text[match.end() :]
    if match[0].rstrip().endswith((".", ")")) and match.re is _FRONT_LIST:
        return _kept(tag), line.blanked([match.span()])
    if _kept(tag) in labels:
        return "", line
    in_brackets = match[0].strip(" :.")[-1:] in ")]"
    in_turn = _RESTS_ON.match(rest) and any(one in labels for one in _just_before(tag))
    if in_brackets and not in_turn and (_refers_on(rest, labels) or _is_factor(tag, rest, labels)):
        return "", line
    return _kept(tag), line.blanked([match.span()])


def _refers_on(rest: str, labels: Collection[str]) -> bool:
    """Whether what follows a bracketed label goes on about it: `(1) into (2)`, `(1) − (2):`."""
    if _GOES_ON.match(rest):
        return True
    ref = _AND_REF.match(rest)
    if ref is None:
        return False
    return any(tag in labels for tag in _tags(ref[1])) or _ENDS.match(rest, ref.end()) is not None


def _is_factor(tag: str, rest: str, labels: Collection[str]) -> bool:
    """Whether a bracketed number at the front multiplies what follows: `(4) Ic + (5) Ih = 23`."""
    if re.match(r"\s*[+\-−–]", rest) and not _follows(tag, labels):
        return True
    if re.match(r"\s*[+*·×⋅/÷^=]", rest) or re.match(r"\s*[-−–]\s*[(\[]\s*\w+\s*[)\]]\s*[A-Za-z]", rest):
        return True
    others = re.search(r"[(\[]\s*\d+(?:\.\d+)?\s*[)\]]\s*[^\W\d_]", rest)
    return bool(others) and not _follows(tag, labels)


_ROMAN = ("i", "ii", "iii", "iv", "v", "vi", "vii", "viii", "ix", "x", "xi", "xii")


def _just_before(tag: str) -> list[str]:
    """The labels after which this one is the next: 2 before 3, b before c, iii before iv."""
    if tag.isdigit():
        return [str(int(tag) - 1)]
    letters = [chr(ord(tag) - 1)] if len(tag) == 1 else []
    at = _ROMAN.index(tag.lower()) if tag.lower() in _ROMAN else 0
    return [*letters, *_ROMAN[max(0, at - 1) : at]]


def _follows(tag: str, labels: Collection[str]) -> bool:
    if any(one in labels or (one in _ROMAN and one.upper() in labels) for one in _just_before(tag)):
        return True
    counted = (int(label) for label in labels if label.isdigit())
    return tag in ("1", "i", "I", "a") or (tag.isdigit() and any(0 < int(tag) - n <= 2 for n in counted))


def label_at_back(line: Mapped, labels: Collection[str], names: Collection[str]) -> tuple[str, Mapped]:
    """The label that a line ends with, or nothing, and the line without it. `labels`: those above."""
    wide = _WIDE_BACK.search(line.text, _tail(line.text))
    if wide and wide[1] not in names and "=" in line.text[: wide.start()]:
        return wide[1], line.blanked([wide.span()])
    match = _BACK.search(line.text, _tail(line.text)) or _BACK_EQ.search(line.text, _tail(line.text))
    if match is None or not line.text[: match.start()].strip():
        return "", line
    before = line.text[: match.start()].rstrip()
    spaced = len(match[1]) >= 2 or (match[1] and not match[1].isspace())
    if re.search(rf"(?:{_EQ}|[+*/·×⋅=(−]|\b(?:from|by|using|and|into|in|with|of|to|see))\s*$", before):
        return "", line
    if match[1] == "-" or (match[1].strip() in ("-", "−", "–", "·") and re.search(r"[)\]]$", before)):
        return "", line
    if not match[1] or (
        not spaced and re.search(r"(?:^|[=+\-−*/·×\s(])[\d.]+$", before) and not _follows(match[2], labels)
    ):
        return "", line
    return _kept(match[2]), line.blanked([match.span()])


def labels_amid(line: Mapped, labels: Collection[str]) -> tuple[tuple[str, ...], Mapped]:
    """The labels of equations that others follow in the same line, `I1 = I2   (1); 6 I1 = 12   (2)`, and the
    line without them. A number behind one space is a label only if it counts on from those above."""
    found: list[str] = []
    spans: list[tuple[int, int]] = []
    for match in _AMID.finditer(line.text) if ";" in line.text else ():
        if len(match[1]) > 1 or _follows(match[2], (*labels, *found)):
            found.append(match[2])
            spans.append(match.span())
    return tuple(found), line.blanked(spans) if spans else line


def _tail(text: str) -> int:
    """Where the last 240 signs of a text begin: no label stands before them."""
    return max(0, len(text) - 240)


def _kept(tag: str) -> str:
    return tag.lower() if tag.isalpha() else tag


def source_of(
    line: Mapped, names: Collection[str], labels: Collection[str]
) -> tuple[LineSource | None, Mapped]:
    """What a line says it rests on, and the line without the references."""
    text = line.text
    found = _combination(text, names, labels)
    labelled: dict[str, None] = {}
    combination: Expr | None = None
    spans: list[tuple[int, int]] = []
    known = _KNOWN.match(text)
    wide = _WIDE_FRONT.match(text)
    if wide and wide[1] in labels:
        labelled[wide[1]] = None
        spans.append(wide.span())
    if found is None and known and set(_tags(known[1])) & set(labels):
        labelled.update(dict.fromkeys(_tags(known[1])))
        spans.append(known.span(1))
    if found is not None:
        combination, end = found
        tags = [tag for match in _REF.finditer(text[:end]) for tag in _tags(match[0])]
        labelled.update(dict.fromkeys(tags or (combination and symbols_of(combination)) or ()))
        if more := _LISTED_ON.match(text, end):  # "from (1), (7) and (8)"
            labelled.update(dict.fromkeys(_tags(more[1])))
            end = more.end()
        spans.append((0, end))
    else:
        combination = _in_words(text, names)
    if put := _ONE_INTO_OTHER.match(text):  # (1) → (3):
        labelled.update(dict.fromkeys(_tags(put[0])))
        spans.append(put.span())
    rest = line.blanked(spans).text
    for match in _SAID.finditer(rest):
        labelled.update(dict.fromkeys(_tags(match[1])))
        spans.append(match.span(1))
    for match in _WIDE_SAID.finditer(rest):
        if match[1] in labels:
            labelled[match[1]] = None
            spans.append((match.start(1) - 1, match.end(1) + 1))
    for match in () if _MULTIPLIED.search(rest) else _BARE.finditer(rest):
        if match[1] in labels or not match[0].lower().startswith(("and", "to")):
            labelled[match[1]] = None
            spans.append(match.span(1))
    if not labelled:
        return None, line
    if combination is not None and not set(labelled) <= set(symbols_of(combination)):
        combination = None  # only part of what was done is said in a form that is read
    return LineSource(tuple(labelled), combination), line.blanked(spans)


def _tags(text: str) -> list[str]:
    """The labels in a text of references, in order."""
    bare = re.sub(_EQ, " ", text)
    return [_kept(match[0]) for match in re.finditer(rf"(?<![A-Za-z])(?:{_TAG})(?![A-Za-z])", bare)]


def _combination(
    text: str, names: Collection[str], labels: Collection[str]
) -> tuple[Expr | None, int] | None:
    """The combination of labels that a line begins with, and where it ends."""
    if (bare := _BARE_COMBINATION.match(text)) and bare[1] in labels and bare[3] in labels:
        other = Symbol(bare[3])
        return Sum((Symbol(bare[1]), other if bare[2] == "+" else Negative(other))), bare.end()
    lead = _LEAD.match(text)
    start = lead.end() if lead else 0
    match = _FRONT_COMBINATION.match(text, start)
    if match and (read := _read_combination(text[start : match.end()], names)):
        return read, match.end()
    stop = _END_OF_SOURCE.search(text, start)
    end = stop.start() if stop else len(text)
    if end - start > 200 or not _REF.search(text, start, end):
        return None
    read = _read_combination(text[start:end], names)
    if read is None:
        return None
    return (None if isinstance(read, Symbol) else read), end


def _read_combination(text: str, names: Collection[str]) -> Expr | None:
    table: dict[str, Expr] = {}

    def mark(match: re.Match[str]) -> str:
        tag = next(iter(_tags(match[0])), "")
        table[_MARK + tag] = Symbol(tag)
        return f" {_MARK}{tag} "

    marked = _REF.sub(mark, text)
    try:
        found = expression(marked, {*names, *table}, freely=True)
    except Unreadable:
        return None
    if not set(symbols_of(found)) <= {*names, *table}:
        return None
    return put(found, table)


def _in_words(text: str, names: Collection[str]) -> Expr | None:
    """`subtract (1) from (2)`, `add (1) and (2)`, `(1) minus (2)`, `multiply (1) by R2`."""
    if match := _MULTIPLIED.search(text):
        return _multiplied(match, names)
    if match := _SUBTRACTED.search(text):
        return Sum((_symbol(match[2]), Negative(_symbol(match[1]))))
    if match := _ADDED.search(text):
        return Sum((_symbol(match[1]), _symbol(match[2])))
    if match := _WORDED.search(text):
        other = _symbol(match[3])
        return Sum((_symbol(match[1]), Negative(other) if match[2].lower() == "minus" else other))
    return None


def _multiplied(match: re.Match[str], names: Collection[str]) -> Expr | None:
    try:
        factor = expression(match[3], names, freely=True)
    except Unreadable:
        return None
    if not set(symbols_of(factor)) <= set(names):
        return None
    divided = match[1].lower().startswith("div")
    return Quotient(_symbol(match[2]), factor) if divided else Product((factor, _symbol(match[2])))


def _symbol(ref: str) -> Symbol:
    return Symbol(next(iter(_tags(ref)), ref))
