"""The library of the extra `many`, which sends work to other machines.

Loaded here and nowhere else: where it is missing, one sentence says what to install.
"""

from __future__ import annotations

import logging
from typing import Any

from ..errors import MissingExtra

try:
    import distributed as _distributed
except ModuleNotFoundError:
    raise MissingExtra("Work on other machines needs the library of their scheduler.", "many") from None

distributed: Any = _distributed  # its functions tell their types in part only
logging.getLogger("distributed.client").setLevel(logging.CRITICAL)  # a lost line is told in our words
