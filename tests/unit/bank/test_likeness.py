"""Circuits are alike exactly up to renaming and redrawing: circuits redrawn at random, and near misses."""

from __future__ import annotations

import random
from dataclasses import replace

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loopwright.bank.likeness import Likeness, likeness
from loopwright.circuit.circuit import Circuit
from loopwright.circuit.elements import Branch, Kind, Pass
from loopwright.expressions.nodes import Expr, Symbol, put_in
from loopwright.problem.problem_file import read, read_text
from tests.architecture.source import ROOT
from tests.sample_circuits import BRIDGE, CHARGE_OR_HELP_IN_NUMBERS, circuit_of
from tests.strategies import circuits

STRENGTHS = tuple(Likeness)


def redrawn(circuit: Circuit, seed: int) -> Circuit:
    """The same circuit under other names, branches shuffled, turned, cut in two and joined by plain wires,
    elements slid along them."""
    chance = random.Random(seed)
    symbols = {s: f"X{n}" for n, s in enumerate(chance.sample(circuit.symbols, len(circuit.symbols)))}
    names = {e: f"Y{n}" for n, e in enumerate(chance.sample(sorted(circuit.elements), len(circuit.elements)))}
    points = {p: f"q{n}" for n, p in enumerate(chance.sample(circuit.points, len(circuit.points)))}
    put: dict[str, Expr] = {old: Symbol(new) for old, new in symbols.items()}
    elements = {
        names[e.name]: replace(
            e,
            name=names[e.name],
            value=put_in(e.value, put),
            internal=None if e.internal is None else put_in(e.internal, put),
        )
        for e in circuit.elements.values()
    }
    branches: list[Branch] = []
    for b in circuit.branches:
        along = [Pass(names[p.element], p.sign) for p in b.passes]
        chance.shuffle(along)
        ends = [points[b.start], points[b.end]]
        if chance.random() < 0.5:
            ends.reverse()
            along = [Pass(p.element, -p.sign) for p in along]
        new = f"n{len(branches)}"
        match chance.randrange(3):
            case 0:
                branches.append(Branch(f"J{len(branches)}", ends[0], ends[1], tuple(along)))
            case 1:
                at = chance.randint(0, len(along))
                branches.append(Branch(f"J{len(branches)}", ends[0], new, tuple(along[:at])))
                branches.append(Branch(f"J{len(branches)}", new, ends[1], tuple(along[at:])))
            case _:
                branches.append(Branch(f"J{len(branches)}", new, ends[1], tuple(along)))
                branches.append(Branch(f"J{len(branches)}", ends[0], new, ()))
    chance.shuffle(branches)
    numbers = {symbols[s]: value for s, value in circuit.numbers.items() if s in symbols}
    return Circuit(tuple(branches), elements, numbers=numbers)


@given(circuits(), st.integers(0, 10**6))
@settings(max_examples=25, deadline=None)
def test_a_circuit_renamed_and_redrawn_is_the_same_in_every_strength(circuit: Circuit, seed: int) -> None:
    assert likeness(redrawn(circuit, seed)) == likeness(circuit)


def built(circuit: Circuit, strength: Likeness) -> nx.DiGraph:
    """The circuit as a graph for NetworkX, made afresh: its branches must run from junction to junction, each
    with one resistor and at most one battery."""
    graph = nx.DiGraph()
    valued = {e.name: circuit.numbers[e.name] for e in circuit.elements.values()}
    for b in circuit.branches:
        graph.add_node(b.start, colour="point")
        graph.add_node(b.end, colour="point")
        ways = [(b.name, 1, "+"), (b.name, -1, "-")]
        for p in b.passes:
            battery = circuit.elements[p.element].kind is Kind.BATTERY
            alone = strength is Likeness.NUMBERS or sum(v == valued[p.element] for v in valued.values()) == 1
            graph.add_node(p.element, colour=("battery" if battery else "resistor"))
            if strength is Likeness.NUMBERS:
                graph.nodes[p.element]["colour"] += f" {valued[p.element]}"
            elif not alone:
                group = (battery, valued[p.element])
                graph.add_node(group, colour="equal")
                graph.add_edge(p.element, group, label="of")
            for name, sense, _ in ways:
                sign = 0 if strength is Likeness.SHAPE else p.sign * sense
                graph.add_edge((name, sense), p.element, label=f"meets {sign}")
        for name, sense, _ in ways:
            graph.add_node((name, sense), colour="way")
            graph.add_edge((name, sense), (name, -sense), label="back")
            graph.add_edge((name, sense), b.end if sense > 0 else b.start, label="ends")
    return graph


