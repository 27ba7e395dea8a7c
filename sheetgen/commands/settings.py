"""The command ``sheetgen settings``: what an office has set, and setting it."""

from __future__ import annotations

from sheetgen.office.settings import change_settings, read_settings, settings_text
from sheetgen.templates import spoken


def settings_command(changes: dict[str, str | None]) -> str:
    """Change what is given, and say all settings as they stand then."""
    given = {name: value for name, value in changes.items() if value is not None}
    settings = change_settings(given) if given else read_settings()
    return settings_text(settings, settings.language or spoken())
