"""A circuit written down as a problem file, which reads back to the same circuit.

Says only what the reader would not take for granted: kinds that the first letter tells and values
that are the element's own name are left out. Knows no laws.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction

from ..circuit.board_wishes import BoardWishes
from ..circuit.circuit import Circuit
from ..circuit.elements import UNIT_HELD, UNIT_OF, Branch, Element, Kind, Ladder, SwitchMove
from ..circuit.page_wishes import PageWishes
from ..circuit.unit_kinds import asked_of, settle
from ..circuit.versions_asked import VersionsAsked
from ..expressions.dimensions import AMPERE, FARAD, HENRY, OHM, PLAIN, SECOND, VOLT
from ..expressions.nodes import (
    ZERO,
    Determinant,
    Expr,
    Negative,
    Number,
    Parallel,
    Power,
    Product,
    Quotient,
    Sum,
    Symbol,
    expanded,
)
from ..expressions.tokens import scale_of
from ..quantities import figures_of_data, read_unit
from .branch_lines import KIND_BY_LETTER
from .loops_key import loop_text

_UNIT = {OHM: "ohm", VOLT: "V", AMPERE: "A", FARAD: "F", HENRY: "H", SECOND: "s"}
_ESCAPES = {"\\": "\\\\", '"': '\\"', "\n": "\\n", "\t": "\\t", "\r": "\\r", "\b": "\\b", "\f": "\\f"}


def _ladder(ladder: Ladder) -> dict[str, str]:
    """A ladder without end; one of a number of sections is laid out in branches and told by them."""
    ends = {"from": quoted(", ".join(ladder.start)), "to": quoted(", ".join(ladder.end))}
    return {**ends, "repeated": quoted("without end")}


def _page(page: PageWishes) -> dict[str, str]:
    """What is wished of the sheet, as far as anything is said."""
    said = {"edition": page.edition, "paper": page.paper, "terms": page.terms, "figure": page.figure}
    found = {key: quoted(word) for key, word in said.items() if word}
    return found | ({"sections": _listed(page.sections)} if page.sections else {})


def _board(board: BoardWishes) -> dict[str, str]:
    """What is wished of the lecture, as far as anything is said."""
    found = {"acts": board.acts, "methods": board.methods}
    told = {key: _listed(words) for key, words in found.items() if words}
    told |= {} if board.minutes is None else {"minutes": _seconds(board.minutes)}
    told |= {} if board.words_a_minute is None else {"words_a_minute": str(board.words_a_minute)}
    told |= {"look": quoted(board.look)} if board.look else {}
    told |= {"shape": quoted(board.shape)} if board.shape else {}
    gaps = ", ".join(str(gap) if isinstance(gap, int) else quoted(gap) for gap in board.gaps)
    return told | ({"gaps": f"[{gaps}]"} if gaps else {})


def _seconds(value: float) -> str:
    """A time as TOML writes it."""
    return str(int(value)) if value == int(value) else repr(value)


def _versions(asked: VersionsAsked) -> dict[str, str]:
    """What is said of versions."""
    found = {name: quoted(text) for name, text in asked.choices.items()}
    found |= {"hold": _listed(asked.hold)} if asked.hold else {}
    found |= {"difficulty": quoted(asked.difficulty)} if asked.difficulty else {}
    found |= {"forms": _listed(asked.forms)} if asked.forms else {}
    return found | ({"asked": f"[{', '.join(map(_listed, asked.asked))}]"} if asked.asked else {})


def _by_the_data(circuit: Circuit) -> int:
    """The figures that a problem file without the key gives."""
    return figures_of_data(text.strip('"') for text in _numbers(circuit).values())


def written(circuit: Circuit) -> str:
    """The problem file of a circuit: reading it gives an equal circuit.

    Elements that no branch meets are left out. A number without a written text of its own is written
    in ohms, volts or amperes, in full if its decimals end and as a fraction otherwise.
    """
    met = [circuit.elements[p.element] for b in circuit.branches for p in b.passes]
    moving = {move.switch for move in circuit.switching}
    head = [
        *(
            f"{key} = {quoted(text)}"
            for key, text in (("title", circuit.title), ("story", circuit.story))
            if text
        ),
        *(
            f"{key} = {_listed(texts)}"
            for key, texts in (
                ("find", (*circuit.find, *circuit.in_time, *circuit.sought, *circuit.ranked)),
                ("given", circuit.given),
                ("expect", circuit.expect),
                ("plots", circuit.plots),
                ("loops", tuple(map(loop_text, circuit.loops))),
            )
            if texts
        ),
        *([f"figures = {circuit.figures}"] if circuit.figures != _by_the_data(circuit) else []),
        *([f"method = {quoted(circuit.page.method)}"] if circuit.page.method else []),
    ]
    sections = [
        "\n".join(head),
        _section("branches", {b.name: quoted(_branch(b)) for b in circuit.branches}),
        _section("elements", {e.name: text for e in met if e.name not in moving and (text := _element(e))}),
        _section("numbers", _numbers(circuit)),
        _section("switching", _moves(circuit)),
        _section("start", {name: quoted(_start(circuit, name)) for name in circuit.start}),
        _section("places", {p: f"[{_number(x)}, {_number(y)}]" for p, (x, y) in circuit.places.items()}),
        _section("ratings", {n: quoted(f"{_number(power)} W") for n, power in circuit.ratings.items()}),
        _section("ladder", _ladder(circuit.ladder) if circuit.ladder is not None else {}),
        _section("versions", _versions(circuit.versions)),
        _section("sheet", _page(circuit.page)),
        _section("board", _board(circuit.board)),
        _section("board.pauses", {act: _seconds(wait) for act, wait in circuit.board.pauses.items()}),
        _section("board.say", {act: quoted(words) for act, words in circuit.board.say.items()}),
    ]
    return "\n\n".join(section for section in sections if section) + "\n"


def expression_text(expr: Expr) -> str:
    """An expression on one line as it is typed: `2 R`, `R1 R2 / (R1 + R2)`."""
    match expr:
        case Number(value, unit, text):
            shown = text or _number(value / scale_of(unit))
            return f"{shown} {unit}" if unit else f"({shown})" if "/" in shown else shown
        case Symbol(name):
            return name
        case Sum(terms):
            first, *rest = terms
            parts = [expression_text(first)]
            for term in rest:
                minus = isinstance(term, Negative)
                body = term.body if isinstance(term, Negative) else term
                parts.append(f"{'-' if minus else '+'} {_bracketed(body, Sum, Negative)}")
            return " ".join(parts)
        case Negative(body):
            return f"-{_bracketed(body, Sum, Negative)}"
        case Product(factors):
            return _product(factors)
        case Quotient(above, below):
            over = _bracketed(above, Sum, Negative, Quotient, Parallel)
            return f"{over} / {_bracketed(below, Sum, Negative, Quotient, Product, Parallel)}"
        case Power(base, exponent):
            return f"{_bracketed(base, Sum, Negative, Quotient, Product, Parallel, Power)}^{exponent}"
        case Parallel(sides):
            return " || ".join(_bracketed(side, Sum, Negative, Parallel) for side in sides)
        case Determinant(rows):
            return expression_text(expanded(rows))


def _product(factors: tuple[Expr, ...]) -> str:
    """Factors side by side; a sign between them where a number, or what could be a unit, follows."""
    text = ""
    for factor in factors:
        written = _bracketed(factor, Sum, Negative, Quotient, Product, Parallel)
        unit_like = isinstance(factor, Symbol) and text[-1:].isdigit() and read_unit(factor.name) is not None
        joint = " * " if isinstance(factor, Number) or unit_like else " "
        text = f"{text}{joint}{written}" if text else written
    return text


def _bracketed(expr: Expr, *kinds: type) -> str:
    text = expression_text(expr)
    return f"({text})" if isinstance(expr, kinds) else text


def _branch(branch: Branch) -> str:
    return ", ".join(piece for piece in (branch.start, branch_words(branch), branch.end) if piece)


def branch_words(branch: Branch) -> str:
    """What a branch meets along its arrow, in the words of a problem file: `+E2, R2`."""
    signs = {1: "+", -1: "-", 0: ""}
    return ", ".join(f"({i})" if isinstance(i, str) else f"{signs[i.sign]}{i.element}" for i in branch.along)


def _moves(circuit: Circuit) -> dict[str, str]:
    """The lines of [switching]: one move as a text, several of one switch as a list."""
    found: dict[str, list[str]] = {}
    for move in circuit.switching:
        found.setdefault(move.switch, []).append(_move(move))
    return {name: quoted(texts[0]) if len(texts) == 1 else _listed(texts) for name, texts in found.items()}


def _move(move: SwitchMove) -> str:
    words = {True: "closed", False: "open"}
    return f"{words[move.before]} -> {words[move.after]}" + (f" at {move.at}" if move.at else "")


def _start(circuit: Circuit, storage: str) -> str:
    """What a storage holds at the start; nothing is written with its unit."""
    value = circuit.start[storage]
    return f"0 {UNIT_HELD[circuit.elements[storage].kind]}" if value == ZERO else expression_text(value)


def _element(element: Element) -> str:
    """The line of an element under [elements]; empty where nothing needs to be said."""
    said: dict[str, str] = {}
    if KIND_BY_LETTER.get(element.name[0]) is not element.kind:
        said["kind"] = quoted(element.kind)
    if element.kind in UNIT_OF and element.value != Symbol(element.name):
        said["value"] = quoted(expression_text(element.value))
    if element.internal is not None:
        said["internal"] = quoted(expression_text(element.internal))
    if element.kind is Kind.SWITCH:
        if not said:
            return quoted("closed" if element.closed else "open")
        said["closed"] = "true" if element.closed else "false"
    if list(said) == ["value"]:
        return said["value"]
    return "{ " + ", ".join(f"{key} = {text}" for key, text in said.items()) + " }" if said else ""


def _numbers(circuit: Circuit) -> dict[str, str]:
    kinds, _ = settle(asked_of(circuit.elements.values(), circuit.start))
    kinds.known |= {move.at: SECOND for move in circuit.switching}
    texts: dict[str, str] = {}
    for name, value in circuit.numbers.items():
        unit = _UNIT.get(kinds.known.get(name, PLAIN), "")
        texts[name] = quoted(circuit.written.get(name) or f"{_number(value)} {unit}".strip())
    return texts


def _number(value: Fraction) -> str:
    """A number exactly: as a decimal where its decimals end, as a fraction otherwise."""
    twos, fives, rest = 0, 0, value.denominator
    while rest % 2 == 0:
        twos, rest = twos + 1, rest // 2
    while rest % 5 == 0:
        fives, rest = fives + 1, rest // 5
    if rest != 1:
        return str(value)
    places = max(twos, fives)
    scaled = abs(value) * 10**places
    digits = str(scaled.numerator).rjust(places + 1, "0")
    whole = f"{digits[:-places]}.{digits[-places:]}" if places else digits
    return f"-{whole}" if value < 0 else whole


def _section(name: str, lines: Mapping[str, str]) -> str:
    entries = (f"{key_text(key)} = {text}" for key, text in lines.items())
    return "\n".join((f"[{name}]", *entries)) if lines else ""


def key_text(key: str) -> str:
    """A key as it stands in TOML: bare where that is allowed, else in quotes."""
    return key if key.isascii() and key.replace("_", "").isalnum() else quoted(key)


def _listed(texts: Iterable[str]) -> str:
    return f"[{', '.join(map(quoted, texts))}]"


def quoted(text: str) -> str:
    """A text as it stands in TOML, between double quotes on one line."""

    def safe(character: str) -> str:
        if character in _ESCAPES:
            return _ESCAPES[character]
        return f"\\u{ord(character):04x}" if ord(character) < 32 or ord(character) == 127 else character

    return f'"{"".join(map(safe, text))}"'
