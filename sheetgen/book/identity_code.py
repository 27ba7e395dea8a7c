"""The book's identity as a printed square code (QR code, ISO/IEC 18004): a photo of a page names its book."""

from __future__ import annotations

from sheetgen.book.canvas import Canvas
from sheetgen.xlsx.model import Sheet


def draw_identity_code(
    canvas: Canvas, sheet: Sheet, row: int, col: int, inches: float, x_offset: int = 0, text: str = ""
) -> None:
    """Put the code on a sheet, its upper left corner in a cell, ``inches`` a side with its white border.

    It says book, job and distributor, or only ``text`` where it must stay small.
    The picture itself is made when the file is written: a book that is only compared needs none.
    """
    text = text or canvas.say.say(
        "code.text", identity=canvas.identity, job=canvas.order.job.number, machine=canvas.machine.name
    )
    sheet.pictures.append(
        {
            "at": (row, col),
            "code": text,
            "inches": inches,
            "x_offset": x_offset,
            "alternative": canvas.say.say("code.alternative", text=text),
        }
    )
