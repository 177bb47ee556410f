"""What passes between the desk and its nursery: an order and the number of a process."""

from __future__ import annotations

import struct

ORDER = struct.Struct("!cq")  # b"n": a new worker, b"e": end this one
