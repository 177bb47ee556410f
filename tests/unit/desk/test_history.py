"""The states of a paper outlive the desk, a torn line and the bound of the file."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loopwright.desk import history
from loopwright.desk.history import Past

MOVES = st.lists(
    st.one_of(st.tuples(st.just("write"), st.text()), st.sampled_from([("undo", ""), ("redo", "")]))
)


def kept(path: Path, *moves: tuple[str, str]) -> Past:
    past, whole = history.read(path)
    for move in moves:
        past, whole = history.append(path, past, whole, *move)
    return past


def test_undo_and_redo_walk_over_the_states_and_a_new_one_drops_what_was_undone() -> None:
    past = Past().moved("write", "a").moved("write", "b").moved("undo")
    assert (past.now, past.undo, past.redo) == ("a", 0, 1)
    assert past.moved("redo").now == "b"
    assert past.moved("write", "c").states == ("a", "c")


def test_a_step_that_leads_nowhere_changes_nothing() -> None:
    past = Past().moved("undo").moved("redo")
    assert past == Past()
    assert past.moved("write", "a").moved("undo").now == "a"


@settings(max_examples=30)
@given(moves=MOVES)
def test_what_is_read_is_what_was_kept(
    moves: list[tuple[str, str]], tmp_path_factory: pytest.TempPathFactory
) -> None:
    path = tmp_path_factory.mktemp("history") / "paper.history"
    past = kept(path, *moves[: len(moves) // 2])
    past = kept(path, *moves[len(moves) // 2 :])
    assert history.read(path)[0] == past


def test_a_file_torn_at_any_byte_gives_the_whole_lines_before(tmp_path: Path) -> None:
    path = tmp_path / "paper.history"
    kept(path, ("write", "first"), ("write", "sécond"), ("undo", ""))
    whole = path.read_bytes()
    ends = [end + 1 for end, byte in enumerate(whole) if byte == ord("\n")]
    for length in range(len(whole)):
        path.write_bytes(whole[:length])
        past, good = history.read(path)
        assert good == max([0, *(end for end in ends if end <= length)])
        assert len(past.states) == min(2, sum(end <= length for end in ends))


def test_what_follows_a_torn_line_is_written_over_it(tmp_path: Path) -> None:
    path = tmp_path / "paper.history"
    kept(path, ("write", "first"), ("write", "second"))
    path.write_bytes(path.read_bytes()[:-3])
    kept(path, ("write", "third"))
    assert history.read(path)[0].states == ("first", "third")


def test_a_line_that_somebody_changed_ends_what_is_believed(tmp_path: Path) -> None:
    path = tmp_path / "paper.history"
    kept(path, ("write", "first"), ("write", "second"))
    path.write_bytes(path.read_bytes().replace(b"second", b"sekond"))
    assert history.read(path)[0].states == ("first",)


def test_the_file_is_bounded_and_keeps_the_latest_states(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(history, "MOST_BYTES", 4000)
    path = tmp_path / "paper.history"
    for number in range(300):
        past = kept(path, ("write", f"{number:050}"))
        assert path.stat().st_size <= 4000
    assert past.now == f"{299:050}"
    assert past.undo > 5
    assert history.read(path)[0] == past


def test_one_state_longer_than_the_bound_is_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(history, "MOST_BYTES", 100)
    assert kept(tmp_path / "paper.history", ("write", "x" * 200), ("write", "y" * 200)).states == ("y" * 200,)
