"""What a true claim about a circuit in time is: given, a law of a moment, what a storage obeys, or what
follows from lines above."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from ...circuit.circuit import Circuit
from ...expressions.nodes import Equation, Symbol, parts_of
from ...expressions.said import Said
from ..verdicts import ClaimKind, How, Truth, Verdict
from ..wording import lines_named
from ..working import Claim, WrittenLine
from .claim_truth import TimedChoice
from .stage_laws import StageLaws, of_storage
from .timed_names import TIME, Sort, TimedQuantity, When, moment_said
from .timed_page import names_in
from .unit_systems import UnitSystem

_Names = Mapping[str, tuple[TimedQuantity, When]]  # what the names of a claim are taken for


@dataclass(frozen=True)
class TrueInTime:
    """What the true claims of a working rest on. `verdicts`: those on all lines so far; `shown`: results so
    far, by line; `stated`: laws so far, with what they speak of."""

    circuit: Circuit
    laws: StageLaws
    verdicts: Sequence[Verdict]
    shown: dict[tuple[TimedQuantity, When], int] = field(default_factory=dict)
    stated: list[tuple[int, frozenset[tuple[TimedQuantity, When]]]] = field(default_factory=list)

    def kind_of(
        self, line: WrittenLine, claim: Claim, choice: TimedChoice, truth: Truth, system: UnitSystem
    ) -> tuple[ClaimKind, Said, tuple[int, ...], How | None]:
        """What a true claim is: given, a law of a stage, what a storage obeys, what follows from above."""
        written, names = claim.written, choice.names
        if not names and TIME not in names_in(written):
            used = names_in(written)
            lone = written.left if isinstance(written.left, Symbol) else written.right
            if isinstance(lone, Symbol) and lone.name in self.circuit.elements and len(used) == 1:
                return ClaimKind.GIVEN, ("As given in the problem.",), (), None
            words = "The same expression rewritten." if truth is Truth.ALWAYS else "The numbers put in."
            words = words if used else "The arithmetic is right."
            return ClaimKind.FOLLOWS, (words,), (), How.IDENTITY
        if not names:
            return ClaimKind.FOLLOWS, ("The same expression rewritten.",), (), How.IDENTITY
        moments = {when for _, when in names.values()} - {When.UNSAID}
        held = of_storage(self.circuit, written, names)
        if held is not None:
            self.stated.append((line.number, frozenset(names.values())))
            return ClaimKind.ELEMENT, held, (), None
        law = self.laws.stated(written, names, system)
        if law is not None:
            kind, said_ = law
            self.stated.append((line.number, frozenset(names.values())))
            return kind, (*said_, f" It holds {moment_said(moments)}."), (), None
        if self._goes_on(line, written):
            return ClaimKind.FOLLOWS, ("The numbers put in, or worked out.",), (line.number,), How.IDENTITY
        used_lines = self._support(written, names)
        if used_lines:
            return (
                ClaimKind.FOLLOWS,
                (f"Follows from {lines_named(used_lines)}.",),
                used_lines,
                How.COMBINATION,
            )
        if self._is_start(names):
            return ClaimKind.GIVEN, ("As given: what the storage holds when the switch moves.",), (), None
        if _is_seen(written, names):
            seen = "It is given by the resistance that the storage sees, with every source at rest."
            return ClaimKind.ELEMENT, (seen,), (), None
        first = not any(v.holds for v in self.verdicts)
        bare = isinstance(written.left, Symbol) and not parts_of(written.right)
        where = " Say where it comes from." if first or bare else ""
        return ClaimKind.TRUE, (f"True of this circuit {moment_said(moments)}.{where}",), (), None

    def _goes_on(self, line: WrittenLine, written: Equation) -> bool:
        """Whether the left side is the right side of a claim just before it in the line."""
        last = self.verdicts[-1] if self.verdicts else None
        return last is not None and last.line == line.number and last.claim.written.right == written.left

    def _is_start(self, names: _Names) -> bool:
        if len(names) != 1:
            return False
        ((quantity, when),) = names.values()
        given = quantity.of and quantity.of[0] in self.circuit.start
        return bool(given) and when in (When.BEFORE, When.AFTER)

    def _support(self, written: Equation, names: _Names) -> tuple[int, ...]:
        """The lines above that a claim rests on, where all it needs was shown there."""
        lone = [s for s in (written.left, written.right) if isinstance(s, Symbol) and s.name in names]
        target = names[lone[0].name] if lone else None
        needed = [key for key in names.values() if key != target]
        if target is not None and target[1] in (When.COURSE, When.AT):
            course = self.shown.get((target[0], When.COURSE))
            if course is not None:
                return (course,)
            tau = next((at for (q, _), at in self.shown.items() if q.sort is Sort.TIME_CONSTANT), None)
            ends = [self.shown.get((target[0], when)) for when in (When.AFTER, When.END)]
            lines = [at for at in (*ends, tau) if at is not None]
            return tuple(sorted(set(lines))) if len(lines) >= 2 else ()
        above = [self.shown.get(key) for key in needed]
        if needed and all(above):
            return tuple(sorted({at for at in above if at is not None}))
        if target is not None:
            about = [line for line, spoken in self.stated if target in spoken]
            return tuple(dict.fromkeys(about[-2:]))
        return ()


def _is_seen(written: Equation, names: _Names) -> bool:
    """Whether a claim gives a time constant or a seen resistance by elements of the circuit."""
    sorts = {quantity.sort for quantity, _ in names.values()}
    return sorts <= {Sort.TIME_CONSTANT, Sort.SEEN} and bool(set(names_in(written)) - set(names))
