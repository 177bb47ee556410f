"""Writing a file whole or not at all. Imports nothing of ours."""

from __future__ import annotations

import os
from pathlib import Path

LEFTOVER = ".loopwright-"  # how the name of a file begins that is not whole yet


def write(path: Path, content: str | bytes) -> None:
    """Writes a file at once: what was there stays until the new one is complete.

    A symbolic link is written through and stays one; a file that is there keeps its permissions, a new one
    gets those of the umask. What is no plain file, such as a device, is written into.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    data = content.encode() if isinstance(content, str) else content
    true = Path(os.path.realpath(path))
    if true.exists() and not true.is_file():
        true.write_bytes(data)
        return
    new = true.with_name(f"{LEFTOVER}{os.urandom(8).hex()}")
    try:  # the name is known before the file is there: a Ctrl-C at any moment leaves none behind
        with open(new, "xb", opener=_for_us_alone) as file:
            file.write(data)
        new.chmod(true.stat().st_mode & 0o777 if true.exists() else 0o666 & ~_umask())
        new.replace(true)
    except BaseException:
        new.unlink(missing_ok=True)
        raise


def _for_us_alone(path: str, flags: int) -> int:
    return os.open(path, flags, 0o600)


def _umask() -> int:
    """The permissions that a new file does not get; the system tells them only by setting them."""
    mask = os.umask(0o077)
    os.umask(mask)
    return mask
