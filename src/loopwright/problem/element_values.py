"""The elements of a problem file: their kinds and their values, from [elements] and from first letters.

A value is a symbol, a number with its unit, or an expression in symbols. A number stands in the
circuit's `numbers` under the element's own name; an element named in another's value is put in.
Says all that is wrong with the table.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field

from ..circuit.elements import UNIT_OF, Element, Kind
from ..circuit.names import listed, nearest, quantity_name
from ..expressions.nodes import (
    ZERO,
    Expr,
    Symbol,
    put_in,
)
from ..expressions.parse import Unreadable, expression
from ..expressions.values import symbols_of
from .branch_lines import KIND_BY_LETTER
from .faults import Faults
from .key_lines import KeyPath
from .number_texts import ReadNumber, is_number, read_number, warn_if_unclear

_KEYS = ("kind", "value", "internal", "closed")
_INTERNAL = ("internal", "inside")  # the key, and the word that files written before it may use
_WORD = re.compile(r"[^\W\d]\w*")
_PathOf = Callable[[str], KeyPath]
_LONGEST = 200  # signs of a value: more is no value that a person wrote
_WORDS_OF_KIND = [str(kind) for kind in Kind]
_SYNONYMS = {"inductor": str(Kind.COIL)}  # the trade says both


@dataclass(slots=True)
class ElementValues:
    """What has been read of [elements] so far: the elements; the numbers that stand in their values, by
    symbol; and where each value is written. `met`: the elements that branches meet; `words`: how often each
    name stands in the texts of the table."""

    elements: dict[str, Element] = field(default_factory=dict)
    numbers: dict[str, ReadNumber] = field(default_factory=dict)
    paths: dict[str, KeyPath] = field(default_factory=dict)  # where the value of an element is written
    internals: dict[str, KeyPath] = field(default_factory=dict)  # where its internal resistance is written
    met: frozenset[str] = frozenset()  # the elements that branches meet
    words: Mapping[str, int] = field(default_factory=dict)  # how often each word stands in the table

    def taken_elsewhere(self, content: object) -> frozenset[str]:
        """The names in use in the table, those that stand in `content` and nowhere else left out."""
        here = Counter(_names_in(content))
        return self.met | {word for word, count in self.words.items() if count > here[word]}

    def path_of_internal(self, name: str) -> KeyPath:
        """Where the internal resistance of a battery is written."""
        return self.internals.get(name, self.paths[name])


def read_elements(table: Mapping[str, object], met: Mapping[str, str], faults: Faults) -> ElementValues:
    """Reads [elements] for the elements that branches meet (`met`: element -> key of its branch)."""
    written: dict[str, tuple[str, object]] = {}
    for key, content in table.items():
        name = quantity_name(key) or key
        if name in written:
            faults.add(
                "file/repeated-key",
                ("elements", key),
                f"{written[name][0]} and {key} are the same element {name}.",
                "Keep one of the two lines.",
            )
        elif name not in met:
            _unused(key, name, met, faults)
        written.setdefault(name, (key, content))
    values = ElementValues(met=frozenset(met), words=Counter(_names_in(table)))
    for name, branch in met.items():
        key, content = written.get(name, ("", None))
        path: KeyPath = ("elements", key) if key else ("branches", branch)
        values.paths[name] = path
        kind = _kind(name, content, path, faults)
        if kind is not None:
            _element(name, kind, content, path, values, faults)
    _put_elements_in(values, faults)
    return values


def _unused(key: str, name: str, met: Iterable[str], faults: Faults) -> None:
    near = nearest(name, met)
    faults.add(
        "circuit/unused-element",
        ("elements", key),
        f"{key} stands under [elements], but no branch meets it.",
        f"Did you mean {near}?" if near else f"Put {key} into a branch, or take the line out.",
        (name,),
    )


# -- the kind ------------------------------------------------------------------------------------


def _kind(name: str, content: object, path: KeyPath, faults: Faults) -> Kind | None:
    if isinstance(content, Mapping) and "kind" in content:
        said = content["kind"]
        words = _SYNONYMS.get(str(said).strip().lower(), str(said).strip().lower())
        if words in _WORDS_OF_KIND:
            return Kind(words)
        near = nearest(words, _WORDS_OF_KIND)
        faults.add(
            "circuit/unknown-kind",
            (*path, "kind"),
            f'{name} is said to be a "{said}", which is no kind of element.',
            f'Did you mean "{near}"?' if near else f"Write one of {listed(_WORDS_OF_KIND, 'or')}.",
            (name,),
        )
        return None
    if name[0] in KIND_BY_LETTER:
        return KIND_BY_LETTER[name[0]]
    source = f" A current source is named with J, as {'J' + name[1:]}." if name[0] in "Ii" else ""
    faults.add(
        "circuit/unknown-kind",
        path,
        f"the first letter of {name} does not tell what it is (R resistor, E or V battery, J current source, "
        "S switch, A ammeter, C capacitor, L coil).",
        f'Name it by its kind, or write {name} = {{ kind = "resistor" }} under [elements].{source}',
        (name,),
    )
    return None


# -- one element ---------------------------------------------------------------------------------


def _element(
    name: str, kind: Kind, content: object, path: KeyPath, values: ElementValues, faults: Faults
) -> None:
    table = content if isinstance(content, Mapping) else {"value": content} if content is not None else {}
    for key in table:
        if key not in _KEYS and key not in _INTERNAL:
            near = nearest(str(key), _KEYS)
            faults.add(
                "file/unknown-key",
                (*path, str(key)),
                f'element {name} has no key "{key}".',
                f"Did you mean {near}?" if near else f"It may have {listed(_KEYS)}.",
                (name,),
            )
    within = isinstance(content, Mapping)

    def at(key: str) -> KeyPath:
        return (*path, key) if within and key in table else path

    closed = _closed(name, kind, table, at, faults)
    value: Expr = ZERO
    if kind in UNIT_OF:
        value = Symbol(name)
        if "value" in table:
            values.paths[name] = at("value")
            value = _value(name, kind, table["value"], at("value"), name, values, faults)
    elif "value" in table and kind is not Kind.SWITCH:
        faults.add(
            "circuit/needless-value",
            at("value"),
            f"{name} is an ideal {kind} and has no value.",
            "Take the value out; for a real meter put a resistor beside it.",
            (name,),
        )
    internal = _internal(name, kind, table, at, values, faults)
    values.elements[name] = Element(name, kind, value, internal, closed)


def _internal(
    name: str, kind: Kind, table: Mapping[str, object], at: _PathOf, values: ElementValues, faults: Faults
) -> Expr | None:
    """The internal resistance said of an element; None where none is, or none can be."""
    keys = [key for key in _INTERNAL if key in table]
    if not keys:
        return None
    if len(keys) == 2:
        faults.add(
            "file/repeated-key",
            at("inside"),
            f"internal and inside are the same key of {name}.",
            'Keep "internal", and take "inside" out.',
            (name,),
        )
    key = keys[0]
    if kind not in (Kind.BATTERY, Kind.COIL):
        faults.add(
            "circuit/needless-value",
            at(key),
            f"{name} is a {kind} and has no internal resistance; only a battery and a coil have.",
            "Put a resistor into the branch, or across a current source.",
            (name,),
        )
        return None
    values.internals[name] = at(key)
    what, symbol = f"the internal resistance of {name}", _internal_symbol(name, values)
    return _value(what, Kind.RESISTOR, table[key], at(key), symbol, values, faults)


def _internal_symbol(name: str, values: ElementValues) -> str:
    """The symbol of an internal resistance given as a number: r1 for E1, or rE1 where r1 is taken."""
    short = "r" + name[1:]
    return f"r{name}" if short in values.met or short in values.words or short in values.numbers else short


def _names_in(table: object) -> Iterable[str]:
    """Every name that stands in the texts of a table."""
    if isinstance(table, str):
        yield from (quantity_name(word) or word for word in _WORD.findall(table))
    elif isinstance(table, Mapping):
        for content in table.values():
            yield from _names_in(content)


def _closed(name: str, kind: Kind, table: Mapping[str, object], at: _PathOf, faults: Faults) -> bool:
    if kind is not Kind.SWITCH:
        if "closed" in table:
            faults.add(
                "circuit/needless-value",
                at("closed"),
                f"{name} is a {kind}; only a switch is open or closed.",
                "Take the key out.",
                (name,),
            )
        return True
    said = table.get("closed", table.get("value"))
    words = {"closed": True, "open": False}
    state = (
        said if isinstance(said, bool) else words.get(said.strip().lower()) if isinstance(said, str) else None
    )
    if state is None:
        faults.add(
            "circuit/switch-without-state",
            at("closed") if "closed" in table else at("value"),
            f"switch {name} is said to be neither open nor closed."
            if said is None
            else f'switch {name} is said to be "{said}", neither open nor closed.',
            f'Write {name} = "open" or {name} = "closed" under [elements].',
            (name,),
        )
    return bool(state)


def _value(
    told: str, kind: Kind, content: object, path: KeyPath, own: str, values: ElementValues, faults: Faults
) -> Expr:
    """Reads one value; a number is put down under the symbol `own`, which then is the value."""
    if isinstance(content, str):
        warn_if_unclear(content, told, values.met, path, faults)
    if is_number(content, UNIT_OF[kind], values.taken_elsewhere(content)):
        reading = read_number(content, UNIT_OF[kind], told, path, faults)
        if reading is not None:
            values.numbers[own] = reading
        return Symbol(own)
    if not isinstance(content, str):
        faults.add(
            "file/wrong-type",
            path,
            f"the value of {told} is neither a text nor a number.",
            f'Write it as "{own}", "2 R" or "5.0 {UNIT_OF[kind]}".',
            (own,),
        )
        return Symbol(own)
    try:
        value = _short_expression(content, values.met)
    except Unreadable as error:
        faults.add(
            "file/unreadable-value",
            path,
            f'the value "{content[:_LONGEST]}" of {told} cannot be read: {error.why}.',
            f'Write a symbol, an expression such as "2 R", or a number such as "5.0 {UNIT_OF[kind]}".',
            (own,),
        )
        return Symbol(own)
    return value


def _short_expression(text: str, known: frozenset[str]) -> Expr:
    if len(text) > _LONGEST:
        raise Unreadable(f"it is longer than {_LONGEST} signs", text, _LONGEST)
    return expression(text, known)


# -- elements named in the values of others ------------------------------------------------------


def _put_elements_in(values: ElementValues, faults: Faults) -> None:
    """Puts, for every element named in another's value, that element's own value."""
    valued = {name: e for name, e in values.elements.items() if e.kind in UNIT_OF}
    done: dict[str, Expr] = {name: e.value for name, e in valued.items() if e.value == Symbol(name)}

    def resolved(name: str, above: tuple[str, ...]) -> Expr:
        if name in done:
            return done[name]
        if name in above:
            ring = above[above.index(name) :]
            faults.add(
                "circuit/circular-value",
                values.paths[name],
                f"the values of {listed(ring)} are given by one another in a circle."
                if len(ring) > 1
                else f"the value of {name} is given by {name} itself.",
                f"Give {'it' if len(ring) == 1 else 'one of them'} a symbol or a number of its own.",
                ring,
            )
            done.update({other: Symbol(other) for other in ring})
            return done[name]
        value = _put(valued[name].value, (*above, name))
        return done.setdefault(name, value)

    def _put(expr: Expr, above: tuple[str, ...]) -> Expr:
        named = [n for n in symbols_of(expr) if n in valued]
        return put_in(expr, {n: resolved(n, above) for n in named})

    for name, element in valued.items():
        value = resolved(name, ())
        internal = element.internal and _put(element.internal, ())
        values.elements[name] = Element(name, element.kind, value, internal, element.closed)
    for name, element in valued.items():
        for other in symbols_of(element.value):
            if other in values.elements and other not in valued:
                kind = values.elements[other].kind
                faults.add(
                    "circuit/value-of-nothing",
                    values.paths[name],
                    f"the value of {name} names {other}, which is a {kind} and has no value.",
                    "Use another symbol.",
                    (name, other),
                )
