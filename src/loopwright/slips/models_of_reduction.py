"""The slips of series and parallel, worked out: batteries and resistances put together wrongly.

A function that gives models says in its sentence what is done wrong, and gives one model for each place
where that can be done in the circuit.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from ..circuit.elements import Branch
from .settings import Model, Setting, SettingInNumbers, of_values, sum_of, voltage_name


def reduction_slips(setting: Setting) -> Iterator[Model]:
    """Every slip of series and parallel in the setting."""
    yield from _one_load(setting)
    yield from _reduced(setting)


def lone_load(setting: Setting) -> Branch | None:
    """The one branch without a source where all branches join the same two points."""
    if not setting.side_by_side or len(setting.passive) != 1 or not setting.driven:
        return None
    return setting.passive[0]


def toward(branch: Branch, point: str) -> int:
    """+1 where the arrow of the branch runs to the point, −1 where it runs away from it."""
    return 1 if branch.end == point else -1


def emfs_toward(setting: Setting, point: SettingInNumbers, end: str) -> list[tuple[Fraction, Fraction]]:
    """For each branch with a battery: its emf counted towards a point, and its resistance."""
    return [(point.rise(b.name) * toward(b, end), point.resistance(b.name)) for b in setting.driven]


def _one_load(setting: Setting) -> Iterator[Model]:
    """Batteries side by side on one load, put together as if in parallel."""
    load = lone_load(setting)
    if load is None or len(setting.driven) < 2:
        return
    name, start = load.name, load.start

    def together(value: str, parallel: bool) -> Callable[[SettingInNumbers], Mapping[str, Fraction]]:
        def values(point: SettingInNumbers) -> Mapping[str, Fraction]:
            emfs = emfs_toward(setting, point, start)
            total = sum_of(e for e, _ in emfs)
            emf = {
                "sum": total,
                "mean": total / len(emfs),
                "larger": max((e for e, _ in emfs), key=abs),
            }[value]
            inner = 1 / sum_of(1 / r for _, r in emfs) if parallel else sum_of(r for _, r in emfs)
            return {name: emf / (point.resistance(name) + inner)}

        return values

    for value in ("sum", "mean", "larger"):
        place = f"{name} from the {value} of the emfs, their resistances taken as parallel"
        yield of_values("false-parallel", place, f"the line for {name}", together(value, True))
        place = f"{name} from the {value} of the emfs, the parallel resistances added"
        yield of_values("parallel-added", place, f"the line for {name}", together(value, False))

    def added(point: SettingInNumbers) -> Mapping[str, Fraction]:
        total = sum_of(e for e, _ in emfs_toward(setting, point, start))
        return {name: total / point.resistance(name), voltage_name(start, load.end): total}

    yield of_values("parallel-sources-add", f"emfs added across {name}", f"the line for {name}", added)


@dataclass(frozen=True, slots=True)
class _Part:
    """A branch, or parts joined in series or in parallel."""

    how: str
    branch: str = ""
    parts: tuple[_Part, ...] = ()

    def names(self) -> str:
        """The branches in it."""
        return self.branch or ", ".join(part.names() for part in self.parts)

    def inner(self) -> Iterator[_Part]:
        """The parallel combinations in it."""
        if self.how == "parallel":
            yield self
        for part in self.parts:
            yield from part.inner()

    def resistance(
        self, point: SettingInNumbers, wrong: _Part, rule: Callable[[list[Fraction]], Fraction]
    ) -> Fraction:
        """Its resistance, with one parallel combination worked by a wrong rule."""
        if self.how == "branch":
            return point.resistance(self.branch)
        each = [part.resistance(point, wrong, rule) for part in self.parts]
        if self is wrong:
            return rule(each)
        if self.how == "series":
            return sum_of(each)
        return 1 / sum_of(1 / r for r in each)


def _combined(edges: list[tuple[str, str, _Part]], ends: tuple[str, str]) -> _Part | None:
    """What lies between two points, by series and parallel steps; None where these are not enough."""
    while len(edges) > 1:
        for a, b, _ in edges:
            alike = [e for e in edges if {e[0], e[1]} == {a, b}]
            if len(alike) > 1:
                parts = [p for _, _, q in alike for p in (q.parts if q.how == "parallel" else (q,))]
                edges = [e for e in edges if e not in alike]
                edges.append((a, b, _Part("parallel", "", tuple(parts))))
                break
        else:
            for point in {p for e in edges for p in e[:2]} - set(ends):
                there = [e for e in edges if point in e[:2]]
                if len(there) == 2 and there[0][0] != there[0][1]:
                    far = [e[1] if e[0] == point else e[0] for e in there]
                    series = _Part("series", "", (there[0][2], there[1][2]))
                    edges = [*(e for e in edges if e not in there), (far[0], far[1], series)]
                    break
            else:
                return None
    return edges[0][2] if {edges[0][0], edges[0][1]} == set(ends) else None


Rule = Callable[[list[Fraction]], Fraction]
_RULES: tuple[tuple[str, str, int, Rule], ...] = (  # key, what is done, to how many at least, how
    ("parallel-added", "added", 2, sum_of),
    ("reciprocal-left", "left as the sum of their reciprocals", 2, lambda each: sum_of(1 / r for r in each)),
    ("product-over-sum", "put as product over sum", 3, lambda each: _product(each) / sum_of(each)),
)


def _product(values: Sequence[Fraction]) -> Fraction:
    total = Fraction(1)
    for value in values:
        total *= value
    return total


def _reduced(setting: Setting) -> Iterator[Model]:
    """One battery and resistances in series and parallel: one parallel step worked wrongly."""
    if len(setting.driven) != 1 or not setting.is_plain:
        return
    source = setting.driven[0]
    rest = [b for b in setting.circuit.branches if b is not source]
    if source.start == source.end or any(b.start == b.end or b not in setting.passive for b in rest):
        return
    edges = [(b.start, b.end, _Part("branch", b.name)) for b in rest]
    whole = _combined(edges, (source.start, source.end))
    for step in whole.inner() if whole else ():
        for entry, what, least, rule in _RULES:
            if whole and len(step.parts) >= least:
                yield _by_rule(entry, f"{step.names()} {what}", source.name, whole, step, rule)


def _by_rule(
    entry: str, place: str, source: str, whole: _Part, step: _Part, rule: Callable[[list[Fraction]], Fraction]
) -> Model:
    def values(point: SettingInNumbers) -> Mapping[str, Fraction]:
        total = point.resistance(source) + whole.resistance(point, step, rule)
        return {source: point.rise(source) / total}

    return of_values(entry, place, "the line for the combined resistance", values)
