"""A value while it moves along its line from 0 to ∞: the currents from their closed forms, exactly.

At the very ends they are the limits of these forms. Nothing is kept of it. Knows no web.
"""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

from ..algebra.ratios import Ratio
from ..checks.limits.limit_of_ratio import LimitEnd, Unbounded, limit_of
from ..errors import FaultyMaterial
from ..expressions.amounts import amount
from ..expressions.nodes import Number
from ..expressions.writers import plain
from ..findings import Finding
from ..plots.scale import Scale
from ..quantities import rounded
from ..solve.exact import solve
from .answer import shares
from .equations import ForPage
from .pieces import current_buttons, unit_of
from .read_once import sound

STEPS = 1000  # from one end of a line to the other


def moved(text: str, of: str, middle: float, step: int) -> ForPage:
    """The currents with one value moved. `step`: where on its line, from 0 to STEPS, in the middle of which
    `middle` stands. `value`: the number there as the file would have it, empty at the ends; `said`: all of it
    in a sentence.

    Raises FaultyMaterial where the text is no sound circuit, or nothing is called so.
    """
    circuit = sound(text)
    if of not in circuit.symbols or not 0 <= step <= STEPS or not 0 < middle < float("inf"):
        raise FaultyMaterial(
            Finding("desk/no-such-name", f"no value is called {of}.", "Move one of the values.")
        )
    end, forms = step in (0, STEPS), _forms(text, of)
    if end:
        told, value = f"{of} → {'∞' if step else '0'}", ""
        found = {name: _limit(ratio, of, "∞" if step else "0") for name, ratio in forms.items()}
    else:
        number = rounded(Scale(Fraction(middle)).value(Fraction(step, STEPS)), unit_of(circuit, of), 3)
        digits = number.digits.rstrip("0").rstrip(".") if "." in number.digits else number.digits
        value = f"{digits} {number.symbol}".strip()
        told = f"{of} = {value}"
        found = {name: _worth(ratio, of, number.value) for name, ratio in forms.items()}
    texts = {name: _told(worth, circuit.figures) for name, worth in found.items() if worth is not None}
    sign = "→" if end else "="
    numbers = {name: worth for name, worth in found.items() if isinstance(worth, Fraction)}
    most = {
        name: Fraction(1 if worth > 0 else -1) for name, worth in found.items() if isinstance(worth, float)
    }
    kept = f" (the file keeps {circuit.written[of]})" if end and of in circuit.written else ""
    return {
        "said": f"{told}: {', '.join(f'{name} {sign} {text}' for name, text in texts.items())}.",
        "look": told + kept,
        "value": value,
        "currents": current_buttons(circuit, texts),
        "shares": dict.fromkeys(numbers, 0.0) | shares(most or numbers),
    }


Worth = Fraction | float | None  # in amperes; ±∞ as a float, None where a number is missing


@lru_cache(maxsize=4)
def _forms(text: str, of: str) -> dict[str, Ratio]:
    """Every current as a form in the one symbol, and in those that have no number."""
    circuit = sound(text)
    numbers = {name: Number(value) for name, value in circuit.numbers.items() if name != of}
    return dict(solve(circuit.with_put_in(numbers)).currents)


def _worth(ratio: Ratio, of: str, value: Fraction) -> Worth:
    if any(symbol != of for symbol in ratio.held()):
        return None
    try:
        return ratio.value({of: value})
    except ZeroDivisionError:
        return None


def _limit(ratio: Ratio, of: str, to: LimitEnd) -> Worth:
    limit = limit_of(ratio, of, to)
    if not isinstance(limit, Unbounded):
        return limit.constant()
    return limit.sign * float("inf") if limit.sign else None


def _told(worth: Fraction | float, figures: int) -> str:
    if isinstance(worth, float):
        return "∞" if worth > 0 else "−∞"
    return plain.render(amount(worth, "A", figures))
