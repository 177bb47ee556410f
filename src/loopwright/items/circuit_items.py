"""Items on the circuit itself: quantities in order, the way of a current, which equations are enough."""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import combinations

from ..circuit.names import listed
from ..expressions.nodes import Symbol
from ..expressions.said import counted
from ..laws.equations import Law, LawEquation
from ..laws.laws import Laws, laws
from ..laws.loops import is_plain
from ..quantities import rounded
from ..slips.catalogue import CATALOGUE
from .ground import QuizGround
from .item import AnswerOption, ForeseenOrder, ItemKind, QuizItem
from .slip_answers import slips_told
from .steady_values import asked_currents
from .value_items import LETTERS, lettered

APART = Fraction(1, 20)  # of the larger of two sizes: nearer than this they are not put in order
RANKED = 5  # things put in order, at most
SETS = 5  # sets of equations offered
MOST_EQUATIONS = 8  # equations from which sets are made
LOOKED_AT = 200  # sets of which those that are offered are chosen


# -- in order ------------------------------------------------------------------------------------


def rankings(ground: QuizGround) -> Iterator[QuizItem]:
    """Resistors by power, currents by size, resistors by voltage: the greatest first."""
    here, circuit = ground.answers.here, ground.circuit
    resistors = [n for n in here.setting.resistors if here.values[n, False]]
    through = {n: abs(here.right[circuit.branch_of(n).name]) for n in resistors}
    size = {n: here.values[n, False] for n in resistors}
    rivals = {
        "by their resistances alone": size,
        "by their currents alone": through,
        "by their resistances alone, the smallest first": {n: -r for n, r in size.items()},
    }
    powers = {n: through[n] ** 2 * size[n] for n in resistors}
    if found := _ranking(ground, "the resistors", "the power that they turn into heat", powers, "W", rivals):
        yield found
    currents = {n: abs(here.right[n]) for n in asked_currents(circuit)}
    signed = {"with their signs, so that a current against its arrow comes last": dict(here.right)}
    if found := _ranking(ground, "the currents", "size, whichever way they run", currents, "A", signed):
        yield found
    voltages = {n: through[n] * size[n] for n in resistors}
    if found := _ranking(ground, "the resistors", "the voltage across them", voltages, "V", rivals):
        yield found


def _ranking(
    ground: QuizGround,
    what: str,
    by: str,
    sizes: Mapping[str, Fraction],
    unit: str,
    rivals: Mapping[str, Mapping[str, Fraction]],
) -> QuizItem | None:
    """An item that puts things in order; `rivals`: other sizes by which they might be put in order by
    mistake."""
    chosen = _apart(sizes)
    if len(chosen) < 3:
        return None
    mixed = list(chosen)
    random.Random(f"{ground.seed} ranking {by}").shuffle(mixed)
    letter = dict(zip(mixed, LETTERS, strict=False))
    order = tuple(letter[n] for n in chosen)
    told = ", ".join(f"{n} {rounded(sizes[n], unit, ground.circuit.figures)}" for n in chosen)
    foreseen = [ForeseenOrder(order[::-1], "The order is right, but it runs from the least to the greatest.")]
    for name, rival in rivals.items():
        if len({rival[n] for n in chosen}) < len(chosen):
            continue
        put = tuple(letter[n] for n in sorted(chosen, key=lambda n: -rival[n]))
        if put not in (order, *(f.names for f in foreseen)):
            slips = ("brightness-by-one",) if unit == "W" else ()
            foreseen.append(ForeseenOrder(put, f"They are put in order {name}.", slips))
    return QuizItem(
        "",
        ItemKind.RANKING,
        f"In order: {what} by {by}",
        (f"Put {what} in order of {by}, the greatest first.",),
        options=tuple(AnswerOption(letter[n], (Symbol(n),), "", value=sizes[n]) for n in mixed),
        order=order,
        foreseen=tuple(foreseen),
        yes=f"Yes: {told}.",
        otherwise="No: work out each of them, its current first, and compare.",
        about=by,
    )


def _apart(sizes: Mapping[str, Fraction]) -> list[str]:
    """As many names as are clearly apart in size, the greatest first."""
    kept: list[str] = []
    for name in sorted(sizes, key=lambda n: -sizes[n]):
        if len(kept) < RANKED and (not kept or sizes[kept[-1]] - sizes[name] > APART * sizes[kept[-1]]):
            kept.append(name)
    return kept


# -- which way -----------------------------------------------------------------------------------


def ways(ground: QuizGround) -> Iterator[QuizItem]:
    """Which way a current runs, the slips told that make it seem to run the other way. Currents against their
    arrows come first: that is where it is worth asking."""
    here, circuit = ground.answers.here, ground.circuit
    names = [n for n in asked_currents(circuit) if circuit.branch(n).start != circuit.branch(n).end]
    for name in sorted(names, key=lambda n: here.right[n] > 0):
        branch, right = circuit.branch(name), here.right[name]
        size = rounded(abs(right), "A", circuit.figures)
        senses = (1, f"from {branch.start} to {branch.end}"), (-1, f"from {branch.end} to {branch.start}")
        options = [
            _way(ground, name, sense, f"{words}, {'along' if sense > 0 else 'against'} its arrow", str(size))
            for sense, words in senses
        ]
        options.append(_way(ground, name, 0, "neither way: there is no current", str(size)))
        yield QuizItem(
            "",
            ItemKind.DIRECTION,
            f"Direction of {name}",
            ("Which way does the current ", Symbol(name), " really run?"),
            options=tuple(_named(options)),
            shuffled=False,
            about=name,
        )


