"""What each planted slip may fairly be called, by the keys of the catalogue of slips."""

from __future__ import annotations

WRONG_NUMBER = frozenset({"digits", "copied-wrong"})
SIGN_OF_A_LINE = frozenset(
    {
        "moved-sign",
        "copied-wrong",
        "minus-bracket",
        "numerator-sign",
        "drop-sign",
        "source-sign",
        "junction-sign",
    }
)

FAIR: dict[str, frozenset[str]] = {
    # setting up
    "junction-sign": frozenset({"junction-sign"}),
    "branch-missing": frozenset({"branch-missing", "term-missing"}),
    "drop-sign": frozenset({"drop-sign", "sense-turned"}),
    "source-sign": frozenset({"source-sign", "sources-all-plus"}),
    "drop-missing": frozenset({"drop-missing", "term-missing", "inside-forgotten"}),
    "source-missing": frozenset({"source-missing", "term-missing"}),
    "wrong-current": frozenset({"wrong-current", "subscript"}),
    "subscript": frozenset({"subscript", "wrong-current", "copied-wrong"}),
    "subscript-source": frozenset({"subscript"}),
    "subscript-voltage": frozenset({"subscript", "wrong-current", "drop-missing"}),
    "sources-all-plus": frozenset({"sources-all-plus", "source-sign"}),
    "terminals-swapped": frozenset({
        "terminals-swapped", "source-sign", "sources-all-plus", "drop-sign", "drops-all-minus",
        "sense-turned",
    }),
    # where one source is met, all drops turned are that source turned; and where all drops then have one
    # sign, a sense turned midway is every drop of one sign
    "drops-all-minus": frozenset({"drops-all-minus", "drop-sign", "source-sign"}),
    "sense-turned": frozenset({"sense-turned", "drop-sign", "source-sign", "drops-all-minus"}),
    "inside-forgotten": frozenset({"inside-forgotten", "drop-missing", "term-missing"}),
    "mesh-sum": frozenset({"mesh-sum", "drop-sign"}),
    "other-mesh-missing": frozenset({"term-missing", "wrong-current", "drop-missing", "mesh-sum"}),
    "potential-missing": frozenset({"term-missing", "branch-missing", "drop-missing"}),
    "voltage-order": frozenset({"voltage-order", "drop-sign", "source-sign"}),
    # algebra
    "copied-number": WRONG_NUMBER | {"subscript"},
    "copied-wrong": WRONG_NUMBER,
    "digits": WRONG_NUMBER,
    "copied-sign": SIGN_OF_A_LINE,
    "moved-sign": SIGN_OF_A_LINE,
    "term-missing": frozenset({
        "term-missing", "drop-missing", "source-missing", "branch-missing", "shared-once",
        "copied-wrong",
    }),
    "bracket-lost": frozenset({"bracket-lost", "one-term-multiplied", "factor-missing"}) | WRONG_NUMBER,
    "minus-bracket": frozenset({"minus-bracket", "bracket-lost"}) | SIGN_OF_A_LINE,
    "one-term-multiplied": frozenset({"one-term-multiplied", "factor-missing"}) | WRONG_NUMBER,
    "added-for-subtracted": frozenset({
        "added-for-subtracted", "denominator-sign", "numerator-sign",
    }) | SIGN_OF_A_LINE,
    "minus-dropped": frozenset({"minus-dropped"}),
    "minus-lost": frozenset({"minus-dropped", "junction-sign", "copied-wrong", "drop-sign"}),
    "cut-off": frozenset({"cut-off", "early-rounding", "digits"}),
    "calculator-order": frozenset({"calculator-order", "digits"}),
    "fraction-inverted": frozenset({"fraction-inverted", "wrong-divisor", "digits"}),
    "fraction-upside-down": frozenset({"fraction-inverted"}),
    "units": frozenset({"units-mixed", "prefix-dropped", "unit-missing"}),
    "determinant-sign": frozenset({
        "determinant-sign", "numerator-sign", "denominator-sign", "added-for-subtracted",
    }) | WRONG_NUMBER | SIGN_OF_A_LINE,
    "determinant-term": frozenset({"term-missing", "denominator-term"}),
    "wrong-column": WRONG_NUMBER | {"subscript"},
    # resistances
    "parallel-added": frozenset({"parallel-added", "false-series"}),
    "reciprocal-left": frozenset({"reciprocal-left", "fraction-inverted"}),
    "product-over-sum": frozenset({"product-over-sum"}),
    "false-product": frozenset({"fraction-inverted", "reciprocal-left"}),
    "series-as-parallel": frozenset({"false-parallel"}),
    "equal-split": frozenset({"equal-split"}),
    "divider-inverted": frozenset({"divider-inverted", "subscript"}),
    "denominator-term": frozenset({"denominator-term", "term-missing", "wrong-divisor", "drop-missing"}),
    "whole-emf": frozenset({
        "whole-emf-each", "drop-missing", "term-missing", "loaded-divider", "inside-forgotten",
    }),
    # sources
    "part-sign": frozenset({
        "junction-sign", "added-for-subtracted", "numerator-sign", "copied-wrong", "moved-sign",
    }),
    "part-missing": frozenset({
        "term-missing", "superposed-open", "branch-missing", "own-mesh-only", "drop-missing",
    }),
    "source-left-on": frozenset({"term-extra", "superposed-open", "source-left-on"}),
    "superposed-open": frozenset({"superposed-open", "branch-missing", "term-missing"}),
    "share-sign": frozenset({
        "junction-sign", "drop-sign", "source-sign", "minus-dropped", "copied-wrong", "moved-sign",
        "arrow-otherwise",
    }),
    "load-left-out": frozenset({"term-missing", "drop-missing", "denominator-term"}),
    "load-in-parallel": frozenset({"term-extra", "loaded-divider"}),
    "battery-left-in": frozenset({"battery-left-in", "false-series", "false-parallel", "bridge-reduced"}),
    "square-lost": frozenset({"factor-missing"}),
    "divided-for-multiplied": frozenset({"fraction-inverted", "wrong-divisor"}),
}  # fmt: skip
