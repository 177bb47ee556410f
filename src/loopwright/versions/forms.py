"""Versions that differ in form: arrows turned, elements renamed, another thing asked, another figure.

A form is drawn by chance, and the circuit is written in it: a turned arrow is a branch read from its other
end, and a new name stands wherever the old one stood. Questions and expectations keep their sense: a current
asked by itself is asked along the arrow as it now stands, in anything else its sign follows.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace

from ..algebra.ratios import Ratio
from ..circuit.circuit import Circuit
from ..circuit.claims import claim
from ..circuit.elements import Element, Pass
from ..circuit.names import listed
from ..circuit.plots_asked import plot_asked
from ..circuit.rankings import is_ranking, ranking
from ..circuit.targets import Asked, Target, target, targets
from ..circuit.version_forms import NUMBERED, renamable
from ..circuit.versions_asked import ARROWS, MIRRORED, RENAMED, TURNED, VersionsAsked
from ..errors import BrokenPromise
from ..expressions.nodes import (
    Expr,
    Negative,
    Product,
    Quotient,
    Symbol,
    alike,
    negate,
    parts_of,
    put_in,
    rebuilt,
)
from ..problem.problem_file import read_text, written
from ..problem.problem_text import expression_text
from ..solve.asked import value_of
from ..solve.exact import Solution, solve


@dataclass(frozen=True, slots=True)
class VersionForm:
    """In what a version differs from the file besides its numbers. `arrows`: the currents whose arrows are
    turned; `names`: the new name of each element and symbol renamed, by the old one; `asked`: what is asked
    in place of the file's own questions, empty for these; `figure`: how its figure stands, as under [sheet],
    empty where as the file has it."""

    arrows: tuple[str, ...] = ()
    names: Mapping[str, str] = field(default_factory=dict)
    asked: tuple[str, ...] = ()
    figure: str = ""

    def __bool__(self) -> bool:
        return bool(self.arrows or self.names or self.asked or self.figure)

    @property
    def told(self) -> str:
        """The form in words; "as written" where there is none."""
        parts = []
        if self.arrows:
            parts.append(f"arrows of {listed(self.arrows)} turned")
        if self.names:
            swapped = [n for n, new in self.names.items() if self.names.get(new) == n]
            ways = [
                f"{n} ↔ {self.names[n]}" for n in swapped if swapped.index(n) < swapped.index(self.names[n])
            ]
            ways += [f"{n} → {new}" for n, new in self.names.items() if n not in swapped]
            parts.append(f"{', '.join(ways)} renamed")
        if self.asked:
            parts.append("asked otherwise")
        if self.figure:
            parts.append(f"figure {self.figure}")
        return "; ".join(parts) or "as written"

    def signed(self, expr: Expr) -> Expr:
        """What is written of the version before its elements were renamed, in the currents of the file."""
        return put_in(expr, self.signs())

    def signs(self) -> dict[str, Expr]:
        """What stands for each turned current in those of the file."""
        return {name: Negative(Symbol(name)) for name in self.arrows}


# -- a form by chance ------------------------------------------------------------------------------


def form_drawn(circuit: Circuit, asked: VersionsAsked, seed: str) -> VersionForm:
    """A form of those asked for; every one as likely as the next, the file's own among them. The same seed
    gives the same."""
    chance = random.Random(seed)
    arrows = [name for name in circuit.currents if ARROWS in asked.forms and chance.random() < 0.5]
    names: dict[str, str] = {}
    for group in renamable(circuit) if RENAMED in asked.forms else ():
        names.update(zip(group, chance.sample(group, len(group)), strict=True))
    names |= _inside(circuit, names)
    other = chance.choice(((), *asked.asked))
    stood = [way for way in (MIRRORED, TURNED) if way in asked.forms and chance.random() < 0.5]
    changed = {old: new for old, new in names.items() if old != new}
    return VersionForm(tuple(arrows), changed, other, " and ".join(stood))


def _inside(circuit: Circuit, names: Mapping[str, str]) -> dict[str, str]:
    """Internal resistances that bear the number of their battery go along with it, if all can."""
    found: dict[str, str] = {}
    for old, new in names.items():
        inside, number = circuit.elements[old].internal, _digits(old)
        if isinstance(inside, Symbol) and inside.name not in names and _digits(inside.name) == number:
            found[inside.name] = inside.name.removesuffix(number) + _digits(new)
    after = [{**names, **found}.get(name, name) for name in circuit.symbols]
    return found if len(set(after)) == len(after) else {}


def _digits(name: str) -> str:
    called = NUMBERED.fullmatch(name)
    return called["digits"] if called else ""


# -- a circuit in its form -------------------------------------------------------------------------


def asked_and_turned(circuit: Circuit, form: VersionForm) -> Circuit:
    """The circuit with the questions of a form and its arrows turned; names are still those of the file."""
    if form.asked:
        ranked = tuple(text for text in form.asked if is_ranking(text))
        circuit = replace(circuit, find=tuple(t for t in form.asked if t not in ranked), ranked=ranked)
    if not form.arrows:
        return circuit
    return _reworded(circuit, circuit.flipped(*form.arrows), form.signs())


def renamed(circuit: Circuit, form: VersionForm) -> Circuit:
    """The circuit with the names of a form, wherever they stand."""
    if not form.names:
        return circuit

    def called(name: str) -> str:
        return form.names.get(name, name)

    symbols: dict[str, Expr] = {old: Symbol(new) for old, new in form.names.items()}
    branches = tuple(
        replace(
            b, along=tuple(Pass(called(i.element), i.sign) if isinstance(i, Pass) else i for i in b.along)
        )
        for b in circuit.branches
    )
    changed = replace(
        circuit,
        branches=branches,
        elements={called(n): _element(e, called(n), symbols) for n, e in circuit.elements.items()},
        ratings={called(name): power for name, power in circuit.ratings.items()},
    )
    numbers = {called(name): value for name, value in circuit.numbers.items()}
    texts = {called(name): text for name, text in circuit.written.items()}
    order = [name for name in (*changed.symbols, *numbers) if name in numbers]
    changed = replace(
        changed,
        numbers={name: numbers[name] for name in order},
        written={name: texts[name] for name in order if name in texts},
    )
    return _reworded(circuit, changed, symbols)


def _element(element: Element, name: str, symbols: Mapping[str, Expr]) -> Element:
    internal = None if element.internal is None else put_in(element.internal, symbols)
    return replace(element, name=name, value=put_in(element.value, symbols), internal=internal)


def _reworded(before: Circuit, after: Circuit, names: Mapping[str, Expr]) -> Circuit:
    """The circuit with its questions, expectations and plots read in `before` and written anew."""

    def question(text: str) -> str:
        return _question(target(text, before), names)

    def rank(text: str) -> str:
        return f"rank {', '.join(_question(each, names) for each in ranking(text, before))}"

    def plot(text: str) -> str:
        asked = plot_asked(text, before)
        what, over = _question(asked.target, names), ", ".join(_called(n, names) for n in asked.over)
        return f"sign of {what} over {over}" if asked.is_map else f"{what} against {over}"

    return replace(
        after,
        find=_each(question, before.find),
        ranked=_each(rank, before.ranked),
        plots=_each(plot, before.plots),
        expect=_each(lambda text: _expectation(text, before, names), before.expect),
    )


def _each(work: Callable[[str], str], texts: Iterable[str]) -> tuple[str, ...]:
    return tuple(map(work, texts))


def _called(name: str, names: Mapping[str, Expr]) -> str:
    new = names.get(name)
    return new.name if isinstance(new, Symbol) else name


def _question(asked: Target, names: Mapping[str, Expr]) -> str:
    """A question in other names; a current by itself is asked along its arrow, however that stands."""
    without = tuple(_called(name, names) for name in asked.without)
    match asked.kind:
        case Asked.POWER:
            return replace(asked, names=(_called(asked.names[0], names), *asked.names[1:])).as_text()
        case Asked.EXPRESSION:
            parts = {part.as_text(): Symbol(_question(part, names)) for part in asked.parts}
            return expression_text(_signs_out(put_in(asked.name, {**names, **parts})))
    return replace(asked, without=without).as_text()


def _signs_out(expr: Expr) -> Expr:
    """The expression with no minus alone below a line or in a product."""
    parts = [_signs_out(part) for part in parts_of(expr)]
    if isinstance(expr, Quotient | Product) and any(isinstance(part, Negative) for part in parts):
        odd = sum(isinstance(part, Negative) for part in parts) % 2
        bare = alike(expr, [part.body if isinstance(part, Negative) else part for part in parts])
        return negate(bare) if odd else bare
    return rebuilt(expr, parts) if parts else expr


def _expectation(text: str, circuit: Circuit, names: Mapping[str, Expr]) -> str:
    """An expectation in other names; a minus before all of its left side goes to its right."""
    said = claim(text, (*circuit.currents, *circuit.symbols, *circuit.elements))
    calls = {name: Symbol(_question(target(name, circuit), names)) for name in said.names() if "(" in name}
    known = {**names, **calls}
    left = _signs_out(put_in(said.left, known))
    right = None if said.right is None else _signs_out(put_in(said.right, known))
    if isinstance(left, Negative) and right is not None:
        left, right = left.body, negate(right)
    told = "∞" if right is None else expression_text(right)
    case = f"{_called(said.symbol, names)}{' alone' if said.alone else ''} -> {said.to}"
    return f"{expression_text(left)} {said.relation} {told} as {case}"


def formed(circuit: Circuit, form: VersionForm) -> Circuit:
    """The circuit in a form."""
    if form.figure:
        circuit = replace(circuit, page=replace(circuit.page, figure=form.figure))
    return renamed(asked_and_turned(circuit, form), form)


# -- the proof -------------------------------------------------------------------------------------


def prove(version: Circuit, plain: Circuit, form: VersionForm, solution: Solution) -> Solution:
    """Writes the version as a problem file, reads and solves it afresh, and holds every current and every
    answer against those of the plain circuit, whose closed forms are `solution`. Gives the new solution;
    raises BrokenPromise where one differs by more than the sign of a turned arrow."""
    read, findings = read_text(written(version))
    if read is None:
        raise BrokenPromise(f"a version cannot be read back: {findings[0].message}")
    new = solve(read)

    def same(one: Ratio, other: Ratio, turned: bool) -> bool:
        return one.value(read.numbers) == (-1 if turned else 1) * other.value(plain.numbers)

    for name in plain.currents:
        if not same(new.currents[name], solution.currents[name], name in form.arrows):
            raise BrokenPromise(f"{name} of a version is not that of its circuit")
    asked = targets(asked_and_turned(plain, VersionForm(asked=form.asked)))
    for one, other in zip(targets(read), asked, strict=True):
        turned = other.kind is Asked.CURRENT and other.names[0] in form.arrows
        if not same(value_of(new, one), value_of(solution, other), turned):
            raise BrokenPromise(f"{one.as_text()} of a version is not {other.as_text()} of its circuit")
    return new
