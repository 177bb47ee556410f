"""What the names of a working may stand for: the quantities that its method speaks of.

Besides the currents of branches a working has parts of them ("E1 alone: I1′ = ..."), currents round loops,
potentials, open voltages, short-circuit currents. Which name is which is first read off what the words and
the name itself say (`Origin`): the changed circuit that the line stands in, the current whose letter it
bears. What is left open has several candidates, likeliest first; `arrows` chooses among them.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import product

from ..circuit.changed import sources_in
from ..circuit.circuit import Circuit
from ..circuit.elements import Branch, Kind
from ..expressions.nodes import Expr, Negative, Sum, Symbol, put_on_both_sides
from ..expressions.values import symbols_of
from .loop_currents import Meaning, any_loop_currents
from .page.assumptions_said import OF_SOURCE
from .truth.changed import each_alone, in_setting, part
from .truth.meaning import level
from .truth.rounding import lone
from .working import AS_DRAWN, CircuitChange, Claim, Working, WrittenLine

_MARK = re.compile(r"(.+?)(′+|[a-z]|,?\(?\d\)?)")
_BETWEEN = re.compile(r"V\((\w[\w′]*), (\w[\w′]*)\)")
_ACROSS = re.compile(r"V\((\w[\w′]*)\)")
_OPEN = frozenset((
    "voc", "vth", "eth", "uoc", "uth", "eoc", "eeq", "veq", "ueq", "v0", "u0", "e0", "vopen", "uopen",
))  # fmt: skip
_SHORTED = frozenset(("isc", "in", "ishort", "inorton", "ish", "ieq", "ik"))


_NOTHING: Mapping[str, Meaning] = {}


@dataclass(frozen=True, slots=True)
class Origin:
    """Where a name comes from. `base`: the name without its mark (`I1` for `I1′`), which tells the branch
    or the point; `setting`: the changed circuit in which it stands first; `marked`: whether it bears a
    mark of its own on the name of one of the circuit's currents."""

    base: str
    setting: CircuitChange
    marked: bool

    def tells(self, circuit: Circuit, counted: Collection[str] = ()) -> bool:
        """Whether nothing but the direction is left open: the part of one current in one circuit, or the
        voltage between two points there. `counted`: names with declared arrows."""
        quantity = (
            self.base in circuit.currents or self.base in counted or _BETWEEN.fullmatch(self.base) is not None
        )
        return self.marked and quantity and bool(self.setting)


def may_be_open(name: str) -> bool:
    """Whether a name that nothing explains may be that of a current or a potential difference; letters
    that stand for resistances, powers, emfs and shorthands are not."""
    return name[:1] not in "RrPpEeεDdΔNnGgkKTtSs" or _plain(name) in _OPEN


def letters_for_currents(circuit: Circuit, claims: Sequence[Claim]) -> set[str]:
    """The single small letters that stand for currents, whichever letters they are: a current of the problem
    is said to be one of them, or several added up, `I4 = p − q`."""
    found: set[str] = set()
    for claim in claims:
        left, right = claim.written.left, claim.written.right
        bodies = right.terms if isinstance(right, Sum) else (right,)
        terms = [term.body if isinstance(term, Negative) else term for term in bodies]
        if not isinstance(left, Symbol) or left.name not in circuit.currents:
            continue
        letters = {t.name for t in terms if isinstance(t, Symbol) and len(t.name) == 1 and t.name.islower()}
        if len(letters) == len(terms):
            found |= letters - {*circuit.elements, *circuit.symbols}
    return found


def is_quantity(name: str, origin: Origin) -> bool:
    """Whether a name says by itself what it is a name of, whatever it is first said to be: a part of a
    current,
    a potential or a voltage, a current of a changed circuit."""
    return origin.marked or bool(origin.setting) or name[:1] in "VvUuφ" or _plain(name) in (_OPEN | _SHORTED)


def is_open_voltage(name: str) -> bool:
    """Whether a name is one of those of a voltage across a gap: Voc, Eth, U0."""
    return _plain(name) in _OPEN


def is_short_current(name: str) -> bool:
    """Whether a name is one of those of a current through a wire: Isc, IN."""
    return _plain(name) in _SHORTED


