"""A quiz as a content package of the standard: items, figure, one test and the manifest in a zip.

The same quiz gives the same bytes: no clock, no compression that could differ from one library to the next.
"""

from __future__ import annotations

import io
import zipfile
from itertools import groupby

from ..expressions.said import OwnWords
from ..expressions.terms import LANGUAGE
from ..figure.describe import describe
from ..figure.figure import draw, is_drawn
from ..figure.svg import svg
from ..legible import legible
from ..sheet.document import Paragraph, Text
from ..sheet.pdf import drawing_as_png
from ..sheet.problem_sheet import as_handed_out, at_the_start, given_said
from ..sheet.sheets import roles
from .item import ItemKind
from .qti_items import ShownCircuit, item_tree
from .qti_rules import hold_item, hold_package
from .qti_tree import QtiVersion, XmlPart, part
from .quiz import Quiz

LONG_AGO = (1980, 1, 1, 0, 0, 0)  # the first date a zip can hold
PER_INCH = 192.0  # pixels of the figure as a picture, of which a page shows half as many
SHOWN_PER_MM = 96 / 25.4
FIGURE = "figure"
SECTIONS = {
    ItemKind.CHOICE: ("Values", "Choose one."),
    ItemKind.NUMBER: (
        "Numbers",
        "Type plain numbers: a point for decimals, the sign if it is a minus, no unit.",
    ),
    ItemKind.FORMULA: ("Closed forms", "Choose one."),
    ItemKind.RANKING: ("In order", "Put the greatest first."),
    ItemKind.DIRECTION: ("Directions", "Choose one."),
    ItemKind.ENOUGH: ("Sets of equations", "Choose all that hold; a wrong one costs a point."),
    ItemKind.LIMIT: ("Limits", "Choose one."),
    ItemKind.WRONG_LINE: ("Find the wrong line", "Choose one line."),
}


def write(quiz: Quiz, version: QtiVersion) -> bytes:
    """The package as the bytes of a zip. Raises BrokenPromise where it would break a rule of the standard."""
    return _zipped(package_files(quiz, version))


def package_files(quiz: Quiz, version: QtiVersion) -> dict[str, bytes]:
    """The files of the package by their paths, the manifest first."""
    shown, files = _shown(quiz)
    trees = [item_tree(item, shown) for item in quiz.items]
    for tree in trees:
        hold_item(tree)
    stem = quiz.items[0].name.rpartition("-01-")[0]
    test = _test(quiz, f"{stem}-test")
    manifest = _manifest(quiz, stem, version, sorted(files))
    whole = {
        "imsmanifest.xml": version.manifest(manifest),
        f"test/{stem}.xml": version.document(test),
        **{f"items/{tree.get('identifier')}.xml": version.document(tree) for tree in trees},
    }
    found = {path: legible(text).encode() for path, text in whole.items()} | files
    hold_package(manifest, test, found)
    return found


def _shown(quiz: Quiz) -> tuple[ShownCircuit, dict[str, bytes]]:
    """What every item shows of the circuit, and the files of its figure."""
    circuit = quiz.circuit
    drawn = as_handed_out(circuit)
    words = tuple(describe(drawn).splitlines())
    language = LANGUAGE[circuit.page.terms or "british"]
    before = ((OwnWords(circuit.story),),) if circuit.story else ()
    given = given_said(circuit)
    after: tuple[Text, ...] = (given,) if given else ()
    after += tuple(block.text for block in at_the_start(circuit) if isinstance(block, Paragraph))
    if not is_drawn(drawn):
        return ShownCircuit(before, after, words, words[0], roles=roles(circuit), language=language), {}
    drawing = draw(drawn)
    files = {
        f"items/{FIGURE}/{FIGURE}.svg": svg(drawing, quiz.title, "\n".join(words)).encode(),
        f"items/{FIGURE}/{FIGURE}.png": drawing_as_png(drawing, PER_INCH),
    }
    shown = ShownCircuit(
        before,
        after,
        words,
        f"{words[0]} It is described in words below.",
        f"{FIGURE}/{FIGURE}.svg",
        f"{FIGURE}/{FIGURE}.png",
        round(drawing.width * SHOWN_PER_MM),
        round(drawing.height * SHOWN_PER_MM),
        roles(circuit),
        language,
    )
    return shown, files


def _test(quiz: Quiz, name: str) -> XmlPart:
    """The test: a section for each kind, its points added up."""
    sections = []
    for kind, group in groupby(quiz.items, key=lambda item: item.kind):
        title, how = SECTIONS[kind]
        refs = [
            part("assessmentItemRef", identifier=item.name, href=f"../items/{item.name}.xml", required=True)
            for item in group
        ]
        sections.append(
            part(
                "assessmentSection",
                part("ordering", shuffle=False),
                part("rubricBlock", part("p", how), view="candidate"),
                *refs,
                identifier=f"section-{kind}",
                title=title,
                visible=True,
                keepTogether=True,
            )
        )
    control = part("itemSessionControl", maxAttempts=1, showFeedback=True, allowSkipping=True)
    total = part(
        "setOutcomeValue", part("sum", part("testVariables", variableIdentifier="SCORE")), identifier="SCORE"
    )
    return part(
        "assessmentTest",
        part(
            "outcomeDeclaration",
            part("defaultValue", part("value", "0")),
            identifier="SCORE",
            cardinality="single",
            baseType="float",
        ),
        part(
            "testPart",
            control,
            *sections,
            identifier="part-1",
            navigationMode="nonlinear",
            submissionMode="individual",
        ),
        part("outcomeProcessing", total),
        identifier=name,
        title=quiz.title,
    )


def _manifest(quiz: Quiz, stem: str, version: QtiVersion, figures: list[str]) -> XmlPart:
    """Every file with what it depends on."""
    names = {path: f"{stem}-figure-{path.rpartition('.')[2]}" for path in figures}
    resources = [
        _resource(
            f"{stem}-test",
            f"imsqti_test_xml{version.types}",
            f"test/{stem}.xml",
            [i.name for i in quiz.items],
        )
    ]
    resources += [
        _resource(
            item.name, f"imsqti_item_xml{version.types}", f"items/{item.name}.xml", list(names.values())
        )
        for item in quiz.items
    ]
    resources += [_resource(name, "webcontent", path, []) for path, name in names.items()]
    metadata = part(
        "metadata", part("schema", version.schema_name), part("schemaversion", version.schema_version)
    )
    return part(
        "manifest",
        metadata,
        part("organizations"),
        part("resources", *resources),
        identifier=f"{stem}-package",
    )


def _resource(name: str, kind: str, path: str, needs: list[str]) -> XmlPart:
    dependencies = (part("dependency", identifierref=need) for need in needs)
    return part("resource", part("file", href=path), *dependencies, identifier=name, type=kind, href=path)


def _zipped(files: dict[str, bytes]) -> bytes:
    """The files in one zip, stored as they are, all of one date."""
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_STORED) as package:
        for path, content in files.items():
            entry = zipfile.ZipInfo(path, LONG_AGO)
            entry.create_system = 3
            entry.external_attr = 0o644 << 16
            package.writestr(entry, content)
    return held.getvalue()
