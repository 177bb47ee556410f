"""A figure with its loops marked, of a circuit just read, beside general computer algebra (SymPy's
`linsolve`) solving the bare equations of a bridge in the same round."""

from __future__ import annotations

from pathlib import Path

from benchmarks.timing import ROUNDS, compared, forget, milliseconds, times
from benchmarks.whole_sheet import BRIDGE, bare_solve, circuit_of
from loopwright.figure.figure import draw
from loopwright.methods.methods import derive
from loopwright.problem.problem_file import read

EXAMPLES = Path(__file__).parents[1] / "examples"
THREE_LOOPS, CUBE = 0.33, 2.2  # 12 ms and 80 ms on a machine where that solve takes 36 ms
BARS = {
    "field-station": THREE_LOOPS,
    "bridge": THREE_LOOPS,
    "tide-gauge-bridge": THREE_LOOPS,
    "jetty-ladder": THREE_LOOPS,
    "tender-start": THREE_LOOPS,
    "wire-cube": CUBE,
}


def run() -> bool:
    """Prints the table; whether the bar is met on every circuit."""
    met = True
    print("\nFigure with the loops of its sheet marked against SymPy linsolve on a bridge")
    theirs = bare_solve(circuit_of(BRIDGE))
    for name, bar in BARS.items():
        path = EXAMPLES / f"{name}.toml"
        loops = tuple(law.loop for law in derive(read(path)).laws if law.loop)
        names = [f"({k})" for k in range(1, len(loops) + 1)]  # as long as those of equations on a sheet
        fresh = iter([read(path) for _ in range(ROUNDS + 1)])  # nothing is remembered with them yet

        def drawn(fresh=fresh, loops=loops, names=names) -> object:  # type: ignore[no-untyped-def]
            forget()
            return draw(next(fresh), loops=loops, loop_names=names)

        ours, bare = times(drawn, theirs)
        against = compared(ours, bare, bar)
        met = met and against.met
        print(f"  {name:20} figure {milliseconds(ours)}  linsolve {milliseconds(bare)}  {against}")
    return met
