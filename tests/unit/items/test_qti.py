"""Items in the open standard, both versions: well formed, after its rules, and marked as they are meant."""

from __future__ import annotations

import io
import re
import xml.etree.ElementTree as ET
import zipfile
from collections.abc import Iterator
from dataclasses import replace
from itertools import permutations

import pytest

from loopwright import items
from loopwright.errors import BrokenPromise
from loopwright.items.item import AnsweredBy, ItemKind, QuizItem, decimal
from loopwright.items.qti_items import ShownCircuit, item_tree
from loopwright.items.qti_package import package_files, write
from loopwright.items.qti_rules import hold_item, hold_package
from loopwright.items.qti_tree import QTI_22, QTI_30, QtiVersion, XmlPart, part
from loopwright.items.quiz import Quiz
from tests.qti_player import Player, attribute, bare, find
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS, circuit_of

VERSIONS = (QTI_22, QTI_30)
STRICT = re.compile(r"[A-Za-z_][A-Za-z0-9_.\-]*")
INTERACTIONS = {"choiceinteraction", "orderinteraction", "hottextinteraction", "textentryinteraction"}
MATHML = "{http://www.w3.org/1998/Math/MathML}"


@pytest.fixture(scope="module")
def quiz() -> Quiz:
    """One item of each kind."""
    text = 'title = "Charge & <help>"\nstory = "Who pays?"\n' + CHARGE_OR_HELP_IN_NUMBERS
    return items(circuit_of(text), each=1)


@pytest.fixture(scope="module")
def packages(quiz: Quiz) -> dict[str, dict[str, bytes]]:
    """The files of the package, read from the zip, by version."""
    found: dict[str, dict[str, bytes]] = {}
    for version in VERSIONS:
        with zipfile.ZipFile(io.BytesIO(write(quiz, version))) as package:
            assert package.testzip() is None
            found[version.number] = {name: package.read(name) for name in package.namelist()}
    return found


def played(packages: dict[str, dict[str, bytes]], item: QuizItem) -> Iterator[Player]:
    """The item in each version."""
    return (Player(files[f"items/{item.name}.xml"]) for files in packages.values())


def of_kind(quiz: Quiz, kind: ItemKind) -> QuizItem:
    return next(item for item in quiz.items if item.kind is kind)


def test_there_is_an_item_of_every_kind(quiz: Quiz) -> None:
    assert [item.kind for item in quiz.items] == list(ItemKind)
    assert quiz.notes == ()


# -- marks -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", ItemKind)
def test_an_empty_answer_earns_nothing_and_is_told_nothing_of_others(
    quiz: Quiz, packages: dict[str, dict[str, bytes]], kind: ItemKind
) -> None:
    item = of_kind(quiz, kind)
    for player in played(packages, item):
        result = player.play(None)
        assert (result.score, result.most) == (0, item.points)
        assert all(told.startswith("Nothing that reads as an answer") for told in result.feedback)


@pytest.mark.parametrize(
    "kind", [k for k in ItemKind if k not in (ItemKind.NUMBER, ItemKind.ENOUGH, ItemKind.RANKING)]
)
def test_each_option_earns_and_is_told_what_belongs_to_it(
    quiz: Quiz, packages: dict[str, dict[str, bytes]], kind: ItemKind
) -> None:
    item = of_kind(quiz, kind)
    for player in played(packages, item):
        for option in item.options:
            result = player.play(option.name)
            assert result.score == (1 if option.right else 0)
            assert result.feedback == [" ".join(option.feedback.split())]


def test_a_number_is_right_to_its_bounds_and_no_farther(
    quiz: Quiz, packages: dict[str, dict[str, bytes]]
) -> None:
    item = of_kind(quiz, ItemKind.NUMBER)
    number = item.number
    assert number is not None
    for player in played(packages, item):
        for off, score in ((0, 1), (1, 1), (-1, 1), (2, 0), (-2, 0)):
            typed = decimal(number.value + off * number.tolerance)
            assert player.play(typed).score == score
        assert player.play(decimal(number.value)).feedback == [item.yes]


