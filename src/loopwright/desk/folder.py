"""The folder of papers on disk: listed, opened, written, renamed, binned. The files are the truth.

A paper is a plain file NAME.toml in the folder itself; nothing in a folder below, and no link, for a link
could lead out. Its version is the hash of its bytes. A change says which version it is made to, and is
written only if the file still holds that one: looked at and written under one lock, which all desks on the
folder share. Beside the papers lie a folder `bin` and, hidden, `.loopwright` with the histories, the lock and
files being written.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
import stat
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from ..legible import legible_line
from . import history
from .history import Past
from .line_ends import bytes_like, text_of
from .paper_names import ENDING, copy_of, good_name
from .refusals import Refusal

try:
    import fcntl
except ModuleNotFoundError:  # a system without such locks: there one desk a folder
    _CAN_LOCK = False
else:
    _CAN_LOCK = True

HIDDEN, BIN = ".loopwright", "bin"
LONGEST = 2_000_000  # bytes, as in `problem/problem_file`, which takes long to load
PATIENCE = 5.0  # seconds that a change waits for another desk
_TITLE = re.compile(r"""^\s*title\s*=\s*(?:"((?:[^"\\]|\\.)*)"|'([^']*)')""", re.MULTILINE)
_HEAD = 20_000  # bytes in which a title is looked for


@dataclass(frozen=True, slots=True)
class Paper:
    """One paper in the list: its name, the title in its text, when it was changed (seconds since 1970)."""

    name: str
    title: str
    changed: float


@dataclass(frozen=True, slots=True)
class Opened:
    """A paper as it lies there: its text with plain line ends, its version, the steps that undo and redo."""

    name: str
    text: str
    version: str
    undo: int
    redo: int


