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
\textbf{Loop 1:} $\mathcal E_1 - I_1R_1 - I_3R_3 = 0$
\begin{enumerate}
\item $I_1+I_2=I_3$ \quad (junction)
\item Loop 2: \(E_2 - I_2 R_2 - I_3 R_3 = 0\)
\end{enumerate}
\begin{equation}\label{eq:j}
I_1 + I_2 = I_3
\end{equation}
\begin{split}
I_3 &= \frac{E_1R_2+E_2R_1}
{R_1R_2+R_1R_3+R_2R_3} \\
    &= \frac{12\cdot 2+24\cdot 6}{84}\,\mathrm{A} \\
    &= 2\,\mathrm{A}
\end{split}
$$
I_3
= 2\text{ A}
$$
\[
\left\{\begin{array}{l}
I_1+I_2=I_3\\
12=6I_1+9I_3
\end{array}\right.
\]
\begin{align*}
12 - 6I_1 - 9I_3 &= 0 &&\text{(loop 1)}\\
24 - 2I_2 - 9I_3 &= 0 &&\text{(loop 2)}
\end{align*}
$\Rightarrow\; I_3 = \SI{2}{\ampere}$ % a remark = 3
\end{document}
"""


def test_a_whole_document_is_read() -> None:
    lines = working(DOCUMENT, CIRCUIT).lines
    assert [line.trouble for line in lines if line.trouble] == []
    fraction = "(E1 R2 + E2 R1)/(R1 R2 + R1 R3 + R2 R3)"
    assert says(
        tuple(claim for line in lines for claim in line.claims),
        "E1 − I1 R1 − I3 R3 = 0", "I1 + I2 = I3", "E2 − I2 R2 − I3 R3 = 0", "I1 + I2 = I3",
        f"I3 = {fraction}", f"{fraction} = (12 · 2 + 24 · 6)/84 · (1 A)",
    "(12 · 2 + 24 · 6)/84 · (1 A) = 2 A",
        "I3 = 2 A", "I1 + I2 = I3", "12 = 6 I1 + 9 I3", "12 − 6 I1 − 9 I3 = 0", "24 − 2 I2 − 9 I3 = 0",
    "I3 = 2 A",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("text", "read"),
    [
        (r"$R_p = R_1\parallel R_2$", "Rp = R1 ∥ R2"),
        (r"$I_3 = \tfrac92 \cdot 2$", "I3 = (9/2) · 2"),
        (r"$I_3 = \dfrac{18}{9}\ \text{A}$", "I3 = (18/9) · (1 A)"),
        (r"$I_{\rm tot} = 2\;\rm A$", "Itot = 2 A"),
        (r"$E_1-I_1R_1\overset{!}{=}I_3R_3$", "E1 − I1 R1 = I3 R3"),
        (r"$\underbrace{12}_{E_1}-6I_1-9I_3=0$", "12 − 6 I1 − 9 I3 = 0"),
        (r"$I_1^{\prime} = 10^{-3}\,\mathrm{kA}$", "I1′ = 1 × 10^-3 kA"),
        (r"$I_1' R_1^2 = I_2\,R_2^{2}$", "I1′ R1² = I2 R2²"),
        (r"$I_3 = 2\,\mathrm{m A}$", "I3 = 2 mA"),
        (r"$I_3 = 5\,\mu\mathrm{A}$", "I3 = 5 µA"),
        (r"$\big(R_1+R_3\big) I_1 = \left[E_1 - I_2 R_3\right]$", "(R1 + R3) I1 = (E1 − I2 R3)"),
        (r"$\mathscr{E}_2 = \varepsilon_2$", "E2 = E2"),
        (r"\boxed{I_3 = 2.0\,\text{A}}", "I3 = 2.0 A"),
        (r"$V_{\text{top,foot}} = 18\,\mathrm{V}$", "V(top, foot) = 18 V"),
        (r"$I_3 \simeq 2$", "I3 ≈ 2"),
        (r"$I_3 = \num{2.0}\,\mathrm{A}$", "I3 = 2.0 A"),
    ],
)
def test_a_command_of_the_common_subset_is_read(text: str, read: str) -> None:
    line = line_of(text)
    assert line.trouble is None
    assert says(line.claims, read)


@pytest.mark.parametrize(
    ("text", "at", "why"),
    [
        (r"$I_1 = \foo$", 7, r"the LaTeX command \foo is not read"),
        (r"$I_1 = \frac{1}$", 15, "a LaTeX command lacks what it acts on"),
        (r"$I_1 = \frac{1}{2$", 15, "a brace is never closed"),
        (r"$I_1 = \text{A$", 12, "a brace is never closed"),
        (r"$I_1 = \sqrt{2}$", 7, "a root is not read; nothing in a circuit of resistors needs one"),
    ],
)
def test_trouble_with_latex_has_its_place(text: str, at: int, why: str) -> None:
    line = line_of(text)
    assert line.claims == ()
    assert line.trouble is not None
    assert (line.trouble.position, line.trouble.why) == (at, why)


def test_groups_without_end_are_a_trouble() -> None:
    line = line_of("$I_1 = " + r"\frac{1}{" * 60 + "$")
    assert line.trouble is not None
    assert "groups stand within one another" in line.trouble.why
