"""Circuits whose elements share symbols: every limit told is that of the printed form, and of the circuit.

The circuits are drawn and worked here anew: problem files as text, node potentials in plain fractions with
the elements concerned near the end of their limit, and SymPy for the limits of the printed forms.
"""

from __future__ import annotations

import random
from fractions import Fraction

import pytest
import sympy
from sympy.parsing.sympy_parser import (
    implicit_multiplication_application,
    parse_expr,
    standard_transformations,
)

from loopwright.checks.limits.cases import LimitCase
from loopwright.checks.limits.limit_of_ratio import Unbounded
from loopwright.checks.limits.limit_variables import LimitQuantity, SharedSymbol
from loopwright.checks.limits.limits import limit_cases
from loopwright.circuit.circuit import Circuit
from loopwright.expressions.tidy import tidy
from loopwright.expressions.writers import plain
from loopwright.problem.problem_file import read_text
from loopwright.solve.exact import Solution, solve

NEAR = Fraction(1, 10**14)
READ = (*standard_transformations, implicit_multiplication_application)
AS_TYPED = str.maketrans(
    {"−": "-", "[": "(", "]": ")", "{": "(", "}": ")", "²": "**2 ", "³": "**3 ", "⁴": "**4 "}
)
MULTIPLES = ("{}", "2 {}", "3 {}/2", "{}/3")


def problem(seed: int) -> str:
    """A problem file: two to four points, three to six branches, every one with a resistor."""
    chance = random.Random(f"shared {seed}")
    points = "abcd"[: chance.choice((2, 2, 3, 3, 4))]
    ends = list(zip(points, points[1:] + points[0], strict=True))  # once round, then across
    while len(ends) < len(points) + 1 + (seed % 2):
        one, other = chance.sample(points, 2)
        ends.append((one, other))
    lines, values = ["[branches]"], ["[elements]"]
    for n, (start, end) in enumerate(ends, 1):
        along = [f"R{n}"]
        if n > 1 and chance.random() < 0.6:
            one = f"R{chance.randrange(1, n)}"
            other = f"R{chance.randrange(1, n)}"
            kind = chance.choice((*MULTIPLES, *MULTIPLES, f"{{}} + {other}"))
            values.append(f'R{n} = "{kind.format(one)}"')
        if n == 1 or chance.random() < 0.4:
            along.insert(chance.randrange(2), chance.choice("+-") + f"E{n}")
            if n > 1 and chance.random() < 0.5:
                values.append(f'E{n} = "{chance.choice(("E1", "E1", "2 E1"))}"')
        lines.append(f'I{n} = "{start}, {", ".join(along)}, {end}"')
    return "\n".join((*lines, *values))


def worked(seed: int) -> tuple[Circuit, Solution, tuple[LimitCase, ...]]:
    circuit, findings = read_text(problem(seed))
    assert circuit is not None, findings
    solution = solve(circuit)
    return circuit, solution, limit_cases(circuit, solution)


def by_potentials(
    circuit: Circuit, value: dict[str, Fraction], scaled: dict[str, Fraction]
) -> dict[str, Fraction]:
    """Branch currents by node potentials; the values of some elements multiplied by what `scaled` says."""
    at = {p: i for i, p in enumerate(circuit.points)}
    rows = [[Fraction(0)] * (len(at) + 1) for _ in at]
    resistance: dict[str, Fraction] = {}
    emf: dict[str, Fraction] = {}
    for b in circuit.branches:
        r = e = Fraction(0)
        for p in b.passes:
            size = value[p.element] * scaled.get(p.element, Fraction(1))
            r, e = (r + size, e) if p.element[0] == "R" else (r, e + p.sign * size)
        resistance[b.name], emf[b.name] = r, e
        for here, there, push in ((b.start, b.end, -e), (b.end, b.start, e)):
            rows[at[here]][at[here]] += 1 / r
            rows[at[here]][at[there]] -= 1 / r
            rows[at[here]][-1] += push / r
    rows[0] = [Fraction(int(i == 0)) for i in range(len(at) + 1)]
    for i in range(len(rows)):
        pivot = next(k for k in range(i, len(rows)) if rows[k][i])
        rows[i], rows[pivot] = rows[pivot], rows[i]
        rows[i] = [x / rows[i][i] for x in rows[i]]
        for k in range(len(rows)):
            if k != i and rows[k][i]:
                rows[k] = [x - rows[k][i] * y for x, y in zip(rows[k], rows[i], strict=True)]
    v = {p: rows[i][-1] for p, i in at.items()}
    return {b.name: (v[b.start] - v[b.end] + emf[b.name]) / resistance[b.name] for b in circuit.branches}


