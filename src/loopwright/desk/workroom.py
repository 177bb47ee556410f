"""What the desk works out of a paper without changing it: what is proved, looked at, moved, plotted, read,
handed out. It only passes on to the workers; each kind of work has a lane of its own.
"""

from __future__ import annotations

import asyncio
from concurrent.futures import ThreadPoolExecutor
from typing import Any
from urllib.parse import quote

from ..errors import FaultyMaterial
from .brought import edits_in, fields_of, name_of, text_in
from .desk_extra import JSONResponse, Request, Response, Route
from .folder import Opened, PaperFolder, gone_on
from .refusals import Refusal
from .workers import Lane, Nursery, WorkGivenUp

QUICK, PROVED = 10.0, 60.0  # seconds allowed: for what the page waits for, and for what it does not
BLANK = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 3 2"/>'


class Workroom:
    """What these addresses of the page do. `quick` has one lane with the edits, which wait for no other."""

    def __init__(self, folder: PaperFolder, nursery: Nursery, threads: ThreadPoolExecutor) -> None:
        self.folder = folder
        self._threads = threads
        self.quick = Lane(nursery, threads, QUICK)
        self.proves = Lane(nursery, threads, PROVED)
        self._plots = Lane(nursery, threads, QUICK)
        self._read = Lane(nursery, threads, PROVED)  # workings, and what is handed out

    def routes(self) -> list[Route]:
        """Every address with what it does."""
        return [
            Route("/papers/{name}/proved", self.proved),
            Route("/papers/{name}/look", self.look, methods=["POST"]),
            Route("/papers/{name}/loop", self.loop, methods=["POST"]),
            Route("/papers/{name}/moved", self.moved, methods=["POST"]),
            Route("/papers/{name}/plot", self.plot, methods=["POST"]),
            Route("/papers/{name}/methods", self.methods),
            Route("/papers/{name}/working", self.working, methods=["POST"]),
            Route("/papers/{name}/next", self.next_step, methods=["POST"]),
            Route("/papers/{name}/out", self.out),
            Route("/papers/{name}/figure", self.figure),
            Route("/papers/{name}/board", self.board),
            Route("/papers/{name}/board.css", self.board_style),
        ]

    async def proved(self, request: Request) -> Response:
        """What takes longer, for one version; 409 when the file has gone on."""
        name, version = name_of(request), request.query_params.get("version", "")
        there = await self._there(name)
        if there.version != version:
            raise gone_on(there.text, there.version)
        try:
            return JSONResponse(await self.proves.do("second", there.text, about=name))
        except WorkGivenUp:
            raise gone_on(there.text, there.version) from None

    async def look(self, request: Request) -> Response:
        """What edits would make of a text that the page holds; nothing is kept of it."""
        given = await fields_of(request)
        edits, like = edits_in(given), given.get("like", "")
        about = f"look {name_of(request)}"
        return JSONResponse(
            await self.quick.do("look", text_in(given, "text"), edits, str(like), about=about)
        )

    async def loop(self, request: Request) -> Response:
        """A loop that is pointed out branch by branch, as far as it is."""
        given = await fields_of(request)
        names = given.get("names")
        if not isinstance(names, list) or not names or not all(isinstance(name, str) for name in names):
            raise Refusal(400, "names is a list of branches.", 'Send it as ["I1", "I2"].')
        return JSONResponse(await self.quick.do("loop", text_in(given, "text"), names))

    async def moved(self, request: Request) -> Response:
        """The currents while a value moves."""
        given = await fields_of(request)
        middle, step = given.get("middle"), given.get("step")
        if not isinstance(middle, int | float) or not isinstance(step, int):
            raise Refusal(
                400, "middle and step are numbers.", "Send the middle of the line, and where on it."
            )
        text, of, about = text_in(given, "text"), text_in(given, "of"), f"moved {name_of(request)}"
        return JSONResponse(await self.quick.do("moved", text, of, float(middle), step, about=about))

    async def plot(self, request: Request) -> Response:
        """A plot, drawn and in words."""
        given = await fields_of(request)
        of, over, beside, middle = (given.get(field, "") for field in ("of", "over", "beside", "middle"))
        if not all(isinstance(word, str) for word in (of, over, beside)):
            raise Refusal(400, "of, over and beside are names.", "Send what is shown, and against what.")
        middle = float(middle) if isinstance(middle, int | float) else None
        about = f"plot {name_of(request)}"
        asked = (
            text_in(given, "text"),
            edits_in(given) if given.get("edits") else [],
            (of, over, beside),
            middle,
        )
        return JSONResponse(await self._plots.do("plot", *asked, about=about))

    async def methods(self, request: Request) -> Response:
        """The methods side by side, and derivations beside one another."""
        name, beside = name_of(request), request.query_params.get("beside", "")
        there = await self._there(name)
        return JSONResponse(
            await self._read.do("methods", there.text, beside.split(","), about=f"methods {name}")
        )

    async def working(self, request: Request) -> Response:
        """A working, read line by line."""
        given = await fields_of(request)
        text, working = text_in(given, "text"), text_in(given, "working")
        about = f"working {name_of(request)}"
        return JSONResponse({"html": await self._read.do("working", text, working, about=about)})

    async def next_step(self, request: Request) -> Response:
        """The next step of a working, at a level of help."""
        given = await fields_of(request)
        text, working, level = text_in(given, "text"), text_in(given, "working"), given.get("level")
        about = f"next {name_of(request)}"
        return JSONResponse(await self._read.do("next", text, working, level, about=about))

    async def out(self, request: Request) -> Response:
        """A paper in a form that can be handed out, or a plot of it."""
        name, asked = name_of(request), request.query_params
        there = await self._there(name)
        which = asked.get("edition") or ("plot" if "plot" in asked else "")
        given = (
            asked.get("form", ""),
            asked.get("edition", ""),
            asked.get("plot", ""),
            asked.get("middle", ""),
        )
        made: Any = await self._read.do("out", there.text, *given)
        content, ending = made
        saved = f"{name}{'-' if which else ''}{which}{ending}"
        headers = {"content-disposition": f"attachment; filename*=UTF-8''{quote(saved)}"}
        return Response(content, media_type="application/octet-stream", headers=headers)

    async def figure(self, request: Request) -> Response:
        """The figure of a paper as a picture; blank where there is no sound circuit yet."""
        there = await self._there(name_of(request))
        try:
            made: Any = await self._read.do("out", there.text, "svg")
        except FaultyMaterial:
            made = (BLANK, ".svg")
        return Response(made[0], media_type="image/svg+xml")

    async def board(self, request: Request) -> Response:
        """The lecture on a paper, as a page of its own."""
        there = await self._there(name_of(request))
        page, _ = await self._lecture(there.text, there.version)
        return Response(page, media_type="text/html")

    async def board_style(self, request: Request) -> Response:
        """The style of that page, for the version that it shows."""
        name, version = name_of(request), request.query_params.get("version", "")
        loop = asyncio.get_running_loop()
        text = await loop.run_in_executor(self._threads, self.folder.state, name, version)
        if text is None:
            raise Refusal(404, "There is nothing of that version.")
        _, style = await self._lecture(text, version)
        return Response(style, media_type="text/css")

    async def _lecture(self, text: str, version: str) -> tuple[str, str]:
        made: Any = await self._read.do("board", text, f"board.css?version={quote(version)}")
        page, style = made
        return str(page), str(style)

    async def _there(self, name: str) -> Opened:
        """A paper as it stands."""
        loop = asyncio.get_running_loop()
        return await loop.run_in_executor(self._threads, self.folder.open, name)
