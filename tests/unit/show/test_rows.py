"""Rows as lines and as a table: cells apart, formulas set, words never taken for markup."""

from __future__ import annotations

from loopwright.expressions.nodes import Quotient, Symbol
from loopwright.show.rows import rows_in_html, rows_in_text

RATIO = Quotient(Symbol("E"), Symbol("R"))


def test_lines_keep_their_cells_apart_and_leave_out_empty_ones() -> None:
    assert rows_in_text([(("a",), (), ("is ", RATIO)), (("b",), (" ",))]) == "a   is E/R\nb"


def test_a_table_sets_formulas_and_keeps_every_cell() -> None:
    table = rows_in_html([((), (RATIO, "."))])
    assert table.count("<td>") == 2
    assert "<mfrac><mi>E</mi><mi>R</mi></mfrac></math>.</td>" in table


def test_words_are_never_markup() -> None:
    assert "<td>&lt;b&gt; &amp; &quot;</td>" in rows_in_html([(('<b> & "',),)])
