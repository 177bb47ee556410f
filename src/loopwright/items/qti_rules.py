"""What no schema of the standard catches, checked before a package is written: a broken rule stops it.

Each rule takes the tree of an item and says what is wrong in it; the order of elements, where each may stand
and which attributes it must have are checked too. Knows nothing of how the trees are made.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from ..errors import BrokenPromise
from .qti_tree import HTML_NAMES, XmlMath, XmlPart

IDENTIFIER = re.compile(r"[A-Za-z_][A-Za-z0-9_.-]*")
NUMBER = re.compile(r"-?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?")
BLOCKS = frozenset(("choiceInteraction", "orderInteraction", "hottextInteraction"))
INLINE = frozenset(("textEntryInteraction",))
CHOICES = frozenset(("simpleChoice", "hottext"))
NEEDED: Mapping[str, tuple[str, ...]] = {
    "assessmentItem": ("identifier", "title", "timeDependent"),
    "assessmentTest": ("identifier", "title"),
    "responseDeclaration": ("identifier", "cardinality", "baseType"),
    "outcomeDeclaration": ("identifier", "cardinality", "baseType"),
    "choiceInteraction": ("responseIdentifier",),
    "orderInteraction": ("responseIdentifier",),
    "hottextInteraction": ("responseIdentifier",),
    "textEntryInteraction": ("responseIdentifier",),
    "simpleChoice": ("identifier",),
    "hottext": ("identifier",),
    "feedbackInline": ("outcomeIdentifier", "identifier"),
    "feedbackBlock": ("outcomeIdentifier", "identifier"),
    "mapEntry": ("mapKey", "mappedValue"),
    "img": ("src", "alt"),
    "object": ("data", "type"),
    "rubricBlock": ("view",),
    "testPart": ("identifier", "navigationMode", "submissionMode"),
    "assessmentSection": ("identifier", "title", "visible"),
    "assessmentItemRef": ("identifier", "href"),
}
ORDER: Mapping[str, tuple[str, ...]] = {
    "assessmentItem": ("responseDeclaration", "outcomeDeclaration", "itemBody", "responseProcessing"),
    "responseDeclaration": ("defaultValue", "correctResponse", "mapping"),
    "assessmentTest": ("outcomeDeclaration", "testPart", "outcomeProcessing"),
    "testPart": ("itemSessionControl", "assessmentSection"),
    "assessmentSection": ("itemSessionControl", "ordering", "rubricBlock", "assessmentItemRef"),
    "manifest": ("metadata", "organizations", "resources"),
    "resource": ("metadata", "file", "dependency"),
}
CARDINALITY = {
    "orderInteraction": "ordered",
    "hottextInteraction": "single",
    "textEntryInteraction": "single",
}


def hold_item(item: XmlPart) -> None:
    """Raises BrokenPromise with every rule that an item breaks."""
    faults = [
        *faults_of_shape(item),
        *_placed(item),
        *_bound(item),
        *_answers(item),
        *_marking(item),
        *_seen(item),
    ]
    if faults:
        raise BrokenPromise(f"item {item.get('identifier')}: {'; '.join(faults)}")


def faults_of_shape(root: XmlPart) -> Iterator[str]:
    """Attributes that are missing, identifiers that are not strict, elements out of order."""
    for one in root.every(*{each.name for each in _all(root)}):
        for name in NEEDED.get(one.name, ()):
            if not one.get(name):
                yield f"{one.name} has no {name}"
        if one.name not in HTML_NAMES and (name := one.get("identifier")) and not IDENTIFIER.fullmatch(name):
            yield f"{name} is no identifier"
        order = ORDER.get(one.name)
        places = [order.index(c.name) if c.name in order else -1 for c in one.parts] if order else []
        if places != sorted(places) or -1 in places:
            yield f"{one.name} holds its parts in another order"
        if one.name in BLOCKS and (not one.parts or one.parts[0].name != "prompt"):
            yield f"{one.name} does not begin with its prompt"


def _all(root: XmlPart) -> Iterator[XmlPart]:
    yield root
    for child in root.parts:
        yield from _all(child)


def _placed(item: XmlPart) -> Iterator[str]:
    """Interactions, words and pictures where they may stand."""
    (body,) = item.every("itemBody")
    if any(not isinstance(child, XmlPart) for child in body.children):
        yield "bare words stand in the body"
    for child in body.parts:
        if child.name in INLINE or child.name in ("img", "object", "hottext"):
            yield f"{child.name} stands straight in the body"
    for paragraph in body.every("p"):
        if list(paragraph.every(*BLOCKS)) or list(paragraph.every("p", "div"))[1:]:
            yield "a block stands in a paragraph"
    for hottexts in body.every("hottextInteraction"):
        if any(child.name not in ("prompt", "p") for child in hottexts.parts):
            yield "a line to be selected stands bare"


def _bound(item: XmlPart) -> Iterator[str]:
    """Variables: declared, of the right cardinality, and every outcome set to something that exists."""
    responses = {d.get("identifier"): d for d in item.every("responseDeclaration")}
    outcomes = {d.get("identifier"): d for d in item.every("outcomeDeclaration")}
    for one in item.every(*BLOCKS, *INLINE):
        declared = responses.get(one.get("responseIdentifier"))
        if declared is None:
            yield f"{one.name} is bound to nothing"
            continue
        wanted = CARDINALITY.get(one.name) or ("multiple" if one.get("maxChoices") != "1" else "single")
        if declared.get("cardinality") != wanted:
            yield f"{one.name} is declared {declared.get('cardinality')}"
        kind = "float" if one.name in INLINE else "identifier"
        if declared.get("baseType") != kind:
            yield f"{one.name} is declared of type {declared.get('baseType')}"
    for one in item.every("variable", "correct", "mapResponse"):
        if one.get("identifier") not in responses:
            yield f"{one.name} names nothing that is answered"
    for one in item.every("setOutcomeValue"):
        if one.get("identifier") not in outcomes:
            yield f"{one.get('identifier')} is set and not declared"
    for one in item.every("feedbackInline", "feedbackBlock"):
        if one.get("outcomeIdentifier") not in outcomes:
            yield "feedback hangs on nothing"


def _answers(item: XmlPart) -> Iterator[str]:
    """What is right is to be had, no two options are alike, none is empty."""
    offered = list(item.every(*CHOICES))
    names = [choice.get("identifier") for choice in offered]
    words = [choice.text.strip() for choice in offered]
    if len(set(names)) < len(names):
        yield "two options have one name"
    if len(set(words)) < len(words):
        yield "two options say the same"
    if not all(words):
        yield "an option is empty"
    (declared,) = item.every("responseDeclaration")
    right = [value.text for correct in declared.every("correctResponse") for value in correct.parts]
    if not right:
        yield "nothing is right"
    if declared.get("baseType") == "identifier":
        if not set(right) <= set(names):
            yield "what is right is no option"
        if declared.get("cardinality") == "ordered" and sorted(right) != sorted(names):
            yield "the right order is not one of all options"
    elif not all(NUMBER.fullmatch(value) for value in right):
        yield "the right number is none"
    for mapping in declared.every("mapping"):
        values = {entry.get("mapKey"): float(entry.get("mappedValue")) for entry in mapping.every("mapEntry")}
        if set(values) != set(names) or mapping.get("lowerBound") != "0":
            yield "the mapping is not one of the options, from 0 on"
        if any((value > 0) != (name in right) for name, value in values.items()):
            yield "the mapping rewards what is not right"


def _marking(item: XmlPart) -> Iterator[str]:
    """Numbers held against the reference first, with two absolute tolerances, empty answers asked for first;
    feedback for all that can be said, and nothing said that has none."""
    for equal in item.every("equal"):
        first, second = (equal.parts[0].name, equal.parts[1].name) if len(equal.parts) == 2 else ("", "")
        if first not in ("correct", "baseValue") or second != "variable":
            yield "a number is not held against its reference first"
        bounds = equal.get("tolerance").split()
        if equal.get("toleranceMode") != "absolute" or len(bounds) != 2:
            yield "a tolerance is not absolute on both sides"
        if not all(NUMBER.fullmatch(bound) and float(bound) > 0 for bound in bounds):
            yield "a tolerance is no number above 0"
    for condition in item.every("responseCondition"):
        uses = list(condition.every("equal", "mapResponse"))
        if uses and condition.parts[0].parts[0].name != "isNull":
            yield "an empty answer is not asked for first"
    told = {one.get("identifier") for one in item.every("feedbackInline", "feedbackBlock")}
    said = {
        value.text
        for one in item.every("setOutcomeValue")
        if one.get("identifier") == "FEEDBACK"
        for value in one.every("baseValue")
    }
    if said and said != told:
        yield "feedback and what is set do not agree"
    names = {choice.get("identifier") for choice in item.every(*CHOICES)}
    if not said and told != names:
        yield "an option has no feedback"


def _seen(item: XmlPart) -> Iterator[str]:
    """Figures lie beside the item and formulas have their text and their namespace."""
    for one in item.every("object", "img"):
        address = one.get("data") or one.get("src")
        if "//" in address or address.startswith(("/", "..")):
            yield f"{address} is not beside the item"
    for one in _all(item):
        for child in one.children:
            if isinstance(child, XmlMath) and not (
                'alttext="' in child.written and "xmlns=" in child.written
            ):
                yield "a formula has no text or no namespace"


def hold_package(manifest: XmlPart, test: XmlPart, files: Mapping[str, object]) -> None:
    """Raises BrokenPromise with every rule that a package breaks: files that are missing or not listed, links
    and dependencies to nowhere, versions mixed."""
    faults = [*faults_of_shape(test), *faults_of_shape(manifest)]
    resources = {r.get("identifier"): r for r in manifest.every("resource")}
    listed = [file.get("href") for file in manifest.every("file")]
    if sorted([*listed, "imsmanifest.xml"]) != sorted(files):
        faults.append("the files are not those listed")
    if len(resources) != len(list(manifest.every("resource"))):
        faults.append("two resources have one name")
    if len({r.get("type")[-4:] for r in resources.values() if r.get("type") != "webcontent"}) != 1:
        faults.append("versions are mixed")
    faults += [
        f"{d.get('identifierref')} is no resource"
        for d in manifest.every("dependency")
        if d.get("identifierref") not in resources
    ]
    for one in test.every("assessmentItemRef"):
        resource = resources.get(one.get("identifier"))
        if resource is None or f"../{resource.get('href')}" != one.get("href"):
            faults.append(f"{one.get('href')} leads nowhere")
    if any(one.get("showFeedback") != "true" for one in test.every("itemSessionControl")):
        faults.append("feedback is not shown")
    if faults:
        raise BrokenPromise(f"package: {'; '.join(faults)}")