def drawn(seed: int) -> Circuit:
    """Three or four points, five or six branches of a resistor each, one with a battery; two values."""
    chance = random.Random(seed)
    pairs = ["ab", "bc", "ca", "ab", "bc"] if seed % 2 else ["ab", "bc", "cd", "da", "ac", "bd"]
    chance.shuffle(pairs)
    lines, numbers = [], []
    for n, pair in enumerate(pairs):
        source = f"{chance.choice('+-')}E{n}, " if n < 1 else ""
        lines.append(f'I{n} = "{pair[0]}, {source}R{n}, {pair[1]}"')
        numbers.append(f'R{n} = "{chance.choice([2, 3])} ohm"')
        numbers += [f'E{n} = "5 V"'] if source else []
    return circuit_of("\n".join(["[branches]", *lines, "[numbers]", *numbers]))


@pytest.mark.parametrize("strength", [Likeness.NUMBERS, Likeness.LETTERS])
def test_circuits_are_alike_exactly_where_networkx_says_so(strength: Likeness) -> None:
    def same(one: nx.DiGraph, other: nx.DiGraph) -> bool:
        labels = nx.algorithms.isomorphism.categorical_edge_match("label", "")
        colours = nx.algorithms.isomorphism.categorical_node_match("colour", "")
        found: bool = nx.is_isomorphic(one, other, node_match=colours, edge_match=labels)
        return found

    many = [drawn(seed) for seed in range(24)]
    forms = [likeness(circuit)[strength] for circuit in many]
    graphs = [built(circuit, strength) for circuit in many]
    pairs = [(i, j) for i in range(24) for j in range(i) if (i - j) % 2 == 0]
    said = [forms[i] == forms[j] for i, j in pairs]
    assert said == [same(graphs[i], graphs[j]) for i, j in pairs]
    assert any(said)


NEAR_MISSES = {
    "a battery the other way": ("+E1", "-E1", (False, False, True)),
    "another number": ('R1 = "4 ohm"', 'R1 = "6 ohm"', (False, True, True)),
    "two values that become equal": ('R1 = "4 ohm"', 'R1 = "3 ohm"', (False, False, True)),
    "a resistor more": ("Rh, rail", "Rh, Rk, rail", (False, False, False)),
    "a capacitor for a resistor": ("R2, -E2", "C2, -E2", (False, False, False)),
    "a name": ("E1", "E9", (True, True, True)),
}


@pytest.mark.parametrize("miss", NEAR_MISSES)
def test_a_near_miss_is_as_like_as_it_is(miss: str) -> None:
    old, new, alike = NEAR_MISSES[miss]
    text = CHARGE_OR_HELP_IN_NUMBERS.replace(old, new).replace(
        'R2 = "3 ohm"', 'C2 = "3 uF"' if "capacitor" in miss else 'R2 = "3 ohm"'
    )
    text += 'Rk = "1 ohm"\n' if "more" in miss else ""
    circuit, findings = read_text(text)
    assert circuit is not None, findings
    one, other = likeness(circuit), likeness(circuit_of(CHARGE_OR_HELP_IN_NUMBERS))
    assert tuple(one[how] == other[how] for how in STRENGTHS) == alike


def test_letters_are_like_the_numbers_that_are_equal_where_the_letters_are() -> None:
    balanced = "\n[numbers]\n" + "\n".join(f'{n} = "2 ohm"' for n in ("R1", "R2", "R3", "R4", "R5"))
    assert (
        likeness(circuit_of(BRIDGE))[Likeness.LETTERS]
        != likeness(circuit_of(BRIDGE + balanced))[Likeness.LETTERS]
    )
    by_letter = BRIDGE + "\n[elements]\n" + "\n".join(f'R{n} = "R"' for n in range(1, 6))
    assert (
        likeness(circuit_of(by_letter))[Likeness.LETTERS]
        == likeness(circuit_of(BRIDGE + balanced))[Likeness.LETTERS]
    )


def test_no_two_examples_are_the_same_circuit_with_the_same_numbers() -> None:
    forms = [likeness(read(path)) for path in sorted((ROOT / "examples").glob("*.toml"))]
    assert all(len(form) == len(STRENGTHS) for form in forms)
    assert len({form[Likeness.NUMBERS] for form in forms}) == len(forms)
