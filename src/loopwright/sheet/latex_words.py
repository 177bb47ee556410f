"""Plain words as LaTeX text: nothing in them acts as markup, and pdflatex knows every character."""

from __future__ import annotations

import unicodedata

_MARKUP = {
    "\\": r"\textbackslash{}", "{": r"\{", "}": r"\}", "$": r"\$", "&": r"\&", "#": r"\#", "_": r"\_",
    "%": r"\%", "^": r"\textasciicircum{}", "~": r"\textasciitilde{}", "<": "$<$", ">": "$>$", "|": "$|$",
    '"': "''", "`": r"\textasciigrave{}", "[": "{[}", "]": "{]}", "'": "'{}", "-": "-{}",
}  # fmt: skip
_SIGNS = {
    "−": "-", "×": r"\times", "·": r"\cdot", "±": r"\pm", "≈": r"\approx", "≠": r"\neq", "≤": r"\leq",
    "≥": r"\geq", "→": r"\to", "←": r"\leftarrow", "↑": r"\uparrow", "↓": r"\downarrow", "∞": r"\infty",
    "∥": r"\parallel", "√": r"\surd", "∝": r"\propto", "°": r"^{\circ}", "′": "'", "½": r"\frac{1}{2}",
    "¼": r"\frac{1}{4}", "¾": r"\frac{3}{4}", "Ω": r"\Omega", "\u2126": r"\Omega", "µ": r"\mu", "μ": r"\mu",
    "Δ": r"\Delta", "π": r"\pi", "τ": r"\tau", "ε": r"\varepsilon", "ℰ": r"\mathcal{E}", "✓": r"\checkmark",
    "⁻": "^{-}",
}  # fmt: skip
_MARKS = {
    "–": "--", "—": "---", "‘": "`", "’": "'{}", "“": "``", "”": "''{}", "…": r"\ldots{}",
    "\u00a0": "~", "\u202f": r"\,", "\u2009": r"\,",
}  # fmt: skip
_KNOWN = _MARKUP | _MARKS | {sign: f"${command}$" for sign, command in _SIGNS.items()}
_NOT_COMPOSED = "ĸŉſ"  # among the accented letters, the few that the usual encodings lack


def escaped(words: str) -> str:
    """The words for LaTeX text; a sign that no plain distribution can set is named in brackets."""
    return "".join(map(_character, words))


def _character(char: str) -> str:
    if char in _KNOWN:
        return _KNOWN[char]
    if char.isascii():
        return char if char.isprintable() else " "
    if "\u00c0" <= char <= "\u017f" and char not in _NOT_COMPOSED:
        return char
    plain = unicodedata.normalize("NFKD", char)
    if char.isdigit() and plain.isascii():
        raised = "SUPERSCRIPT" in unicodedata.name(char)
        return f"$^{{{plain}}}$" if raised else f"$_{{{plain}}}$"
    if plain != char and plain.isascii():
        return escaped(plain)
    return f"{{[}}{unicodedata.name(char, 'unknown sign').lower()}{{]}}"
