"""The application: which address shows or takes what."""

from __future__ import annotations

import logging
import mimetypes
import secrets
import tempfile
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from urllib.parse import parse_qsl

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect, Request
from starlette.responses import FileResponse, JSONResponse, RedirectResponse, Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from sheetgen.desk.book_page import book_page, decided
from sheetgen.desk.deliveries import MOST_BYTES, Deliveries, Delivery, Refused
from sheetgen.desk.door import LANGUAGE_COOKIE
from sheetgen.desk.season_page import season_facts, season_workbook
from sheetgen.desk.shown import Pages
from sheetgen.desk.watch import Watch
from sheetgen.desk.work import Work
from sheetgen.errors import SheetgenError
from sheetgen.office.decisions import Decisions
from sheetgen.office.settings import PAPERS, Settings, change_settings
from sheetgen.templates import LANGUAGES, speak, spoken, spoken_texts, texts
from sheetgen.whole_file import write_whole

_HERE = Path(__file__).parent
_LARGEST_FORM = 64 * 1024
_LATEST = 50  # deliveries on the first page
_WORKBOOK = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
_log = logging.getLogger("sheetgen.desk")

# Some systems' own lists say otherwise, and a browser that is told not to guess then shows no page.
for _ending, _type in ((".xlsx", _WORKBOOK), (".js", "text/javascript"), (".css", "text/css")):
    mimetypes.add_type(_type, _ending)


@dataclass
class Desk:
    """What the pages work with."""

    folder: Path
    settings: Settings
    register: str
    decisions: Decisions
    deliveries: Deliveries
    work: Work
    watch: Watch | None = None
    end: Callable[[], None] = field(default=lambda: None)

    def change(self, **changes: str) -> None:
        """Set what holds for this office, for its commands too; work that begins later follows it.

        Raises:
            SheetgenError: a value is none that can be used, or it cannot be kept.
        """
        self.settings = self.work.settings = change_settings(changes)
        speak(self.settings.language)


def application(desk: Desk) -> Starlette:
    """The application of a desk; its work begins and ends with it."""
    pages = Pages(_HERE / "pages")

    @asynccontextmanager
    async def lifespan(_app: Starlette) -> AsyncIterator[None]:
        desk.work.begin()
        if desk.watch:
            desk.watch.begin()
        yield
        if desk.watch:
            await run_in_threadpool(desk.watch.end)
        await run_in_threadpool(desk.work.end)

    app = Starlette(
        routes=[
            Route("/", home),
            Route("/order.xlsx", blank_order),
            Route("/yard.xlsx", blank_yard),
            Route("/register", register),
            Route("/season.xlsx", season),
            Route("/language", choose_language, methods=["POST"]),
            Route("/end", end, methods=["POST"]),
            Route("/key", make_key, methods=["POST"]),
            Route("/settings", choose_settings, methods=["POST"]),
            Route("/deliveries", new_delivery, methods=["POST"]),
            Route("/deliveries/{id}", show_delivery),
            Route("/deliveries/{id}/progress", progress),
            Route("/deliveries/{id}/files", receive, methods=["POST"]),
            Route("/deliveries/{id}/begin", begin, methods=["POST"]),
            Route("/deliveries/{id}/again", again, methods=["POST"]),
            Route("/deliveries/{id}/orders/{number:int}/yard", take_yard, methods=["POST"]),
            Route("/deliveries/{id}/made/{path:path}", made),
            Route("/deliveries/{id}/compared.xlsx", compared),
            Route("/deliveries/{id}/books/{number:int}", show_book),
            Route("/deliveries/{id}/books/{number:int}/decisions", decide, methods=["POST"]),
            Mount("/assets", StaticFiles(directory=_HERE / "assets")),
        ],
        lifespan=lifespan,
        exception_handlers={HTTPException: _not_there, Exception: _fault, SheetgenError: _told},
    )
    app.state.desk, app.state.pages = desk, pages
    return app


def _desk(request: Request) -> Desk:
    desk: Desk = request.app.state.desk
    return desk


def _page(request: Request, name: str, status: int = 200, **facts: Any) -> Response:
    pages: Pages = request.app.state.pages
    return pages.show(request, name, status, **facts)


def _delivery(request: Request) -> Delivery:
    found = _desk(request).deliveries.get(request.path_params["id"])
    if found is None:
        raise HTTPException(404)
    return found


async def _form(request: Request) -> dict[str, str]:
    """The fields of a small form."""
    body = b""
    async for piece in request.stream():
        body += piece
        if len(body) > _LARGEST_FORM:
            raise HTTPException(413)
    return dict(parse_qsl(body.decode("utf-8", "replace"), keep_blank_values=True, max_num_fields=20))


def home(request: Request) -> Response:
    """The page to hand files in at."""
    desk = _desk(request)
    latest = [each for each, _ in zip(desk.deliveries.all(), range(_LATEST), strict=False)]
    return _page(
        request, "home", deliveries=latest, settings=desk.settings, folder=desk.folder, register=desk.register,
        watching=desk.watch and desk.watch.state(), papers=PAPERS,
    )  # fmt: skip


