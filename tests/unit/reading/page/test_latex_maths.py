r"""LaTeX maths as people type it: whole documents, and the commands of the common subset."""

from __future__ import annotations

import pytest

from loopwright.reading.page.lines import working
from tests.unit.reading.reading_samples import CIRCUIT, line_of, says

DOCUMENT = r"""
\documentclass{article}
\usepackage{amsmath}
\begin{document}
\section*{Solution}
\textbf{Loop 1:} $\mathcal E_4 - I_4R_4 - I_6R_6 = 0$
\begin{enumerate}
\item $I_5+I_6=I_4$ \quad (junction)
\item Loop 2: \(E_5 + I_5 R_5 - I_6 R_6 = 0\)
\end{enumerate}
\begin{equation}\label{eq:j}
I_5 + I_6 = I_4
\end{equation}
\begin{split}
I_6 &= \frac{E_4R_5+E_5R_4}
{R_4R_5+R_4R_6+R_5R_6} \\
    &= \frac{23\cdot 3+18\cdot 4}{47}\,\mathrm{A} \\
    &= 3\,\mathrm{A}
\end{split}
$$
I_4
= 2\text{ A}
$$
\[
\left\{\begin{array}{l}
I_5+I_6=I_4\\
5=3I_5+4I_4
\end{array}\right.
\]
\begin{align*}
5 - 3I_5 - 4I_4 &= 0 &&\text{(loop 1)}\\
23 - 5I_6 - 4I_4 &= 0 &&\text{(loop 2)}
\end{align*}
$\Rightarrow\; I_4 = \SI{2}{\ampere}$ % a remark = 3
\end{document}
"""


def test_a_whole_document_is_read() -> None:
    lines = working(DOCUMENT, CIRCUIT).lines
    assert [line.trouble for line in lines if line.trouble] == []
    fraction = "(E4 R5 + E5 R4)/(R4 R5 + R4 R6 + R5 R6)"
    assert says(
        tuple(claim for line in lines for claim in line.claims),
        "E4 − I4 R4 − I6 R6 = 0", "I5 + I6 = I4", "E5 + I5 R5 − I6 R6 = 0", "I5 + I6 = I4",
        f"I6 = {fraction}", f"{fraction} = (23 · 3 + 18 · 4)/47 · (1 A)",
    "(23 · 3 + 18 · 4)/47 · (1 A) = 3 A",
        "I4 = 2 A", "I5 + I6 = I4", "5 = 3 I5 + 4 I4", "5 − 3 I5 − 4 I4 = 0", "23 − 5 I6 − 4 I4 = 0",
    "I4 = 2 A",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("text", "read"),
    [
        (r"$R_p = R_5\parallel R_6$", "Rp = R5 ∥ R6"),
        (r"$I_4 = \tfrac72 \cdot 2$", "I4 = (7/2) · 2"),
        (r"$I_4 = \dfrac{8}{4}\ \text{A}$", "I4 = (8/4) · (1 A)"),
        (r"$I_{\rm tot} = 2\;\rm A$", "Itot = 2 A"),
        (r"$E_4-I_4R_4\overset{!}{=}I_6R_6$", "E4 − I4 R4 = I6 R6"),
        (r"$\underbrace{5}_{E_4-E_5}-3I_5-4I_4=0$", "5 − 3 I5 − 4 I4 = 0"),
        (r"$I_5^{\prime} = 10^{-3}\,\mathrm{kA}$", "I5′ = 1 × 10^-3 kA"),
        (r"$I_5' R_5^2 = I_6\,R_6^{2}$", "I5′ R5² = I6 R6²"),
        (r"$I_4 = 2\,\mathrm{m A}$", "I4 = 2 mA"),
        (r"$I_4 = 5\,\mu\mathrm{A}$", "I4 = 5 µA"),
        (r"$\big(R_5+R_4\big) I_5 = \left[E_5 - I_6 R_4\right]$", "(R5 + R4) I5 = (E5 − I6 R4)"),
        (r"$\mathscr{E}_4 = \varepsilon_4$", "E4 = E4"),
        (r"\boxed{I_4 = 2.0\,\text{A}}", "I4 = 2.0 A"),
        (r"$V_{\text{bus,rail}} = 15\,\mathrm{V}$", "V(bus, rail) = 15 V"),
        (r"$I_4 \simeq 2$", "I4 ≈ 2"),
        (r"$I_4 = \num{2.0}\,\mathrm{A}$", "I4 = 2.0 A"),
    ],
)
def test_a_command_of_the_common_subset_is_read(text: str, read: str) -> None:
    line = line_of(text)
    assert line.trouble is None
    assert says(line.claims, read)


@pytest.mark.parametrize(
    ("text", "at", "why"),
    [
        (r"$I_5 = \foo$", 7, r"the LaTeX command \foo is not read"),
        (r"$I_5 = \frac{1}$", 15, "a LaTeX command lacks what it acts on"),
        (r"$I_5 = \frac{1}{2$", 15, "a brace is never closed"),
        (r"$I_5 = \text{A$", 12, "a brace is never closed"),
        (r"$I_5 = \sqrt{2}$", 7, "a root is not read; nothing in a circuit of resistors needs one"),
    ],
)
def test_trouble_with_latex_has_its_place(text: str, at: int, why: str) -> None:
    line = line_of(text)
    assert line.claims == ()
    assert line.trouble is not None
    assert (line.trouble.position, line.trouble.why) == (at, why)


def test_groups_without_end_are_a_trouble() -> None:
    line = line_of("$I_5 = " + r"\frac{1}{" * 60 + "$")
    assert line.trouble is not None
    assert "groups stand within one another" in line.trouble.why


def test_a_prime_before_a_subscript_belongs_to_the_whole_name() -> None:
    early, late = (working(text, CIRCUIT).lines[0].claims for text in ("$I'_4 = 2 I_5$", "$I_4' = 2 I_5$"))
    assert [claim.written for claim in early] == [claim.written for claim in late] != []
