r"""The common subset of LaTeX maths turned into the ordinary grammar: `\frac{E_1}{R_1}` into `((E_1)/(R_1))`.

Every sign of the result keeps its place in the line. What a command stands for is in the tables below;
a command that is in none of them is a trouble. Source: LaTeX2e and amsmath user's guides, from memory.
"""

from __future__ import annotations

import re

from ...quantities import read_unit
from ..working import Trouble
from .mapped import Mapped, joined

DEEPEST = 40  # groups within groups

_SIGNS = {
    "cdot": "·", "times": "×", "ast": "*", "bullet": "·", "div": "÷", "parallel": "∥", "Vert": "∥",
    "lVert": "∥", "rVert": "∥", "shortparallel": "∥", "infty": "∞", "to": "→", "rightarrow": "→",
    "longrightarrow": "→", "xrightarrow": "→", "Rightarrow": "⇒", "implies": "⇒", "Longrightarrow": "⇒",
    "therefore": "⇒", "iff": "⇒", "Leftrightarrow": "⇒", "Longleftrightarrow": "⇒", "approx": "≈",
    "simeq": "≈", "cong": "≈", "sim": "≈", "doteq": "≈", "equiv": "=", "coloneqq": "=", "neq": "≠",
    "ne": "≠", "leq": "≤", "le": "≤", "geq": "≥", "ge": "≥", "ll": "≪", "gg": "≫", "lt": "<", "gt": ">",
    "pm": "±", "mp": "∓", "sum": "∑", "prime": "′", "dots": "…", "ldots": "…", "cdots": "…", "Omega": "Ω",
    "ohm": "Ω", "mu": "µ", "textmu": "µ", "micro": "µ", "textohm": "Ω", "volt": "V", "ampere": "A",
    "amp": "A", "watt": "W", "milli": "m", "kilo": "k", "mega": "M", "varepsilon": "ε", "epsilon": "ε",
    "textbackslash": " ", "degree": "°", "sqrt": "√", "mho": "°", "propto": "∝", "checkmark": " ",
    "because": " ", "qedhere": " ", "colon": ":", "lbrace": "{", "rbrace": "}", "lbrack": "[",
    "rbrack": "]", "vert": "|", "mid": "|", "percent": "%", "lvert": "|", "rvert": "|", "quad": "\u2003",
    "qquad": "\u2003", "item": " ", "Sigma": "∑", "lor": " ", "land": ",", "wedge": ",",
}  # fmt: skip
_GREEK = {
    "alpha": "α", "beta": "β", "gamma": "γ", "delta": "δ", "zeta": "ζ", "eta": "η", "theta": "θ", "iota": "ι",
    "kappa": "κ", "lambda": "λ", "nu": "ν", "xi": "ξ", "pi": "π", "rho": "ρ", "varrho": "ρ", "sigma": "σ",
    "tau": "τ", "upsilon": "υ", "phi": "φ", "varphi": "φ", "chi": "χ", "psi": "ψ", "omega": "ω", "Delta": "Δ",
    "Phi": "Φ", "Gamma": "Γ", "Lambda": "Λ", "Theta": "Θ", "Xi": "Ξ", "Pi": "Π", "Psi": "Ψ",
}  # fmt: skip
_SHAPES = frozenset((
    "mathrm", "num", "cancel", "mathit", "mathbf", "mathsf", "mathtt", "mathnormal", "boldsymbol", "bm",
    "mathcal", "mathscr", "mathfrak", "operatorname", "boxed", "fbox", "underline", "overline",
    "ensuremath", "vec", "hat", "bar", "dot", "tilde", "unit", "si", "mathring", "textit", "textbf",
    "textsf", "emph", "mathbin", "mathrel", "mathord", "mathop", "mathopen", "mathclose", "smash", "hbox",
    "mbox", "textsc", "underbrace", "overbrace", "cancelto",
))  # fmt: skip
_TEXTS = frozenset((
    "text", "textrm", "textnormal", "textup", "intertext", "shortintertext", "section", "subsection",
    "paragraph", "title",
))  # fmt: skip
_NOTHING = frozenset((
    "left", "right", "big", "Big", "bigg", "Bigg", "bigl", "bigr", "Bigl", "Bigr", "biggl", "biggr",
    "Biggl", "Biggr", "bigm", "middle", "displaystyle", "textstyle", "scriptstyle", "limits", "nolimits",
    "nonumber", "notag", "hline", "noindent", "centering", "displaylimits", "rm", "bf", "it", "tiny",
    "small", "large", "strut", "phantomsection", "par", "newline", "label", "allowbreak", "nobreak",
    "protect", "relax", "mathstrut", "medskip", "bigskip", "smallskip", "leavevmode", "hfill", "hfil",
    "null", "do",
))  # fmt: skip
_WITH_ARGUMENT = frozenset((
    "label", "vspace", "hspace", "phantom", "hphantom", "vphantom", "color", "documentclass",
    "usepackage", "pagestyle",
))  # fmt: skip
_PREFIXES = frozenset((
    "mu", "micro", "milli", "kilo", "mega",
))  # fmt: skip
_FRACTIONS = frozenset((
    "frac", "dfrac", "tfrac", "cfrac", "nicefrac", "sfrac",
))  # fmt: skip
_SPACES = frozenset(" ,;:!>\n\t/@")
_COMMAND = re.compile(r"\\(?:([A-Za-z]+)\*?|(.)|$)", re.DOTALL)
_ENVIRONMENT = re.compile(r"\\(begin|end)\s*\{(\w+\*?)\}(?:\s*\{[lcr|@{}\d\s]*\})?")
_ROW = re.compile(r"\\\\\*?(?:\s*\[[^\[\]]{0,20}\])?")
_SUBSCRIPT = re.compile(r"\w")
_NO_BRACKET = re.compile(r"\.|\s{0,9}\\\{\s{0,9}(?=\\begin|$)")  # the brace of a set of equations
_EXPONENT = re.compile(r"[-−]?[0-9]+")
_TWO_POINTS = re.compile(r"[A-Z][A-DF-HJ-QS-Z](?![A-Za-z0-9_])")  # V_AB of the points A and B
_LETTERS_OR_DIGITS = re.compile(r"[REa-z]\d{1,2}(?![\d.])|[0-9]+|[a-z]+|[^\W_]")
_IS_LATEX = re.compile(r"\$|\\[A-Za-z(\[,;:!]|\\\\")
_DISPLAY = re.compile(
    r"\$\$|\\\[|\\\]|\\(?:begin|end)\s*\{(?:align|equation|gather|multline|aligned|split|eqnarray|flalign|array|cases|math|displaymath)"
)
_LIMIT = re.compile(
    r"\\?lim(?:_\{([^{}]*(?:\{[^{}]*\}[^{}]*)*)\}|\s{0,9}\(([^()]{0,40}(?:->|→|\\to)[^()]{0,40})\))"
)
_PRIMED = re.compile(r"(?<=[^\W\d_])(['′]+)(_(?:\{[^{}]*\}|\w))")
_RUN_ON = re.compile(r"(_(?:[0-9]+|[a-z]+))(?=[A-Z])")