def blank_order(request: Request) -> Response:
    """A blank order, made for this download; it takes from the office's yard where that is asked for."""
    from sheetgen.order.write import lay_out_order
    from sheetgen.xlsx.write import book_bytes

    language, paper = spoken(), _desk(request).settings.paper or None
    yard, units = None, _units(request)
    if request.query_params.get("from") == "yard" and _desk(request).settings.yard:
        from sheetgen.yard.read import read_yard

        yard = read_yard(_desk(request).settings.yard)
        units = yard.units
    data = book_bytes(lay_out_order(units, language, paper=paper, yard=yard))
    return _workbook(data, texts(language)["desk.home.order_file"])


def blank_yard(request: Request) -> Response:
    """A blank yard workbook, made for this download."""
    from sheetgen.xlsx.write import book_bytes
    from sheetgen.yard.write import lay_out_yard

    language, paper = spoken(), _desk(request).settings.paper or None
    data = book_bytes(lay_out_yard(_units(request), language, paper))
    return _workbook(data, texts(language)["desk.home.yard_file"])


def _units(request: Request) -> str:
    return "si" if request.query_params.get("units") == "si" else "us"


def _workbook(data: bytes, name: str) -> Response:
    headers = {"content-disposition": f'attachment; filename="{name}"'}
    return Response(data, media_type=_WORKBOOK, headers=headers)


def register(request: Request) -> Response:
    """What the office issued and what came back."""
    from sheetgen.register.register import read_register

    desk = _desk(request)
    with read_register(desk.register) as kept:
        issued, returned = kept.listed()
    season = season_facts(desk.register, spoken())
    return _page(request, "register", issued=issued, returned=returned, register=desk.register, **season)


def season(request: Request) -> Response:
    """The season's workbook, made for this download."""
    desk = _desk(request)
    language = spoken()
    with tempfile.TemporaryDirectory(dir=desk.folder) as made:
        data = season_workbook(desk.register, Path(made), language, desk.settings.paper)
    return _workbook(data, texts(language)["season.file"])


async def choose_language(request: Request) -> Response:
    """Keep the language in the browser, and go back to the page."""
    form = await _form(request)
    back = form.get("back", "/")
    answer = RedirectResponse(back if back.startswith("/") and back[1:2] not in ("/", "\\") else "/", 303)
    if form.get("language") in LANGUAGES:
        answer.set_cookie(
            LANGUAGE_COOKIE, form["language"], httponly=True, samesite="strict", max_age=31_536_000
        )
    return answer


def end(request: Request) -> Response:
    """End the desk once this page is shown."""
    answer = _page(request, "ended")
    _desk(request).end()
    return answer


def make_key(request: Request) -> Response:
    """Make the office's signing key in the desk's folder, where none is set yet."""
    from sheetgen.signing import new_key

    desk = _desk(request)
    if not desk.settings.key:
        path = desk.folder / "office.key"
        new_key(path)
        desk.change(key=str(path))
    return RedirectResponse("/#office-heading", 303)


async def choose_settings(request: Request) -> Response:
    """Set the languages and the paper of this office."""
    desk, form = _desk(request), await _form(request)
    chosen = {name: form[name] for name in ("language", "second_language", "paper") if name in form}
    await run_in_threadpool(lambda: desk.change(**chosen))
    return RedirectResponse("/#office-heading", 303)


def take_yard(request: Request) -> Response:
    """Make a yard that was handed in, and has no mistake, the yard of this office."""
    desk, delivery, number = _desk(request), _delivery(request), request.path_params["number"]
    yard = delivery.orders[number - 1] if 1 <= number <= len(delivery.orders) else None
    if yard is None or not yard.sound_yard:
        raise HTTPException(404)
    path = desk.folder / "yard.xlsx"
    write_whole(path, desk.deliveries.path(delivery, "received", yard.file).read_bytes())
    desk.change(yard=str(path))
    return RedirectResponse("/#blank-heading", 303)


def new_delivery(request: Request) -> Response:
    """A delivery for files to be handed in to."""
    return JSONResponse({"id": _desk(request).deliveries.new().id}, 201)


async def receive(request: Request) -> Response:
    """One file, as the body of the request; it is written to the delivery's folder and to nowhere else."""
    desk, delivery = _desk(request), _delivery(request)
    say = spoken_texts()
    given = request.query_params.get("name", "")
    try:
        path = desk.deliveries.place_for(delivery, given)
    except Refused as refused:
        return JSONResponse({"error": say[f"desk.refused.{refused.why}"]}, 413)
    whole = False
    try:
        await _write(request, desk, delivery, path)
        whole = True
    except ClientDisconnect:  # nobody is left to be told
        return Response(status_code=400)
    except Refused as refused:
        return JSONResponse({"error": say[f"desk.refused.{refused.why}"]}, 413)
    finally:
        if not whole:
            desk.deliveries.forget(delivery, path)
    return JSONResponse({"kept": path.name}, 201)


