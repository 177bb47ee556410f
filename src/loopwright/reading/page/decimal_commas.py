"""Whether a text writes its decimals with commas, as it shows itself."""

from __future__ import annotations

import re

_POINT = re.compile(r"\d\.\d")
_NUMBER = r"(?<![\w,.'′])(?:0,\d{1,20}|\d{1,20},(?!\d{3}(?!\d))\d{1,20})(?!\d|,\d)"  # 1,500 may be 1500
_UNIT = r"(?:[kKmMµ]?(?:V|A|W|Ω|[oO]hms?|S)|\\,?\\?(?:mathrm|text|Omega)|[kmM]\b)"
_SHOWN = re.compile(
    rf"\d\{{,\}}\d|[=≈+*/·×]\s{{0,9}}[-−–]?\s{{0,9}}{_NUMBER}|{_NUMBER}\s{{0,9}}(?:{_UNIT}|[=≈+*/·×])"
)


def has_decimal_commas(text: str) -> bool:
    """Whether numbers of a text have commas for decimal points: one at least shows that it is a number with
    a unit or amid a formula, and none has a point."""
    return not _POINT.search(text) and bool(_SHOWN.search(text))