def test_foreseen_numbers_are_told_and_others_and_unreadable_ones_too(
    quiz: Quiz, packages: dict[str, dict[str, bytes]]
) -> None:
    item = of_kind(quiz, ItemKind.NUMBER)
    assert item.number is not None
    for player in played(packages, item):
        for foreseen in item.number.foreseen:
            result = player.play(decimal(foreseen.value, 4))
            assert (result.score, result.feedback) == (0, [" ".join(foreseen.feedback.split())])
        assert player.play("12345").feedback == [item.otherwise]
        for unreadable in ("2,0", "two", "−2", "2 A"):
            (told,) = player.play(unreadable).feedback
            assert told.startswith("Nothing that reads as an answer")


def test_only_the_right_order_earns_and_foreseen_orders_are_told(
    quiz: Quiz, packages: dict[str, dict[str, bytes]]
) -> None:
    item = of_kind(quiz, ItemKind.RANKING)
    foreseen = {order.names: order.feedback for order in item.foreseen}
    for player in played(packages, item):
        for names in permutations(item.order):
            result = player.play(list(names))
            assert result.score == (1 if names == item.order else 0)
            told = item.yes if names == item.order else foreseen.get(names, item.otherwise)
            assert result.feedback == [told]


def test_all_that_hold_earn_together_and_choosing_everything_does_not_pay(
    quiz: Quiz, packages: dict[str, dict[str, bytes]]
) -> None:
    item = of_kind(quiz, ItemKind.ENOUGH)
    wrong = [option.name for option in item.options if not option.right]
    for player in played(packages, item):
        assert player.play(list(item.right)).score == item.points
        assert player.play(list(item.right[:1])).score == 1
        assert player.play(wrong).score == 0
        everything = player.play([option.name for option in item.options])
        assert everything.score == max(0, item.points - len(wrong)) < item.points
        assert everything.feedback == [" ".join(option.feedback.split()) for option in item.options]


# -- the rules of the standard, seen in the files ------------------------------------------------------


@pytest.fixture(scope="module", params=[v.number for v in VERSIONS])
def files(request: pytest.FixtureRequest, packages: dict[str, dict[str, bytes]]) -> dict[str, bytes]:
    return packages[request.param]


def roots(files: dict[str, bytes], start: str = "items/") -> list[ET.Element]:
    return [ET.fromstring(v) for k, v in files.items() if k.startswith(start) and k.endswith(".xml")]


def test_every_element_is_of_its_version(packages: dict[str, dict[str, bytes]]) -> None:
    for number, files in packages.items():
        for root in (*roots(files), *roots(files, "test/")):
            own = [one.tag.rpartition("}")[2] for one in root.iter() if not one.tag.startswith(MATHML)]
            standard = [name for name in own if name not in ("p", "div", "sub", "img", "object")]
            assert all(name.startswith("qti-") == (number == "3.0") for name in standard)
            keys = {k for one in root.iter() for k in one.attrib if not k.startswith("{")}
            assert all(k.islower() for k in keys) == (number == "3.0")


def test_blocks_of_feedback_have_a_body_of_their_own_in_the_later_version(
    packages: dict[str, dict[str, bytes]],
) -> None:
    for number, files in packages.items():
        blocks = [b for r in roots(files) for b in find(r, "feedbackblock")]
        blocks += [b for r in roots(files, "test/") for b in find(r, "rubricblock")]
        assert {bare(b[0].tag) for b in blocks} == {"contentbody" if number == "3.0" else "p"}


def test_identifiers_are_strict_and_everything_bound_is_declared(files: dict[str, bytes]) -> None:
    for root in roots(files):
        declared = [attribute(d, "identifier") for d in root if bare(d.tag).endswith("declaration")]
        assert declared == ["RESPONSE", "SCORE", "MAXSCORE", "FEEDBACK"]
        names = [attribute(o, "identifier") for o in root.iter() if attribute(o, "identifier")]
        assert all(map(STRICT.fullmatch, names))
        bound = [attribute(o, "responseidentifier") for o in root.iter() if bare(o.tag) in INTERACTIONS]
        assert bound == ["RESPONSE"]


