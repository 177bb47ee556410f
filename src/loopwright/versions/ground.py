"""What a search for versions stands on: the grid of choices, the closed forms, the wishes as conditions.

It is sent to other processes as the few words that it was made from, and made anew there: the same.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from ..circuit.circuit import Circuit
from ..circuit.names import listed
from ..circuit.timed_wishes import ComparedInTime
from ..circuit.value_choices import UnreadableChoices, choices
from ..circuit.version_forms import form_faults
from ..circuit.versions_asked import VersionsAsked
from ..circuit.wishes import SlipsApart, Wish, wishes
from ..errors import FaultyMaterial
from ..findings import Finding
from ..problem.versions_table import unit_of
from .closed_forms import ClosedForms, closed_forms
from .grid import SAFE, ChoiceGrid, GridBlock, Places
from .search import VersionSearch, WalkFound
from .sieve import Condition, sign_in, sign_of
from .times_come import asks_for_times


@dataclass(frozen=True)
class VersionGround:
    """A circuit, what is asked of its versions, the seed, and how many candidates a walk may look at."""

    circuit: Circuit
    asked: VersionsAsked
    seed: int
    most: int

    def __reduce__(self) -> tuple[type[VersionGround], tuple[Circuit, VersionsAsked, int, int]]:
        return type(self), (self.circuit, self.asked, self.seed, self.most)

    @cached_property
    def forms(self) -> ClosedForms:
        """Every quantity in the circuit's symbols."""
        return closed_forms(self.circuit)

    @cached_property
    def wishes(self) -> tuple[Wish, ...]:
        """What must hold of each version."""
        return wishes(self.circuit, self.asked.hold)

    @property
    def apart(self) -> bool:
        """Whether slips are to be told apart."""
        return any(isinstance(wish, SlipsApart) for wish in self.wishes)

    @cached_property
    def in_time(self) -> tuple[ComparedInTime, ...]:
        """The wishes that each candidate must be worked in time for."""
        return tuple(wish for wish in self.wishes if isinstance(wish, ComparedInTime))

    @cached_property
    def timed(self) -> bool:
        """Whether each candidate is worked in time: for such wishes, and for times that must come."""
        return bool(self.in_time) or asks_for_times(self.circuit)

    @cached_property
    def grid(self) -> ChoiceGrid:
        """All choices of values."""
        varied = {
            name: choices(self.asked.choices[name], unit_of(name, self.circuit))
            for name in self.circuit.symbols
            if name in self.asked.choices
        }
        fixed = {n: v for n, v in self.circuit.numbers.items() if n not in varied}
        return ChoiceGrid(varied, fixed, self.seed)

    @cached_property
    def search(self) -> VersionSearch:
        """The grid with every wish as conditions on whole numbers."""
        return VersionSearch(
            self.grid,
            {wish.text: self.forms.conditions(wish, self.grid) for wish in self.wishes},
            self._sound(),
            self._signs,
            same_signs=self.asked.difficulty != "mixed",
            most=self.most,
        )

    def _sound(self) -> list[Condition]:
        """That every value of an element is above 0, where its form leaves that open."""
        ratios = [self.grid.ratio(form) for form in self.forms.positive]
        return [sign_in(r, (1,)) for r in ratios if not (r.above.positive and r.below.positive)]

    @cached_property
    def _signed(self) -> list[Callable[[GridBlock, Places], NDArray[np.int64]]]:
        """What tells the sign of each quantity of the pattern at given places."""
        ratios = [self.grid.ratio(form) for form in self.forms.signed.values()]
        return [
            lambda block, places, ratio=ratio: np.broadcast_to(  # type: ignore[misc]
                sign_of(ratio, lambda p: block.at(p, places, p.bound < SAFE)), places.rows.shape
            ).astype(np.int64)
            for ratio in ratios
        ]

    def _signs(self, block: GridBlock, places: Places) -> NDArray[np.int64]:
        """The signs of the pattern at these places, a column each."""
        columns = [sign(block, places) for sign in self._signed]
        return np.column_stack(columns) if columns else np.zeros((len(places.rows), 0), dtype=np.int64)


@dataclass(frozen=True, slots=True)
class PortionWalk:
    """Looks through portions of the candidates, wherever it was sent. `wanted`: the wishes to be granted;
    `listed`: whether the candidates themselves are wanted, or only how many there are."""

    ground: VersionGround
    wanted: frozenset[str]
    listed: bool

    def __call__(self, portion: range) -> WalkFound:
        """What these rows of the walk hold."""
        return self.ground.search.portion(self.wanted, portion, listed=self.listed)


def refuse(circuit: Circuit, asked: VersionsAsked) -> None:
    """Raises FaultyMaterial where there can be no versions."""
    faults: list[Finding] = []
    if circuit.sought:
        faults.append(
            Finding("versions/asked-backwards", "A question asked backwards has no versions yet.", "")
        )
    if not asked.choices and not faults:
        mend = 'Add lines such as R1 = "2 to 12 ohm" under [versions].'
        faults.append(Finding("versions/nothing-varies", "Nothing is said to vary.", mend))
    open_ = [n for n in circuit.symbols if n not in circuit.numbers and n not in asked.choices]
    if open_ and not faults:
        faults.append(
            Finding(
                "versions/numbers-missing",
                f"There is neither a number nor a choice of numbers for {listed(open_)}.",
                f"Say what {open_[0]} may be under [versions], or give its number under [numbers].",
                about=tuple(open_),
            )
        )
    for name, text in asked.choices.items() if not faults else ():
        if name not in circuit.symbols:
            mend = f"The symbols are {listed(circuit.symbols)}."
            message = f"{name} is said to vary, but no value in this circuit holds such a symbol."
            faults.append(Finding("versions/unknown-symbol", message, mend, about=(name,)))
            continue
        try:
            choices(text, unit_of(name, circuit))
        except UnreadableChoices as trouble:
            mend = f"{trouble.mend[0].upper()}{trouble.mend[1:]}."
            message = f"What {name} may be is not clear: {trouble.why}."
            faults.append(Finding("versions/unreadable-choices", message, mend, about=(name,)))
    if not faults:
        faults.extend(finding for _, finding in form_faults(circuit, asked))
    if faults:
        raise FaultyMaterial(*faults)
