"""Of which circuit each claim of a line is, where the line speaks of several: `Rt = 12 ohm; with R3 out
Rt = 18 ohm` is about the whole circuit and then about one that is changed.

Words before a claim are of it and of those that come behind it, words behind a claim are of it and of what
stands with it; which of the two they are is told by the stops on either side of them.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace

from ...expressions.nodes import Symbol
from ...expressions.values import symbols_of
from ..working import AS_DRAWN, CircuitChange, Claim

_WHOLE = (
    r"(?:(?:in|of|for|with)\s+)?the\s+(?:whole|full|original|real|complete|actual|unchanged)\s+"
    r"(?:circuit|network)"
)
_PUT_TOGETHER = re.compile(
    rf"[\s\W]*(?:(?:and|but|so|then|now|finally|while)\b,?\s*)*(?P<words>{_WHOLE}|(?:al)?together|in\s+all|"
    r"superpos\w*|superimpos\w*|both\s+(?:sources|batteries)|all\s+(?:sources|batteries)|"
    r"(?:with\s+)?\S+\s+(?:is\s+)?(?:put\s+)?back\s+in\b)",
    re.IGNORECASE,
)
_OF_THE_WHOLE = re.compile(rf"\W*(?P<words>{_WHOLE})", re.IGNORECASE)
_STRONG = re.compile(r"[;.](?=\s|$)")
_WEAK = re.compile(r"[,:—–]|\b(?:and|but|while|whereas|then|so)\b", re.IGNORECASE)
_NEXT_LINES = re.compile(r"[^\w=]*:\W*")
_NUMBER_OF_ITS_OWN = re.compile(
    r"[^;.,=≈(]{0,30}?(?<![\w.])\d+(?:\.\d+)?(?:\s?[mk]?(?:V|A|W|ohms?|Ω))?\s*(?:[;,.)]|$)", re.IGNORECASE
)


@dataclass(frozen=True, slots=True)
class ChangeSaid:
    """A change that words say, and where in the line as it was typed."""

    change: CircuitChange
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class _Chain:
    """The claims of a chain `a = b = c`, and where it stands."""

    claims: tuple[Claim, ...]
    start: int
    end: int

    @property
    def head(self) -> str:
        """The name that it gives a value; empty where it gives none."""
        left = self.claims[0].written.left
        return left.name if isinstance(left, Symbol) else ""

    def holds_any(self, elements: Collection[str]) -> bool:
        """Whether it has one of these elements in it, which are out, or wires, no more then:
        `Ih = Voc/(Rth + Rh)`."""
        return any(name in elements for claim in self.claims for name in symbols_of(claim.written))


def put_in_circuits(
    text: str, claims: Sequence[Claim], said: Sequence[ChangeSaid], before: CircuitChange
) -> tuple[tuple[Claim, ...], CircuitChange]:
    """The claims of a line, each in the circuit that it is of, and the circuit that the lines below speak of
    where they say nothing. `said`: what the words say, in the order in which it stands; `before`: the circuit
    of the lines above."""
    chains = _chains(claims)
    every = sorted((*said, *_of_the_whole(text, chains, said)), key=lambda one: one.start)
    fronts: dict[int, list[CircuitChange]] = {}  # by the first chain that it holds for
    behind: dict[int, list[CircuitChange]] = {}
    for at, one in enumerate(every):
        amid = [i for i, chain in enumerate(chains) if chain.start < one.start < chain.end]
        if amid:
            behind.setdefault(amid[0], []).append(one.change)
            continue
        done = sum(chain.end <= one.start for chain in chains)
        since = max([c.end for c in chains[:done]] + [other.end for other in every[:at]], default=0)
        until = min([c.start for c in chains[done:]] + [o.start for o in every[at + 1 :]], default=len(text))
        gap, rest = text[since : one.start], text[one.end : until]
        if (done or _STRONG.search(gap)) and _NUMBER_OF_ITS_OWN.match(rest):
            continue  # "with R3 out 15 ohm" says a number, and nothing of the claims
        if not done:
            is_before = True
        elif done == len(chains):
            is_before = bool(_STRONG.search(gap) and _NEXT_LINES.fullmatch(rest))
        else:
            is_before = bool(_NEXT_LINES.match(rest)) or _stop(gap) >= _stop(rest)
        if is_before:
            fronts.setdefault(done, []).append(one.change)
        else:
            for i in _with_it(text, chains[:done], every[:at]):
                behind.setdefault(i, []).append(one.change)
    placed: list[Claim] = []
    for i, chain in enumerate(chains):
        first = max((k for k in fronts if k <= i), default=-1)
        front = fronts[first] if first >= 0 else [] if i in behind else [before]
        own = [change for change in behind.get(i, ()) if change]
        circuit = _all_of((*front, *own)) if own or i not in behind else AS_DRAWN
        if first != i and i not in behind and chain.holds_any((*circuit.out, *circuit.wired)):
            fronts[i], circuit = [AS_DRAWN], AS_DRAWN
        placed += [replace(claim, setting=circuit) for claim in chain.claims]
    return tuple(placed), _below(fronts, len(chains), before)


def _below(fronts: dict[int, list[CircuitChange]], chains: int, before: CircuitChange) -> CircuitChange:
    """The circuit that the lines below speak of: that said at the front of the line or for what comes, the
    one as drawn where the line went through several or put them together, else that of before."""
    if chains in fronts or (len(fronts) == 1 and 0 in fronts):
        return _all_of(fronts[max(fronts)])
    if 0 in fronts or (fronts and not _all_of(fronts[max(fronts)])):
        return AS_DRAWN
    return before


def _chains(claims: Sequence[Claim]) -> list[_Chain]:
    """The claims as the chains that they stand in."""
    found: list[_Chain] = []
    for claim in claims:
        if found and claim.start < found[-1].end:
            last = found[-1]
            found[-1] = _Chain((*last.claims, claim), min(last.start, claim.start), max(last.end, claim.end))
        else:
            found.append(_Chain((claim,), claim.start, claim.end))
    return found


def _of_the_whole(text: str, chains: Sequence[_Chain], said: Sequence[ChangeSaid]) -> list[ChangeSaid]:
    """Where words between the claims, or behind them all, go back to the circuit as drawn."""
    found: list[ChangeSaid] = []
    for i, chain in enumerate(chains):
        last = i + 1 == len(chains)
        next_words = [one.start for one in said if one.start >= chain.end]
        until = min([len(text) if last else chains[i + 1].start, *next_words])
        match = (_OF_THE_WHOLE if last else _PUT_TOGETHER).match(text, chain.end, until)
        if match is not None:
            found.append(ChangeSaid(AS_DRAWN, *match.span("words")))
    return found


def _with_it(text: str, done: Sequence[_Chain], said: Sequence[ChangeSaid]) -> list[int]:
    """The chains that words behind them speak of: the last, and those before it up to a strong stop, to other
    such words, or to one that gives another value to the same name."""
    found = [len(done) - 1]
    heads = {done[-1].head}
    for i in range(len(done) - 2, -1, -1):
        gap = done[i].end, done[i + 1].start
        between = any(gap[0] <= one.start < gap[1] for one in said)
        if between or _STRONG.search(text[slice(*gap)]) or (done[i].head and done[i].head in heads):
            break
        heads.add(done[i].head)
        found.append(i)
    return found


def _stop(text: str) -> int:
    """How strongly the stops in a text part what stands before and behind it."""
    return 2 if _STRONG.search(text) else 1 if _WEAK.search(text) else 0


def _all_of(changes: Sequence[CircuitChange]) -> CircuitChange:
    """Changes that hold together as one."""
    if len(changes) == 1:
        return changes[0]

    def every(names: Iterable[tuple[str, ...]]) -> tuple[str, ...]:
        return tuple(dict.fromkeys(name for each in names for name in each))

    return CircuitChange(
        every(one.at_zero for one in changes),
        every(one.out for one in changes),
        every(one.wired for one in changes),
    )
