"""The desk that runs: one for each folder, found again by a second start of the program.

A small file that the user alone may read says where it answers; it goes when the desk ends. One that a killed desk
left is told by nobody answering there.
"""

from __future__ import annotations

import hashlib
import http.client
import json
import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from typer import get_app_dir

from sheetgen.desk.door import SECRET_HEADER

_PATIENCE = 5.0  # seconds for a desk of this computer to answer


def running_address(folder: Path) -> str | None:
    """An address, good once, at which the desk of a folder lets its user in; None where none runs."""
    try:
        facts = json.loads(_file(folder).read_text(encoding="utf-8"))
        connection = http.client.HTTPConnection("127.0.0.1", int(facts["port"]), timeout=_PATIENCE)
        connection.request("POST", "/tokens", headers={SECRET_HEADER: str(facts["secret"])})
        answer = connection.getresponse()
        token = answer.read(200).decode("ascii")
    except (OSError, ValueError, KeyError, TypeError, http.client.HTTPException):
        return None
    return address(int(facts["port"]), token) if answer.status == 200 else None


def address(port: int, token: str) -> str:
    """Where a browser enters."""
    return f"http://127.0.0.1:{port}/enter?token={token}"


@contextmanager
def said_to_run(folder: Path, port: int, secret: str) -> Iterator[None]:
    """Leave word of a running desk as long as the block lasts."""
    file = _file(folder)
    file.parent.mkdir(parents=True, exist_ok=True)
    with suppress(FileNotFoundError):
        file.unlink()
    with os.fdopen(os.open(file, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w") as out:
        json.dump({"port": port, "secret": secret}, out)
    try:
        yield
    finally:
        with suppress(OSError):
            file.unlink()


def _file(folder: Path) -> Path:
    name = hashlib.sha256(os.fsencode(folder.resolve())).hexdigest()[:16]
    return Path(get_app_dir("sheetgen")) / f"desk-{name}.json"
