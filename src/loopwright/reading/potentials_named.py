"""What potentials stand for of which a working says in words whose they are, and where their zero is."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

from ..circuit.circuit import Circuit
from ..expressions.nodes import Equation, Number, Symbol
from ..expressions.values import symbols_of
from .loop_currents import Meaning
from .new_names import is_first_across
from .truth.meaning import level
from .working import Claim, PotentialSaid


def zero_of(circuit: Circuit, claims: Sequence[Claim], said: Sequence[PotentialSaid]) -> str:
    """The point that potentials are counted from, where that is said once; else empty."""
    zeros = list(dict.fromkeys((*(p.point for p in said if not p.name), *_at_zero(circuit, claims))))
    return zeros[0] if len(zeros) == 1 else ""


def as_potentials(circuit: Circuit, name: str, zero: str) -> tuple[Meaning, ...]:
    """The potentials that a letter may stand for where the zero of potentials is said, that of the point
    called so first; none for any other name."""
    if not zero or len(name) != 1 or not name.islower():
        return ()
    points = sorted((p for p in circuit.named_points if p != zero), key=lambda p: p.casefold() != name)
    return tuple({level(p): 1, level(zero): -1} for p in points)


def potentials_named(
    circuit: Circuit, claims: Sequence[Claim], said: Sequence[PotentialSaid]
) -> Mapping[str, Meaning]:
    """The potentials said, by their names; those left out of which the zero is not known. Where the zero is
    known, `Vb` is the potential of b without a word, and that of the zero stands for nothing."""
    zero = zero_of(circuit, claims, said)
    found: dict[str, Meaning] = {}
    if zero:
        used = {name for claim in claims for name in symbols_of(claim.written)}
        of_points = {
            name: point
            for name in sorted(used - {*circuit.symbols, *circuit.elements})
            if (point := called_after(circuit, name))
        }
        for name, point in of_points.items():
            across = f"R{point}" in circuit.elements and _is_of_another_letter(name, of_points)
            if not across and not is_first_across(
                circuit, name, claims
            ):  # where potentials are V, Ux is across Rx
                found[name] = {level(point): 1, level(zero): -1} if point != zero else {}
    for one in said:
        against = one.against or zero or _other(circuit, one.point)
        if one.name and against and against != one.point:
            found[one.name] = {level(one.point): 1, level(against): -1}
    return found


def called_after(circuit: Circuit, name: str) -> str:
    """The point that a name is the potential of by its mark, `Vb` or `U_B`, or as a capital that is the name
    of the point, `B`; empty for any other name."""
    if len(name) == 1 and name.isupper() and name in circuit.named_points:
        return "" if name in circuit.elements or name in circuit.field else name
    mark = name[1:].lstrip("_").casefold() if name[:1] in "VUφ" else ""
    points = [p for p in circuit.named_points if p.casefold() == mark]
    return points[0] if len(points) == 1 else ""


def _is_of_another_letter(name: str, of_points: Mapping[str, str]) -> bool:
    """Whether the point that a name is called after has another one with the letter of most such names."""
    letters = Counter(n[0] for n in of_points)
    most = max(letters.values())
    twice = any(n[0] != name[0] and p == of_points[name] for n, p in of_points.items())
    return twice and letters[name[0]] < most


def _other(circuit: Circuit, point: str) -> str:
    """The other junction of a circuit that has two; empty where it has more."""
    others = [p for p in circuit.junctions if p != point]
    return others[0] if len(others) == 1 and len(circuit.junctions) == 2 else ""


def _at_zero(circuit: Circuit, claims: Sequence[Claim]) -> list[str]:
    """The point whose potential is set to 0 before any other is spoken of: `Ve = 0`."""
    for claim in claims:
        points = [p for name in symbols_of(claim.written) if (p := called_after(circuit, name))]
        if points:
            return points if _is_nothing(claim.written) else []
    return []


def _is_nothing(written: Equation) -> bool:
    """Whether a name is set equal to 0."""
    left, right = written.left, written.right
    return isinstance(left, Symbol) and isinstance(right, Number) and not right.value
