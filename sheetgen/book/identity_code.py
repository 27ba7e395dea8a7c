"""The book's identity as a printed square code (QR code, ISO/IEC 18004): a photo of a page names its book."""

from __future__ import annotations

import io
from typing import Any

import segno

from sheetgen.book.canvas import Canvas
from sheetgen.book.model import Sheet

_DOTS_PER_MODULE = 8
_QUIET_ZONE = 4  # modules of white around the code, as the standard asks


def draw_identity_code(
    canvas: Canvas, sheet: Sheet, row: int, col: int, inches: float, x_offset: int = 0
) -> None:
    """Put the code on a sheet, its upper left corner in a cell, ``inches`` a side with its white border."""
    text = canvas.say.say(
        "code.text", identity=canvas.identity, job=canvas.order.job.number, machine=canvas.machine.name
    )
    picture: dict[str, Any] = {
        "at": (row, col),
        "png": code_image(text),
        "inches": inches,
        "x_offset": x_offset,
        "alternative": canvas.say.say("code.alternative", text=text),
    }
    sheet.pictures.append(picture)


def code_image(text: str) -> bytes:
    """The code of a text as a black and white PNG, the same bytes for the same text."""
    image = io.BytesIO()
    segno.make_qr(text, error="m").save(image, kind="png", scale=_DOTS_PER_MODULE, border=_QUIET_ZONE)
    return image.getvalue()
