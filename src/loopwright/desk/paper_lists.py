"""The papers of the folder as a list on the page, in HTML. Loads no engine: the server itself writes it."""

from __future__ import annotations

import json
from collections.abc import Sequence
from html import escape
from urllib.parse import quote

from .folder import Paper


def papers_list(papers: Sequence[Paper], now: str = "") -> str:
    """Each paper with a way to it, to a copy and into the bin, and its small figure, which is drawn when the
    list is opened. `now`: the one that is open."""
    return "".join(_item(paper, is_open=paper.name == now) for paper in papers)


def _item(paper: Paper, *, is_open: bool) -> str:
    name = paper.name
    address = quote(name, safe="")
    copy = _button("copy", "/papers", {"like": name}, name)
    bin_ = _button("into the bin", f"/papers/{address}/bin", {}, name)
    figure = f'<img alt="" loading="lazy" src="/papers/{address}/figure?{paper.changed}">'
    now = ' aria-current="page"' if is_open else ""
    way = f'<a href="#{address}"{now}>{escape(paper.title or name)}</a>'
    return f'<li id="paper:{escape(name)}">{figure}{way}{copy}{bin_}</li>'


def _button(words: str, path: str, given: object, paper: str) -> str:
    return (
        f'<button type="button" data-post="{escape(path)}" data-given="{escape(json.dumps(given))}" '
        f'aria-label="{escape(paper)}: {words}">{words}</button>'
    )
