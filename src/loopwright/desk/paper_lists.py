"""The papers of the folder as a list on the page, in HTML. Loads no engine: the server itself writes it."""

from __future__ import annotations

import json
from collections.abc import Sequence
from html import escape
from urllib.parse import quote

from .folder import Paper


def papers_list(papers: Sequence[Paper]) -> str:
    """Each paper with a way to it, to a copy and into the bin, and the address of its small figure, which is
    drawn when the list is opened."""
    return "".join(_item(paper.name, paper.title) for paper in papers)


def _item(name: str, title: str) -> str:
    address = quote(name, safe="")
    copy = _button("copy", "/papers", {"like": name}, name)
    bin_ = _button("into the bin", f"/papers/{address}/bin", {}, name)
    figure = f'<img alt="" loading="lazy" data-figure="/papers/{address}/figure">'
    way = f'<a href="#{address}">{escape(title or name)}</a>'
    return f'<li id="paper:{escape(name)}">{figure}{way}{copy}{bin_}</li>'


def _button(words: str, path: str, given: object, paper: str) -> str:
    return (
        f'<button type="button" data-post="{escape(path)}" data-given="{escape(json.dumps(given))}" '
        f'aria-label="{escape(paper)}: {words}">{words}</button>'
    )