async def _write(request: Request, desk: Desk, delivery: Delivery, path: Path) -> None:
    size = 0
    with path.open("xb") as file:
        async for piece in request.stream():
            size += len(piece)
            if size > MOST_BYTES:
                raise Refused("large_file")
            desk.deliveries.count(delivery, len(piece))
            file.write(piece)


def begin(request: Request) -> Response:
    """Begin the work on a delivery that has come whole."""
    desk, delivery = _desk(request), _delivery(request)
    if delivery.state == "receiving" and delivery.received:
        desk.work.take(delivery)
    return JSONResponse({"page": f"/deliveries/{delivery.id}"})


def again(request: Request) -> Response:
    """Do the work on a delivery once more: its reports then have what was decided since."""
    desk, delivery = _desk(request), _delivery(request)
    if delivery.state == "done":
        if desk.watch and delivery.watched:
            desk.watch.expect(delivery)
        desk.work.take(delivery)
    return RedirectResponse(f"/deliveries/{delivery.id}", 303)


def progress(request: Request) -> Response:
    """How far the work on a delivery is, in numbers and in words."""
    delivery = _delivery(request)
    done, everything = _desk(request).work.progress(delivery)
    words = spoken_texts().say(f"desk.state.{delivery.state}", done=done, everything=everything)
    return JSONResponse({"state": delivery.state, "done": done, "everything": everything, "words": words})


def show_delivery(request: Request) -> Response:
    """What became of a delivery."""
    delivery = _delivery(request)
    done, everything = _desk(request).work.progress(delivery)
    return _page(request, "delivery", delivery=delivery, done=done, everything=everything)


def made(request: Request) -> Response:
    """A file that was made for a delivery: only what its record names."""
    delivery, name = _delivery(request), request.path_params["path"]
    if name not in _made(delivery):
        raise HTTPException(404)
    path = _desk(request).deliveries.path(delivery, *name.split("/"))
    if not path.is_file():
        raise HTTPException(404)
    shown = path.suffix == ".png"
    return FileResponse(
        path, filename=path.name, content_disposition_type="inline" if shown else "attachment"
    )


def _made(delivery: Delivery) -> set[str]:
    names = {delivery.summary}
    for order in delivery.orders:
        names |= {order.marked, order.page, *order.books, *(picture.file for picture in order.pictures)}
    for book in delivery.books:
        names |= {book.report, book.copy_with_notes}
    return names - {""}


def compared(request: Request) -> Response:
    """The distributors of a delivery's orders compared, made for this download."""
    desk, delivery = _desk(request), _delivery(request)
    if not any(each.planned for each in delivery.orders):
        raise HTTPException(404)
    language = spoken()
    sizes = request.query_params.get("sizes") == "yes"
    with tempfile.TemporaryDirectory(dir=desk.folder) as made_in:
        data = desk.work.compare(delivery, sizes, language, Path(made_in)).read_bytes()
    return _workbook(data, texts(language)["desk.compared.file"])


def _book(request: Request) -> tuple[dict[str, Any], Path]:
    """The returned book that is asked for, as its page names it, and the facts of its report."""
    delivery, number = _delivery(request), request.path_params["number"]
    if not 1 <= number <= len(delivery.books) or not delivery.books[number - 1].document:
        raise HTTPException(404)
    book = delivery.books[number - 1]
    document = _desk(request).deliveries.path(delivery, *book.document.split("/"))
    return {"delivery": delivery, "number_of_book": number, "book": book}, document


def show_book(request: Request) -> Response:
    """A returned book: its findings, what to do, what was decided."""
    named, document = _book(request)
    return _page(request, "book", **named, **book_page(document, _desk(request).decisions))


async def decide(request: Request) -> Response:
    """Keep a decision; where another one came in between, nothing is kept and both are shown."""
    desk, form = _desk(request), await _form(request)
    named, document = _book(request)
    trouble = await run_in_threadpool(decided, document, desk.decisions, form)
    if trouble is None:
        return RedirectResponse(f"{request.url.path.removesuffix('/decisions')}#f{form['finding']}", 303)
    facts = await run_in_threadpool(book_page, document, desk.decisions)
    return _page(request, "book", 409, **named, **facts | {"typed": form, "trouble": trouble})


def _not_there(request: Request, error: Exception) -> Response:
    status = error.status_code if isinstance(error, HTTPException) else 404
    return _page(request, "trouble", status, key="not_there" if status == 404 else "not_taken", said="")


def _told(request: Request, error: Exception) -> Response:
    return _page(request, "trouble", 409, key="told", said=str(error))


def _fault(request: Request, error: Exception) -> Response:
    """A fault of this program: a sentence and a reference here, the rest in the log file."""
    reference = secrets.token_hex(4)
    _log.error("fault %s at %s %s", reference, request.method, request.url.path, exc_info=error)
    say = spoken_texts()
    return _page(request, "trouble", 500, key="told", said=say.say("desk.fault", reference=reference))
