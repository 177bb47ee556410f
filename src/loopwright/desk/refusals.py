"""What the desk will not do, in words: one shape for the page (JSON) and for a person (a plain page).

A refusal is raised where it is found, in the folder or at the door; here it knows no web.
"""

from __future__ import annotations

import html
from collections.abc import Mapping


class Refusal(Exception):
    """Something that was asked and is not done.

    `status` is that of HTTP; `what` one sentence saying what is wrong and why; `mend` what to do instead;
    `more` whatever else the page needs, such as both texts when two edits met.
    """

    def __init__(
        self, status: int, what: str, mend: str = "", more: Mapping[str, object] | None = None
    ) -> None:
        super().__init__(what)
        self.status, self.what, self.mend, self.more = status, what, mend, dict(more or {})

    def __reduce__(self) -> tuple[type[Refusal], tuple[int, str, str, dict[str, object]]]:
        return type(self), (self.status, self.what, self.mend, self.more)

    def as_json(self) -> dict[str, object]:
        """For the page: `error`, `mend`, and what else belongs to it."""
        return {"error": self.what, "mend": self.mend, **self.more}

    def as_page(self) -> str:
        """For a person who came here by an address: a page of its own, without script or style."""
        what, mend = html.escape(self.what), html.escape(self.mend)
        return (
            '<!DOCTYPE html>\n<html lang="en-GB">\n<meta charset="utf-8">\n<title>The desk</title>\n'
            f"<h1>{what}</h1>\n<p>{mend}</p>\n</html>\n"
        )
