"""The LaTeX writer: an article that a plain pdflatex sets."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pytest

from loopwright.expressions.nodes import Equation, Expr
from loopwright.sheet import latex
from loopwright.sheet.document import DisplayedLine, Document, Paragraph, Written
from loopwright.sheet.latex_words import escaped
from tests.unit.sheet.sample_sheet import HOSTILE_WORDS, IB, IC, IH, SAMPLE, hostile, one, plus

SIGNS = "Ω − ∥ ≈ → ∞ × · ± ° µ ½ ’ “ ” … – — ≤ ≥ ≠ ✓ ₁ ² 10⁹ é ü ñ ☃ 漢 ﬁ"


@pytest.mark.slow
@pytest.mark.skipif(shutil.which("pdflatex") is None, reason="pdflatex is not installed")
@pytest.mark.parametrize(
    "document", [SAMPLE, hostile(), one(Paragraph((SIGNS,)), title=SIGNS)], ids=["sample", "hostile", "signs"]
)
def test_pdflatex_sets_the_article_without_complaint(document: Document, tmp_path: Path) -> None:
    (tmp_path / "sheet.tex").write_text(latex.write(document), encoding="utf-8")
    run = subprocess.run(
        ["pdflatex", "-interaction=nonstopmode", "-halt-on-error", "sheet.tex"],
        cwd=tmp_path, capture_output=True, check=False,
    )  # fmt: skip
    log = (tmp_path / "sheet.log").read_text(encoding="latin-1")
    assert run.returncode == 0, log[-1500:]
    assert "Missing character" not in log
    assert "Overfull \\hbox" not in log


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        ("50 % of $5", r"50 \% of \$5"),
        ("a_b & #c", r"a\_b \& \#c"),
        ("\\input{x}", r"\textbackslash{}input\{x\}"),
        ("4.7 kΩ", r"4.7 k$\Omega$"),
        ("I1 ≈ −2 A", r"I1 $\approx$ $-$2 A"),
        ("R1 ∥ R2 → 0", r"R1 $\parallel$ R2 $\to$ 0"),
        ("10⁹ and R₁", r"10$^{9}$ and R$_{1}$"),
        ("☃", r"{[}snowman{]}"),
        ("a--b", r"a-{}-{}b"),
    ],
)
def test_signs_are_written_so_that_pdflatex_knows_them(words: str, expected: str) -> None:
    assert escaped(words) == expected


def test_hostile_words_are_escaped_wherever_they_stand() -> None:
    source = re.sub(r"(?<!\\)%.*", "", latex.write(hostile()))  # a comment does not act
    assert "\\input{x}" not in source
    assert source.count(escaped(HOSTILE_WORDS).split(r"\%")[0]) == 16


def test_words_of_the_figure_stay_in_the_comment() -> None:
    source = latex.write(SAMPLE)
    assert "\n% Branch Ib runs from bus to rail" in source


def test_the_same_document_gives_the_same_source() -> None:
    assert latex.write(SAMPLE) == latex.write(SAMPLE)


@pytest.mark.parametrize(("side", "breaks"), [(plus(IB, IH), True), (IB, False)])
def test_a_line_too_wide_breaks_in_its_sums_and_is_fitted_where_it_has_none(side: Expr, breaks: bool) -> None:
    body = latex.write(one(DisplayedLine((IC, side)))).split(r"\begin{document}")[1]
    assert (r"$\displaystyle" in body) is breaks


def test_a_line_of_somebody_shows_the_claims_as_they_were_read() -> None:
    claim = Equation(IC, IH)
    text = latex.write(one(Written(1, "Ic is Ih", (claim,), "right", (("No law says so.",),))))
    assert r"$I_{\mathrm{c}} = I_{\mathrm{h}}$" in text


def test_a_line_of_somebody_without_claims_begins_with_no_gap() -> None:
    text = latex.write(one(Written(1, "so", (), "no claim", (("Nothing is said.",),))))
    assert r"{\par\smallskip" not in text
    assert r"\small Nothing is said." in text
