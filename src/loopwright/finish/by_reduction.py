"""Series and parallel gone on with: what is not yet made one, the current of the one loop that is left, and
the way back outwards, by the voltage across what lies side by side.

Common practice, in any textbook of circuits.
"""

from __future__ import annotations

from collections.abc import Sequence

from ..circuit.targets import Asked
from ..derive.parts import Part, reduction_of
from ..expressions.nodes import ZERO, Expr, Symbol, add, over, times
from ..expressions.said import Said
from ..expressions.tidy import tidy
from .by_ohm import OhmTeller, all_laws, signed
from .finished import Fact, FactKind, Lacking
from .whereabouts import Whereabouts


def speaks_of_reduction(w: Whereabouts) -> bool:
    """Whether the working makes resistances one, in the circuit as drawn."""
    changed = any(line.setting for line in w.reading.working.lines)
    return not changed and any(name[:1] in "Rr" for name in w.given_names)


def by_reduction(w: Whereabouts, teller: OhmTeller) -> None:
    """Writes the lines until every branch current is known. Raises LookupError where the circuit does not
    come down to one loop with a source that has one current."""
    found = reduction_of(teller.letters)
    if found is None:
        raise LookupError("the circuit does not come down to one loop")
    source, load = found.source.name, found.load
    for gap in found.gaps:
        if gap not in teller.known and teller.own.setting:
            fixed(teller, gap, ZERO, "No current flows through the gap")
    given = teller.letters.fixed_current(source)
    if given is not None and source not in teller.known:
        fixed(teller, source, tidy(given), "The source fixes it")
    if source not in teller.known:
        total = teller.as_named([*teller.along(source), *teller.in_row(load)])
        if not teller.along(source) and not load.in_series and not load.branch:
            raise LookupError("the source lies straight across parts side by side")
        reason: Said = ("One loop is left: the current of the source is its emf over the whole resistance",)
        form = over(teller.rise(source), add(*total))
        teller.write(source, form, Asked.CURRENT, reason, Lacking.ONE_LOOP, teller.laws)
    _Outwards(teller).through(load, source, 1)


def fixed(teller: OhmTeller, branch: str, form: Expr, why: str) -> None:
    """The current of a branch that an element in it fixes."""
    place = teller.own.of_problem(branch)
    facts = (Fact(FactKind.ELEMENT, place, setting=teller.own.setting),)
    teller.write(branch, form, Asked.CURRENT, (why,), Lacking.ELEMENT, facts)


class _Outwards:
    """The way back, from the current of a part to those of the branches in it."""

    def __init__(self, teller: OhmTeller) -> None:
        self.teller = teller

    def through(self, part: Part, current: str, sense: int) -> None:
        """All that is met along a part carries its current; `sense`: of that along the part."""
        for inner, turn in part.met:
            if not inner.branch:
                self.divide(inner, current, sense * turn)
            elif inner.branch not in self.teller.known:
                form = signed(Symbol(current), sense * turn)
                setting = self.teller.own.setting
                facts = tuple(Fact(k, setting=setting) for k in (FactKind.JUNCTION, FactKind.ELEMENT))
                self.teller.write(
                    inner.branch, form, Asked.CURRENT, ("In series, one current",), Lacking.OUTWARDS, facts
                )

    def divide(self, part: Part, current: str, sense: int) -> None:
        """The voltage across what lies side by side, and the current that it drives through each."""
        chains = [(chain, turn, self._carriers(chain)) for chain, turn in part.parts]
        waiting = [one for one in chains if not all(n in self.teller.known for n, _ in one[2])]
        if self.teller.own.setting:
            self._share_out(part, current, sense, chains)
            return
        voltage, way = self._voltage(part, current, sense) if waiting else ("", 1)
        for chain, turn, carriers in chains:
            first, own = carriers[0]
            if first not in self.teller.known:
                form = over(Symbol(voltage), add(*self.teller.in_row(chain)))
                single = len(chain.branches) == 1
                place = self.teller.own.of_problem(first) if single else ""
                plain = single and self.teller.is_level(voltage)
                facts = (Fact(FactKind.BRANCH, place),) if plain else all_laws()
                reason: Said = (f"Ohm's law between {part.start} and {part.end}",)
                form = signed(form, turn * own * way)
                self.teller.write(first, form, Asked.CURRENT, reason, Lacking.OUTWARDS, facts)
            self.through(chain, first, own)

    def _share_out(
        self,
        part: Part,
        current: str,
        sense: int,
        chains: Sequence[tuple[Part, int, Sequence[tuple[str, int]]]],
    ) -> None:
        """The share of a current that each of what lies side by side carries, without a voltage, for which a
        part of one source has no name: the other resistance over the sum of two, else all over its own."""
        teller = self.teller
        for chain, turn, carriers in chains:
            first, own = carriers[0]
            if first not in teller.known:
                others = [add(*teller.in_row(other)) for other, _, _ in chains if other is not chain]
                row = add(*teller.in_row(chain))
                share = over(times(Symbol(current), teller.beside(part)), row)
                if len(others) == 1:
                    share = over(times(Symbol(current), others[0]), add(row, others[0]))
                reason: Said = (f"The share of what divides between {part.start} and {part.end}",)
                form = signed(share, sense * turn * own)
                teller.write(first, form, Asked.CURRENT, reason, Lacking.OUTWARDS, teller.laws)
            self.through(chain, first, own)

    def _voltage(self, part: Part, current: str, sense: int) -> tuple[str, int]:
        """The voltage across a part, by the working's name if it has one, and its sense along the part."""
        teller = self.teller
        name, way = teller.across(part.start, part.end)
        if name in teller.known:
            return name, way
        whole = teller.beside(part)
        if not name:
            way = sense  # counted as the current runs
            ends = (part.start, part.end) if sense > 0 else (part.end, part.start)
            name = teller.new_voltage(*ends, part)
        reason: Said = (f"Ohm's law from {part.start} to {part.end}",)
        form = signed(times(Symbol(current), whole), sense * way)
        teller.write(name, form, Asked.POTENTIAL, reason, Lacking.OUTWARDS, all_laws())
        return name, way

    def _carriers(self, chain: Part) -> Sequence[tuple[str, int]]:
        found = [(p.branch, turn) for p, turn in chain.met if p.branch]
        if not found:
            raise LookupError("a part has no branch whose current it carries")
        return found
