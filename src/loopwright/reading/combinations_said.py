"""Whether a line that says which combination of lines above it is, is that: `(2) − (1): …`."""

from __future__ import annotations

from ..algebra.ratios import Ratio
from ..expressions.said import Said
from ..expressions.values import ratio_of
from .so_far import SoFar
from .truth.meaning import UnknownName
from .truth.size import TooLong
from .truth.truth import View
from .verdicts import ClaimKind
from .wording import shown_source
from .working import Claim, WrittenLine


def as_combination(so_far: SoFar, line: WrittenLine, claim: Claim) -> Said:
    """Where a line says which combination of lines above it is, whether that is so, in a sentence;
    empty where it says nothing or names lines that are not there."""
    stated = line.source.combination if line.source else None
    if stated is None:
        return ()
    for view in reversed(so_far.truths.views):
        labelled = _labelled(so_far, view)
        if not labelled.keys() >= set(line.source.labels if line.source else ()):
            return ()
        try:
            wanted = ratio_of(stated, view.meanings.field, {**view.meanings.names, **labelled})
            found = view.meanings.difference(claim.written)
        except (KeyError, UnknownName, TooLong, ZeroDivisionError):
            continue
        share = wanted / found if found else view.meanings.field.zero
        if share and not any(n in view.meanings.unknowns for n in share.held()):
            return (" It is ", shown_source(stated), ", as it says.")
    return (" It is not ", shown_source(stated), ".")


def _labelled(so_far: SoFar, view: View) -> dict[str, Ratio]:
    """Left minus right of each line with a label, under its label."""
    found: dict[str, Ratio] = {}
    labels = {line.number: line.label for line in so_far.working.lines if line.label}
    for verdict in so_far.verdicts:
        label = labels.get(verdict.line)
        if label and label not in found and verdict.kind is not ClaimKind.UNDECIDED:
            try:
                found[label] = view.meanings.difference(verdict.claim.written)
            except (UnknownName, TooLong, ZeroDivisionError):
                continue
    return found
