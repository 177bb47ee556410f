"""Tables of what each source makes by itself are put in words, a cell at a time."""

from __future__ import annotations

from loopwright.reading.page.mapped import mapped
from loopwright.reading.page.tables_of_parts import rows_as_parts


def words(*rows: str) -> list[list[str]]:
    return [[cell.words for cell in said] for said in rows_as_parts([mapped(row) for row in rows])]


def test_a_column_is_a_circuit_and_a_row_a_current() -> None:
    told = words("; current ; E1 alone ; E2 alone ; both ;", "; I1 (mA) ; 2.4 ; -0.9 ; 1.5 mA ;")
    assert told == [[], ["E1 alone: I1 = 2.4 mA", "E2 alone: I1 = -0.9 mA", "together: I1 = 1.5 mA"]]


def test_a_row_is_a_circuit_and_a_column_a_current() -> None:
    told = words("; ; I1 ; I2/mA ;", "; E1 alone ; 2 A ; 3 ;", "; Sum ; 1 A ; 4 ;")
    assert told[1:] == [
        ["E1 alone: I1 = 2 A", "E1 alone: I2 = 3 mA"],
        ["together: I1 = 1 A", "together: I2 = 4 mA"],
    ]


def test_other_tables_and_lists_stay_as_they_are() -> None:
    assert words("; branch ; E - U ; current ;", "; 1 ; 0.69 V ; I1 = 1.38 A ;") == [[], []]
    assert words("I1 = 2 A; I2 = 3 A; I3 = 5 A", "I4; 2 A; 3 A") == [[], []]
