"""Laws that hold for the equations and the solution of every well-posed circuit.

Each law is a function that asserts it for one circuit, drawing what else it needs from `data`; the
name of the function is the law. Resistances count as positive wherever numbers are put in.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from hypothesis import assume
from hypothesis import strategies as st

from loopwright.algebra.linear import Linear
from loopwright.algebra.ratios import Ratio
from loopwright.circuit.changed import at_rest
from loopwright.circuit.circuit import Circuit
from loopwright.circuit.elements import Branch, Element, Kind, Pass
from loopwright.errors import FaultyMaterial
from loopwright.expressions.nodes import Expr, Negative, Number, Parallel, Product, Sum, Symbol
from loopwright.graph.connections import parts
from loopwright.graph.lines import Loop, reversed_loop
from loopwright.graph.loops import simple_loops
from loopwright.laws.equations import LawEquation, across, element_equations, loop_equation
from loopwright.laws.laws import laws
from loopwright.laws.loops import are_independent, is_plain
from loopwright.solve.exact import Solution, solve, solve_posed
from tests.plain_elimination import solve_linear
from tests.strategies import amounts

# -- what is a matter of choice and not of physics -------------------------------------------------


def turned_arrows_negate_their_currents_and_nothing_else(circuit: Circuit, data: st.DataObject) -> None:
    turned = data.draw(st.sets(st.sampled_from(circuit.currents)))
    before, after = solve(circuit), solve(circuit.flipped(*turned))
    signed = {name: -value if name in turned else value for name, value in before.currents.items()}
    assert after.currents == signed
    assert after.determinant == before.determinant
    assert powers(after) == powers(before)
    assert differences(after, circuit.points[0]) == differences(before, circuit.points[0])


def order_of_branches_does_not_matter(circuit: Circuit, data: st.DataObject) -> None:
    order = data.draw(st.permutations(circuit.currents))
    before, after = solve(circuit), solve(circuit.reordered(tuple(order)))
    field = circuit.field
    assert {name: value.at({}, field) for name, value in after.currents.items()} == before.currents
    assert after.determinant.at({}, field) == before.determinant


def names_of_symbols_and_points_do_not_matter(circuit: Circuit, data: st.DataObject) -> None:
    mixed = data.draw(st.permutations(circuit.symbols))
    names = {old: f"x{new}" for old, new in zip(circuit.symbols, mixed, strict=True)}
    points = dict(zip(circuit.named_points, data.draw(st.permutations(circuit.named_points)), strict=True))
    after = solve(renamed(circuit, names, points))
    images = {old: after.circuit.field.symbol(new) for old, new in names.items()}
    moved = {n: v.at(images, after.circuit.field) for n, v in solve(circuit).currents.items()}
    assert after.currents == moved


def any_independent_loops_give_the_same_currents(circuit: Circuit, data: st.DataObject) -> None:
    book = laws(circuit)
    loops = plain_loops(circuit)
    chosen: list[Loop] = []
    for loop in data.draw(st.permutations(loops)):
        if are_independent([*chosen, loop]):
            chosen.append(data.draw(st.sampled_from([loop, reversed_loop(loop)])))
    equations = [*kept_junctions(circuit, data), *book.elements, *(book.round(loop) for loop in chosen)]
    assert book.judge(equations).enough
    assert solve_linear([e.linear for e in equations], circuit.currents) == solve(circuit).currents


def a_point_drawn_on_the_way_changes_nothing(circuit: Circuit, data: st.DataObject) -> None:
    name = data.draw(st.sampled_from(circuit.currents))
    cut = data.draw(st.integers(0, len(circuit.branch(name).along)))
    b = circuit.branch(name)
    halves = (Branch(name, b.start, "cut", b.along[:cut]), Branch("second", "cut", b.end, b.along[cut:]))
    others = tuple(other for other in circuit.branches if other.name != name)
    after = solve_posed(replace(circuit, branches=(*others, *halves)))
    found = {n: v.at({}, circuit.field) for n, v in after.currents.items()}
    assert found.pop("second") == found[name]
    assert found == solve(circuit).currents


# -- the equations ---------------------------------------------------------------------------------


def every_loop_equation_holds(circuit: Circuit, data: st.DataObject) -> None:
    solution = solve(circuit)
    for loop in simple_loops(circuit.branches):
        equation = loop_equation(circuit, loop).linear
        assert not equation.residue(known_in(equation, solution))


def every_junction_and_element_equation_holds(circuit: Circuit, data: st.DataObject) -> None:
    solution = solve(circuit)
    for equation in (*laws(circuit).junctions, *element_equations(circuit)):
        assert not equation.linear.residue(solution.currents)


def a_loop_travelled_backwards_is_the_equation_negated(circuit: Circuit, data: st.DataObject) -> None:
    for loop in simple_loops(circuit.branches):
        there, back = loop_equation(circuit, loop).linear, loop_equation(circuit, reversed_loop(loop)).linear
        assert there + back == Linear({}, circuit.field.zero)


def any_junction_may_be_left_out(circuit: Circuit, data: st.DataObject) -> None:
    book = laws(circuit)
    equations = [*kept_junctions(circuit, data), *book.elements, *book.loops]
    judged = book.judge(equations)
    assert judged.enough
    assert judged.redundant == ()
    assert book.judge(equations[1:]).missing == 1


def all_junctions_together_hold_one_too_many_for_each_part(circuit: Circuit, data: st.DataObject) -> None:
    book = laws(circuit)
    groups = parts(circuit.points, circuit.branches).groups()
    assert len(book.judge(book.junctions).redundant) == sum(len(group) > 1 for group in groups)


def a_redundant_equation_is_the_combination_told(circuit: Circuit, data: st.DataObject) -> None:
    book = laws(circuit)
    every = (*book.junctions, *book.elements, *book.every_loop)
    equations = data.draw(st.permutations(every))
    judged = book.judge(equations)
    assert len(equations) - len(judged.redundant) == rank_expected(circuit)
    for index, multipliers in judged.redundant:
        total = Linear({}, circuit.field.zero)
        for m, above in zip(multipliers, equations, strict=False):
            total = total + above.linear * m
        assert total == equations[index].linear


# -- the default loops -----------------------------------------------------------------------------


def default_loops_are_just_enough(circuit: Circuit, data: st.DataObject) -> None:
    book = laws(circuit)
    fixed = [b for b in circuit.branches if circuit.fixed_current(b.name) is not None]
    assert book.loops_needed == len(circuit.branches) - len(circuit.points) + 1
    assert len(book.loops) == book.loops_needed - len(fixed)
    assert all(is_plain(circuit, e.loop) for e in book.loops)
    judged = book.judge(book.chosen)
    assert (judged.enough, judged.missing, judged.redundant) == (True, 0, ())
    assert solve_linear([e.linear for e in book.chosen], circuit.currents) == solve(circuit).currents


def every_default_loop_brings_a_new_branch(circuit: Circuit, data: st.DataObject) -> None:
    met = set[str]()
    for equation in laws(circuit).loops:
        passed = {name for name, _ in equation.loop}
        assert not passed <= met
        met |= passed


# -- loops by name ---------------------------------------------------------------------------------


def a_loop_is_found_by_its_elements_either_way_round(circuit: Circuit, data: st.DataObject) -> None:
    for loop in simple_loops(circuit.branches):
        for way in (loop, reversed_loop(loop)):
            names = [met for branch, sense in way for met in names_along(circuit, branch, sense)]
            found = laws(circuit).loop(*names).loop
            assert turns_alike(found, way) or (len(names) < 3 and turns_alike(found, reversed_loop(way)))


def a_loop_is_found_by_its_points_where_no_branches_run_side_by_side(
    circuit: Circuit, data: st.DataObject
) -> None:
    ends = [{b.start, b.end} for b in circuit.branches]
    for loop in simple_loops(circuit.branches):
        points = [end_of(circuit, name, sense) for name, sense in reversed_loop(loop)]
        points = points[::-1]
        alone = all(ends.count({circuit.branch(n).start, circuit.branch(n).end}) == 1 for n, _ in loop)
        if len(points) > 2 and alone:
            assert turns_alike(laws(circuit).loop(*points).loop, loop)
            assert turns_alike(laws(circuit).loop(*points[::-1]).loop, reversed_loop(loop))


# -- the physics -----------------------------------------------------------------------------------


def powers_sum_to_zero(circuit: Circuit, data: st.DataObject) -> None:
    assert not sum(powers(solve(circuit)).values(), circuit.field.zero)


def effects_of_sources_add_up(circuit: Circuit, data: st.DataObject) -> None:
    """Superposition: each source alone, the other batteries replaced by wires, other currents by gaps."""
    sources = [n for n in passed(circuit) if circuit.elements[n].has_sign]
    total = dict.fromkeys(circuit.currents, circuit.field.zero)
    for source in sources:
        one = at_rest(circuit, [n for n in sources if n != source])
        for name, value in solve_posed(one).currents.items():
            total[name] = total[name] + value.at({}, circuit.field)
    assert total == solve(circuit).currents


def resistance_is_symmetric_and_keeps_the_triangle(circuit: Circuit, data: st.DataObject) -> None:
    solution, values = solve(circuit), data.draw(amounts(circuit))
    points = st.sampled_from(circuit.named_points)
    a, b, c = data.draw(points), data.draw(points), data.draw(points)
    one, other = seen(solution, a, b), seen(solution, b, a)
    assert one == other
    ways = [one, seen(solution, a, c), seen(solution, c, b)]
    if None not in ways:
        direct, first, second = (way.value(values) for way in ways if way is not None)
        assert 0 <= direct <= first + second


def a_larger_resistance_anywhere_is_never_seen_as_smaller(circuit: Circuit, data: st.DataObject) -> None:
    """Rayleigh's law of monotony."""
    solution, values = solve(circuit), data.draw(amounts(circuit))
    a, b = data.draw(st.tuples(*[st.sampled_from(circuit.named_points)] * 2))
    resistances = [name for name in circuit.symbols if circuit.role(name) is Kind.RESISTOR]
    assume(resistances)
    symbol = data.draw(st.sampled_from(resistances))
    ratio = seen(solution, a, b)
    assume(ratio is not None)
    assert ratio is not None
    larger = {
        **values,
        symbol: values[symbol] + data.draw(st.fractions(Fraction(1, 9), 9, max_denominator=9)),
    }
    assert ratio.value(values) <= ratio.value(larger)


