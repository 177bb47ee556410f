"""XML as a tree, with the names of the standard's two versions: written once, put down in either.

Names are those of version 2.2; in 3.0 every element of the standard begins with `qti-` and names are
hyphenated, HTML and MathML stay as they are, and what blocks of feedback hold stands in a body of its own.
Source: 1EdTech Question and Test Interoperability (QTI), information models 2.2 and 3.0.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from html import escape

HTML_NAMES = frozenset(("p", "div", "span", "sub", "img", "object"))
IN_A_BODY = frozenset(("feedbackBlock", "modalFeedback", "rubricBlock"))
XSI = "http://www.w3.org/2001/XMLSchema-instance"


@dataclass(frozen=True, slots=True)
class XmlMath:
    """A formula as a `<math>` element, complete with its namespace and its text, and that text."""

    written: str
    text: str


@dataclass(frozen=True, slots=True)
class XmlPart:
    """An element: its name in version 2.2, its attributes in order, what it holds."""

    name: str
    attributes: tuple[tuple[str, str], ...] = ()
    children: tuple[XmlChild, ...] = ()

    def get(self, attribute: str) -> str:
        """The value of an attribute; empty where it has none of this name."""
        return next((value for name, value in self.attributes if name == attribute), "")

    @property
    def parts(self) -> tuple[XmlPart, ...]:
        """The elements it holds."""
        return tuple(child for child in self.children if isinstance(child, XmlPart))

    def every(self, *names: str) -> Iterator[XmlPart]:
        """Every element of these names in it, itself included, in order."""
        if self.name in names:
            yield self
        for child in self.parts:
            yield from child.every(*names)

    @property
    def text(self) -> str:
        """The words in it, formulas by their text; feedback left out."""
        if self.name.startswith("feedback"):
            return ""
        return "".join(child if isinstance(child, str) else child.text for child in self.children)


XmlChild = XmlPart | XmlMath | str


def part(name: str, *children: XmlChild, **attributes: str | int | bool) -> XmlPart:
    """An element; an attribute's name ends in `_` where it would be a word of Python's, and `__` in it stands
    for a hyphen."""
    given = tuple((key.rstrip("_").replace("__", "-"), _value(value)) for key, value in attributes.items())
    return XmlPart(name, given, children)


def _value(value: str | int | bool) -> str:
    return str(value).lower() if isinstance(value, bool) else str(value)


@dataclass(frozen=True, slots=True)
class QtiVersion:
    """One version of the standard: its number, the namespaces and schemas of items and manifests, the names
    of resource types, and whether its elements are hyphenated with a prefix."""

    number: str
    namespace: str
    schema: str
    manifest_namespace: str
    manifest_schema: str
    schema_name: str
    schema_version: str
    types: str
    hyphens: bool

    def element(self, name: str) -> str:
        """An element's name."""
        return f"qti-{_hyphenated(name)}" if self.hyphens and name not in HTML_NAMES else name

    def attribute(self, name: str) -> str:
        """An attribute's name."""
        return _hyphenated(name) if self.hyphens else name

    def document(self, root: XmlPart) -> str:
        """A whole file of items or of a test."""
        head = (
            f'xmlns="{self.namespace}" xmlns:xsi="{XSI}" xsi:schemaLocation="{self.namespace} {self.schema}"'
        )
        return f'<?xml version="1.0" encoding="UTF-8"?>\n{self._written(root, head)}\n'

    def manifest(self, root: XmlPart) -> str:
        """A whole manifest, whose words are the same in both versions."""
        space = self.manifest_namespace
        head = f'xmlns="{space}" xmlns:xsi="{XSI}" xsi:schemaLocation="{space} {self.manifest_schema}"'
        return f'<?xml version="1.0" encoding="UTF-8"?>\n{_in_lines(root, head, 0)}\n'

    def _written(self, one: XmlChild, head: str = "") -> str:
        if isinstance(one, str):
            return escape(one, quote=False)
        if isinstance(one, XmlMath):
            return one.written
        attributes = "".join(f' {self.attribute(name)}="{escape(value)}"' for name, value in one.attributes)
        inside = "".join(map(self._written, one.children))
        if self.hyphens and one.name in IN_A_BODY:
            inside = f"<qti-content-body>{inside}</qti-content-body>"
        name = self.element(one.name)
        opening = f"{name}{' ' + head if head else ''}{attributes}"
        return f"<{opening}>{inside}</{name}>" if inside else f"<{opening}/>"


def _in_lines(one: XmlPart, head: str, depth: int) -> str:
    """An element of a manifest on lines of its own."""
    pad = "  " * depth
    attributes = "".join(f' {name}="{escape(value)}"' for name, value in one.attributes)
    opening = f"{one.name}{' ' + head if head else ''}{attributes}"
    if not one.children:
        return f"{pad}<{opening}/>"
    if not one.parts:
        return f"{pad}<{opening}>{escape(one.text, quote=False)}</{one.name}>"
    inside = "\n".join(_in_lines(child, "", depth + 1) for child in one.parts)
    return f"{pad}<{opening}>\n{inside}\n{pad}</{one.name}>"


def _hyphenated(name: str) -> str:
    return re.sub(r"(?<=[a-z])([A-Z])", lambda found: f"-{found[1].lower()}", name)


QTI_22 = QtiVersion(
    "2.2",
    "http://www.imsglobal.org/xsd/imsqti_v2p2",
    "http://www.imsglobal.org/xsd/qti/qtiv2p2/imsqti_v2p2p4.xsd",
    "http://www.imsglobal.org/xsd/imscp_v1p1",
    "http://www.imsglobal.org/xsd/qti/qtiv2p2/qtiv2p2_imscpv1p2_v1p0.xsd",
    "QTIv2.2 Package",
    "1.0.0",
    "v2p2",
    False,
)
QTI_30 = QtiVersion(
    "3.0",
    "http://www.imsglobal.org/xsd/imsqtiasi_v3p0",
    "https://purl.imsglobal.org/spec/qti/v3p0/schema/xsd/imsqti_asiv3p0_v1p0.xsd",
    "http://www.imsglobal.org/xsd/qti/qtiv3p0/imscp_v1p1",
    "https://purl.imsglobal.org/spec/qti/v3p0/schema/xsd/imsqtiv3p0_imscpv1p2_v1p0.xsd",
    "QTI Package",
    "3.0.0",
    "v3p0",
    True,
)
