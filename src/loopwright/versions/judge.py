"""A candidate judged: given its numbers and a form, held against every wish, its lines counted."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property

from ..circuit.circuit import Circuit
from ..circuit.page_wishes import SHORTEST
from ..circuit.timed_wishes import ComparedInTime
from ..circuit.versions_asked import VersionsAsked
from ..circuit.wishes import SlipsApart, Wish, wishes
from ..derive.search import plain_numbers
from ..errors import BrokenPromise
from ..expressions.nodes import Expr
from ..methods.compare import shortest
from ..methods.methods import BRANCH_CURRENTS, Method, lines_in_numbers, method_called
from ..solve.exact import Solution
from .closed_forms import SteadyForms
from .forms import VersionForm, asked_and_turned, form_drawn, formed, prove
from .ground import VersionGround
from .search import VersionPlace
from .slips_apart import ApartSieve, SlipCertificate, certificate
from .times_come import holds_in_time
from .version import Version

MOST_FORMS_DRAWN = 30  # for one version, until its wishes hold in one


@dataclass(frozen=True, slots=True)
class PlaceToJudge:
    """A place on the grid to be judged. `like`: the first place met with the same pattern of signs, by whose
    slips the quick sieve goes."""

    place: VersionPlace
    like: VersionPlace


@dataclass(frozen=True)
class VersionJudge:
    """Makes versions of candidates, wherever it was sent. `counted`: whether lines are counted."""

    ground: VersionGround
    counted: bool

    def __reduce__(self) -> tuple[type[VersionJudge], tuple[VersionGround, bool]]:
        return type(self), (self.ground, self.counted)

    def __call__(self, candidate: PlaceToJudge) -> Version | None:
        """The version; None where its numbers do not tell slips apart and should, where a time that is asked
        for never comes, or where a wish does not hold that it must be worked in time for."""
        ground, place = self.ground, candidate.place
        plain = self.plain(place)
        if ground.timed and not holds_in_time(plain, ground.in_time):
            return None
        if ground.apart and not self._sieve.passes(plain, self.plain(candidate.like)):
            return None
        form = self._form(plain, place)
        circuit = formed(plain, form)
        solution = ground.forms.solution if isinstance(ground.forms, SteadyForms) else None
        if form and solution is not None:
            solution = prove(circuit, plain, form, solution)
        told: SlipCertificate | None = None
        if ground.apart:
            told = certificate(circuit)
            if not told.apart:
                return None
        own = formed(plain, replace(form, asked=())) if form.asked else circuit
        lines = self._lines(own, solution) if self.counted and solution is not None else None
        return Version(circuit, place.signs, lines, told, form)

    def plain(self, place: VersionPlace) -> Circuit:
        """The circuit with the numbers of a place, held against every wish. Raises BrokenPromise where it
        does not grant one."""
        ground = self.ground
        chosen = ground.grid.chosen(place.row, place.column)
        numbers = {**ground.circuit.numbers, **{name: choice.value for name, choice in chosen.items()}}
        written = {**ground.circuit.written, **{name: choice.text for name, choice in chosen.items()}}
        order = [name for name in (*ground.circuit.symbols, *numbers) if name in numbers]
        known: dict[Expr, Fraction] = {}

        def value(of: Expr) -> Fraction:
            if of not in known:
                known[of] = ground.forms.value(of, numbers)
            return known[of]

        for wish in ground.wishes:
            if not isinstance(wish, SlipsApart | ComparedInTime) and not wish.holds(value):
                raise BrokenPromise(f"a version does not grant the wish: {wish.text}")
        return self._blank.with_numbers(
            {name: numbers[name] for name in order},
            {name: written[name] for name in order if name in written},
        )

    @cached_property
    def _blank(self) -> Circuit:
        """The circuit that versions are made of, itself without any."""
        return replace(self.ground.circuit, versions=VersionsAsked())

    @cached_property
    def _sieve(self) -> ApartSieve:
        return ApartSieve()

    # -- forms -----------------------------------------------------------------------------------

    def _form(self, plain: Circuit, place: VersionPlace) -> VersionForm:
        """A form in which every wish still holds, of the arrows and questions as they are in it; the file's
        own where none of those drawn is so."""
        asked = self.ground.asked
        for draw in range(MOST_FORMS_DRAWN if asked.in_form else 0):
            form = form_drawn(plain, asked, f"{self.ground.seed} {place.row} {place.column} {draw}")
            if self._grants(plain, form):
                return form
        return VersionForm()

    def _grants(self, plain: Circuit, form: VersionForm) -> bool:
        if not form.arrows and not form.asked:
            return True
        key = form.arrows, form.asked
        if key not in self._wishes_in:
            self._wishes_in[key] = wishes(asked_and_turned(plain, form), self.ground.asked.hold)
        return all(
            wish.holds(lambda q: self.ground.forms.value(form.signed(q), plain.numbers))
            for wish in self._wishes_in[key]
            if not isinstance(wish, SlipsApart | ComparedInTime)
        )

    @cached_property
    def _wishes_in(self) -> dict[tuple[tuple[str, ...], tuple[str, ...]], tuple[Wish, ...]]:
        """The wishes as they read in the forms met so far."""
        return {}

    # -- lines -----------------------------------------------------------------------------------

    def _lines(self, circuit: Circuit, solution: Solution) -> int:
        """How many lines the working in numbers has, by the method that the file names."""
        plain = plain_numbers(circuit, replace(solution, circuit=circuit))
        return lines_in_numbers(self._method, plain.solution)

    @cached_property
    def _method(self) -> Method:
        circuit = self.ground.circuit
        method = circuit.page.method or BRANCH_CURRENTS
        return method_called(shortest(circuit) if method == SHORTEST else method)