class Unknown(ValueError):
    """A piece of LaTeX that is not read: why, and where in the line."""

    def __init__(self, why: str, place: int) -> None:
        super().__init__(why)
        self.why, self.place = why, place


class Latex:
    """Turns lines into the ordinary grammar, one after another: a formula may run over several lines."""

    def __init__(self) -> None:
        self.dollars = False  # between two `$$`
        self.environments = 0  # `\\begin` and `\\[` not yet closed

    @property
    def open(self) -> bool:
        """Whether the next line stands in a formula."""
        return self.dollars or self.environments > 0

    def _open(self, text: str) -> None:
        if not text.strip():  # no formula runs past an empty line
            self.dollars, self.environments = False, 0
        for mark in _DISPLAY.finditer(text):
            if mark[0] == "$$":
                self.dollars = not self.dollars
            elif mark[0] == r"\]" or mark[0].startswith(r"\end"):
                self.environments = max(0, self.environments - 1)
            else:
                self.environments += 1

    def plain(self, line: Mapped) -> tuple[Mapped, str, Trouble | None]:
        r"""The line in the ordinary grammar, the label of its `\tag`, and the trouble with its LaTeX."""
        line = line.replaced(_PRIMED, lambda match: match[2] + match[1])
        line = line.replaced(_LIMIT, lambda match: f" as {match[1] or match[2]} , ")
        is_latex = self.open or bool(_IS_LATEX.search(line.text))
        self._open(line.text)
        if not is_latex:
            return line.replaced(_RUN_ON, lambda match: match[1]), "", None
        translation = _Translation(line)
        try:
            translation.run(depth=0)
        except Unknown as unknown:
            return translation.result(), translation.tag, Trouble(unknown.why, unknown.place)
        return translation.result(), translation.tag, None