def agrees_with_the_circuit(circuit: Circuit, case: LimitCase, chance: random.Random) -> bool:
    """Whether every current of a case is what the circuit comes to near the end of the limit."""
    numbers = {symbol: Fraction(chance.randint(2, 40), chance.randint(1, 5)) for symbol in circuit.symbols}
    scale = NEAR if case.to == "0" else 1 / NEAR
    put = {**numbers, case.symbol: numbers[case.symbol] * scale} if case.symbol in numbers else numbers
    if isinstance(case.variable, SharedSymbol):
        near = by_potentials(circuit, {n: circuit.value(n).value(put) for n in circuit.elements}, {})
        size = put[case.symbol]
    else:
        fixed = {n: circuit.value(n).value(numbers) for n in circuit.elements}
        near = by_potentials(circuit, fixed, {case.variable.element: scale})
        size = fixed[case.variable.element] * scale
    for name, outcome in case.formula.items():
        if isinstance(outcome, Unbounded):  # by chance, the part that grows can be nothing at these numbers
            grown = outcome.leading_term.value({**numbers, case.symbol: size})
            if abs(near[name] - grown) > 10**6:
                return False
        elif abs(near[name] - outcome.value(numbers)) > Fraction(1, 10**6):  # type: ignore[union-attr]
            return False
    return True


def limit_by_sympy(form: str, symbol: str, to: str, numbers: dict[str, int]) -> sympy.Expr:
    """The limit of a printed form, the other symbols being numbers."""
    read = parse_expr(
        form.translate(AS_TYPED),
        local_dict={n: sympy.Symbol(n) for n in (*numbers, symbol)},
        transformations=READ,
    )
    s = sympy.Symbol(symbol)
    return sympy.limit(read.subs(numbers), s, 0 if to == "0" else sympy.oo, "+")


def printed_form_agrees(circuit: Circuit, solution: Solution, case: LimitCase, name: str) -> bool:
    primes = iter(sympy.primerange(5, 1000))
    numbers = {symbol: int(next(primes)) for symbol in circuit.symbols if symbol != case.symbol}
    found = limit_by_sympy(plain.render(tidy(solution.currents[name])), case.symbol, case.to, numbers)
    outcome = case.redrawn[name]
    if isinstance(outcome, Unbounded):
        return bool(found in (sympy.oo, -sympy.oo))
    told = outcome.value({n: Fraction(v) for n, v in numbers.items()})  # type: ignore[union-attr]
    return bool(found == sympy.Rational(told.numerator, told.denominator))


def faults(seed: int, forms: int) -> list[str]:
    """The cases of one circuit that are not so; `forms`: of how many currents the printed form is tried."""
    circuit, solution, cases = worked(seed)
    chance = random.Random(f"values {seed}")
    found: list[str] = []
    for case in cases:
        if not case.agree or not agrees_with_the_circuit(circuit, case, chance):
            found.append(f"{case.element} to {case.to}: not the circuit")
        if isinstance(case.variable, SharedSymbol):
            names = chance.sample(circuit.currents, min(forms, len(circuit.currents)))
            found += [
                f"{case.symbol} to {case.to}: not the printed {name}"
                for name in names
                if not printed_form_agrees(circuit, solution, case, name)
            ]
    return found


@pytest.mark.parametrize("seed", range(30))
def test_every_limit_is_that_of_the_printed_form_and_of_the_circuit(seed: int) -> None:
    assert faults(seed, forms=2) == []


@pytest.mark.slow
@pytest.mark.parametrize("block", range(20))
def test_every_limit_of_a_thousand_circuits_is_so(block: int) -> None:
    seeds = range(1000 + 50 * block, 1050 + 50 * block)
    assert {seed: found for seed in seeds if (found := faults(seed, forms=1))} == {}


def test_the_drawn_circuits_share_symbols_in_every_way() -> None:
    cases = [case for seed in range(30) for case in worked(seed)[2]]
    shared = [case for case in cases if isinstance(case.variable, SharedSymbol)]
    assert {case.variable.quantity for case in shared} == {LimitQuantity.RESISTANCE, LimitQuantity.EMF}
    assert any(isinstance(o, Unbounded) for case in shared for o in case.redrawn.values())
    assert sum(bool(case.kept) for case in cases) > 60
