r"""A lecture as LaTeX source for Beamer, for those who set their slides so: an overlay for every stage.

Stages of one chapter on one figure share a frame as long as their lines find room on it; what a stage lights,
strikes or changes is told by overlays, and what is said goes into the notes. Needs the classes and packages
of a usual TeX distribution: beamer, amsmath, tikz, pict2e.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from ..expressions.nodes import Equation, Expr
from ..expressions.said import Said
from ..expressions.writers import latex
from ..figure import latex_picture
from ..figure.drawing import Drawing, Whose
from ..legible import legible
from ..sheet.latex_words import escaped
from .figures import bridges
from .marked_parts import PartMarks, marked, marked_pieces, part_marks
from .room import USUAL_SHAPE, height_of
from .stage import Became, BoardFigure, BoardLine, BoardStage, MarkKind, Plan

ROOM = 21.0  # units of the board: what the lines of one frame may take
MOST = 12  # stages of one frame
COLUMN = {"16:9": 56, "4:3": 43}  # mm: what a figure may take in width
_RATIO = {"16:9": "169", "4:3": "43"}  # as the class calls the shapes of a frame

_HEAD = r"""\documentclass[aspectratio=RATIO,11pt]{beamer}
\usepackage{amsmath,amssymb,tikz}
PICTURES\setbeamertemplate{navigation symbols}{}
\DeclareUnicodeCharacter{221E}{\ensuremath{\infty}}
\setbeamertemplate{footline}[frame number]
\definecolor{lit}{RGB}{154,52,0}
\definecolor{came}{RGB}{0,79,134}
\definecolor{gone}{RGB}{138,18,48}
% parts of a formula: what came in, what changed, what is used, what is gone
\newcommand{\fresh}[1]{{\color{lit}#1}}
\newcommand{\usedpart}[1]{{\color{came}#1}}
\newcommand{\changed}[1]{{\color{came}\underline{#1}}}
\newcommand{\struck}[1]{\tikz[baseline=(x.base)]{\node[inner sep=0pt](x){$\displaystyle\color{gone}#1$};%
  \draw[gone](x.south west)--(x.north east);}}
% \piece{maths}: a part that does not break, smaller where it is wider than the line
\newsavebox{\onepiece}
\newcommand{\piece}[1]{\sbox{\onepiece}{$\displaystyle #1$}\ifdim\wd\onepiece>\linewidth
  \resizebox{\linewidth}{!}{\usebox{\onepiece}}\else\usebox{\onepiece}\fi}
% \boardline{mark}{formula or words}{number}; \framed: a result
\newcommand{\boardline}[3]{\par\smallskip\noindent\makebox[0.9em][l]{\color{lit}#1}%
  \parbox{\dimexpr\linewidth-3.9em}{\raggedright\lineskiplimit=2pt\lineskip=3pt #2}\hfill{\small #3}\par}
\newcommand{\framed}[1]{\fbox{#1}}
\newcommand{\remark}[1]{\par\medskip\noindent{\small\color{darkgray}#1\par}}
"""
_MARKS = {"new": "fresh", "used": "usedpart", "changed": "changed", "struck": "struck"}
_RELATIONS = {"≈": r"\approx", "→": r"\to", "≠": r"\neq", "≤": r"\leq", "≥": r"\geq"}
_LINE_MARKS: Mapping[MarkKind | None, str] = {
    MarkKind.NEW: r"\textbullet",
    MarkKind.USED: r"$\triangleright$",
}


def write(plan: Plan, *, shape: str = USUAL_SHAPE) -> str:
    """The lecture as a complete LaTeX file; the same lecture gives the same text. `shape`: of the frame, one
    of `room.SHAPES`."""
    pictures = "".join(f"{line}\n" for line in latex_picture.PREAMBLE)
    frames = "".join(_frame(plan, group, shape) for group in groups(plan, shape))
    head = _HEAD.replace("PICTURES", pictures).replace("RATIO", _RATIO[shape])
    title = f"\\title{{{escaped(plan.title)}}}\n\\date{{}}\n"
    return legible(f"{head}{title}\\begin{{document}}\n{frames}\\end{{document}}\n")


def groups(plan: Plan, shape: str = USUAL_SHAPE) -> list[list[BoardStage]]:
    """The stages of each frame."""
    found: list[list[BoardStage]] = []
    for stage in plan.stages:
        group = found[-1] if found else []
        fits = (
            bool(group)
            and group[0].chapter == stage.chapter
            and group[0].scene.figure.name == stage.scene.figure.name
            and len(group) < MOST
            and sum(height_of(line, shape) for line in _lines([*group, stage])) <= ROOM
        )
        if fits:
            group.append(stage)
        else:
            found.append([stage])
    return found


def _lines(group: Sequence[BoardStage]) -> list[BoardLine]:
    """The lines of a frame as they stand at its end: those of its last stages, and those marked in it."""
    marked_keys = {mark.line for stage in group for mark in stage.light.marks}
    last = {line.key: line for stage in group for line in stage.scene.lines}
    return [line for key, line in last.items() if key in marked_keys]


@dataclass(frozen=True, slots=True)
class _State:
    """A line as it stands in some stages of a frame."""

    line: BoardLine
    marks: PartMarks
    kind: MarkKind | None


def _frame(plan: Plan, group: Sequence[BoardStage], shape: str) -> str:
    figure = plan.figures.get(group[0].scene.figure.name)
    drawn = _figure(figure, group, COLUMN[shape]) if figure else ""
    lines = "".join(_line(plan.roles, group, line.key) for line in _lines(group))
    remarks = "".join(
        f"\\only<{k}>{{\\remark{{{_text(stage.light.remark, plan.roles)}}}}}\n"
        for k, stage in enumerate(group, 1)
        if stage.light.remark
    )
    notes = "".join(f"\\note<{k}>{{{escaped(stage.words)}}}\n" for k, stage in enumerate(group, 1))
    return (
        f"\n\\begin{{frame}}<1-{len(group)}>[t]{{{escaped(group[0].chapter)}}}\n"
        f"\\begin{{columns}}[T,onlytextwidth]\n\\begin{{column}}{{0.40\\textwidth}}\n{drawn}"
        f"\\end{{column}}\n\\begin{{column}}{{0.58\\textwidth}}\n{lines}{remarks}"
        f"\\end{{column}}\n\\end{{columns}}\n{notes}\\end{{frame}}\n"
    )


def _figure(figure: BoardFigure, group: Sequence[BoardStage], column: float) -> str:
    """The figure in its column of so many mm, each of its parts on the overlays on which it stands."""
    drawing = figure.drawing
    strokes = bridges(drawing) if drawing.whose else {}
    became = {n for stage in group for n, what in stage.scene.figure.became if what is Became.WIRE}
    added = [(strokes[name], ("bridge", name)) for name in sorted(became) if name in strokes]
    whole = Drawing(
        drawing.width,
        drawing.height,
        (*drawing.marks, *(mark for mark, _ in added)),
        (*(drawing.whose or (("", ""),) * len(drawing.marks)), *(owner for _, owner in added)),
    )

    def dressed(owner: Whose, drawn: str) -> str:
        lit = _spec(owner in stage.light.parts for stage in group)
        there = _spec(_stands(owner, stage) for stage in group)
        coloured = f"{{\\color<{lit}>{{lit}}\\ignorespaces {drawn}}}\\ignorespaces" if lit else drawn
        if there == _spec([True] * len(group)):
            return coloured
        return f"\\visible<{there or '0'}>{{{coloured}}}\\ignorespaces"

    picture = latex_picture.picture(whole, dressed)
    width = "\\linewidth" if whole.width > column else f"{whole.width:.0f}mm"
    return f"\\resizebox{{{width}}}{{!}}{{{picture}}}\n"


def _stands(owner: Whose, stage: BoardStage) -> bool:
    """Whether a part of a figure is to be seen at a stage."""
    kind, name = owner
    state = stage.scene.figure
    match kind:
        case "arrow":
            return name in state.arrows
        case "loop":
            return name in state.loops
        case "element":
            return name not in dict(state.became)
        case "bridge":
            return (name, Became.WIRE) in state.became
        case _:
            return True


def _spec(on: Iterator[bool] | Sequence[bool]) -> str:
    """Overlays as Beamer counts them: `1-3,5`."""
    runs: list[list[int]] = []
    for k, yes in enumerate(on, 1):
        if yes and runs and runs[-1][1] == k - 1:
            runs[-1][1] = k
        elif yes:
            runs.append([k, k])
    return ",".join(f"{a}-{b}" if a < b else str(a) for a, b in runs)


def _line(roles: Mapping[str, str], group: Sequence[BoardStage], key: int) -> str:
    """A line in every state that it is in on a frame."""
    states = [_state(stage, key) for stage in group]
    found = ""
    for state in dict.fromkeys(state for state in states if state is not None):
        mark = _LINE_MARKS.get(state.kind, "")
        number = f"({state.line.number})" if state.line.number else ""
        spec = _spec([one == state for one in states])
        body = _body(state.line, state.marks, roles)
        found += f"\\only<{spec}>{{\\boardline{{{mark}}}{{{body}}}{{{number}}}}}\n"
    return found


def _state(stage: BoardStage, key: int) -> _State | None:
    line = next((line for line in stage.scene.lines if line.key == key), None)
    if line is None:
        return None
    whole = next((m.kind for m in stage.light.marks if m.line == key and m.side < 0), None)
    return _State(line, part_marks(stage, key), whole)


def _body(line: BoardLine, marks: PartMarks, roles: Mapping[str, str]) -> str:
    if line.words:
        words = _text(line.words, roles)
        return f"\\textbf{{{words}}}" if line.head else words
    pieces: list[str] = []
    for before, expr, own in marked_pieces(line, marks):
        joint = f"{{}}{_RELATIONS.get(before, before)} " if before else ""
        markup = marked(expr, roles, own, latex.render, lambda part, kind: f"\\{_MARKS[kind]}{{{part}}}")
        pieces.append(f"\\piece{{{joint}{markup}}}")
    formula = " ".join(pieces)
    return f"\\framed{{\\parbox{{0.9\\linewidth}}{{{formula}}}}}" if line.result else formula


def _text(text: Said, roles: Mapping[str, str]) -> str:
    return "".join(_piece(piece, roles) for piece in text)


def _piece(piece: str | Expr | Equation, roles: Mapping[str, str]) -> str:
    return escaped(piece) if isinstance(piece, str) else f"${latex.render(piece, roles)}$"