class _Translation:
    """One pass over one line."""

    def __init__(self, line: Mapped) -> None:
        self.line, self.text = line, line.text
        self.at = 0
        self.tag = ""
        self.parts: list[Mapped] = []

    def result(self) -> Mapped:
        return joined(self.parts, self.line.places[-1])

    def put(self, words: str, at: int | None = None) -> None:
        place = self.line.place(self.at if at is None else at)
        self.parts.append(Mapped(words, (place,) * (len(words) + 1)))

    def keep(self, start: int, end: int) -> None:
        self.parts.append(self.line.part(start, end))

    def run(self, depth: int, until: str = "") -> None:
        """Goes on to the end of the line, or past the bracket `until`."""
        if depth > DEEPEST:
            raise Unknown(f"more than {DEEPEST} groups stand within one another", self.line.place(self.at))
        while self.at < len(self.text):
            sign = self.text[self.at]
            if sign == until:
                self.at += 1
                return
            self.one(depth)

    def one(self, depth: int) -> None:
        """Translates the next sign, command or group. `depth`: how many groups stand round it."""
        text, start = self.text, self.at
        sign = text[start]
        if sign == "\\":
            self.command(depth)
        elif sign == "{":
            self.at += 1
            self.run(depth + 1, "}")
        elif sign in "$&}":
            self.at += 1
            set_off = sign == "$" and text[self.at : self.at + 1] == ":"  # "$R_1$:" is no ratio
            self.put("" if set_off else " ", start)
        elif sign == "~":
            self.at += 1
            self.put(" " if text[self.at : self.at + 1] != "=" else "~", start)
        elif sign == "%":
            self.at = len(text)  # a comment
        elif sign == "_":
            self.at += 1
            self.subscript(start, depth)
        elif sign == "^":
            self.at += 1
            self.exponent(start, depth)
        else:
            self.at += 1
            self.keep(start, self.at)

    def command(self, depth: int) -> None:
        text, start = self.text, self.at
        if row := _ROW.match(text, start):
            self.at = row.end()
            self.put(";", start)
            return
        if environment := _ENVIRONMENT.match(text, start):
            self.at = environment.end()
            self.put(" ", start)
            return
        match = _COMMAND.match(text, start)
        if match is None:
            return
        self.at = match.end()
        name, sign = match[1], match[2]
        if name is None:
            self.short(sign or "", start)
        else:
            self.named(name, start, depth)

    def short(self, sign: str, start: int) -> None:
        if sign in ("{", "}", "_", "%", "#", "&", "$"):
            self.keep(self.at - 1, self.at)
        elif sign == "|":
            self.put("∥", start)
        elif sign in _SPACES or sign in "()[]" or not sign:
            self.put("" if sign == "!" else " ", start)
        else:
            raise Unknown(f"the LaTeX command \\{sign} is not read", self.line.place(start))

    def named(self, name: str, start: int, depth: int) -> None:
        if name in _FRACTIONS:
            self.fraction(start, depth)
        elif name in ("tag", "eqref", "ref"):
            self.reference(name, start)
        elif name in _SIGNS or name in _GREEK:
            self.put(_SIGNS.get(name) or _GREEK[name], start)
            if name in _PREFIXES and self.text[self.at : self.at + 1] == " ":
                self.at += 1  # a space that only ends the command
        elif name in ("SI", "qty"):
            self.argument(depth)
            self.put(" ", start)
            self.argument(depth)
        elif name in ("overset", "underset", "stackrel"):
            self.skip_argument()
            self.argument(depth)
        elif name in _WITH_ARGUMENT:
            self.skip_argument()
        elif name in _NOTHING:
            if name in ("left", "right") and (empty := _NO_BRACKET.match(self.text, self.at)):
                self.at = empty.end()
        elif name in _TEXTS:
            self.words(start)
        elif name in _SHAPES:
            self.shaped(name, start, depth)
        elif len(self.parts) and name in ("sin", "cos", "tan", "ln", "log", "exp", "int", "partial"):
            raise Unknown(
                f"\\{name} does not belong to a circuit of batteries and resistors", self.line.place(start)
            )
        else:
            raise Unknown(f"the LaTeX command \\{name} is not read", self.line.place(start))

    def fraction(self, start: int, depth: int) -> None:
        self.put("((", start)
        self.argument(depth)
        self.put(")/(", self.at - 1)
        self.argument(depth)
        self.put("))", self.at - 1)

    def argument(self, depth: int) -> None:
        """Translates what a command takes: one group, or the one sign or command that stands for it."""
        while self.text[self.at : self.at + 1] == " ":
            self.at += 1
        if self.at >= len(self.text) or self.text[self.at] in "}&$":
            raise Unknown("a LaTeX command lacks what it acts on", self.line.place(self.at))
        if depth > DEEPEST:
            raise Unknown(f"more than {DEEPEST} groups stand within one another", self.line.place(self.at))
        before = self.at
        self.one(depth + 1)
        if self.text[before] == "{" and self.text[self.at - 1] != "}":
            raise Unknown("a brace is never closed", self.line.place(before))

    def shaped(self, name: str, start: int, depth: int) -> None:
        """A letter shape such as `\\mathrm{V}`: what is in it, and as an emf for the script E."""
        count = len(self.parts)
        self.argument(depth)
        inside = "".join(part.text for part in self.parts[count:])
        if " " in inside and read_unit(inside.replace(" ", "")):
            self.parts[count:] = [part for part in self.parts[count:] if part.text.strip()]
        if name in ("mathcal", "mathscr") and inside.strip() == "E":
            self.parts[count:] = []
            self.put("ε", start)
        if name in ("underbrace", "overbrace") and re.match(
            r"\s?[_^]\s?\{", self.text[self.at : self.at + 4]
        ):
            self.at = self.text.index("{", self.at)
            self.group()

    def words(self, start: int) -> None:
        r"""`\text{...}`: prose, apart from what is beside it; a unit or a lone letter is joined to it."""
        inside = self.group()
        said = self.text[inside[0] : inside[1]]
        prose = len(said.strip()) > 3 and said.strip().isalpha()
        self.put(" " if prose else "", start)
        inner = _Translation(Mapped(said, self.line.places[inside[0] : inside[1] + 1]))
        inner.run(DEEPEST - 5)
        self.parts.append(inner.result())
        self.put(" " if prose else "", inside[1])

    def group(self) -> tuple[int, int]:
        """The bounds of the group in braces that comes next; it is passed."""
        text = self.text
        while text[self.at : self.at + 1] == " ":
            self.at += 1
        if text[self.at : self.at + 1] != "{":
            raise Unknown("a LaTeX command lacks what it acts on", self.line.place(self.at))
        start, depth = self.at + 1, 0
        for at in range(self.at, len(text)):
            depth += (text[at] == "{") - (text[at] == "}")
            if depth == 0:
                self.at = at + 1
                return start, at
        raise Unknown("a brace is never closed", self.line.place(self.at))

    def skip_argument(self) -> None:
        if re.match(r"\s*\{", self.text[self.at : self.at + 5]):
            self.group()

    def reference(self, name: str, start: int) -> None:
        inside = self.group()
        said = self.text[inside[0] : inside[1]].strip()
        if name == "tag":
            self.tag = said.strip("()[] ")
            self.put(" ", start)
        else:
            self.put(f"({said})", start)

    def subscript(self, start: int, depth: int) -> None:
        """`_1`, `_{eq}`, `_{\\text{eq}}`: one name with what stands before it, and a space after."""
        while self.text[self.at : self.at + 1] == " ":
            self.at += 1
        count = len(self.parts)
        if self.text[self.at : self.at + 1] in ("{", "\\"):
            self.argument(depth)
        elif match := (
            (self.text[max(start - 1, 0) : start] in ("V", "U") and _TWO_POINTS.match(self.text, self.at))
            or _LETTERS_OR_DIGITS.match(self.text, self.at)
        ):
            self.keep(self.at, match.end())
            self.at = match.end()
        inside = "".join(part.text for part in self.parts[count:])
        self.parts[count:] = []
        bare = re.sub(r"[^\w,∞]", "", inside).replace("_", "")
        self.put(f"_{{{bare}}}" if bare else "", start)
        primes = re.match(r"(?:'|\^\s*\{?\s*\\prime\s*\}?)+", self.text[self.at : self.at + 40])
        if primes:
            self.put("'" * (primes[0].count("'") + primes[0].count("prime")), self.at)
            self.at += primes.end()
        if _SUBSCRIPT.match(self.text, self.at):
            self.put(" ", self.at)

    def exponent(self, start: int, depth: int) -> None:
        while self.text[self.at : self.at + 1] == " ":
            self.at += 1
        count = len(self.parts)
        if self.at >= len(self.text):
            self.put("^", start)
            return
        if number := _EXPONENT.match(self.text, self.at):
            self.at = number.end()
            self.put(f"^{number[0]} ", start)
            return
        self.argument(depth)
        inside = "".join(part.text for part in self.parts[count:]).strip()
        self.parts[count:] = []
        if inside and set(inside) <= {"′", "'"}:
            self.put(inside, start)
        elif re.fullmatch(r"[-−]?\s*[0-9]+", inside):
            self.put(f"^{inside} ", start)
        else:
            self.put(f"^({inside})", start)