def _named(options: Sequence[AnswerOption]) -> list[AnswerOption]:
    return [
        AnswerOption(name, o.said, o.feedback, o.right, o.slips)
        for name, o in zip("ABC", options, strict=True)
    ]


def _way(ground: QuizGround, name: str, sense: int, words: str, size: str) -> AnswerOption:
    right = ground.answers.here.right[name]
    if (right > 0) - (right < 0) == sense:
        told = f"Yes: {name} is {size if right >= 0 else '−' + size}." if right else f"Yes: {name} is zero."
        return AnswerOption("", (words,), told, True)
    for c in ground.answers.classes:
        value = c.outcome.values.get(name)
        if value is not None and (value > 0) - (value < 0) == sense:
            slips = tuple(c.entries[:1])
            model = next(m for m in c.members if m.entry == slips[0])
            return AnswerOption(
                "", (words,), f"No. It seems so when {_begun(slips_told([model]))}", False, slips
            )
    return AnswerOption(
        "", (words,), "No. Set up the equations with the arrow as drawn and look at the sign."
    )


def _begun(sentence: str) -> str:
    return sentence[0].lower() + sentence[1:]


# -- enough equations ----------------------------------------------------------------------------


def enough(ground: QuizGround) -> Iterator[QuizItem]:
    """Which sets of junction and loop equations are enough to find all currents: one item with sets of equal
    size, another with sets of one equation fewer or more among them."""
    for at in range(2):
        found = _enough(ground, f"{ground.seed} enough {at}", mixed=bool(at))
        if found is not None:
            yield found


def _enough(ground: QuizGround, seed: str, *, mixed: bool) -> QuizItem | None:
    circuit, known = ground.circuit, laws(ground.circuit)
    loops = [law for law in known.every_loop if is_plain(circuit, law.loop)]
    pool = [*known.junctions, *loops][:MOST_EQUATIONS]
    need = len(circuit.currents) - len(known.elements)
    if need < 2 or not known.junctions or len(loops) < 2:
        return None
    sizes = (need, need - 1, need + 1) if mixed else (need,)
    chance = random.Random(seed)
    sets = [way for size in sizes for way in combinations(range(len(pool)), size)]
    chance.shuffle(sets)
    offered = [
        _set_option(known, pool, way, need) for way in sorted(sets[:LOOKED_AT], key=lambda w: len(w) == need)
    ]
    right = [option for option in offered if option.right]
    wrong = list(
        {option.feedback.partition(":")[0]: option for option in offered if not option.right}.values()
    )
    wrong += [option for option in offered if not option.right and option not in wrong]
    if not right or not wrong:
        return None
    few = 2 if len(wrong) > 2 else SETS - len(wrong)
    options = [*right[:few], *wrong][:SETS]
    numbered = tuple((f"({n})  {_where(law)}: ", law.written) for n, law in enumerate(pool, 1))
    return QuizItem(
        "",
        ItemKind.ENOUGH,
        "Which sets of equations are enough" + (", of any size" if mixed else ""),
        ("Choose every set that is enough to find all the currents.",),
        stem=(("These equations are all true of the circuit:",), *numbered),
        options=lettered(options, seed),
        points=sum(o.right for o in options),
        about="equations",
    )


def _set_option(known: Laws, pool: Sequence[LawEquation], way: tuple[int, ...], need: int) -> AnswerOption:
    """A set of equations as an option, with why it is enough or is not."""
    fixed = known.elements
    judged = known.judge([*fixed, *(pool[i] for i in way)])
    said = listed([f"({i + 1})" for i in way])
    told = f"{counted(need, 'current is', 'currents are')} unknown"
    if judged.enough:
        more = "" if len(way) == need else ", and what is left over says nothing new"
        return AnswerOption(
            "", (said,), f"Yes: {told}, and {need} of these equations are independent{more}.", True
        )
    if not judged.redundant:
        few = f"No, too few: {told}, and these are {counted(len(way), 'equation')}."
        return AnswerOption("", (said,), few, slips=("too-few",))
    at, multipliers = judged.redundant[0]
    numbers = [0] * len(fixed) + [i + 1 for i in way]
    sources = [f"({numbers[i]})" for i, m in enumerate(multipliers) if m and numbers[i]]
    slip = _slip_of([pool[i] for i in way], pool[numbers[at] - 1])
    verb = "follows from" if len(sources) > 1 else "says the same as"
    return AnswerOption(
        "",
        (said,),
        f"No, {CATALOGUE[slip].name}: ({numbers[at]}) {verb} {listed(sources)}.",
        slips=(slip,),
    )


def _slip_of(chosen: Sequence[LawEquation], redundant: LawEquation) -> str:
    """By which slip a set with an equation too many was put together."""
    if all(law.law is Law.LOOP for law in chosen):
        return "loops-only"
    return "junction-twice" if redundant.law is Law.JUNCTION else "cover-rule"


def _where(law: LawEquation) -> str:
    if law.law is Law.JUNCTION:
        return f"Junction {law.point}"
    ways_ = [f"{'along' if sense > 0 else 'against'} {name}" for name, sense in law.loop]
    return f"Loop {listed(ways_)}"