class PaperFolder:
    """The papers of one folder; every method may be called from any thread and by several desks."""

    def __init__(self, path: Path) -> None:
        self.path = Path(os.path.realpath(path))
        self._histories: dict[str, tuple[tuple[int, int, int], Past, int]] = {}
        self._here = threading.RLock()

    def papers(self) -> tuple[Paper, ...]:
        """All papers, sorted by name."""
        return tuple(
            Paper(name, self._title(name), info.st_mtime) for name, info in sorted(self.seen().items())
        )

    def seen(self) -> dict[str, os.stat_result]:
        """The names of all papers with what the system tells of each file."""
        found = {}
        with os.scandir(self.path) as entries:
            for entry in entries:
                if not entry.name.endswith(ENDING) or entry.name.startswith("."):
                    continue
                try:
                    info = entry.stat(follow_symlinks=False)
                    entry.name.encode()
                except (OSError, UnicodeEncodeError):  # gone meanwhile, or no text in any encoding
                    continue
                if stat.S_ISREG(info.st_mode):
                    found[entry.name.removesuffix(ENDING)] = info
        return found

    def open(self, name: str) -> Opened:
        """The paper of this name; its state is added to its history, if it came from elsewhere."""
        raw = self._bytes(name)
        text = text_of(raw)
        past, _ = self._past(name)
        if past.now != text and os.access(self.path, os.W_OK):
            with self._locked():
                raw = self._bytes(name)
                text = text_of(raw)
                past = self._note(name, text)
        return Opened(name, text, version_of(raw), past.undo, past.redo)

    def version(self, name: str) -> str:
        """The version of the file as it lies there."""
        return version_of(self._bytes(name))

    def state(self, name: str, version: str) -> str | None:
        """The text that a version had, where the history still holds it."""
        raw = self._bytes(name)
        states = reversed(self._past(name)[0].states)
        return next((text for text in states if version_of(bytes_like(text, raw)) == version), None)

    def write(self, name: str, version: str, text: str) -> Opened:
        """Puts a text in place of this version; raises Refusal (409, with both texts) when the file has gone
        on meanwhile."""
        return self._change(name, version, "write", text)

    def undo(self, name: str, version: str) -> Opened:
        """Puts back the state before this one; the same when there is none."""
        return self._change(name, version, "undo")

    def redo(self, name: str, version: str) -> Opened:
        """Puts back the state that was undone; the same when there is none."""
        return self._change(name, version, "redo")

    def new(self, name: object, text: str) -> Opened:
        """A new paper with this text."""
        with self._locked():
            fresh = self._free(name)
            self._put(self._file(fresh), _checked(text).encode())
            self._history(fresh).unlink(missing_ok=True)
        return self.open(fresh)

    def copy(self, like: str, name: object = None) -> Opened:
        """A paper like another, under the name given or the next free one."""
        raw = self._bytes(like)
        with self._locked():
            fresh = copy_of(like, self._taken()) if name is None else self._free(name)
            self._put(self._file(fresh), raw)
            self._history(fresh).unlink(missing_ok=True)
        return self.open(fresh)

    def rename(self, name: str, to: object) -> Opened:
        """Gives a paper another name; its history goes with it."""
        with self._locked():
            self._bytes(name)
            fresh = good_name(to)
            if fresh != name:
                if fresh.casefold() != name.casefold():
                    self._free(fresh)
                os.replace(self._file(name), self._file(fresh))
                self._history(fresh).unlink(missing_ok=True)
                if self._history(name).exists():
                    os.replace(self._history(name), self._history(fresh))
                _flush(self.path)
        return self.open(fresh)

    def bin(self, name: str) -> str:
        """Moves a paper into the folder `bin`, where nothing is overwritten; gives its name there."""
        with self._locked():
            self._bytes(name)
            place = self._beside(BIN)
            taken = {path.name.removesuffix(ENDING).casefold() for path in place.iterdir()}
            there = copy_of(name, taken) if name.casefold() in taken else name
            os.replace(self._file(name), place / (there + ENDING))
            if self._history(name).exists():
                os.replace(self._history(name), place / f".{self._history(there).name}")
            _flush(place)
            _flush(self.path)
        return there

    def tidy(self) -> None:
        """Takes away what a desk that was killed left half written."""
        if not (self.path / HIDDEN).is_dir():
            return
        with self._locked():
            for left in (self.path / HIDDEN).glob("new-*"):
                left.unlink(missing_ok=True)

    def _change(self, name: str, version: str, move: str, given: str = "") -> Opened:
        with self._locked():
            raw = self._bytes(name)
            there = text_of(raw)
            if version_of(raw) != version:
                raise gone_on(there, version_of(raw), given or None)
            past = self._note(name, there)
            reached = past.moved(move, given)
            text = reached.now
            if text is None or text == there:
                return Opened(name, there, version, past.undo, past.redo)
            changed = bytes_like(_checked(text), raw)
            self._put(self._file(name), changed, raw, text)
            self._keep(name, move, given)
        return Opened(name, text_of(changed), version_of(changed), reached.undo, reached.redo)

    def _title(self, name: str) -> str:
        try:
            with self._file(name).open("rb") as file:
                found = _TITLE.search(file.read(_HEAD).decode("utf-8", "replace"))
        except OSError:
            return ""
        if found is None:
            return ""
        try:
            return legible_line(str(json.loads(f'"{found[1]}"')) if found[1] is not None else found[2])
        except ValueError:
            return ""

    def _file(self, name: str) -> Path:
        return self.path / (name + ENDING)

    def _bytes(self, name: str) -> bytes:
        """What the file holds; only a name that stands in the list leads to a file."""
        if name not in self.seen():
            raise Refusal(404, f"There is no paper named {legible_line(name)[:200]}.", "Look into the list.")
        try:
            handle = os.open(self._file(name), os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0))
            with os.fdopen(handle, "rb") as file:
                raw = file.read(LONGEST + 1)
        except FileNotFoundError:
            raise Refusal(404, f"The paper {name} is gone.", "Look into the list.") from None
        except OSError as trouble:
            raise Refusal(500, f"The system would not read {name}: {trouble.strerror}.") from None
        if len(raw) > LONGEST:
            raise Refusal(422, f"{name} is too long for a problem file.", "Look whether it is the right one.")
        return raw

    def _taken(self) -> set[str]:
        """Every name that a new file must not have, whatever the case of its letters."""
        return {path.name.removesuffix(ENDING).casefold() for path in self.path.iterdir()}

    def _free(self, name: object) -> str:
        fresh = good_name(name)
        if fresh.casefold() in self._taken():
            raise Refusal(409, f"There is a paper or a file named {fresh} already.", "Choose another name.")
        return fresh

    def _beside(self, name: str) -> Path:
        """The folder `name` within the folder, made if it is not there; never one that a link stands for."""
        place = self.path / name
        try:
            place.mkdir(exist_ok=True)
        except FileExistsError:
            raise Refusal(500, f"{name} is a file here, where the desk keeps a folder.", "Move it.") from None
        except OSError as trouble:
            raise Refusal(500, f"The system would not make the folder {name}: {trouble.strerror}.") from None
        if place.is_symlink():
            raise Refusal(500, f"{name} is a link here, and the desk follows none.", "Put a folder there.")
        return place

    @contextmanager
    def _locked(self) -> Iterator[None]:
        """Holds off every other thread and desk; raises Refusal (503) when another holds on too long."""
        with self._here:
            place = self._beside(HIDDEN) / "lock"
            handle = os.open(place, os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0), 0o600)
            try:
                _lock(handle)
                yield
            except OSError as trouble:
                raise Refusal(500, f"The system would not do it: {trouble.strerror}.") from trouble
            finally:
                os.close(handle)  # which gives up the lock

    def _put(self, path: Path, content: bytes, before: bytes | None = None, text: str = "") -> None:
        """Writes a file whole: to another name first, to the disk, then in its place; looks in between
        whether what was `before` is still there, since programs that know no lock may write as well."""
        handle, name = tempfile.mkstemp(dir=self._beside(HIDDEN), prefix="new-")
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
            os.chmod(name, stat.S_IMODE(path.stat().st_mode) if path.exists() else 0o644)
            if before is not None and (raw := path.read_bytes()) != before:
                raise gone_on(text_of(raw), version_of(raw), text)
            os.replace(name, path)
            _flush(self.path)
        except BaseException:
            Path(name).unlink(missing_ok=True)
            raise

    def _history(self, name: str) -> Path:
        """Where the history of a paper lies: under the hash of its name, which is short and plain."""
        return self.path / HIDDEN / (hashlib.sha256(name.encode()).hexdigest()[:24] + ".history")

    def _past(self, name: str) -> tuple[Past, int]:
        """The history, read again only when its file has changed; and its length in good bytes."""
        path = self._history(name)
        try:
            info = path.stat()
        except OSError:
            return Past(), 0
        mark = (info.st_ino, info.st_size, info.st_mtime_ns)
        with self._here:
            held = self._histories.get(name)
            if held is None or held[0] != mark:
                self._histories.pop(name, None)
                while len(self._histories) >= 8:  # papers whose past is held in memory
                    self._histories.pop(next(iter(self._histories)))
                held = self._histories[name] = (mark, *history.read(path))
        return held[1], held[2]

    def _note(self, name: str, text: str) -> Past:
        """The history with this text as its present: added where it came from elsewhere. Under the lock."""
        past, _ = self._past(name)
        return past if past.now == text else self._keep(name, "write", text)

    def _keep(self, name: str, move: str, text: str) -> Past:
        past, whole = self._past(name)
        past, whole = history.append(self._history(name), past, whole, move, text)
        info = self._history(name).stat()
        self._histories[name] = ((info.st_ino, info.st_size, info.st_mtime_ns), past, whole)
        return past


