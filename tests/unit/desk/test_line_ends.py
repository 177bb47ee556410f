"""Line ends and marks stay where nothing was changed."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loopwright.desk.line_ends import bytes_like, text_of
from loopwright.desk.refusals import Refusal

LINES = st.text(alphabet="ab\r\n", max_size=20)


@given(raw=LINES.map(str.encode))
def test_an_unchanged_text_gives_the_same_bytes(raw: bytes) -> None:
    assert bytes_like(text_of(raw), raw) == raw


@given(raw=LINES.map(str.encode), text=st.text(alphabet="ab\n", max_size=20))
def test_what_is_written_reads_as_the_text(raw: bytes, text: str) -> None:
    assert text_of(bytes_like(text, raw)) == text


def test_only_the_changed_line_takes_the_usual_end() -> None:
    raw = b"\xef\xbb\xbfa\r\nb\nc\r\nd"
    assert bytes_like("a\nb\nnew\nc\nd", raw) == b"\xef\xbb\xbfa\r\nb\nnew\r\nc\r\nd"


def test_a_plain_file_stays_plain() -> None:
    assert bytes_like("a\nb\n", b"a\n") == b"a\nb\n"


def test_what_is_no_utf8_is_told_with_its_line() -> None:
    with pytest.raises(Refusal, match="Line 2"):
        text_of(b"a\ncaf\xe9\n")
