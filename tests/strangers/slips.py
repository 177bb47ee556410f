"""What each fault of the stranger's is called, and by which names of the catalogue (docs/slips.md) a reader
may fairly call it: several where the same change on paper can come from more than one mistake."""

from __future__ import annotations

SIGNS = frozenset(
    [
        "drop-sign",
        "source-sign",
        "sources-all-plus",
        "terminals-swapped",
        "junction-sign",
        "drops-all-minus",
        "sense-turned",
        "moved-sign",
        "mesh-sum",
        "minus-bracket",
    ]
)

FAIR: dict[str, frozenset[str]] = {
    # laws
    "drop-sign": frozenset({"drop-sign", "drops-all-minus", "sense-turned", "moved-sign", "mesh-sum"}),
    "source-sign": frozenset({"source-sign", "sources-all-plus", "terminals-swapped", "moved-sign"}),
    "junction-sign": frozenset({"junction-sign", "moved-sign", "drop-sign", "source-sign"}),
    "drop-missing": frozenset({"drop-missing", "term-missing"}),
    "source-missing": frozenset({"source-missing", "term-missing", "own-mesh-only"}),
    "branch-missing": frozenset({"branch-missing", "term-missing", "drop-missing"}),
    "wrong-current": frozenset({"wrong-current", "subscript"}),
    "wrong-resistance": frozenset({"subscript", "wrong-current", "copied-wrong"}),
    "wrong-source": frozenset({"subscript", "copied-wrong"}),
    "mesh-sum": frozenset({"mesh-sum", "drop-sign"}),
    # formulas
    "sign": frozenset(
        SIGNS | {"numerator-sign", "denominator-sign", "voltage-order", "added-for-subtracted"}
    ),
    "term-left-out": frozenset(
        {"term-missing", "drop-missing", "source-missing", "branch-missing", "denominator-term"}
        | {"inside-forgotten", "own-mesh-only", "false-series"}
    ),
    "factor-left-out": frozenset({"factor-missing"}),
    "subscript": frozenset(
        {"subscript", "wrong-current", "copied-wrong", "divider-inverted", "wrong-divisor"}
    ),
    "bracket": frozenset({"bracket-lost", "numerator-bracket", "one-term-multiplied", "minus-bracket"}),
    "inverted": frozenset({"fraction-inverted", "wrong-divisor", "reciprocal-left"}),
    "keyed-without-brackets": frozenset({"calculator-order", "bracket-lost"}),
    "parallel-added": frozenset({"parallel-added", "false-series"}),
    "reciprocal-left": frozenset({"reciprocal-left", "fraction-inverted"}),
    "sum-over-product": frozenset({"fraction-inverted", "reciprocal-left"}),
    "product-over-sum": frozenset({"product-over-sum"}),
    "divider-inverted": frozenset({"divider-inverted", "subscript"}),
    "series-as-parallel": frozenset({"false-parallel"}),
    "false-series": frozenset({"false-series", "parallel-added"}),
    # ideas
    "source-not-at-rest": frozenset(
        {"term-extra", "source-sign", "sources-all-plus", "net-emf", "load-sees-sum"}
    ),
    "superposed-open": frozenset(
        {"superposed-open", "branch-missing", "term-missing", "denominator-term", "false-series"}
        | {"subscript", "drop-missing"}
    ),
    "branch-alone": frozenset({"branch-alone", "term-missing", "drop-missing"}),
    "loaded": frozenset({"loaded-divider", "term-missing", "term-extra", "false-parallel"}),
    "emfs-added": frozenset(
        {"parallel-sources-add", "load-sees-sum", "sources-all-plus", "source-sign", "added-for-subtracted"}
        | {"numerator-sign"}
    ),
    "sum-of-parts-sign": frozenset(SIGNS | {"numerator-sign", "added-for-subtracted"}),
    "equal-split": frozenset({"equal-split"}),
    # algebra on the way
    "moved-sign": frozenset(SIGNS | {"numerator-sign", "added-for-subtracted"}),
    "one-term-unmultiplied": frozenset({"one-term-multiplied", "bracket-lost", "factor-missing", "digits"}),
    "added-for-subtracted": frozenset({"added-for-subtracted", "moved-sign"}),
    "minus-bracket": frozenset({"minus-bracket", "moved-sign", "drop-sign", "source-sign"}),
    "cross-product": frozenset({"added-for-subtracted", "numerator-sign", "denominator-sign", *SIGNS}),
    "wrong-column": frozenset({"subscript", "copied-wrong", "digits", "wrong-divisor"}),
    # numbers
    "copied-wrong": frozenset({"copied-wrong", "digits", "subscript"}),
    "digits": frozenset({"digits"}),
    "point": frozenset({"digits", "units-mixed", "prefix-dropped"}),
    "cut-off": frozenset({"early-rounding", "digits", "figures"}),
    "minus-dropped": frozenset({"minus-dropped", *SIGNS}),
    "prefix": frozenset({"units-mixed", "prefix-dropped", "unit-missing"}),
    "unit-wrong": frozenset({"unit-missing", "units-mixed"}),
}
"""Fault -> catalogue keys that name it."""