def version_of(raw: bytes) -> str:
    """The version of a file: the first digits of the hash of its bytes."""
    return hashlib.sha256(raw).hexdigest()[:20]


def gone_on(theirs: str, version: str, yours: str | None = None) -> Refusal:
    """The refusal to a change of a version that is no longer there, with both texts."""
    return Refusal(
        409,
        "The file was changed elsewhere meanwhile; nothing was overwritten.",
        "Take one of the two texts, or put them together.",
        {"yours": yours, "theirs": theirs, "version": version},
    )


def _checked(text: str) -> str:
    """The text, if it can be a problem file at all."""
    try:
        size = len(text.encode())
    except UnicodeEncodeError:
        raise Refusal(422, "The text holds halves of signs.", "Type them anew.") from None
    if size > LONGEST:
        raise Refusal(422, "The text is too long for a problem file.", "Split it into several papers.")
    return text


def _lock(handle: int) -> None:
    if not _CAN_LOCK:
        return
    end = time.monotonic() + PATIENCE
    while True:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
            return
        except BlockingIOError:
            if time.monotonic() > end:
                raise Refusal(503, "Another desk holds this folder.", "Try again in a moment.") from None
            time.sleep(0.002)


def _flush(folder: Path) -> None:
    """Brings the names in a folder to the disk, where the system can."""
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:
        return
    try:
        os.fsync(handle)
    except OSError:
        return
    finally:
        os.close(handle)
