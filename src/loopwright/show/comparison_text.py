"""The methods for a circuit side by side, as text: by itself, for the command that prints no other result."""

from __future__ import annotations

from ..methods.compare import Comparison


def comparison_in_text(comparison: Comparison) -> str:
    """What each method takes in columns, or why it does not serve, with the sentences below."""
    width = max(len(e.method) for e in comparison.lengths)
    lines = [f"{'':<{width}}  unknowns  lines  symbols"]
    for e in comparison.lengths:
        counts = f"{e.unknowns:>8}  {e.lines:>5}  {e.symbols:>7}"
        lines.append(f"{e.method:<{width}}  {counts if e.serves else f'does not serve: {e.why_not}'}")
    written = "Written in numbers." if comparison.in_numbers else "Written in symbols."
    return "\n".join([*lines, "", f"Shortest: {comparison.reason}", comparison.agreement, written])
