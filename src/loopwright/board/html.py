"""A lecture as one HTML file that works from a memory stick: the board, the speaker's window, the overview.

Everything stands in the file: one style, one script, each allowed by its own hash in a content policy that
allows nothing else; no element has a style of its own. A figure is there once and its parts are shown, hidden
and lit by classes; a line is there once for each way it is marked, and a stage says which of them are in
sight. Lengths are in `--u`, the fortieth part of the frame's height, in which `room` reckons too.
"""

from __future__ import annotations

import json
from base64 import b64encode
from collections.abc import Mapping, Sequence
from hashlib import sha256
from html import escape
from pathlib import Path

from ..expressions.nodes import Equation, Expr
from ..expressions.notation import notation
from ..expressions.said import OwnWords, Said
from ..expressions.terms import LANGUAGE
from ..expressions.writers import mathml
from ..figure.svg import stroke_markup, svg
from ..legible import legible
from ..sheet.html import running_text
from .figures import bridges, scale_of
from .marked_parts import PartMarks, marked, marked_pieces, part_marks
from .room import SHAPES, in_sight, is_wide, remark_size, size_of, title_size
from .stage import BoardFigure, BoardLine, BoardStage, MarkKind, Plan
from .timeline import mark_of

STYLE = Path(__file__).with_name("board.css").read_text(encoding="utf-8")
SCRIPT = Path(__file__).with_name("board.js").read_text(encoding="utf-8")
PAGE = Path(__file__).with_name("board_page.html").read_text(encoding="utf-8")


def write(plan: Plan, *, look: str = "dark") -> str:
    """The lecture as one page. `look`: `"dark"` (chalk) or `"light"` (paper); the reader may change it."""
    parts = _parts(plan, look)
    policy = (
        f"default-src 'none'; style-src '{_hash(parts['STYLE'])}'; script-src '{_hash(SCRIPT)}'; "
        "base-uri 'none'; form-action 'none'"
    )
    return _put_together(PAGE, parts | {"POLICY": escape(policy)})


def served(plan: Plan, links: str, script_at: str, *, look: str = "dark") -> tuple[str, str]:
    """The lecture as a page for a server that allows no style or script within it: the page, and its style.
    `links`: the markup that brings the style; `script_at`: the address of the script, which is `SCRIPT`."""
    parts = _parts(plan, look)
    kept = [line for line in PAGE.splitlines(keepends=True) if "Content-Security-Policy" not in line]
    page = "".join(kept)
    page = page.replace("<style><!--STYLE--></style>", links)
    page = page.replace("<script><!--SCRIPT--></script>", f'<script src="{escape(script_at)}"></script>')
    return _put_together(page, parts), parts["STYLE"]


def _parts(plan: Plan, look: str) -> dict[str, str]:
    """What stands in the page, by the name of its place."""
    page = _BoardPage(plan)
    stages = [page.stage(stage) for stage in plan.stages]
    figures = "".join(map(page.figure, plan.figures.values()))  # first: they say which widths there are
    title = page.sized([title_size(plan, shape) for shape in SHAPES])
    style = STYLE + page.rules()
    data = {
        "stages": stages,
        "chapters": [title for title, _ in plan.chapters],
        "title": plan.title,
        "mark": mark_of(plan),
    }
    told = json.dumps(data, ensure_ascii=False, separators=(",", ":")).replace("<", "\\u003c")
    return {
        "LANGUAGE": LANGUAGE[plan.terms],
        "TITLE": escape(plan.title),
        "TITLE-SIZE": title,
        "STYLE": style,
        "LOOK": escape(look),
        "FIGURES": figures,
        "LINES": "".join(page.lines.values()),
        "REMARKS": "".join(page.remarks.values()),
        "OVERVIEW": page.overview(),
        "PLAN": told,
        "SCRIPT": SCRIPT,
    }


def _put_together(page: str, parts: Mapping[str, str]) -> str:
    for name, content in parts.items():
        page = page.replace(f"<!--{name}-->", content)
    return legible(page)


def _mathml(expr: Expr, roles: Mapping[str, str]) -> str:
    return mathml.write(notation(expr, roles))


def _in_class(markup: str, kind: str) -> str:
    return f'<mrow class="{kind}">{markup}</mrow>'


def _hash(text: str) -> str:
    return "sha256-" + b64encode(sha256(text.encode()).digest()).decode()


