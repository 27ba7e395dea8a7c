"""Write the pages of reference: ``python -m tests.reference [FOLDER]``."""

from __future__ import annotations

import sys
from pathlib import Path

from tests.reference.pages import write_pages

FOLDER = Path(__file__).parents[2] / "samples" / "reference"

if __name__ == "__main__":
    for written in write_pages(Path(sys.argv[1]) if len(sys.argv) > 1 else FOLDER):
        print(written)
