"""A formula in MathML with some of its parts marked: struck, changed or new.

The whole formula and each part are written by the one MathML writer; a part is then found in the whole as the
same elements, by counting where among its likes it stands. Where the two do not count alike (a power, whose
base has no element of its own) nothing is marked, which is better than a wrong mark.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from xml.etree import ElementTree

from ..expressions.nodes import Expr, Negative, Power, Sum
from ..expressions.notation import notation
from ..expressions.writers import mathml
from .parts import Path, part_at, places_of

_SCRIPTS = ("msub", "msup", "msubsup")  # the first child of these is no part by itself


def marked(expr: Expr, roles: Mapping[str, str], marks: Sequence[tuple[Path, str]]) -> str:
    """The markup of an expression in which the part at each path stands in an `mrow` of that class."""
    markup = mathml.write(notation(expr, roles))
    if not marks:
        return markup
    root = ElementTree.fromstring(f"<mrow>{markup}</mrow>")
    for path, kind in dict.fromkeys(marks):
        path = _bare(expr, path)
        part = part_at(expr, path)
        alike = list(places_of(expr, part))
        likeness = mathml.write(notation(part, roles))
        found = _places(root, _same(ElementTree.fromstring(likeness)))
        if path in alike and len(found) == len(alike):
            parent, at = found[alike.index(path)]
            inner = parent[at]
            if inner.get("class"):
                continue
            wrapped = ElementTree.Element("mrow", {"class": kind})
            wrapped.tail, inner.tail = inner.tail, None
            wrapped.append(inner)
            parent[at] = wrapped
    inside = ElementTree.tostring(root, encoding="unicode", short_empty_elements=False)
    return inside.removeprefix("<mrow>").removesuffix("</mrow>")


def _bare(expr: Expr, path: Path) -> Path:
    """The path to what has an element of its own: a term without the minus that stands before it as an
    operation, a whole power for its base."""
    for k in range(len(path)):
        here = part_at(expr, path[:k])
        if isinstance(here, Power):
            return path[:k]
    part = part_at(expr, path)
    if isinstance(part, Negative) and path and isinstance(part_at(expr, path[:-1]), Sum) and path[-1]:
        return (*path, 0)
    return path


def _same(element: ElementTree.Element) -> tuple[object, ...]:
    """What an element is made of, classes of our own and the rows that bear them left out."""
    if element.tag == "mrow" and element.get("class"):
        return _same(element[0])
    attributes = tuple(sorted(element.attrib.items()))
    return element.tag, attributes, element.text or "", tuple(map(_same, element))


def _places(root: ElementTree.Element, wanted: tuple[object, ...]) -> list[tuple[ElementTree.Element, int]]:
    """Every place in the tree of an element that is made of the same, from left to right."""
    found: list[tuple[ElementTree.Element, int]] = []
    for at, child in enumerate(root):
        if root.tag in _SCRIPTS and at < 2:
            continue
        if child.tag == "mrow" and child.get("class"):
            found += [(child, 0)] if _same(child[0]) == wanted else _places(child, wanted)
        elif _same(child) == wanted:
            found.append((root, at))
        else:
            found += _places(child, wanted)
    return found