class _BoardPage:
    """One run of the writer: the lines and remarks met so far, each written once."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.lines: dict[str, str] = {}
        self.remarks: dict[Said, str] = {}
        self.names: dict[tuple[BoardLine, PartMarks], str] = {}
        self.sizes: dict[str, list[str]] = {}  # class -> its rule for each shape of the frame

    def stage(self, stage: BoardStage) -> dict[str, object]:
        """What the script has to know of a stage."""
        scene, light = stage.scene, stage.light
        sights = {shape: in_sight(scene, light, shape) for shape in SHAPES}
        keys = [line.key for line in scene.lines if any(line.key in sight for sight in sights.values())]
        named = {key: self.line(scene.line(key), part_marks(stage, key)) for key in keys}
        whole = {m.line: m.kind for m in light.marks if m.side < 0}
        figure = scene.figure
        titles = [title for title, _ in self.plan.chapters]
        return {
            "figure": figure.name,
            "arrows": list(figure.arrows),
            "loops": list(figure.loops),
            "became": [[name, str(what)] for name, what in figure.became],
            "lit": [f"{kind} {name}" for kind, name in light.parts],
            "lines": {shape: [named[key] for key in sight] for shape, sight in sights.items()},
            "used": [name for key, name in named.items() if whole.get(key) is MarkKind.USED],
            "new": [name for key, name in named.items() if whole.get(key) is MarkKind.NEW],
            "wide": [
                shape for shape in SHAPES if any(is_wide(scene.line(key), shape) for key in sights[shape])
            ],
            "remark": self.remark(light.remark) if light.remark else "",
            "words": stage.words,
            "chapter": titles.index(stage.chapter),
            "seconds": stage.seconds,
            "pause": stage.pause,
        }

    def line(self, line: BoardLine, marks: PartMarks) -> str:
        """The name of a line as it is marked, written when it is first met."""
        if (line, marks) not in self.names:
            name = f"line-{line.key}-{sum(1 for known, _ in self.names if known.key == line.key) + 1}"
            self.names[line, marks] = name
            self.lines[name] = self.written(line, marks, name)
        return self.names[line, marks]

    def written(self, line: BoardLine, marks: PartMarks, name: str) -> str:
        """The markup of a line."""
        if line.words:
            kind = "line words head" if line.head else "line words"
            kind = f"{kind} {self.sized([size_of(line, shape) for shape in SHAPES])}"
            return f'<div class="{kind}" id="{name}" hidden>{self.text(line.words)}</div>\n'
        kind = "line result" if line.result else "line"
        number = f'<span class="number">({line.number})</span>' if line.number else ""
        size = self.sized([size_of(line, shape) for shape in SHAPES])
        maths = "".join(f"<math>{part}</math>" for part in self.formula(line, marks))
        formula = f'<div class="formula">{maths}</div>'
        return f'<div class="{kind} {size}" id="{name}" hidden>{formula}{number}</div>\n'

    def formula(self, line: BoardLine, marks: PartMarks) -> list[str]:
        """The pieces of a formula; marks are put on the sides as wholes and then cut into pieces, where a
        side is cut."""
        found: list[str] = []
        for before, expr, own in marked_pieces(
            line, marks, "4:3"
        ):  # as finely as the narrower frame asks for
            joint = f'<mo form="infix">{escape(before)}</mo>' if before else ""
            found.append(f"<mrow>{joint}{marked(expr, self.plan.roles, own, _mathml, _in_class)}</mrow>")
        return found

    def remark(self, remark: Said) -> str:
        """The name of a remark, written when it is first met."""
        if remark not in self.remarks:
            name = f"remark-{len(self.remarks) + 1}"
            size = self.sized([remark_size(remark, shape) for shape in SHAPES])
            self.remarks[remark] = f'<p class="remark {size}" id="{name}" hidden>{self.text(remark)}</p>\n'
        markup = self.remarks[remark]
        return markup.split('id="', 1)[1].split('"', 1)[0]

    def text(self, text: Said) -> str:
        """A sentence with its formulas."""
        return running_text(tuple(_plain(piece) for piece in text), self.plan.roles)

    def figure(self, figure: BoardFigure) -> str:
        """A figure with its parts in groups, and the wires that stand in for elements."""
        drawing = figure.drawing
        markup = svg(drawing, figure.caption or self.plan.title, figure.words, named=True)
        stand_ins = (
            "".join(
                f'<g class="bridge" data-of="{escape(name)}">{stroke_markup(stroke)}</g>\n'
                for name, stroke in bridges(drawing).items()
            )
            if drawing.whose
            else ""
        )
        markup = markup.replace("</svg>", f"{stand_ins}</svg>")
        title, words = f"{figure.name}-title", f"{figure.name}-words"
        markup = markup.replace("<title>", f'<title id="{title}">', 1)
        markup = markup.replace("<desc>", f'<desc id="{words}">', 1)
        markup = markup.replace("<svg ", f'<svg aria-labelledby="{title} {words}" ', 1)
        widths = [drawing.width * scale_of(figure, shape) for shape in SHAPES]
        self.sizes[figure.name] = [
            f".{figure.name} svg {{ width: calc({width:.2f} * var(--u)); }}" for width in widths
        ]
        caption = f'<p class="caption">{escape(figure.caption)}</p>' if figure.caption else ""
        return f'<div class="figure {figure.name}" id="{figure.name}" hidden>{markup}{caption}</div>\n'

    def overview(self) -> str:
        """Every stage as a button, chapter by chapter."""
        found: list[str] = []
        chapter = ""
        for stage in self.plan.stages:
            if stage.chapter != chapter:
                found.append(("</ol>" if chapter else "") + f"<h3>{escape(stage.chapter)}</h3>")
                found.append(f'<ol start="{stage.number}">')
                chapter = stage.chapter
            found.append(
                f'<li><button type="button" data-stage="{stage.number}">{escape(stage.words)}</button></li>'
            )
        return "".join([*found, "</ol>"])

    def sized(self, sizes: Sequence[float]) -> str:
        """The class that sets a size of type for each shape of the frame."""
        name = "size-" + "-".join(f"{size:.2f}".replace(".", "-") for size in sizes)
        self.sizes[name] = [f".{name} {{ font-size: calc({size:.2f} * var(--u)); }}" for size in sizes]
        return name

    def rules(self) -> str:
        """The rules of the classes that set a size of type or the width of a figure, those of the narrower
        frame after the others."""
        usual = [rules[0] for _, rules in sorted(self.sizes.items())]
        narrow = [rules[1] for _, rules in sorted(self.sizes.items())]
        return "\n".join([*usual, "@media (max-aspect-ratio: 3/2) {", *narrow, "}"]) + "\n"


def _plain(piece: str | Expr | Equation) -> str | Expr | Equation:
    """A piece of text in which no number in brackets is taken for a line of a page."""
    return OwnWords(piece) if isinstance(piece, str) else piece
