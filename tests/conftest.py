"""What all tests share: repeatable chance, and the programs that some tests look through."""

import os
import shutil
import signal

import pytest
from hypothesis import settings

from loopwright.reading.faults import strict

settings.register_profile("repeatable", derandomize=True, database=None, deadline=None)
settings.load_profile("repeatable")

strict.set(True)  # a fault of ours met while a working is read is raised, never told as one line's

# A shell that starts the tests in the background has them ignore Ctrl-C, and what they start inherits that.
signal.signal(signal.SIGINT, signal.default_int_handler)


def program(name: str, package: str) -> str:
    """The path of a program; without it the test skips and says why, but in CI it fails."""
    path = shutil.which(name)
    if path is None:
        reason = f"{name} is not installed (Debian package {package})"
        if os.environ.get("CI") == "true":
            pytest.fail(reason, pytrace=False)
        pytest.skip(reason)
    return path


@pytest.fixture(scope="session")
def chromium() -> str:
    """The browser that pages are looked at with."""
    return program("chromium", "chromium")


@pytest.fixture(scope="session")
def pdftoppm() -> str:
    """Turns pages of a PDF into pictures."""
    return program("pdftoppm", "poppler-utils")


@pytest.fixture(scope="session")
def pdftotext() -> str:
    """Reads the words of a PDF."""
    return program("pdftotext", "poppler-utils")


@pytest.fixture(scope="session")
def pdfinfo() -> str:
    """Counts the pages of a PDF."""
    return program("pdfinfo", "poppler-utils")


@pytest.fixture(scope="session")
def pdflatex() -> str:
    """Compiles LaTeX source with a plain distribution."""
    return program("pdflatex", "texlive-latex-base")