def resistances_and_emfs_scaled_alike_leave_the_currents(circuit: Circuit, data: st.DataObject) -> None:
    factor = data.draw(st.fractions(Fraction(1, 9), 9, max_denominator=9))
    scaled = {
        name: circuit.field.symbol(name) * (1 if circuit.role(name) is Kind.CURRENT_SOURCE else factor)
        for name in circuit.symbols
    }
    currents = solve(circuit).currents
    assert {name: value.at(scaled) for name, value in currents.items()} == currents


LAWS = [
    turned_arrows_negate_their_currents_and_nothing_else,
    order_of_branches_does_not_matter,
    names_of_symbols_and_points_do_not_matter,
    any_independent_loops_give_the_same_currents,
    a_point_drawn_on_the_way_changes_nothing,
    every_loop_equation_holds,
    every_junction_and_element_equation_holds,
    a_loop_travelled_backwards_is_the_equation_negated,
    any_junction_may_be_left_out,
    all_junctions_together_hold_one_too_many_for_each_part,
    a_redundant_equation_is_the_combination_told,
    default_loops_are_just_enough,
    every_default_loop_brings_a_new_branch,
    a_loop_is_found_by_its_elements_either_way_round,
    a_loop_is_found_by_its_points_where_no_branches_run_side_by_side,
    powers_sum_to_zero,
    effects_of_sources_add_up,
    resistance_is_symmetric_and_keeps_the_triangle,
    a_larger_resistance_anywhere_is_never_seen_as_smaller,
    resistances_and_emfs_scaled_alike_leave_the_currents,
]