def is_of_source(circuit: Circuit, origin: Origin | None) -> bool:
    """Whether a name stands for what the source would have to give under a supposition."""
    return origin is not None and bool(origin.setting.taken) and origin.base in sources_in(circuit)


def _plain(name: str) -> str:
    return name.lower().replace("_", "").rstrip("′")


def origin_of(name: str, circuit: Circuit, setting: CircuitChange) -> Origin:
    """What a name tells by itself, with the changed circuit in which it stands first."""
    match = _MARK.fullmatch(name)
    if match is not None and name not in circuit.currents:
        base = match[1]
        for spelling in (base, base[:1].swapcase() + base[1:]):
            if spelling in circuit.currents:
                return Origin(spelling, setting, marked=True)
        if base[:1] in "Ii" and base[1:] in circuit.elements:  # I_{R1a}, the part of I1 through R1
            return Origin(circuit.branch_of(base[1:]).name, setting, marked=True)
        if "′" in match[2] and base not in circuit.elements:
            return Origin(base, setting, marked=True)
    return Origin(name, setting, marked=False)


def origins(working: Working, circuit: Circuit) -> dict[str, Origin]:
    """For every name of a working where it comes from: the circuit of the line that gives it, else of the
    line in which it stands first."""
    found: dict[str, Origin] = {}
    for line in working.lines:
        for claim in line.claims:
            if isinstance(claim.written.left, Symbol):
                name = claim.written.left.name
                found.setdefault(name, origin_of(name, circuit, claim.setting))
    for line in working.lines:
        for claim in line.claims:
            for name in symbols_of(claim.written):
                if name not in found:
                    found[name] = origin_of(name, circuit, claim.setting)
    return found


# -- names that mean something else in each circuit --------------------------------------------------


def in_their_circuits(working: Working, circuit: Circuit) -> tuple[Working, dict[str, Origin]]:
    """The working with every name that stands for one thing in one circuit and for another in the next made
    two: in "E1 alone: I1 = 2 A" it is I1′. And where the names come from."""
    working = _put_together(working, circuit)
    claims = [claim for line in working.lines for claim in line.claims]
    settings = list(dict.fromkeys(claim.setting for claim in claims if claim.setting))
    if not settings:
        return working, origins(working, circuit)
    used: dict[str, dict[CircuitChange, None]] = {}
    for claim in claims:
        for name in symbols_of(claim.written):
            used.setdefault(name, {})[claim.setting] = None
    fixed = {*circuit.elements, *circuit.symbols}
    marked = {name for name in used if origin_of(name, circuit, AS_DRAWN).marked}
    own = {origin_of(name, circuit, AS_DRAWN).base for name in marked}
    again = _given_again(working)
    table: dict[CircuitChange, dict[str, Symbol]] = {setting: {} for setting in settings}
    known: dict[str, Origin] = {}
    for name, where in used.items():
        for setting in (s for s in where if s.taken and _is_supposable(circuit, name)):
            source, plain = _needed(circuit, name), name.rstrip("′")
            new = _written(source or plain) + "′" * (settings.index(setting) + 1)
            table[setting][name] = Symbol(new)
            known[new] = Origin(source or _written(plain), setting, marked=True)
        changed = [setting for setting in where if setting and not setting.taken]
        if name in fixed or name in marked or not changed or name in own:
            continue
        between = _BETWEEN.fullmatch(name)
        if "(" in name and between is None:
            continue
        alone = len(changed) < 2 and name not in again and not _is_told_anew(working, name, changed)
        if not between and name not in circuit.currents and alone:
            continue
        for setting in changed:
            new = _written(name) + "′" * (settings.index(setting) + 1)
            while new in used:
                new += "′"
            table[setting][name] = Symbol(new)
            known[new] = Origin(name, setting, marked=True)
    beside = _marked_elsewhere(claims, circuit, used)
    known.update(
        {new.name: Origin(n, at, marked=True) for at, own in beside.items() for n, new in own.items()}
    )
    rows = {setting: {**beside.get(setting, {}), **own} for setting, own in table.items()}
    lines = [
        _renamed(circuit, line, rows if _says_its_circuits(line) else table, settings[-1])
        for line in working.lines
    ]
    told = Working(tuple(_with_open_voltages(lines, table)))
    return told, {**origins(told, circuit), **known}


def _of_several(line: WrittenLine) -> bool:
    return len({claim.setting for claim in line.claims}) > 1


