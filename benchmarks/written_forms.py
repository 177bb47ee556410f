"""How many symbols it takes to write a denominator down: ours, beside the expanded form, SymPy's `factor`,
`horner` and `simplify`, and for the bridge and ladders the forms of textbooks.

Every form is proved equal to the determinant: ours exactly, SymPy's at a point in whole numbers.
"""

from __future__ import annotations

import multiprocessing
import time
from collections.abc import Callable
from typing import Any

import sympy
from sympy.polys.polyfuncs import horner

from benchmarks.networks import circuit_of, complete, cube, ladder
from loopwright.algebra.ratios import Ratio
from loopwright.expressions.nodes import written_symbols
from loopwright.expressions.parse import expression
from loopwright.expressions.tidy import same, tidy
from loopwright.solve.exact import solve
from loopwright.solve.named_forms import named_forms, source_current_at_once

PATIENCE = 5.0  # seconds for one form of SymPy's
PRISM = [(0, 1), (1, 2), (0, 2), (3, 4), (4, 5), (3, 5), (0, 3), (1, 4), (2, 5)]
NETWORKS = {
    "bridge": complete(4),
    **{f"ladder, {n} meshes": ladder(n) for n in (3, 4, 5, 6)},
    "prism": PRISM,
    "K5": complete(5),
    "cube": cube(),
}
# as often printed for the bridge, from memory: with the battery's branch R1 and the detector R6
TEXTBOOK = {
    "bridge": "R6 (R2 + R4) (R3 + R5) + R2 R4 (R3 + R5) + R3 R5 (R2 + R4) "
    "+ R1 (R2 + R3) (R4 + R5) + R1 R6 (R2 + R3 + R4 + R5)"
}


def foreign(ratio: Ratio) -> sympy.Expr:
    """The numerator as a sum of SymPy's products."""
    symbols = sympy.symbols(ratio.field.symbols)
    return sympy.Add(
        *(c * sympy.Mul(*(s**e for s, e in zip(symbols, p, strict=True))) for p, c in ratio.terms())
    )


def counted(expr: sympy.Expr) -> int:
    """Symbols and numbers as a person writes them: a power once, a factor -1 not."""
    if expr.is_Symbol:
        return 1
    if expr.is_Number:
        return 0 if expr in (1, -1) else 1
    if expr.is_Pow:
        return counted(expr.base)
    return sum(map(counted, expr.args))


def _in_child(work: Callable[[sympy.Expr], sympy.Expr], expr: sympy.Expr, there: Any) -> None:
    there.send(work(expr))


def within_patience(work: Callable[[sympy.Expr], sympy.Expr], expr: sympy.Expr) -> tuple[str, float]:
    """The count of a form, or that it took too long; and the time."""
    here, there = multiprocessing.Pipe(duplex=False)
    child = multiprocessing.get_context("fork").Process(target=_in_child, args=(work, expr, there))
    begun = time.perf_counter()
    child.start()
    form = here.recv() if here.poll(PATIENCE) else None
    passed = time.perf_counter() - begun
    child.kill()
    child.join()
    if form is None:
        return f"over {PATIENCE:.0f} s", passed
    point = {s: n for n, s in enumerate(sorted(expr.free_symbols, key=str), start=2)}
    return (str(counted(form)) if form.subs(point) == expr.subs(point) else "not equal"), passed


def run() -> bool:
    """Prints the table; whether no form of SymPy's is shorter than ours."""
    print("\nWritten symbols of the determinant of resistances (battery in branch 1, every branch its own R)")
    print(
        f"  {'network':20} {'terms':>6} {'expanded':>9} {'ours':>6} {'time':>9} {'factor':>9} {'horner':>9} "
        f"{'simplify':>9} {'textbook':>9} {'at once':>8} {'all lines':>10}"
    )
    met = True
    for name, edges in NETWORKS.items():
        circuit = circuit_of(edges)
        determinant = solve(circuit).determinant
        begun = time.perf_counter()
        form = tidy(determinant)
        taken = time.perf_counter() - begun
        ours = written_symbols(form)
        if not same(form, determinant):
            raise SystemExit(f"{name}: the tidy form is not the determinant")
        expr = foreign(determinant)
        theirs = [within_patience(work, expr)[0] for work in (sympy.factor, horner, sympy.simplify)]
        met = met and all(not t.isdigit() or int(t) >= ours for t in theirs)
        printed = expression(TEXTBOOK[name]) if name in TEXTBOOK else None
        if printed is not None and not same(printed, determinant):
            raise SystemExit(f"{name}: the printed form is not the determinant")
        at_once = source_current_at_once(circuit)
        print(
            f"  {name:20} {len(determinant.terms()):6} {counted(expr):9} {ours:6} {taken * 1e3:6.0f} ms "
            f"{theirs[0]:>9} {theirs[1]:>9} {theirs[2]:>9} {written_symbols(printed) if printed else '-':>9} "
            f"{written_symbols(at_once) if at_once else '-':>8} {named_forms(circuit).written_symbols:10}"
        )
    print(f"  nobody's shorter than ours: {'met' if met else 'NOT met'}")
    return met