def test_interactions_stand_where_they_may(files: dict[str, bytes]) -> None:
    for root in roots(files):
        parents = {child: one for one in root.iter() for child in one}
        (body,) = find(root, "itembody")
        assert not (body.text or "").strip()
        assert not any((child.tail or "").strip() for child in body)
        for one in root.iter():
            if bare(one.tag) in INTERACTIONS:
                inline = bare(one.tag) == "textentryinteraction"
                assert bare(parents[one].tag) == ("p" if inline else "itembody")
                assert inline or bare(one[0].tag) == "prompt"
            if bare(one.tag) == "hottext":
                assert bare(parents[one].tag) == "p"


def test_children_stand_in_the_order_of_the_standard(files: dict[str, bytes]) -> None:
    order = ["responsedeclaration", "outcomedeclaration", "itembody", "responseprocessing"]
    for root in roots(files):
        places = [order.index(bare(child.tag)) for child in root]
        assert places == sorted(places)
        (declared,) = find(root, "responsedeclaration")
        assert [bare(c.tag) for c in declared] in (["correctresponse"], ["correctresponse", "mapping"])


def test_options_differ_and_none_is_empty(files: dict[str, bytes]) -> None:
    for root in roots(files):
        offered = [*find(root, "simplechoice"), *find(root, "hottext")]
        said = [
            "".join(t for one in (o, *o) if bare(one.tag) != "feedbackinline" for t in [one.text or ""])
            for o in offered
        ]
        formulas = ["".join("".join(m.itertext()) for m in o.iter(f"{MATHML}math")) for o in offered]
        both = [a + b for a, b in zip(said, formulas, strict=True)]
        assert all(both)
        assert len(set(both)) == len(both)


def test_numbers_are_held_against_the_reference_first_with_two_absolute_bounds(
    files: dict[str, bytes],
) -> None:
    equals = [e for root in roots(files) for e in find(root, "equal")]
    assert equals
    for equal in equals:
        assert [bare(c.tag) for c in equal] in (["correct", "variable"], ["basevalue", "variable"])
        assert attribute(equal, "tolerancemode") == "absolute"
        assert len(attribute(equal, "tolerance").split()) == 2
    asked = [
        bare(c[0][0].tag) for r in roots(files) for c in find(r, "responsecondition") if find(c, "equal")
    ]
    assert set(asked) == {"isnull"}


def test_formulas_have_their_text_and_figures_their_words(files: dict[str, bytes]) -> None:
    formulas = [m for root in roots(files) for m in root.iter(f"{MATHML}math")]
    assert formulas
    assert all(m.get("alttext") for m in formulas)
    for root in roots(files):
        (drawn,), (picture,) = find(root, "object"), find(root, "img")
        assert drawn.get("type") == "image/svg+xml"
        assert picture.get("alt", "").startswith("Circuit of two batteries and three resistors")
        described = {one.get("id"): "".join(one.itertext()) for one in root.iter() if one.get("id")}
        assert "battery E1 = 23 V (+ terminal towards bus)" in described[drawn.get("aria-describedby")]
        for address in (drawn.get("data"), picture.get("src")):
            assert f"items/{address}" in files


def test_the_figure_is_a_drawing_and_a_picture_with_words(files: dict[str, bytes]) -> None:
    drawing = ET.fromstring(files["items/figure/figure.svg"])
    assert "Branch Ib" in "".join(drawing.itertext())
    assert files["items/figure/figure.png"].startswith(b"\x89PNG")


def test_the_manifest_lists_every_file_and_leads_everywhere(files: dict[str, bytes]) -> None:
    manifest = ET.fromstring(files["imsmanifest.xml"])
    assert next(iter(files)) == "imsmanifest.xml"
    assert sorted(attribute(f, "href") for f in find(manifest, "file")) == sorted(
        set(files) - {"imsmanifest.xml"}
    )
    resources = {attribute(r, "identifier"): r for r in find(manifest, "resource")}
    assert all(attribute(d, "identifierref") in resources for d in find(manifest, "dependency"))
    assert [bare(c.tag) for c in manifest] == ["metadata", "organizations", "resources"]
    (test,) = roots(files, "test/")
    for ref in find(test, "assessmentitemref"):
        href = attribute(ref, "href").removeprefix("../")
        assert attribute(resources[attribute(ref, "identifier")], "href") == href
        assert ET.fromstring(files[href]).get("identifier") == attribute(ref, "identifier")
    (control,) = find(test, "itemsessioncontrol")
    assert attribute(control, "showfeedback") == "true"