def _says_its_circuits(line: WrittenLine) -> bool:
    """Whether a line says of which circuit each of its claims is, as it is of several or a row of a table."""
    return _of_several(line) or line.text.count("|") > 2


def _marked_elsewhere(
    claims: Sequence[Claim], circuit: Circuit, used: Mapping[str, Mapping[CircuitChange, None]]
) -> dict[CircuitChange, dict[str, Symbol]]:
    """What a current is called, in a line that says of each claim which source acts, where other lines mark
    its parts: the I2' that is given with the same source, else a name of our own."""
    found: dict[CircuitChange, dict[str, Symbol]] = {}
    taken = set(used)
    marks = {n: origin_of(n, circuit, AS_DRAWN) for n in used}
    for name in {origin.base for origin in marks.values() if origin.marked} & set(circuit.currents):
        own = [n for n, origin in marks.items() if origin.marked and origin.base == name]
        for setting in (s for s in used.get(name, ()) if s.at_zero):
            given = (
                c.written.left.name
                for c in claims
                if isinstance(c.written.left, Symbol) and c.setting == setting
            )
            same = list(dict.fromkeys(n for n in given if n in own))
            new = same[0] if len(same) == 1 else name + "′"
            while not same and new in taken:
                new += "′"
            taken.add(new)
            found.setdefault(setting, {})[name] = Symbol(new)
    return found


def _put_together(working: Working, circuit: Circuit) -> Working:
    """The working with what stands below the first sum of a current's marked parts, or below the current of
    what was taken out, as of the circuit as drawn, though no word says so: up to where another circuit is
    spoken of, and if no part is given below."""
    marked: dict[str, int] = {}  # of a current with parts: the last line that gives a new one
    parts: set[str] = set()
    summed: dict[CircuitChange, int] = {}  # of the setting: the line of the first sum under it
    back: dict[CircuitChange, int] = {}  # the line of the current of what is out in it
    for line in working.lines:
        for claim in line.claims:
            setting, given = claim.setting, claim.written.right
            if not isinstance(claim.written.left, Symbol):
                continue
            name, number = claim.written.left.name, lone(given)
            origin = origin_of(name, circuit, AS_DRAWN)
            if setting.at_zero and origin.marked:
                if name not in parts:  # I2 = I2' = 0.281 gives none
                    marked[origin.base] = line.number
                parts.add(name)
            elif setting.at_zero and name in marked and isinstance(given, Sum):
                summed.setdefault(setting, line.number)
            elif any(circuit.branch_of(element).name == name for element in setting.out) and (
                number is None or number.value
            ):
                back.setdefault(setting, line.number + 1)
    last = max(marked.values(), default=0)
    ends = {**{setting: number for setting, number in summed.items() if number > last}, **back}
    if not ends:
        return working

    def drawn(line: WrittenLine) -> WrittenLine:
        claims = tuple(
            replace(c, setting=AS_DRAWN) if line.number >= ends.get(c.setting, line.number + 1) else c
            for c in line.claims
        )
        return replace(line, claims=claims) if claims != line.claims else line

    return replace(working, lines=tuple(map(drawn, working.lines)))


def _given_again(working: Working) -> set[str]:
    """The resistances of the working's own that are given once for the circuit as drawn and then, or in the
    same line, for one that is changed: they are two, `Rt = 12 ohm; with R3 out Rt = 18 ohm`."""
    found: set[str] = set()
    as_drawn: set[str] = set()
    for line in working.lines:
        given = [(c.written.left.name, c) for c in line.claims if isinstance(c.written.left, Symbol)]
        as_drawn.update(name for name, claim in given if not claim.setting)
        found.update(name for name, claim in given if claim.setting and name in as_drawn)
    return {name for name in found if name[0] in "Rr"}


def _is_told_anew(working: Working, name: str, changed: Sequence[CircuitChange]) -> bool:
    """Whether a potential or a voltage gets another number in the circuit as drawn than in a changed one:
    `R3 out: Va = 14.3 V`, and below `R3 back: Va = 13.1 V`."""
    if name[:1] not in "VvUuφ":
        return False
    told: dict[CircuitChange, set[Fraction]] = {}
    for line in working.lines:
        head: Expr | None = None
        above: Expr | None = None
        for claim in line.claims:
            own = lone(claim.written.right)
            head = head if claim.written.left == above else claim.written.left
            above = claim.written.right
            if head == Symbol(name) and own is not None:
                told.setdefault(claim.setting, set()).add(own.value)
    before = {n for setting in changed for n in told.get(setting, ())}
    return bool(before) and bool(told.get(AS_DRAWN, before) - before)


