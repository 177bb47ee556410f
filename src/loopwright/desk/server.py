"""The desk as a server on this machine: the page, the papers, their changes, and what is worked out of them.

It only passes on: papers are for `folder`, work for `workers`, who may come in for `gate`, changes from
elsewhere for `changes`.
"""

from __future__ import annotations

import asyncio
import socket
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from html import escape
from pathlib import Path
from typing import Any, TypeVar
from urllib.parse import quote

from ..errors import FaultyMaterial
from ..legible import legible_line
from .brought import edits_in, fields_of, name_of, text_in
from .changes import Changes
from .connections import quiet_server
from .desk_extra import (
    ClientDisconnect,
    HTTPException,
    JSONResponse,
    Request,
    Response,
    Route,
    Starlette,
    StreamingResponse,
)
from .folder import Opened, PaperFolder, gone_on
from .gate import Gate, as_response
from .paper_lists import papers_list
from .refusals import Refusal
from .workers import Nursery, WorkGivenUp
from .workroom import Workroom

_Made = TypeVar("_Made")
KEPT = 16  # first answers that are remembered
BLANK = """\
# A branch is read along its arrow: where it starts, what it meets, where it ends.
[branches]
"""
_KINDS = {".html": "text/html", ".css": "text/css", ".js": "text/javascript", ".svg": "image/svg+xml"}
_PAGE = Path(__file__).parent / "page"


class Desk:
    """What the addresses of the page do."""

    def __init__(self, folder: PaperFolder) -> None:
        self.folder = folder
        self._threads = ThreadPoolExecutor(16)
        self._nursery = Nursery()
        self.workroom = Workroom(folder, self._nursery, self._threads)
        self._quick = self.workroom.quick
        self._answers: dict[tuple[str, str], object] = {}
        self._static = {
            path.name: (path.read_bytes(), _KINDS[path.suffix])
            for path in (*sorted(_PAGE.iterdir()), _PAGE.parents[1] / "board" / "board.js")
            if path.suffix in _KINDS
        }
        self.changes = Changes(folder, self._threads, self.workroom.proves.give_up)

    def routes(self) -> list[Route]:
        """Every address with what it does."""
        return [
            Route("/", self.page),
            Route("/static/{name}", self.page),
            Route("/events", self.events),
            Route("/papers", self.list),
            Route("/papers", self.new, methods=["POST"]),
            Route("/papers/{name}", self.open),
            Route("/papers/{name}/edits", self.edit, methods=["POST"]),
            Route("/papers/{name}/undo", self.step, methods=["POST"]),
            Route("/papers/{name}/redo", self.step, methods=["POST"]),
            Route("/papers/{name}/rename", self.rename, methods=["POST"]),
            Route("/papers/{name}/bin", self.bin, methods=["POST"]),
            *self.workroom.routes(),
        ]

    async def page(self, request: Request) -> Response:
        """The page itself and what it is made of."""
        name = request.path_params.get("name", "index.html")
        if name not in self._static:
            raise Refusal(404, "There is nothing of that name.")
        content, kind = self._static[name]
        return Response(content, media_type=kind)

    async def list(self, request: Request) -> Response:
        """All papers with their titles."""
        papers = await self._file(self.folder.papers)
        return JSONResponse(
            {
                "papers": [{"name": p.name, "title": p.title, "changed": p.changed} for p in papers],
                "html": papers_list(papers, request.query_params.get("open", "")),
            }
        )

    async def new(self, request: Request) -> Response:
        """A new paper, or one like another."""
        given = await fields_of(request)
        if "like" in given:
            like = text_in(given, "like")
            opened = await self._file(lambda: self.folder.copy(like, given.get("name")))
        else:
            opened = await self._file(lambda: self.folder.new(given.get("name"), BLANK))
        return await self._shown(opened)

    async def open(self, request: Request) -> Response:
        """One paper with its first answer."""
        name = name_of(request)
        return await self._shown(await self._file(lambda: self.folder.open(name)))

    async def edit(self, request: Request) -> Response:
        """Edits made to one version of a paper: all of them, or none."""
        name, given = name_of(request), await fields_of(request)
        version, edits, like = text_in(given, "version"), edits_in(given), str(given.get("like", ""))
        there = await self._file(lambda: self.folder.open(name))
        if there.version == version:
            made: Any = await self._quick.do("changed", there.text, edits, like)
            text, said = made
            written, answer = await asyncio.gather(
                self._file(lambda: self.folder.write(name, version, text)), self._first(name, text, like)
            )
            self.changes.made(name, written.version)
            return JSONResponse(_as_json(written, answer) | {"said": said})
        before = await self._file(lambda: self.folder.state(name, version))
        yours: Any = None if before is None else await self._quick.do("changed", before, edits, like)
        raise gone_on(there.text, there.version, yours and yours[0])

    async def step(self, request: Request) -> Response:
        """One step back or forth."""
        name, given = name_of(request), await fields_of(request)
        version, like = text_in(given, "version"), str(given.get("like", ""))
        back = request.url.path.endswith("/undo")
        opened = await self._file(lambda: (self.folder.undo if back else self.folder.redo)(name, version))
        self.changes.made(name, opened.version)
        return await self._shown(opened, like)

    async def rename(self, request: Request) -> Response:
        """Another name for a paper."""
        name, given = name_of(request), await fields_of(request)
        return await self._shown(await self._file(lambda: self.folder.rename(name, given.get("to"))))

    async def bin(self, request: Request) -> Response:
        """A paper put into the folder `bin`."""
        name = name_of(request)
        return JSONResponse({"bin": await self._file(lambda: self.folder.bin(name))})

    async def events(self, request: Request) -> Response:
        """What changes from elsewhere, as it happens, until the page or the desk is closed."""
        return StreamingResponse(self.changes.told(), media_type="text/event-stream")

    def end(self) -> None:
        """Tells every page that it is over, and ends all work."""
        self.changes.close()
        self._nursery.end()
        self._threads.shutdown(wait=False, cancel_futures=True)

    async def _shown(self, opened: Opened, like: str = "") -> Response:
        return JSONResponse(_as_json(opened, await self._first(opened.name, opened.text, like)))

    async def _first(self, name: str, text: str, like: str = "") -> object:
        """The first answer to a text; None when a later text of the paper is already waiting for its own.
        `like`: the text whose picture is to be kept."""
        if (text, like) not in self._answers:
            try:
                self._answers[text, like] = await self._quick.do("first", text, like, about=name)
            except WorkGivenUp:
                return None
            except (
                Refusal
            ) as trouble:  # the text is kept all the same, and why nothing is shown of it is told
                self._answers[text, like] = _no_answer(trouble)
            while len(self._answers) > KEPT:
                self._answers.pop(next(iter(self._answers)))
        return self._answers.get((text, like))

    async def _file(self, work: Callable[[], _Made]) -> _Made:
        """Has something done with files, which may wait for the disk or for another desk."""
        return await asyncio.get_running_loop().run_in_executor(self._threads, work)