def test_versions_are_named_as_the_standard_names_them(packages: dict[str, dict[str, bytes]]) -> None:
    for number, kind, name, version in (
        ("2.2", "imsqti_item_xmlv2p2", "QTIv2.2 Package", "1.0.0"),
        ("3.0", "imsqti_item_xmlv3p0", "QTI Package", "3.0.0"),
    ):
        manifest = packages[number]["imsmanifest.xml"].decode()
        assert f'type="{kind}"' in manifest
        assert f"<schema>{name}</schema>" in manifest
        assert f"<schemaversion>{version}</schemaversion>" in manifest


@pytest.mark.parametrize("version", VERSIONS, ids=lambda v: v.number)
def test_the_same_quiz_gives_the_same_bytes(quiz: Quiz, version: QtiVersion) -> None:
    again = items(quiz.circuit, ["choice", "ranking"], each=1)
    assert write(again, version) == write(items(quiz.circuit, ["choice", "ranking"], each=1), version)
    with zipfile.ZipFile(io.BytesIO(write(again, version))) as package:
        assert {entry.date_time for entry in package.infolist()} == {(1980, 1, 1, 0, 0, 0)}


def test_a_title_in_any_script_and_with_any_sign_leaves_strict_names() -> None:
    text = 'title = "Ладить & < > \\u0007"\n' + CHARGE_OR_HELP_IN_NUMBERS
    files = package_files(items(circuit_of(text), ["direction"], each=1), QTI_30)
    assert [name for name in files if name.startswith("items/circuit-01")] == [
        "items/circuit-01-direction.xml"
    ]
    assert "Ладить & < >" in str(ET.fromstring(files["test/circuit.xml"]).get("title"))


# -- the writer's own watch over the rules ------------------------------------------------------------

SHOWN = ShownCircuit((), (), ("A circuit.",), "A circuit.")


def tree_of(quiz: Quiz, kind: ItemKind) -> XmlPart:
    return item_tree(of_kind(quiz, kind), SHOWN)


def changed(root: XmlPart, name: str, **attributes: str) -> XmlPart:
    """The tree with attributes of every element of a name changed."""
    given = dict(root.attributes) | (attributes if root.name == name else {})
    children = (changed(c, name, **attributes) if isinstance(c, XmlPart) else c for c in root.children)
    return replace(root, attributes=tuple(given.items()), children=tuple(children))


def replaced(root: XmlPart, name: str, *new: XmlPart) -> XmlPart:
    """The tree with other elements in the place of every one of a name."""
    found: list[object] = []
    for child in root.children:
        if isinstance(child, XmlPart):
            found += new if child.name == name else [replaced(child, name, *new)]
        else:
            found.append(child)
    return replace(root, children=tuple(found))  # type: ignore[arg-type]


@pytest.mark.parametrize("kind", ItemKind)
def test_an_item_as_it_is_made_breaks_no_rule(quiz: Quiz, kind: ItemKind) -> None:
    hold_item(tree_of(quiz, kind))