# -- what the laws look at -------------------------------------------------------------------------


def passed(circuit: Circuit) -> list[str]:
    """The elements on the branches."""
    return [p.element for b in circuit.branches for p in b.passes]


def powers(solution: Solution) -> dict[str, Ratio]:
    """The power taken by every element; no drawn circuit lets two of them share one voltage."""
    return {name: solution.power_taken(name) for name in passed(solution.circuit)}


def differences(solution: Solution, point: str) -> dict[str, Ratio]:
    """The potential of every named point against one of them; no drawn circuit leaves one open."""
    return {name: solution.difference(name, point) for name in solution.circuit.named_points}


def seen(solution: Solution, a: str, b: str) -> Ratio | None:
    """The resistance between two points, or None where no path joins them."""
    try:
        return solution.resistance(a, b)
    except FaultyMaterial as trouble:
        if [f.code for f in trouble.findings] != ["solve/no-path"]:
            raise
        return None


def known_in(equation: Linear, solution: Solution) -> dict[str, Ratio]:
    """The values of all unknowns of an equation, voltages across sources and gaps included."""
    voltages = {across(name): name for name in passed(solution.circuit)}
    return {
        unknown: solution.across(voltages[unknown]) if unknown in voltages else solution.currents[unknown]
        for unknown in equation.coefficients
    }


