"""How a result shows itself without knowing how it is shown. Imports nothing of ours.

Python and notebooks ask the result itself for its text and its HTML, but what is printed of results stands
above all of them, in `show`. So these two methods look that up by name when something is to be shown, and
`show` alone says what each kind of result looks like.
"""

from __future__ import annotations

from importlib import import_module

HOME_OF_SHOWING = "loopwright.show.results"


class Shown:
    """A result that shows itself: as text where it is printed, as HTML in a notebook."""

    __slots__ = ()

    def __str__(self) -> str:
        text: str = import_module(HOME_OF_SHOWING).as_text(self)
        return text

    def _repr_html_(self) -> str:
        html: str = import_module(HOME_OF_SHOWING).as_html(self)
        return html
