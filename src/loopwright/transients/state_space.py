"""A stage as a system of first order: how fast all that is stored changes, from redrawn circuits, in floating
point. Shares nothing with the transform by which the stage was solved."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from ..checks.ledger.ledger import LedgerEntry, found_wrong, not_applicable
from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..errors import FaultyMaterial
from .number_course import in_numbers
from .redrawn import just_after, solved_afresh
from .transient import Transient, begun

Matrix = NDArray[np.float64]
_NOTHING = 1e-12  # of the fastest rate: a slower one is a rounding error of none
_APART = 1e5  # the condition up to which eigenvectors are told apart
_CANCELLED = 1e-6  # of what a current is made of: where less is left, rounding is not held against it
_TIMES = (Fraction(1, 3), Fraction(1), Fraction(3))  # of the longest time constant, for the check in numbers


def carried_over(stages: Sequence[Transient]) -> LedgerEntry:
    """What each later stage begins with, against a state space of the one before."""
    title = "Carried over"
    method = "what each later stage begins with, against a state space of the one before; by NumPy"
    worst, wrong = 0.0, list[str]()
    for last, stage in pairwise(stages):
        if not (last.circuit.has_all_numbers and stage.circuit.has_all_numbers):
            return not_applicable("time/carried", title, method, "a symbol has no number")
        space = _space(last, last.circuit.numbers)
        if space is None:
            return not_applicable("time/carried", title, method, "a storage must jump")
        span = float(begun(stage) - begun(last))
        state = _state_at(space, span)
        told = np.array([float(v.value(stage.circuit.numbers)) for v in stage.held.values()])
        size = max(1e-300, float(np.max(np.abs(state))), float(np.max(np.abs(told))))
        differences = np.abs(state - told) / size
        worst = max(worst, float(np.max(differences)))
        wrong += [n for n, d in zip(stage.held, differences, strict=True) if d > 1e-7]
    return found_wrong(
        "time/carried", title, method, wrong, f"largest difference {worst:.0e} of the largest value"
    )


def in_state_space(stage: Transient) -> LedgerEntry:
    """The circuit stepped as a system of first order: derivatives from the redrawn circuit, in floating
    point."""
    title = "State space in numbers"
    method = "the derivatives of all that is stored, from redrawn circuits; by NumPy at three times"
    circuit = stage.circuit
    numbers = {s: circuit.numbers.get(s, Fraction(n)) for n, s in enumerate(circuit.symbols, 2)}
    space = _space(stage, numbers)
    if space is None or all(c.stays for c in stage.currents.values()):
        return not_applicable("time/state-space", title, method, "a storage must jump, or nothing changes")
    work = stage.with_numbers(numbers)
    told_with = {} if work is not stage else numbers
    own = work.circuit.has_all_numbers
    courses = work.currents.values()
    runs = [work.numbered(c) if own else in_numbers(c, told_with) for c in courses]
    worst, slowest = 0.0, _slowest(space)
    parts = np.abs(space.current0) + np.abs(space.currents) @ np.abs(space.held)
    for share in _TIMES:
        time = float(share) / slowest
        try:
            told = np.array([float(run.at(Fraction(time))) for run in runs])
        except OverflowError:
            return LedgerEntry("time/state-space", title, method, "a current grows beyond all bounds", False)
        at = space.current0 + space.currents @ _state_at(space, time)
        least = _CANCELLED * float(np.max(parts))
        size = max(1e-300, least, float(np.max(np.abs(told))), float(np.max(np.abs(at))))
        worst = max(worst, float(np.max(np.abs(at - told))) / size)
    return LedgerEntry(
        "time/state-space",
        title,
        method,
        f"largest difference {worst:.0e} of the largest current",
        worst < 1e-7,
    )


@dataclass(frozen=True)
class _Space:
    """What is stored grows by `matrix` times it and `offset`; the currents are `current0` and `currents`
    times it. `held`: what is stored at the start."""

    matrix: Matrix
    offset: Matrix
    current0: Matrix
    currents: Matrix
    held: Matrix

    @cached_property
    def vectors(self) -> tuple[Matrix, Matrix]:
        """Eigenvalues and eigenvectors of the matrix."""
        values, vectors = np.linalg.eig(self.matrix)
        return values, vectors


def _space(stage: Transient, numbers: Mapping[str, Fraction]) -> _Space | None:
    """The stage as a state space, from redrawn circuits; None where a storage must jump."""
    same = numbers == stage.point.numbers
    bare = stage.point.circuit if same else replace(stage.circuit, numbers=numbers, start={}).in_numbers()
    held = [float(v.value(numbers)) for v in stage.held.values()]
    base = _response(bare, [Fraction(0)] * len(held))
    columns = [_response(bare, [Fraction(int(k == j)) for k in range(len(held))]) for j in range(len(held))]
    if base is None or any(column is None for column in columns):
        return None
    offset, current0 = np.array(base[0]), np.array(base[1])
    matrix = np.array([np.array(c[0]) - offset for c in columns if c is not None]).T
    currents = np.array([np.array(c[1]) - current0 for c in columns if c is not None]).T
    return _Space(matrix, offset, current0, currents, np.array(held))


def _moving(space: _Space) -> list[float]:
    """The sizes of the rates that are more than a rounding error: a charge that is kept has none."""
    sizes = [abs(v) for v in space.vectors[0]]
    return [size for size in sizes if size > _NOTHING * max(sizes)]


def _slowest(space: _Space) -> float:
    return float(min(_moving(space), default=1.0))


def _state_at(space: _Space, time: float) -> Matrix:
    """What is stored at a time. By eigenvectors; where two of them nearly agree, by the series of the
    exponential, the time halved until it is short."""
    values, vectors = space.vectors
    if np.linalg.cond(vectors) < _APART:
        moving = _moving(space)
        growth = np.array([np.expm1(v * time) / v if abs(v) in moving else time for v in values])
        gained = (vectors * growth) @ np.linalg.solve(vectors, space.matrix @ space.held + space.offset)
        return np.asarray(space.held + gained.real)
    whole = np.zeros((len(space.held) + 1, len(space.held) + 1))
    whole[:-1, :-1], whole[:-1, -1] = space.matrix * time, space.offset * time
    halvings = max(0, int(np.ceil(np.log2(np.linalg.norm(whole) + 1e-300))) + 4)
    power = term = np.eye(len(whole))
    for n in range(1, 15):
        term = term @ whole / (n * 2.0**halvings)
        power = power + term
    return np.asarray((np.linalg.matrix_power(power, 2**halvings) @ np.append(space.held, 1.0))[:-1])


def _response(bare: Circuit, held: list[Fraction]) -> tuple[list[float], list[float]] | None:
    """The derivatives of what is stored, and all branch currents, for these stored amounts."""
    field = bare.field
    amounts = {name: field.number(v) for name, v in zip(bare.storages, held, strict=True)}
    solved = solved_afresh(just_after(bare, amounts), bare)
    if solved is None:
        return None
    rises = []
    for name in bare.storages:
        current = solved.currents[bare.branch_of(name).name]
        if bare.elements[name].kind is Kind.CAPACITOR:
            rise = current / bare.value(name)
        else:
            try:
                across = solved.across(name)
            except FaultyMaterial:  # nothing but gaps beside the coil: its current is cut off
                return None
            rise = (across - current * bare.internal_resistance(name)) / bare.value(name)
        rises.append(float(rise.value({})))
    return rises, [float(solved.currents[n].value({})) for n in bare.currents]
