"""Writing pictures: from a sheet's picture descriptions to images in the file."""

from __future__ import annotations

import io
import struct
from functools import lru_cache

import segno
from xlsxwriter.worksheet import Worksheet

from sheetgen.xlsx.model import Sheet

# An image without a resolution of its own counts 96 dots to the inch (ECMA-376 leaves it to the program).
_DOTS_PER_INCH = 96
_DOTS_PER_MODULE = 8
_QUIET_ZONE = 4  # modules of white around a code, as ISO/IEC 18004 asks


def insert_pictures(worksheet: Worksheet, sheet: Sheet) -> None:
    """Insert every picture of a sheet, with its alternative text."""
    for number, picture in enumerate(sheet.pictures, start=1):
        image = code_image(picture["code"])
        scale = picture["inches"] * _DOTS_PER_INCH / _width(image)
        worksheet.insert_image(
            *picture["at"],
            f"picture{number}.png",
            {
                "image_data": io.BytesIO(image),
                "x_scale": scale,
                "y_scale": scale,
                "x_offset": picture.get("x_offset", 0),
                "y_offset": picture.get("y_offset", 0),
                "description": picture["alternative"],
                "object_position": 2,
            },
        )


@lru_cache(maxsize=8)
def code_image(text: str) -> bytes:
    """The square code of a text as a black and white PNG, the same bytes for the same text."""
    image = io.BytesIO()
    segno.make_qr(text, error="m").save(image, kind="png", scale=_DOTS_PER_MODULE, border=_QUIET_ZONE)
    return image.getvalue()


def _width(png: bytes) -> int:
    """Dots across, from the image header (PNG, ISO/IEC 15948, 11.2.2)."""
    width: int = struct.unpack(">I", png[16:20])[0]
    return width
