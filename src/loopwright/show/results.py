"""What each kind of result looks like, as text and as HTML for a notebook.

`str(result)` and a notebook come here through `shown.Shown`. A result is shown as `rows` unless it has a form
of its own below: a reading keeps the look of a margin, a sheet is a page already.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import singledispatch

from ..checks.ledger.ledger import Ledger
from ..derive.steps import Derivation
from ..expressions.amounts import joint
from ..expressions.nodes import Equation, Expr, Symbol
from ..expressions.said import Said
from ..expressions.tidy import tidy
from ..finish.finished import FinishedWorking
from ..items.item import right_answer
from ..items.quiz import Quiz
from ..laws.laws import Laws
from ..methods.compare import Comparison
from ..plots.plot import Plot
from ..reading.marking.mark import Mark
from ..reading.reading import Reading
from ..sheet.printable import is_printable
from ..sheet.sheets import Sheet
from ..slips.coverage import Coverage
from ..solve.exact import Solution
from ..solve.named_forms import named_forms
from ..versions.told import answers_in
from ..versions.version import VersionSet
from .comparison_text import comparison_in_text
from .margin import in_margin
from .rest import rest_in_text
from .rows import Cells, rows_in_html, rows_in_text
from .version_report import answers_told, as_table, version_names


@singledispatch
def as_text(result: object) -> str:
    """The result as plain text. Raises TypeError for what is no result."""
    return rows_in_text(rows(result))


@singledispatch
def as_html(result: object) -> str:
    """The result as HTML with MathML formulas. Raises TypeError for what is no result."""
    return rows_in_html(rows(result))


@singledispatch
def rows(result: object) -> Sequence[Cells]:
    """The result as rows of running text. Raises TypeError for what is no result."""
    raise TypeError(f"Nothing says how a {type(result).__name__} is shown.")


@rows.register
def _laws(laws: Laws) -> Sequence[Cells]:
    """Which rule, the equation, where it stands."""
    return [((str(law.law),), (law.written,), (law.place,)) for law in laws.chosen]


@rows.register
def _solution(solution: Solution) -> Sequence[Cells]:
    """Every current in closed form, or by named quantities where that is too long to print."""
    if solution.route is not None and not is_printable(solution.circuit):
        named = named_forms(solution.circuit).lines
        return [((Equation(Symbol(line.name), line.body),),) for line in named]
    return [((Equation(Symbol(name), tidy(value)),),) for name, value in solution.currents.items()]


@rows.register
def _derivation(derivation: Derivation) -> Sequence[Cells]:
    """The number of the step, its line, the reason."""
    found: list[Cells] = []
    for step in derivation.steps:
        line: list[str | Expr | Equation] = []
        for at, side in enumerate(step.chain):
            line.extend((f" {joint(step.chain[at - 1], side)} ", side) if at else (side,))
        found.append(((f"({step.number})",), tuple(line), step.reason))
        found.extend(((), (equation,), ()) for equation in step.apart)
    return found


@rows.register
def _ledger(ledger: Ledger) -> Sequence[Cells]:
    """What is checked, what came of it in a word, in figures, and by which method."""
    return [((e.title,), (e.mark,), e.told, e.how) for e in ledger.entries]


@as_text.register
def _ledger_in_text(ledger: Ledger) -> str:
    """One entry a line, with the count at the end."""
    done = sum(e.passed is True for e in ledger.entries)
    skipped = sum(e.left_out for e in ledger.entries)
    left = sum(e.passed is None for e in ledger.entries) - skipped
    count = f"{done} passed, {len(ledger.failed)} failed, {left} do not apply"
    count += f", {skipped} not done" if skipped else ""
    return "\n".join([*(e.as_text() for e in ledger.entries), count])


@rows.register
def _coverage(coverage: Coverage) -> Sequence[Cells]:
    """Each check with how many slips it catches, then the smallest set that catches all."""
    of = len(coverage.slips)
    found: list[Cells] = [((row.check,), (f"{len(row.caught)} of {of}",)) for row in coverage.rows]
    return [*found, (("smallest set",), ("; ".join(coverage.smallest_set),))]


@as_text.register
def _coverage_in_text(coverage: Coverage) -> str:
    """The same in two columns."""
    width = max(len(row.check) for row in coverage.rows)
    lines = [f"{row.check:<{width}}  {len(row.caught)} of {len(coverage.slips)}" for row in coverage.rows]
    return "\n".join([*lines, f"smallest set: {'; '.join(coverage.smallest_set)}"])


@rows.register
def _versions(found: VersionSet) -> Sequence[Cells]:
    """Each version with its numbers and its answers."""
    told = zip(version_names(found), found.versions, answers_in(found), strict=True)
    lines: list[Cells] = []
    for name, version, answers in told:
        numbers = ", ".join(f"{symbol} = {text}" for symbol, text in version.numbers.items())
        written = ", ".join(answers_told(answers, version.circuit))
        form = ((version.form.told,),) if found.in_form else ()
        lines.append(((name,), (numbers,), *form, (written,)))
    return lines


@as_text.register
def _versions_in_text(found: VersionSet) -> str:
    """The same, with how they were found."""
    return as_table(found)


@rows.register
def _comparison(comparison: Comparison) -> Sequence[Cells]:
    """Each method with what it takes, or why it does not serve; then the shortest, and that all agree."""
    found: list[Cells] = [(("method",), ("unknowns",), ("lines",), ("symbols",))]
    for e in comparison.lengths:
        counts = [(str(e.unknowns),), (str(e.lines),), (str(e.symbols),)]
        found.append(((e.method,), *(counts if e.serves else [(f"does not serve: {e.why_not}",)])))
    return [*found, (("shortest",), (comparison.reason,)), (("proved",), (comparison.agreement,))]


as_text.register(Comparison, comparison_in_text)


@rows.register
def _reading(reading: Reading) -> Sequence[Cells]:
    """Number, line as written, verdict and remarks; at the end what is said of the whole."""
    found: list[Cells] = []
    for each in reading.remarks:
        cells = ((str(each.line.number),), (each.line.text.strip(),), (str(each.standing),))
        said = [(*remark, " ") for remark in each.remarks]
        found.append((*cells, tuple(piece for remark in said for piece in remark)))
    blank: Said = ("",)
    return [*found, *((blank, blank, blank, said) for said in reading.closing)]


@as_text.register
def _reading_in_text(reading: Reading) -> str:
    """Each line with its verdict beside it."""
    return in_margin(reading.remarks, reading.closing)


@rows.register
def _rest(rest: FinishedWorking) -> Sequence[Cells]:
    """What is said of the rest; then the number, the line, the reason."""
    found: list[Cells] = [(("",), said, ("",)) for said in rest.opening]
    for line in rest.lines:
        found += [(("",), (line.heading,), ("",))] if line.heading else []
        found.append(((str(line.number),), line.said, line.reason))
    return [*found, *((("",), said, ("",)) for said in rest.closing)]


@as_text.register
def _rest_in_text(rest: FinishedWorking) -> str:
    """The lines with their reasons beside or below them."""
    return rest_in_text(rest)


@rows.register
def _mark(mark: Mark) -> Sequence[Cells]:
    """Part, points and reason, the total last."""
    found: list[Cells] = [((a.title,), (a.score,), a.said) for a in mark.awards]
    return [*found, (("Together",), (mark.score,), (" ".join(mark.notes),))]


@rows.register
def _plot(plot: Plot) -> Sequence[Cells]:
    """What it shows, a sentence a row."""
    return [(said,) for said in plot.sentences]


@as_html.register
def _plot_drawn(plot: Plot) -> str:
    """The plot, drawn."""
    return plot.svg()


@as_html.register
def _sheet_page(sheet: Sheet) -> str:
    """The whole page."""
    return sheet.html()


@as_text.register
def _sheet_in_text(sheet: Sheet) -> str:
    """The sheet as Markdown, which can be read as it stands."""
    return sheet.markdown()


@rows.register
def _quiz(quiz: Quiz) -> Sequence[Cells]:
    """Number, kind, question and right answer of each item; then what could not be made."""
    found: list[Cells] = [
        ((str(at),), (str(item.kind),), item.prompt, (right_answer(item),))
        for at, item in enumerate(quiz.items, 1)
    ]
    return [*found, *((("",), ("note",), (note.message,), ("",)) for note in quiz.notes)]
