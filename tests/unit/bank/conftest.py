"""A bank with something of everything, made once."""

from pathlib import Path

import pytest

from loopwright.bank.bank import open_bank
from tests.bank_samples import fill


@pytest.fixture(scope="session")
def filled_bank(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Its folder, to be copied."""
    folder = tmp_path_factory.mktemp("filled")
    with open_bank(folder, new=True) as bank:
        fill(bank)
    return folder
