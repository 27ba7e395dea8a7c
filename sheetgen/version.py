"""The version of the program, for what is written into files."""

from __future__ import annotations

VERSION = "0.1.0"