def _written(name: str) -> str:
    """A voltage between points, or across an element, as a name that can bear a mark: Vab for V(a, b)."""
    between, across = _BETWEEN.fullmatch(name), _ACROSS.fullmatch(name)
    if across:
        return f"V{across[1]}"
    return f"V{between[1]}{between[2]}" if between else name


def _is_supposable(circuit: Circuit, name: str) -> bool:
    """Whether a name is another one under a supposition: that of a current, of a voltage, of the source."""
    return name in circuit.currents or name[:1] in "IiVvUuφ" or bool(_needed(circuit, name))


def _needed(circuit: Circuit, name: str) -> str:
    """The one source where a name stands for what it would have to give; else empty."""
    source, *others = sources_in(circuit)
    if others:
        return ""
    own, plain = {source, *circuit.value(source).held()}, name.rstrip("′")
    return source if plain in own or OF_SOURCE.fullmatch(plain) else ""


def _renamed(
    circuit: Circuit,
    line: WrittenLine,
    table: Mapping[CircuitChange, Mapping[str, Symbol]],
    last: CircuitChange,
) -> WrittenLine:
    """A line with the names of the changed circuits that its claims are of. Where it speaks of several, each
    claim is of its own and of no other, unless what is out there stands in it."""
    several = _of_several(line)
    claims: list[Claim] = []
    for claim in line.claims:
        out = {n for element in claim.setting.out for n in (element, circuit.branch_of(element).name)}
        alone = several and not out.intersection(symbols_of(claim.written))
        claims.append(_claim_renamed(claim, table.get(claim.setting, {}), claim.setting == last, alone))
    notes: dict[str, None] = {}
    for claim in line.claims:
        own = table.get(claim.setting, {}) if claim.setting.at_zero else {}
        met = [n for n in symbols_of(claim.written) if n in own]
        notes.update({f"{n} {claim.setting.words} is called {own[n].name} here": None for n in met})
    return replace(line, claims=tuple(claims), notes=(*line.notes, *notes))


def _with_open_voltages(
    lines: Sequence[WrittenLine], table: Mapping[CircuitChange, Mapping[str, Symbol]]
) -> Iterator[WrittenLine]:
    """The lines, in which a voltage between points may also be that of the last circuit in which the elements
    of a claim were out: `I3 = Vab/(Rth + R3)` is of the circuit as drawn, but Vab is that without R3."""
    opened = AS_DRAWN
    for line in lines:
        claims: list[Claim] = []
        for claim in line.claims:
            opened = claim.setting if claim.setting.out else opened
            held = symbols_of(claim.written)
            if not claim.setting and any(name in opened.out for name in held):
                own = {n: s for n, s in table.get(opened, {}).items() if _BETWEEN.fullmatch(n)}
                if any(name in own for name in held):
                    other = put_on_both_sides(claim.written, own)
                    claim = replace(claim, otherwise=(*claim.otherwise, other))
            claims.append(claim)
        yield replace(line, claims=tuple(claims))


def _claim_renamed(claim: Claim, table: Mapping[str, Symbol], last: bool, alone: bool) -> Claim:
    """A claim with the names of its changed circuit. In the last of these circuits it may also be meant of
    the circuit as drawn, since the parts may be put together without a word; and where an element is out, a
    current of the problem is that of the circuit as drawn unless this makes no sense, and a voltage that of
    the circuit as drawn where that makes sense. `alone`: it is of no other circuit than its own."""
    written = put_on_both_sides(claim.written, table)
    if written == claim.written:
        return claim
    readings = [put_on_both_sides(other, table) for other in claim.otherwise]
    plain = [claim.written, *claim.otherwise]
    if claim.setting.taken or alone:
        return replace(claim, written=written, otherwise=tuple(readings))
    apart = any(n[0] in "Rr" and n in table for n in symbols_of(claim.written))
    if claim.setting.at_zero or apart:
        return replace(claim, written=written, otherwise=(*readings, *(plain if last else ())))
    if all(_BETWEEN.fullmatch(n) for n in symbols_of(claim.written) if n in table):
        return replace(claim, written=written, otherwise=(*readings, *plain))
    return replace(claim, otherwise=(*claim.otherwise, written, *readings))


