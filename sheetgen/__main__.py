"""``python -m sheetgen`` is the command ``sheetgen``."""

from __future__ import annotations

from sheetgen.cli import main

if __name__ == "__main__":
    main()
