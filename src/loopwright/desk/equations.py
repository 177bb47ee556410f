"""The equations of a circuit term by term: what each term comes from, and the reason of its sign.

As plain data for the page: each term in MathML with its sign before it, in words, and with the element or the
current that it lights in the figure.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from ..circuit.circuit import Circuit
from ..circuit.in_time import changes, times_of_moves
from ..circuit.names import listed
from ..errors import FaultyMaterial
from ..expressions.nodes import Expr, Negative, Symbol
from ..expressions.notation import notation
from ..expressions.said import as_text, counted
from ..expressions.writers import latex, mathml, plain, spoken
from ..findings import Finding
from ..graph.lines import Loop, closes, same_loop, to_point
from ..laws.equations import Law, LawEquation
from ..laws.laws import Laws
from ..problem.loops_key import loop_text
from ..sheet.sheets import roles
from ..transients.laws_in_time import laws_at_last, reasons_at_last
from .read_once import sound

ForPage = dict[str, Any]  # what JSON can carry
MOST_LOOPS = 60  # loops that are offered in the list


def equation_rows(circuit: Circuit) -> list[ForPage]:
    """The set that the work begins with, numbered from 1: junctions, fixed currents, loops. Loops that the
    file names stand there as they are named, enough or not."""
    known = laws_at_last(circuit)
    return [_row(circuit, known, law) | {"number": number} for number, law in enumerate(_chosen(known), 1)]


def _chosen(known: Laws) -> tuple[LawEquation, ...]:
    return (*known.independent_junctions, *known.elements, *(known.wanted_loops or known.usual_loops))


def named_loops(circuit: Circuit) -> list[Loop]:
    """Every loop that can be taken from the list."""
    return [law.loop for law in laws_at_last(circuit).every_loop[:MOST_LOOPS]]


def begun_loop(text: str, names: Sequence[str]) -> ForPage:
    """A loop that is pointed out branch by branch: how far it is (`said`), which branches are kept of it
    (`names`), and once it is closed the act that takes it besides those that the file names (`act`).

    A branch that does not go on from the last begins a loop anew. Raises FaultyMaterial where the text is no
    sound circuit, or a branch is none of it.
    """
    circuit = sound(text)
    strangers = [name for name in names if name not in circuit.currents]
    if strangers:
        raise FaultyMaterial(
            Finding("desk/no-loop", f"there is no branch {strangers[0]}.", "Point at a branch.")
        )
    walk, told = _walked(circuit, names), ""
    if walk is None:
        told = f"{names[-1]} does not go on from the last one: the loop is begun anew. "
        walk = _walked(circuit, names[-1:]) or ()
    if not closes(circuit.branches, walk):
        there = to_point(circuit.branch(walk[-1][0]), walk[-1][1])
        said = f"{told}Loop so far: {loop_name(walk)}. It is at {there}; go on from there."
        return {"names": [name for name, _ in walk], "said": said, "act": None}
    others = [loop for loop in circuit.loops if not same_loop(loop, walk)]
    act = {"do": "loops", "loops": [loop_text(loop) for loop in (*others, walk)]}
    return {"names": [], "said": f"Loop {loop_name(walk)} closed.", "act": act}


def _walked(circuit: Circuit, names: Sequence[str]) -> Loop | None:
    """The branches as they lead on from one another, the first along its arrow where nothing says otherwise;
    None where they do not."""
    for first in (1, -1):
        walk = [(names[0], first)]
        for name in names[1:]:
            b, here = circuit.branch(name), to_point(circuit.branch(walk[-1][0]), walk[-1][1])
            if here not in (b.start, b.end) or name in dict(walk):
                break
            walk.append((name, 1 if b.start == here else -1))
        else:
            return tuple(walk)
    return None


def told_enough(circuit: Circuit) -> str:
    """Whether the equations are enough for the currents: if not how many are short, and which say nothing
    new, with the combination of the others that each is."""
    known = laws_at_last(circuit)
    chosen, loops = _chosen(known), known.wanted_loops or known.usual_loops
    judged = known.judge(chosen)
    wanted = len(known.usual_loops)
    count = f"{counted(len(circuit.branches), 'current')}, {counted(len(chosen), 'equation')}"
    if changes(circuit):
        count = f"as it stands after the {'last ' if len(times_of_moves(circuit)) > 1 else ''}move, {count}"
    count = count[:1].upper() + count[1:]
    said = [f"{count}: enough." if judged.enough else f"{count}: not enough."]
    for at, multipliers in judged.redundant:
        said.append(f"({at + 1}) says nothing new: it is {_combination(multipliers)}.")
    short = wanted - (len(loops) - len(judged.redundant))
    if not judged.enough and short > 0:
        new = [law for law in known.usual_loops if _adds(known, chosen, law)]
        mend = f" {listed([loop_name(law.loop) for law in new], 'or')} would do." if new else ""
        said.append(f"{short} {'loop is' if short == 1 else 'loops are'} missing.{mend}")
    return " ".join(said)


def _adds(known: Laws, chosen: Sequence[LawEquation], law: LawEquation) -> bool:
    """Whether an equation says something that the chosen ones do not."""
    return not any(at == len(chosen) for at, _ in known.judge((*chosen, law)).redundant)


def _combination(multipliers: Sequence[object]) -> str:
    """The sum of equations with these multipliers, in their numbers: `(2) + (3)`."""
    told = ""
    for at, multiplier in enumerate(multipliers, 1):
        size = str(multiplier)
        if size == "0":
            continue
        minus, size = size.startswith("-"), size.removeprefix("-")
        sign = (" − " if minus else " + ") if told else ("−" if minus else "")
        told += f"{sign}{'' if size == '1' else f'{size} times '}({at})"
    return told or "nothing at all"


def loop_name(loop: Loop) -> str:
    """A loop by its currents in the order of travel: `Ic − Ib`, a minus where the way goes against the
    arrow."""
    first, *rest = [(name, sense > 0) for name, sense in loop]
    told = ("" if first[1] else "−") + first[0]
    return told + "".join(f" {'+' if along else '−'} {name}" for name, along in rest)


def _row(circuit: Circuit, known: Laws, law: LawEquation) -> ForPage:
    names = roles(circuit)
    terms: list[ForPage] = []
    if law.law is Law.ELEMENT:
        reason = reasons_at_last(circuit, known, law)[0]
        terms.append(_term(Symbol(law.branch), law.branch, "", 0, names, leads=True))
        terms.append(_term(reason.term, reason.element, as_text(reason.reason), 1, names, leads=True))
    else:
        into = [b.name for b in circuit.branches if b.end == law.point and b.start != b.end]
        begun: set[int] = set()
        for reason in reasons_at_last(circuit, known, law):
            side = 0 if law.law is Law.LOOP or not into or reason.element in into else 1
            why = as_text(reason.reason)
            terms.append(_term(reason.term, reason.element, why, side, names, leads=side not in begun))
            begun.add(side)
    if not any(term["side"] == 1 for term in terms):
        terms.append({"html": "<math><mn>0</mn></math>", "said": "0", "of": "", "why": "", "side": 1})
    return {
        "kind": str(law.law),
        "name": _name(law),
        "loop": [list(step) for step in law.loop],
        "point": law.point,
        "plain": as_text((law.written,)),
        "latex": latex.render(law.written, names),
        "terms": terms,
    }


def _name(law: LawEquation) -> str:
    match law.law:
        case Law.JUNCTION:
            return f"Junction {law.point}"
        case Law.LOOP:
            return f"Loop {loop_name(law.loop)}"
        case Law.ELEMENT:
            return f"{law.branch} is fixed"


def _term(expr: Expr, of: str, why: str, side: int, names: Mapping[str, str], *, leads: bool) -> ForPage:
    """A term with the sign that stands before it; the first of a side has none unless it is a minus."""
    minus = isinstance(expr, Negative)
    body = expr.body if isinstance(expr, Negative) else expr
    form = "prefix" if leads else "infix"
    sign = "−" if minus else "" if leads else "+"
    before = f'<mo form="{form}">{sign}</mo>' if sign else ""
    return {
        "html": f"<math>{before}<mrow>{mathml.write(notation(body, names))}</mrow></math>",
        "said": f"{'minus ' if minus else '' if leads else 'plus '}{spoken.render(body, names)}",
        "plain": f"{sign}{plain.render(body)}",
        "of": of,
        "why": why,
        "side": side,
    }