# -- what a name may stand for -----------------------------------------------------------------------


def candidates(
    circuit: Circuit,
    name: str,
    origin: Origin | None = None,
    *,
    turned_only: bool = False,
    shared: bool = False,
    opened: bool = False,
    counted: Mapping[str, Meaning] = _NOTHING,
) -> tuple[Meaning, ...]:
    """What a name may stand for, each as a sum of branch currents or potentials, likeliest first.
    `turned_only`: the name is one of the problem's, so that only its direction is open; `shared`: it may be
    one of several currents round loops that share branches; `opened`: the working speaks of an open voltage,
    so that it may be a current in what is left without a resistor; `counted`: what names with declared
    arrows stand for, whose parts are of the same branch."""
    if turned_only:
        return ({name: 1}, {name: -1})
    origin = origin or origin_of(name, circuit, AS_DRAWN)
    plain = _plain(name)
    if plain in _OPEN and (found := tuple(_across_gaps(circuit, origin.setting))):
        return found
    if plain in _SHORTED and (found := tuple(_through_wires(circuit, origin.setting))):
        return found
    settings: tuple[CircuitChange, ...] = (origin.setting,) if origin.setting else (AS_DRAWN,)
    if origin.setting and not origin.setting.at_zero and not origin.marked:
        settings = (origin.setting, AS_DRAWN)  # what is out may be back without a word
    own = origin.marked and origin.base in counted and len(counted[origin.base]) == 1
    if origin.marked and not origin.setting and (alone := each_alone(circuit)):
        settings = alone if own or origin.base in circuit.currents else (*alone, AS_DRAWN)
    found = tuple(
        m
        for s in settings
        if in_setting(circuit, s) is not None
        for m in (
            _of_declared(counted[origin.base], s) if own else _in(circuit, origin.base, s, shared=shared)
        )
    )
    found = found or tuple(_in(circuit, origin.base, AS_DRAWN, shared=shared))
    if opened and not (origin.setting or origin.marked) and origin.base[:1] in "VvUu":
        found = (*found, *_across_gaps(circuit, AS_DRAWN))  # the emf of a source that stands for the rest
    if opened and not (origin.setting or origin.marked) and origin.base[:1] in "Ii":
        for out in _resistors(circuit):
            gap = CircuitChange(out=(out,))
            if in_setting(circuit, gap) is not None:
                none = part(circuit.branch_of(out).name, gap)  # flows where the gap is
                found = (*found, *(m for m in _in(circuit, origin.base, gap, shared=False) if none not in m))
    return found


def _of_declared(meaning: Meaning, setting: CircuitChange) -> Iterator[Meaning]:
    """What the part of a current with a declared arrow may stand for in one circuit."""
    for sign in (1, -1):
        yield {part(branch, setting): way * sign for branch, way in meaning.items()}


def _in(circuit: Circuit, base: str, setting: CircuitChange, *, shared: bool) -> Iterator[Meaning]:
    """What a name may stand for in one circuit."""
    if base in circuit.currents and setting:
        yield {part(base, setting): 1}
        yield {part(base, setting): -1}
        return
    if between := _BETWEEN.fullmatch(base):
        if {between[1], between[2]} <= set(circuit.named_points):
            yield {part(level(between[1]), setting): 1, part(level(between[2]), setting): -1}
        return
    if base[:1] in "VvUuφEe":
        points = list(circuit.named_points)
        own = [p for p in points if p.casefold() == base[1:].lstrip("_").casefold()]
        first = [(a, b) for a in own for b in points] or _across_own(circuit, base[1:].lstrip("_"))
        of_point = own and not setting.at_zero and not setting.wired
        pairs = first if of_point else dict.fromkeys((*first, *product(points, points)))
        for a, b in pairs:
            if a != b:
                yield {part(level(a), setting): 1, part(level(b), setting): -1}
        return
    for branch in circuit.currents:
        for sign in (1, -1):
            yield {part(branch, setting): sign}
    if not setting:
        yield from any_loop_currents(circuit, shared=shared)
    if not shared:  # else it is among the sums of two for any choice of loops
        yield from (
            {part(n, setting): m for n, m in total.items()} for total in _totals_side_by_side(circuit)
        )


