"""The order's weather limits as one sentence, for the card and the day log."""

from __future__ import annotations

from sheetgen.book.canvas import Canvas
from sheetgen.templates import Texts


def weather_text(canvas: Canvas, say: Texts) -> str:
    """What air and surface temperature the order allows, with its document; or that it gives no limit."""
    limits, unit = canvas.order.limits, canvas.unit("temperature")
    parts = [
        say.say(f"card.weather_{key}", limit=f"{value:g} {unit}")
        for key, value in (
            ("air", limits.air_min),
            ("surface_min", limits.surface_min),
            ("surface_max", limits.surface_max),
        )
        if value is not None
    ]
    if not parts:
        return say["card.weather_none"]
    text = "; ".join(parts) + (f" ({limits.source})" if limits.source else "")
    return say.say("card.weather", limits=text)