def _as_json(opened: Opened, answer: object) -> dict[str, object]:
    return {
        "name": opened.name,
        "version": opened.version,
        "text": opened.text,
        "undo": opened.undo,
        "redo": opened.redo,
        "answer": answer,
    }


def _no_answer(trouble: Refusal) -> dict[str, object]:
    """What stands in place of a first answer that there is none of."""
    said = escape(f"{trouble.what} {trouble.mend}")
    return {"drawable": False, "kept": False, "pieces": {"findings": f'<li class="error">{said}</li>'}}


async def _refused(request: Request, trouble: Exception) -> Response:
    """Whatever goes wrong, in words."""
    match trouble:
        case Refusal():
            return as_response(request, trouble)
        case FaultyMaterial():
            found = [
                {"code": f.code, "message": f.message, "mend": f.mend, "line": f.place.line, "about": f.about}
                for f in trouble.findings
            ]
            first = trouble.findings[0]
            return as_response(request, Refusal(422, first.message, first.mend, {"findings": found}))
        case HTTPException(status_code=405):
            return as_response(request, Refusal(405, "That cannot be done with this address."))
        case HTTPException(status_code=status):
            return as_response(request, Refusal(status, "There is nothing at this address."))
        case WorkGivenUp():
            return as_response(request, Refusal(409, "The paper went on while this was worked at."))
        case ClientDisconnect():
            return Response(status_code=400)
        case OSError():
            what = f"The system would not do it: {legible_line(trouble.strerror or str(trouble))}."
            return as_response(request, Refusal(500, what))
    return as_response(request, Refusal(500, "The desk failed at this, which is a fault of ours."))


_TROUBLE = (Refusal, FaultyMaterial, HTTPException, WorkGivenUp, ClientDisconnect, OSError, Exception)


def serve(folder: Path, paper: str, ready: Callable[[str], None]) -> None:
    """Runs the desk of a folder until Ctrl-C or SIGTERM; `ready` is told the address that lets in once.
    `paper` is the one to open, or empty for the list."""
    papers = PaperFolder(folder)
    papers.tidy()
    asyncio.run(serving(Desk(papers), paper, ready))


async def serving(desk: Desk, paper: str, ready: Callable[[str], None]) -> None:
    """The same within a loop that runs; cancelled, it ends as well."""
    with socket.create_server(("127.0.0.1", 0)) as listening:
        address = f"http://127.0.0.1:{listening.getsockname()[1]}"
        app = Starlette(routes=desk.routes(), exception_handlers=dict.fromkeys(_TROUBLE, _refused))
        gate = Gate(app, address, "/" + (f"#{quote(paper)}" if paper else ""))
        watching = asyncio.create_task(desk.changes.watch())
        ready(gate.way_in)
        try:
            await quiet_server(gate).until_stopped(listening, desk.end)
        finally:
            watching.cancel()
            desk.end()