def _totals_side_by_side(circuit: Circuit) -> Iterator[Meaning]:
    """What resistors side by side carry together, one way and the other: the current of a load of two."""
    groups: dict[tuple[str, str], list[Branch]] = {}
    for b in circuit.branches:
        if b.start != b.end and {circuit.elements[p.element].kind for p in b.passes} == {Kind.RESISTOR}:
            groups.setdefault((min(b.start, b.end), max(b.start, b.end)), []).append(b)
    for (start, _), own in groups.items():
        if len(own) > 1:
            total = {b.name: 1 if b.start == start else -1 for b in own}
            yield from (total, {n: -m for n, m in total.items()})


def is_across_own(circuit: Circuit, name: str) -> bool:
    """Whether a name is that of a voltage with the mark of a resistor, which it may be across."""
    points = {p.casefold() for p in circuit.named_points}
    mark = name[1:].lstrip("_")
    return name[:1] in "VvUu" and mark.casefold() not in points and bool(_across_own(circuit, mark))


def _across_own(circuit: Circuit, mark: str) -> list[tuple[str, str]]:
    """The ends of the resistor whose mark a voltage bears, U2 of R2, along its branch and against it; none
    where it is not alone in its branch."""
    name = mark if mark in circuit.elements else f"R{mark}"
    if not mark or name not in _resistors(circuit):
        return []
    branch = circuit.branch_of(name)
    ends = [(branch.start, branch.end), (branch.end, branch.start)]
    return ends if len(branch.passes) == 1 else []


def _across_gaps(circuit: Circuit, setting: CircuitChange) -> Iterator[Meaning]:
    """The voltages across the ends of a branch with a gap in the place of a resistor: that taken out, or any,
    first in branches of resistors alone."""

    def is_mixed(name: str) -> bool:
        passes = circuit.branch_of(name).passes
        return any(circuit.elements[p.element].kind is not Kind.RESISTOR for p in passes)

    for name in sorted(setting.out or _resistors(circuit), key=is_mixed):
        branch = circuit.branch_of(name)
        gap = setting if setting.out else CircuitChange(out=(name,))
        if in_setting(circuit, gap) is not None:
            ends = (part(level(branch.start), gap), part(level(branch.end), gap))
            yield {ends[0]: 1, ends[1]: -1}
            yield {ends[0]: -1, ends[1]: 1}


def _through_wires(circuit: Circuit, setting: CircuitChange) -> Iterator[Meaning]:
    """The currents through a wire in the place of a resistor, or of all that its branch holds."""
    own = {circuit.branch_of(name).name for name in setting.out}
    together = [setting.out] if len(setting.out) > 1 and len(own) == 1 else []  # a load of two
    for names in (*together, *((n,) for n in setting.wired or setting.out or _resistors(circuit))):
        branch = circuit.branch_of(names[0])
        wire = setting if setting.wired else CircuitChange(wired=names)
        if in_setting(circuit, wire) is not None:
            yield {part(branch.name, wire): 1}
            yield {part(branch.name, wire): -1}


def settings_in(
    circuit: Circuit, meanings: Iterable[Meaning], said: Sequence[CircuitChange]
) -> tuple[CircuitChange, ...]:
    """The changed circuits whose currents or potentials these meanings are made of. `said`: those of the
    working's words."""
    ends = {n[n.index(" ") :] if not n.startswith("φ") else n[2:] for m in meanings for n in m if " " in n}
    known = dict.fromkeys((*said, *each_alone(circuit)))
    known.update(dict.fromkeys(CircuitChange(out=(n,)) for n in _resistors(circuit)))
    known.update(dict.fromkeys(CircuitChange(wired=(n,)) for n in _resistors(circuit)))
    known.update(dict.fromkeys(CircuitChange(wired=s.out) for s in said if s.out))
    return tuple(s for s in known if s and any(end.endswith(f" {s.words}") for end in ends))


def _resistors(circuit: Circuit) -> list[str]:
    met = dict.fromkeys(p.element for b in circuit.branches for p in b.passes)
    return [n for n in met if circuit.elements[n].kind is Kind.RESISTOR]
