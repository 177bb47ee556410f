"""What a person looks for, read from a line of theirs: `two sources, bridge, one battery charged, winch`.

Parts stand between commas, or are joined by `and` or `with`; all of them must hold. A part is a feature, with
or without a number, the day on which a problem was added or given, to whom it was given, or words that must
stand in its name, its title or its story. What stands in quotation marks is always words. Knows no database.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from ..circuit.names import nearest
from ..errors import FaultyMaterial
from ..findings import Finding
from .features import FEATURES, Feature, words_of

MANY = 1_000_000  # more than there is of anything
_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_NUMBER = rf"(?:\d{{1,4}}|{'|'.join(_NUMBERS)})"
_NAMES = {name: feature for feature in FEATURES for name in (feature.name, *feature.also)}
_PART = re.compile(r'\s*("[^"]*"?|[^,;"]+)\s*[,;]?')
_BOUNDS = {
    "less than": "fewer than",
    "up to": "at most",
    "no more than": "at most",
    "only": "",
    "exactly": "",
}
_COUNTED = re.compile(
    rf"(?:(?P<bound>at least|at most|more than|fewer than|{'|'.join(_BOUNDS)})\s+)?"
    rf"(?:between\s+)?(?P<count>{_NUMBER})"
    rf"(?:\s+(?:(?P<more>or more)|(?P<less>or (?:fewer|less))))?"
    rf"(?:\s*(?:to|or|and|-|–)\s*(?P<most>{_NUMBER}))?\s+(?P<name>.+?)(?:\s+or\s+(?P<after>more|fewer|less))?"
)
_COMPARED = re.compile(rf"(?P<name>.+?)\s*(?P<sign><=|>=|[≤≥<>=])\s*(?P<count>{_NUMBER})")
_SIGNS = {"≤": "<=", "≥": ">="}
_AND = re.compile(
    rf"\s*(?:&|\+|\b(?:and|with|but)\b)\s*|\s+(?=(?:without|no|not)\s)|(?<=\w)\s+(?={_NUMBER}\s+[a-z])"
)
_ARTICLE = re.compile(r"(?:with|has|having)?\s*(?:an?|the|some|any)?\s+(?P<name>.+)")
_NOT = re.compile(r"(?:no|not|without)\s+(?:a\s+|an\s+|any\s+)?(?P<name>.+)")
_WHEN = re.compile(
    r"(?P<what>added|given|used|set)\s+(?P<how>in|since|before)\s+(?P<day>\d{4}(?:-\d\d(?:-\d\d)?)?)"
)
_TO = re.compile(r"given\s+to\s+(?P<student>.+)", re.IGNORECASE)
_GIVEN = {"given": True, "never given": False, "not given": False, "never used": False, "unused": False}


@dataclass(frozen=True, slots=True)
class FeatureLooked:
    """So many of a feature, bounds included; for a plain feature 1 where it is wished, 0 where it is not."""

    feature: str
    least: int
    most: int


@dataclass(frozen=True, slots=True)
class WordsLooked:
    """Words that must all stand in the problem, or the beginnings of such. `said`: as they were typed."""

    words: tuple[str, ...]
    said: str


@dataclass(frozen=True, slots=True)
class DayLooked:
    """A day, month or year in, since (that day included) or before which a problem was added or given."""

    what: str
    how: str
    day: str


@dataclass(frozen=True, slots=True)
class GivenLooked:
    """Whether a problem was ever given; `student`: to whom (empty: to anybody)."""

    given: bool
    student: str = ""


PartLooked = FeatureLooked | WordsLooked | DayLooked | GivenLooked


def looked_for(line: str) -> tuple[PartLooked, ...]:
    """The parts of a line; none for an empty one. Raises FaultyMaterial for a bound without a feature and for
    a part without a word."""
    parts = (found[1].strip() for found in _PART.finditer(line))
    return tuple(read for said in parts if said for read in _parts(said))


def _parts(said: str) -> tuple[PartLooked, ...]:
    """The parts between two commas: one, or several where `and`, `with`, `without` or a number joins features
    with one another or with words."""
    whole = _part(said)
    if not isinstance(whole, WordsLooked) or said.startswith('"'):
        return (whole,)
    pieces = [piece for piece in _AND.split(said.casefold()) if piece.strip()]
    if len(pieces) < 2:
        return (whole,)
    try:
        found = tuple(_part(piece.strip()) for piece in pieces)
    except FaultyMaterial:
        return (whole,)
    return found if any(not isinstance(part, WordsLooked) for part in found) else (whole,)


def _part(said: str) -> PartLooked:
    text = " ".join(said.casefold().split())
    if text.startswith('"'):
        return _words(text.strip('"'))
    if text in _NAMES:
        return FeatureLooked(_NAMES[text].name, 1, MANY)
    if (when := _WHEN.fullmatch(text)) is not None:
        what = "added" if when["what"] == "added" else "given"
        return DayLooked(what, when["how"], when["day"])
    if text in _GIVEN:
        return GivenLooked(_GIVEN[text])
    if (to := _TO.fullmatch(said)) is not None:
        return GivenLooked(True, to["student"].strip())
    if (counted := _COUNTED.fullmatch(text)) is not None:
        name = counted["name"]
        if name in _NAMES and _NAMES[name].counted:
            return _counted(_NAMES[name], counted)
        if any(counted[part] for part in ("bound", "more", "less", "most", "after")):
            raise FaultyMaterial(_unknown(said, name))
    if (compared := _COMPARED.fullmatch(text)) is not None:
        return _compared(said, compared)
    if (absent := _NOT.fullmatch(text)) is not None and absent["name"] in _NAMES:
        return FeatureLooked(_NAMES[absent["name"]].name, 0, 0)
    if (one := _ARTICLE.fullmatch(text)) is not None and one["name"] in _NAMES:
        return FeatureLooked(_NAMES[one["name"]].name, 1, MANY)
    return _words(text)


def _compared(said: str, told: re.Match[str]) -> FeatureLooked:
    """A count that is compared, as in `loops >= 3`."""
    feature = _NAMES.get(told["name"])
    if feature is None or not feature.counted:
        raise FaultyMaterial(_unknown(said, told["name"]))
    count = _number(told["count"])
    least, most = {
        "=": (count, count),
        "<": (0, count - 1),
        "<=": (0, count),
        ">": (count + 1, MANY),
        ">=": (count, MANY),
    }[_SIGNS.get(told["sign"], told["sign"])]
    return FeatureLooked(feature.name, least, most)


def _counted(feature: Feature, told: re.Match[str]) -> FeatureLooked:
    count = _number(told["count"])
    match _BOUNDS.get(told["bound"], told["bound"]):
        case "at least":
            return FeatureLooked(feature.name, count, MANY)
        case "at most":
            return FeatureLooked(feature.name, 0, count)
        case "more than":
            return FeatureLooked(feature.name, count + 1, MANY)
        case "fewer than":
            return FeatureLooked(feature.name, 0, count - 1)
    if told["more"] or told["after"] == "more":
        return FeatureLooked(feature.name, count, MANY)
    if told["less"] or told["after"]:
        return FeatureLooked(feature.name, 0, count)
    return FeatureLooked(feature.name, count, _number(told["most"]) if told["most"] else count)


def _number(word: str) -> int:
    return _NUMBERS.index(word) if word in _NUMBERS else int(word)


def _words(text: str) -> WordsLooked:
    words = words_of(text)
    if not words:
        message = f'"{text}" holds no word that could be looked for.'
        raise FaultyMaterial(Finding("bank/nothing-to-look-for", message, "Write words or features."))
    return WordsLooked(words, text)


def feature_near(text: str) -> str:
    """The way to ask for a feature that a part most likely meant; empty where none is near."""
    bare = re.sub(rf"^(?:{_NUMBER}|not|without)\s+(?:an?\s+)?", "", text)
    return nearest(bare, _NAMES) or ""


def _unknown(said: str, name: str) -> Finding:
    near = nearest(name, (known for known, feature in _NAMES.items() if feature.counted))
    mend = f"Did you mean {near}?" if near else "Features that are counted: see docs/bank.md."
    return Finding("bank/unknown-feature", f'"{said}" counts something that the bank does not count.', mend)
