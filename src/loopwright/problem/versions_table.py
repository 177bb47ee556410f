"""The table [versions] of a problem file: what varies and from what, and what must hold.

    [versions]
    E1   = "6 to 24 V"                              whole volts
    R1   = "E12 from 10 ohm to 100 ohm"             preferred values of IEC 60063
    R2   = "2, 3, 4.7 ohm"
    hold = ["currents whole", "one current negative", "I2 < I3"]
    difficulty = "mixed"                            else all versions are of one difficulty
    forms = ["arrows turned", "renamed"]            in which they may differ besides
    asked = [["Ic"], ["Ib", "P(Rh)"]]               what may be asked instead

Says all that is wrong with the table; looks for no numbers.
"""

from __future__ import annotations

from collections.abc import Mapping

from ..circuit.circuit import Circuit
from ..circuit.names import listed, nearest, quantity_name
from ..circuit.unit_kinds import asked_of, settle
from ..circuit.value_choices import UnreadableChoices, choices
from ..circuit.version_forms import form_faults
from ..circuit.versions_asked import DIFFICULTIES, FORMS, VersionsAsked
from ..circuit.wishes import wish
from ..errors import FaultyMaterial
from ..expressions.dimensions import PLAIN
from ..expressions.values import symbols_of
from .faults import Faults
from .value_checks import UNIT_OF_KIND

_WORDS = ("hold", "difficulty", "forms", "asked")


def read_versions(table: Mapping[str, object], circuit: Circuit, faults: Faults) -> VersionsAsked:
    """Reads [versions] but for the sense of its wishes; what cannot be read is put down and left out."""
    found = {
        quantity_name(key) or key: text
        for key, content in table.items()
        if key not in _WORDS and (text := _choices(key, content, circuit, faults)) is not None
    }
    return VersionsAsked(
        found,
        _hold(table.get("hold", []), faults),
        _difficulty(table.get("difficulty", ""), faults),
        _forms(table.get("forms", []), faults),
        _asked(table.get("asked", []), faults),
    )


def check_wishes(circuit: Circuit, faults: Faults) -> None:
    """Finds the wishes and forms of [versions] that cannot be read, or name what there is not."""
    for number, text in enumerate(circuit.versions.hold):
        try:
            wish(text, circuit)
        except FaultyMaterial as trouble:
            for found in trouble.findings:
                faults.add(found.code, ("versions", "hold", number), found.message, found.mend, found.about)
    for (key, number), found in form_faults(circuit, circuit.versions):
        faults.add(found.code, ("versions", key, number), found.message, found.mend, found.about)


def _choices(key: str, content: object, circuit: Circuit, faults: Faults) -> str | None:
    name = quantity_name(key) or key
    path = ("versions", key)
    if name not in circuit.symbols:
        known = (*circuit.symbols, *_WORDS)
        near = nearest(key, known)
        element = circuit.elements.get(name)
        held = listed(symbols_of(element.value)) if element is not None else ""
        mend = f"Did you mean {near}?" if near else f"The symbols are {listed(circuit.symbols)}."
        faults.add(
            "versions/unknown-symbol",
            path,
            f"[versions] says from what {key} is chosen, but no value in this circuit holds such a symbol.",
            f"Say it of {held}, by which {key} is given." if held else mend,
            (name,),
        )
        return None
    if not isinstance(content, str):
        faults.add(
            "file/wrong-type",
            path,
            f"what {key} may be is not a text.",
            f'Write it in quotes: {key} = "{_example(_unit(name, circuit))}".',
            (name,),
        )
        return None
    try:
        choices(content, _unit(name, circuit))
    except UnreadableChoices as trouble:
        mend = f"{trouble.mend[0].upper()}{trouble.mend[1:]}."
        faults.add(
            "versions/unreadable-choices",
            path,
            f"what {key} may be is not clear: {trouble.why}.",
            mend,
            (name,),
        )
        return None
    return content.strip()


def unit_of(symbol: str, circuit: Circuit) -> str:
    """The SI unit in which a symbol's values are."""
    return _unit(symbol, circuit)


def _unit(symbol: str, circuit: Circuit) -> str:
    kinds, _ = settle(asked_of(circuit.elements.values(), circuit.start))
    return UNIT_OF_KIND.get(kinds.known.get(symbol, PLAIN), "")


def _example(unit: str) -> str:
    return {"V": "6 to 24 V", "A": "1 to 3 A"}.get(unit, "2 to 12 ohm")


def _hold(content: object, faults: Faults) -> tuple[str, ...]:
    items = [content] if isinstance(content, str) else content
    if not isinstance(items, list) or not all(isinstance(item, str) for item in items):
        mend = 'Write hold = ["currents whole", "I2 < I3"].'
        faults.add("file/wrong-type", ("versions", "hold"), "hold is not a list of texts.", mend)
        return ()
    return tuple(dict.fromkeys(" ".join(item.split()) for item in items))


def _difficulty(content: object, faults: Faults) -> str:
    if content == "" or (isinstance(content, str) and content in DIFFICULTIES):
        return str(content)
    told = listed([f'"{word}"' for word in DIFFICULTIES], "or")
    faults.add(
        "versions/unknown-difficulty",
        ("versions", "difficulty"),
        "the difficulty of versions is not one of the words for it.",
        f"Write difficulty = {told}.",
    )
    return ""


def _forms(content: object, faults: Faults) -> tuple[str, ...]:
    items = [content] if isinstance(content, str) else content
    if isinstance(items, list) and all(item in FORMS for item in items):
        return tuple(form for form in FORMS if form in items)
    told = listed(f'"{form}"' for form in FORMS)
    message = "the forms of versions are not words for them."
    faults.add("versions/unknown-form", ("versions", "forms"), message, f"There are {told}.")
    return ()


def _asked(content: object, faults: Faults) -> tuple[tuple[str, ...], ...]:
    if isinstance(content, list) and all(isinstance(texts, list) and texts for texts in content):
        lists = [tuple(text.strip() if isinstance(text, str) else "" for text in texts) for texts in content]
        if all(text for texts in lists for text in texts):
            return tuple(dict.fromkeys(lists))
    message = "what versions may ask instead is not a list of lists of questions."
    mend = 'Write asked = [["I1"], ["I2", "P(R1)"]].'
    faults.add("file/wrong-type", ("versions", "asked"), message, mend)
    return ()
