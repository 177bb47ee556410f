"""Counts for the families of circuits used in teaching: branches, junctions, loops, trees, equation sets.

Loops are counted against NetworkX as well. The counts stand in no single source: they are our own
computation, made twice by unrelated programs.
"""

from __future__ import annotations

from itertools import combinations, product
from math import comb

import networkx as nx
import pytest

from loopwright.circuit.circuit import Circuit, battery, resistor
from loopwright.circuit.elements import Branch, Pass
from loopwright.graph.lines import Loop, reversed_loop
from loopwright.graph.loops import simple_loops
from loopwright.laws.laws import laws
from loopwright.laws.loops import are_independent
from loopwright.solve.exact import solve_posed

# name: (branches as pairs of points, (branches, junctions, independent loops, loops, spanning trees))
FAMILIES = {
    "three branches": ("ab ab ab", (3, 2, 2, 3, 3)),
    "four branches": ("ab ab ab ab", (4, 2, 3, 6, 4)),
    "five branches": ("ab ab ab ab ab", (5, 2, 4, 10, 5)),
    "ladder of three": ("ga ag ab bg gb", (5, 3, 3, 6, 8)),
    "ladder of four": ("ga ag ab bg bc cg gc", (7, 4, 4, 10, 21)),
    "bridge": ("da ab ac bd cd bc", (6, 4, 3, 7, 16)),
    "doubled triangle": ("ab ab bc bc ca ca", (6, 3, 4, 11, 12)),
    "two loops joined by a wire": ("ab ab ab bc cd cd cd", (7, 4, 4, 6, 9)),
    "two by two mesh": ("oa ob oc od ab bc cd da", (8, 5, 4, 13, 45)),
    "prism": ("ab bc ca de ef fd ad be cf", (9, 6, 4, 14, 75)),
    "tetrahedron driven along an edge": ("ab ab ac ad bc bd cd", (7, 4, 4, 12, 24)),
    "cube driven across its body": ("ma ab ad ak bc bl dc dn kn kl lm cm nm", (13, 8, 6, 46, 704)),
    "cube driven along an edge": ("ba ab ad ak bc bl dc dn kn kl lm cm nm", (13, 8, 6, 43, 608)),
    "octahedron driven across": ("af ab ac ad ae bc be bf cd cf de df ef", (13, 6, 8, 91, 576)),
}
# name: (loop sets that are enough, loop sets of the right size, correct complete sets of equations)
EQUATION_SETS = {
    "three branches": (3, 3, 192),
    "four branches": (16, 20, 4096),
    "five branches": (125, 210, 128_000),
    "ladder of three": (16, 20, 12_288),
    "bridge": (29, 35, 59_392),
    "two by two mesh": (472, 715, 9_666_560),
    "ladder of four": (125, 210, 1_024_000),
}
each_family = pytest.mark.parametrize("name", FAMILIES)


def family(name: str) -> Circuit:
    """A resistor with a symbol of its own in every branch, a battery in the first."""
    pairs = FAMILIES[name][0].split()
    elements = {f"R{n}": resistor(f"R{n}") for n in range(1, len(pairs) + 1)}
    branches = [Branch(f"I{n}", a, b, (Pass(f"R{n}"),)) for n, (a, b) in enumerate(map(tuple, pairs), 1)]
    driven = Branch("I1", branches[0].start, branches[0].end, (Pass("E", 1), Pass("R1")))
    return Circuit((driven, *branches[1:]), {"E": battery("E"), **elements})


@each_family
def test_family_has_its_branches_junctions_and_loops(name: str) -> None:
    circuit, (branches, junctions, independent, loops, _) = family(name), FAMILIES[name][1]
    book = laws(circuit)
    found = (len(circuit.branches), len(circuit.junctions), book.loops_needed, len(book.every_loop))
    assert found == (branches, junctions, independent, loops)


@each_family
def test_networkx_counts_as_many_loops(name: str) -> None:
    """Each branch gets a point of its own in the middle, so that branches side by side count apart."""
    circuit = family(name)
    halves = [(b.name, p) for b in circuit.branches for p in (b.start, b.end)]
    assert len(list(nx.simple_cycles(nx.Graph(halves)))) == FAMILIES[name][1][3]


@each_family
def test_determinant_has_as_many_terms_as_there_are_spanning_trees(name: str) -> None:
    circuit = family(name)
    graph = nx.MultiGraph((b.start, b.end) for b in circuit.branches)
    trees = round(nx.number_of_spanning_trees(graph))
    assert (len(solve_posed(circuit).determinant.terms()), trees) == (FAMILIES[name][1][4],) * 2


def loop_sets(circuit: Circuit) -> list[tuple[Loop, ...]]:
    """All sets of as many loops as are needed."""
    return list(combinations(list(simple_loops(circuit.branches)), laws(circuit).loops_needed))


def are_enough(circuit: Circuit, dropped: int, loops: tuple[Loop, ...]) -> bool:
    """Whether the junctions but one, and these loops, fix all currents: by exact rank."""
    book = laws(circuit)
    kept = [e for i, e in enumerate(book.junctions) if i != dropped]
    return book.judge([*kept, *(book.round(loop) for loop in loops)]).enough


@pytest.mark.parametrize("name", EQUATION_SETS)
def test_so_many_loop_sets_are_enough(name: str) -> None:
    circuit, (valid, possible, _) = family(name), EQUATION_SETS[name]
    sets = loop_sets(circuit)
    every = list(simple_loops(circuit.branches))
    assert len(sets) == possible == comb(len(every), laws(circuit).loops_needed)
    assert sum(map(are_independent, sets)) == valid


@pytest.mark.parametrize("name", ["three branches", "four branches", "ladder of three", "bridge"])
def test_loops_are_enough_exactly_when_independent(name: str) -> None:
    circuit = family(name)
    for loops in loop_sets(circuit):
        assert are_enough(circuit, 0, loops) is are_independent(loops)


@pytest.mark.parametrize("name", EQUATION_SETS)
def test_so_many_complete_sets_of_equations_are_correct(name: str) -> None:
    """Junction left out × loops × their directions × arrows; that no direction, arrow or junction left
    out changes what is enough is proved by trying all of them below."""
    circuit, (valid, _, correct) = family(name), EQUATION_SETS[name]
    book = laws(circuit)
    ways = len(book.junctions) * 2**book.loops_needed * 2 ** len(circuit.branches)
    assert ways * sum(map(are_independent, loop_sets(circuit))) == ways * valid == correct


def correct_sets(name: str) -> int:
    """The number of correct complete sets of equations, each tried by its exact rank."""
    circuit, found = family(name), 0
    for turned in product([False, True], repeat=len(circuit.branches)):
        arrows = circuit.flipped(*(n for n, turn in zip(circuit.currents, turned, strict=True) if turn))
        for loops, dropped in product(loop_sets(arrows), range(len(laws(arrows).junctions))):
            for way in product(*((loop, reversed_loop(loop)) for loop in loops)):
                found += are_enough(arrows, dropped, way)
    return found


def test_all_192_sets_of_a_two_loop_circuit_are_correct_one_by_one() -> None:
    assert correct_sets("three branches") == EQUATION_SETS["three branches"][2]


@pytest.mark.slow
@pytest.mark.parametrize("name", ["four branches", "ladder of three"])
def test_correct_sets_counted_one_by_one(name: str) -> None:
    assert correct_sets(name) == EQUATION_SETS[name][2]
