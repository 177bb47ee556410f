r"""The sheet as a complete LaTeX article for pdflatex with a plain distribution.

Reads the document model, the LaTeX writer and the picture renderer; knows no other output. Needs
article, geometry, amsmath, amssymb, graphicx, array and longtable, and what the picture needs.
A line too wide for the page is broken between its terms or drawn smaller, by the macro `\worked`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from ..expressions.nodes import Expr, Sum
from ..expressions.writers import latex
from ..figure import latex_picture
from .document import (
    Block,
    CautionBox,
    DisplayedLine,
    Document,
    Gap,
    Heading,
    Listing,
    Masthead,
    Paragraph,
    Picture,
    ProblemHead,
    Table,
    Text,
    WorkingRoom,
    Written,
)
from .latex_words import escaped

_HEAD = r"""\documentclass[11pt,PAPER]{article}
\usepackage[margin=24mm]{geometry}
\usepackage{amsmath,amssymb,graphicx,array,longtable}
"""

_MACROS = r"""\setlength{\parindent}{0pt}
\setlength{\parskip}{6pt plus 2pt}
\setcounter{secnumdepth}{0}
\everymath{\displaystyle}
\lineskiplimit=3pt \lineskip=4pt
\raggedright
\newsavebox{\wholeline}
\newlength{\room}
% \fitted{anything}, \fit{maths}: drawn smaller where it is wider than the line
\newcommand{\fitted}[1]{\sbox0{#1}\ifdim\wd0>\linewidth
  \resizebox{\linewidth}{!}{\usebox0}\else\usebox0\fi}
\newcommand{\fit}[1]{\fitted{$\displaystyle #1$}}
% \worked{maths}{the same in parts}{number}{reason}; \result: the same in a frame
\newcommand{\worked}[4]{\par\addvspace{8pt plus 2pt}%
  \begin{minipage}{\linewidth}\setlength{\room}{\dimexpr\linewidth-5em}%
  \hspace*{1.5em}\parbox{\room}{\raggedright\sbox{\wholeline}{$\displaystyle #1$}%
    \ifdim\wd\wholeline>\room #2\else\usebox{\wholeline}\fi}\hfill #3%
  \ifx&#4&\else\par\smallskip\hspace*{1.5em}\parbox{\room}{\raggedright\small\itshape #4}\fi
  \end{minipage}\par\addvspace{8pt plus 2pt}}
\newcommand{\result}[4]{\par\addvspace{8pt plus 2pt}\noindent\fboxrule=0.8pt\fboxsep=6pt
  \fbox{\begin{minipage}{\dimexpr\linewidth-2\fboxsep-2\fboxrule}%
    \worked{#1}{#2}{#3}{#4}\end{minipage}}\par\addvspace{8pt plus 2pt}}
% \gap{rows}{number}{reason}: rules to write on
\newcount\rowsleft
\newcommand{\gap}[3]{\par\addvspace{8pt plus 2pt}\begin{minipage}{\linewidth}\rowsleft=#1
  \loop\rule{0pt}{26pt}\hspace*{1.5em}\rule{\dimexpr\linewidth-5em}{0.4pt}\advance\rowsleft-1
  \ifnum\rowsleft>0\par\repeat\hfill #2%
  \ifx&#3&\else\par\smallskip\hspace*{1.5em}{\small\itshape #3}\fi\end{minipage}\par\addvspace{8pt plus 2pt}}
% \written{number}{as written}{verdict}{as read, and what is said}
\newcommand{\written}[4]{\par\addvspace{8pt plus 2pt}%
  \begin{minipage}{\linewidth}\raggedright\makebox[2em][l]{\small #1}%
  \parbox[t]{\dimexpr\linewidth-13.5em}{\raggedright\ttfamily\small #2}\hfill
  \parbox[t]{11em}{\raggedleft\small #3}\par
  \ifx&#4&\else\smallskip\hspace*{2em}\parbox{\dimexpr\linewidth-2em}{\raggedright #4}\fi
  \end{minipage}\par\addvspace{6pt plus 2pt}}
\newcommand{\caution}[1]{\par\addvspace{10pt}\noindent\fboxsep=8pt
  \fbox{\begin{minipage}{\dimexpr\linewidth-2\fboxsep-2\fboxrule}\raggedright
    \textbf{CAUTION}\quad #1\end{minipage}}\par\addvspace{10pt}}
"""

_RELATIONS = {"≈": r"\approx", "→": r"\to", "≠": r"\neq", "≤": r"\leq", "≥": r"\geq"}
_COLUMNS = 0.94  # share of the text width that is left for columns beside the gaps between them
_SHORT_LIST, _MOST_OPTIONS = 8, 20  # items: so many stay on one page
_NARROWEST = 0.12  # share of the text width that every column keeps


def write(document: Document) -> str:
    """The document as a complete LaTeX file; the same document gives the same text."""
    title = escaped(document.title)
    opening = rf"""\begin{{document}}
{{\LARGE\bfseries\raggedright {title}\par}}\medskip\hrule\bigskip
"""
    stretches = document.stretches
    blocks = "".join(
        _block(block, replace(document, roles=stretch.roles), "subsection" if stretch.number else "section")
        for stretch in stretches
        for block in stretch.blocks
    )
    picture = "".join(f"{line}\n" for line in latex_picture.PREAMBLE)
    return (
        _HEAD.replace("PAPER", f"{document.paper}paper")
        + picture
        + _MACROS
        + opening
        + blocks
        + "\\end{document}\n"
    )


def _text(text: Text, document: Document) -> str:
    return "".join(
        escaped(piece) if isinstance(piece, str) else f"${latex.render(piece, document.roles)}$"
        for piece in text
    )


def _block(block: Block, document: Document, head: str) -> str:
    match block:
        case Heading(words):
            return f"\n\\{head}{{{escaped(words)}}}\n"
        case Paragraph(text):
            return f"\n{_text(text, document)}\n"
        case DisplayedLine():
            return _line(block, document)
        case Gap(rows, number, reason):
            label = f"({number})" if number else ""
            return f"\n\\gap{{{rows}}}{{{label}}}{{{_text(reason, document)}}}\n"
        case Written():
            return _written(block, document)
        case Listing(items, options):
            mark = "[]" if options else ""
            inner = "".join(f"  \\item{mark} {{}}{_text(item, document)}\n" for item in items)
            close = r"\setlength{\itemsep}{0pt}\setlength{\parskip}{3pt}"
            listed = f"\\begin{{itemize}}{close}\n{inner}\\end{{itemize}}\n"
            if len(items) <= (_MOST_OPTIONS if options else _SHORT_LIST):
                listed = f"\\begin{{samepage}}\n{listed}\\end{{samepage}}\n"
            return f"\n{listed}" if items else ""
        case Table():
            return _table(block, document)
        case Picture(drawing, alternative, caption):
            words = "".join(f"% {part}\n" for part in alternative.splitlines())
            drawn = latex_picture.picture(drawing)
            under = f"\\par\\smallskip{{\\small {escaped(caption)}}}" if caption else ""
            return (
                f"\n% The figure in words:\n{words}\\begin{{center}}\n\\fitted{{{drawn}}}"
                f"{under}\n\\end{{center}}\n"
            )
        case CautionBox(text):
            return f"\n\\caution{{{_text(text, document)}}}\n"
        case ProblemHead(words, _, leaf):
            return ("\n\\clearpage" if leaf else "") + f"\n\\section{{{escaped(words)}}}\n"
        case Masthead(lines, code, mark):
            told = "\\par\\medskip\n".join(_text(line, document) for line in lines)
            drawn = f"{latex_picture.picture(mark)}\\\\\\fitted{{\\texttt{{{escaped(code)}}}}}"
            left = f"\\parbox[t]{{0.7\\linewidth}}{{\\raggedright {told}}}"
            right = f"\\parbox[t]{{0.25\\linewidth}}{{\\centering\\vspace{{0pt}}{drawn}}}"
            return f"\n{left}\\hfill{right}\\par\\medskip\n"
        case WorkingRoom(words, least):
            return f"\n\\par{{\\small {escaped(words)}}}\\par\\vspace*{{{least:.2f}mm}}\\vfill\n"


def formula(line: DisplayedLine, roles: Mapping[str, str]) -> str:
    """A displayed line as LaTeX by itself, without its number and its reason."""
    return " ".join(_signed(line, roles))


def _signed(line: DisplayedLine, roles: Mapping[str, str]) -> list[str]:
    """Each side of a line with the sign of relation before it."""
    before = ["", *(f"{_RELATIONS.get(relation, relation)} " for relation in line.relations)]
    return [sign + latex.render(side, roles) for sign, side in zip(before, line.sides, strict=True)]


def _line(line: DisplayedLine, document: Document) -> str:
    signed = _signed(line, document.roles)
    whole = " ".join(signed)
    parts = rf"\fit{{{whole}}}"
    if any(isinstance(side, Sum) for side in line.sides):
        parts = " ".join(map(_part, line.sides, signed))
    number = f"({line.number})" if line.number else ""
    name = "result" if line.result else "worked"
    return f"\n\\{name}{{{whole}}}%\n  {{{parts}}}%\n  {{{number}}}{{{_text(line.reason, document)}}}\n"


def _part(side: Expr, markup: str) -> str:
    """One side of a line too wide for the page: a sum breaks between its terms, all else is fitted."""
    return rf"$\displaystyle {markup}$" if isinstance(side, Sum) else rf"\fit{{{markup}}}"


def _written(written: Written, document: Document) -> str:
    read = r"\quad ".join(f"${latex.render(claim, document.roles)}$" for claim in written.read)
    said = [rf"\small {_text(remark, document)}" for remark in written.remarks]
    body = r"\par\smallskip ".join([*([read] if read else []), *said])
    word = rf"\textbf{{{escaped(written.word.upper())}}}" if written.fault else escaped(written.word)
    return f"\n\\written{{{written.number}}}{{{escaped(written.text)}}}{{{word}}}%\n  {{{body}}}\n"


def _table(table: Table, document: Document) -> str:
    rows = [[_text(cell, document) for cell in row] for row in (table.head, *table.rows)]
    widths = [rf">{{\raggedright\arraybackslash}}p{{{share:.3f}\linewidth}}" for share in _shares(rows)]
    told = rf"{{\raggedright\bfseries {escaped(table.caption)}}}"
    caption = rf"\multicolumn{{{len(widths)}}}{{@{{}}p{{0.97\linewidth}}@{{}}}}{told} \\[4pt]"
    head = " & ".join(rf"\textbf{{{cell}}}" for cell in rows[0])
    body = [" & ".join(row) + r" \\[6pt]" for row in rows[1:]]
    lines = [
        r"{\small\setlength{\tabcolsep}{3pt}\setlength{\LTleft}{0pt}",
        rf"\begin{{longtable}}{{@{{}}{''.join(widths)}@{{}}}}",
        *([caption] if table.caption else []),
        r"\hline\noalign{\smallskip}",
        rf"{head} \\",
        r"\hline\noalign{\smallskip}",
        r"\endhead",
        *body,
        r"\hline",
        r"\end{longtable}}",
    ]
    return "\n" + "\n".join(lines) + "\n" if table.head else ""


def _shares(rows: list[list[str]]) -> list[float]:
    """The share of the text width for each column, by the longest cell in it, longer ones held back."""
    longest = [max(len(row[at]) for row in rows) ** 0.6 for at in range(len(rows[0]))]
    if not longest:
        return []
    least = min(_NARROWEST, _COLUMNS / len(longest))
    free = _COLUMNS - least * len(longest)
    return [least + free * length / sum(longest) for length in longest]