def plain_loops(circuit: Circuit) -> list[Loop]:
    """The simple loops that pass no source of current and no gap."""
    return [loop for loop in simple_loops(circuit.branches) if is_plain(circuit, loop)]


def kept_junctions(circuit: Circuit, data: st.DataObject) -> list[LawEquation]:
    """All junction equations but a drawn one."""
    junctions = laws(circuit).junctions
    left_out = data.draw(st.sampled_from(junctions))
    return [e for e in junctions if e is not left_out]


def rank_expected(circuit: Circuit) -> int:
    """How many equations of all there are say something new: one for each current, and one for each
    voltage across a source or a gap that lies on a loop."""
    fixing = [b.name for b in circuit.branches if circuit.fixed_current(b.name) is not None]
    on_loops = {name for loop in simple_loops(circuit.branches) for name, _ in loop}
    return len(circuit.branches) + len(on_loops.intersection(fixing))


def names_along(circuit: Circuit, branch: str, sense: int) -> list[str]:
    """The elements of a branch in order of travel; the name of its current where it has none."""
    elements = [p.element for p in circuit.branch(branch).passes]
    return elements[::sense] or [branch]


def end_of(circuit: Circuit, branch: str, sense: int) -> str:
    """The point at which a branch is left when gone along with this sense."""
    return circuit.branch(branch).end if sense > 0 else circuit.branch(branch).start


def turns_alike(one: Loop, other: Loop) -> bool:
    """Whether two loops hold the same branches with the same sense of travel, in the same cyclic order."""
    return any(one == other[i:] + other[:i] for i in range(len(other)))


def renamed(circuit: Circuit, names: dict[str, str], points: dict[str, str]) -> Circuit:
    """The circuit with other names for its symbols and its points."""

    def put(expr: Expr) -> Expr:
        match expr:
            case Symbol(name):
                return Symbol(names[name])
            case Number():
                return expr
            case Negative(body):
                return Negative(put(body))
            case Sum(parts) | Product(parts) | Parallel(parts):
                return type(expr)(tuple(map(put, parts)))
            case _:
                raise TypeError(expr)

    elements = {
        name: Element(name, e.kind, put(e.value), put(e.internal) if e.internal else None, e.closed)
        for name, e in circuit.elements.items()
    }
    branches = tuple(
        Branch(b.name, points[b.start], points[b.end],
               tuple(i if isinstance(i, Pass) else points[i] for i in b.along))
        for b in circuit.branches
    )  # fmt: skip
    return Circuit(branches, elements)
