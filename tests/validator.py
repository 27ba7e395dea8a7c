"""Validation against the Open XML schema (ECMA-376) by a general-purpose validator from the npm registry.

The test set-up installs it; where it is absent the test says so, and in CI its absence fails.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from pathlib import Path

from tests.engines import absent


def schema_errors(path: Path) -> list[str]:
    """Every error that the validator finds in a file, as text."""
    program = os.environ.get("OOXML_VALIDATOR") or shutil.which("ooxml-validator")
    if program is None:
        absent("the Open XML validator")
        raise AssertionError
    quiet = {**os.environ, "DOTNET_SYSTEM_GLOBALIZATION_INVARIANT": "1"}
    done = subprocess.run(
        [program, str(path)], capture_output=True, text=True, timeout=120, env=quiet, check=False
    )
    answer = json.loads(done.stdout)
    assert "ok" in answer, done.stderr
    return [json.dumps(error, sort_keys=True) for error in answer["errors"]]