@pytest.mark.parametrize(
    ("kind", "name", "attributes", "said"),
    [
        (ItemKind.CHOICE, "assessmentItem", {"identifier": "a b"}, "a b is no identifier"),
        (ItemKind.CHOICE, "assessmentItem", {"title": ""}, "assessmentItem has no title"),
        (ItemKind.CHOICE, "choiceInteraction", {"responseIdentifier": "OTHER"}, "is bound to nothing"),
        (ItemKind.CHOICE, "simpleChoice", {"identifier": "A"}, "two options have one name"),
        (ItemKind.CHOICE, "responseDeclaration", {"cardinality": "multiple"}, "is declared multiple"),
        (ItemKind.ENOUGH, "responseDeclaration", {"cardinality": "single"}, "is declared single"),
        (ItemKind.RANKING, "responseDeclaration", {"cardinality": "single"}, "is declared single"),
        (ItemKind.NUMBER, "responseDeclaration", {"baseType": "identifier"}, "of type identifier"),
        (ItemKind.NUMBER, "equal", {"tolerance": "0.1"}, "not absolute on both sides"),
        (ItemKind.NUMBER, "equal", {"tolerance": "2% 2%"}, "no number above 0"),
        (ItemKind.NUMBER, "equal", {"toleranceMode": "relative"}, "not absolute on both sides"),
        (ItemKind.NUMBER, "feedbackBlock", {"identifier": "right"}, "do not agree"),
        (ItemKind.ENOUGH, "mapping", {"lowerBound": "-5"}, "from 0 on"),
        (ItemKind.ENOUGH, "mapEntry", {"mappedValue": "1"}, "rewards what is not right"),
        (ItemKind.CHOICE, "setOutcomeValue", {"identifier": "MARK"}, "set and not declared"),
        (ItemKind.CHOICE, "feedbackInline", {"outcomeIdentifier": "TOLD"}, "hangs on nothing"),
    ],
)
def test_a_broken_rule_is_told_and_stops_the_package(
    quiz: Quiz, kind: ItemKind, name: str, attributes: dict[str, str], said: str
) -> None:
    with pytest.raises(BrokenPromise, match=re.escape(said)):
        hold_item(changed(tree_of(quiz, kind), name, **attributes))


@pytest.mark.parametrize(
    ("kind", "name", "new", "said"),
    [
        (ItemKind.CHOICE, "correctResponse", [part("correctResponse", part("value", "Z"))], "is no option"),
        (ItemKind.CHOICE, "correctResponse", [part("correctResponse")], "nothing is right"),
        (
            ItemKind.NUMBER,
            "correctResponse",
            [part("correctResponse", part("value", "2,0"))],
            "number is none",
        ),
        (
            ItemKind.RANKING,
            "correctResponse",
            [part("correctResponse", part("value", "A"))],
            "of all options",
        ),
        (ItemKind.CHOICE, "prompt", [], "does not begin with its prompt"),
        (ItemKind.CHOICE, "feedbackInline", [], "an option has no feedback"),
        (ItemKind.NUMBER, "isNull", [part("match")], "not asked for first"),
        (
            ItemKind.CHOICE,
            "itemBody",
            [part("itemBody", part("img", src="http://x/y", alt="a"))],
            "not beside",
        ),
        (ItemKind.CHOICE, "itemBody", [part("itemBody", "words")], "bare words"),
        (
            ItemKind.NUMBER,
            "itemBody",
            [part("itemBody", part("textEntryInteraction"))],
            "straight in the body",
        ),
    ],
)
def test_a_missing_or_misplaced_part_is_told(
    quiz: Quiz, kind: ItemKind, name: str, new: list[XmlPart], said: str
) -> None:
    with pytest.raises(BrokenPromise, match=said):
        hold_item(replaced(tree_of(quiz, kind), name, *new))


def test_a_package_with_a_file_too_few_or_a_link_to_nowhere_is_stopped() -> None:
    resource = part(
        "resource",
        part("file", href="items/a.xml"),
        part("dependency", identifierref="b"),
        identifier="a",
        type="imsqti_item_xmlv2p2",
        href="items/a.xml",
    )
    manifest = part("manifest", part("metadata"), part("organizations"), part("resources", resource))
    test = part("assessmentTest", part("testPart", part("itemSessionControl")), identifier="t", title="t")
    with pytest.raises(BrokenPromise) as trouble:
        hold_package(manifest, test, {"imsmanifest.xml": b""})
    for said in ("not those listed", "b is no resource", "feedback is not shown"):
        assert said in str(trouble.value)


def test_every_way_of_answering_is_written(quiz: Quiz) -> None:
    assert {item.answered for item in quiz.items} == set(AnsweredBy)
