"""A desk in this process, and browsers that enter it."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from sheetgen.desk.app import Desk, application
from sheetgen.desk.deliveries import Delivery
from sheetgen.desk.door import Door
from sheetgen.desk.serve import desk_of
from sheetgen.office.settings import Settings
from tests.office.conftest import files

__all__ = ["files"]

HOST = "127.0.0.1:4711"
OURS = {"origin": f"http://{HOST}"}
PATIENCE = 300.0  # seconds before a test gives up; no result depends on it


class Browser:
    """One browser in the desk: a client with a cookie of its own that says where its requests come from."""

    def __init__(self, client: TestClient) -> None:
        self.client = client

    def get(self, path: str, **options: Any) -> Any:
        return self.client.get(path, **options)

    def post(self, path: str, **options: Any) -> Any:
        return self.client.post(path, headers=OURS, **options)

    def hand_in(self, *files: Path | tuple[str, bytes]) -> str:
        """Hand files in, and give the delivery's address."""
        id = self.post("/deliveries").json()["id"]
        for file in files:
            name, data = file if isinstance(file, tuple) else (file.name, file.read_bytes())
            answer = self.post(f"/deliveries/{id}/files", params={"name": name}, content=data)
            assert answer.status_code == 201, answer.text
        return self.post(f"/deliveries/{id}/begin").json()["page"]

    def done(self, page: str) -> str:
        """The delivery's page once the work on it is done."""
        ends = time.monotonic() + PATIENCE
        while self.get(f"{page}/progress").json()["state"] != "done":
            assert time.monotonic() < ends, self.get(f"{page}/progress").text
            time.sleep(0.05)
        return self.get(page).text


class Office:
    """A desk, its door, and what stands on its disk. Where it watches a folder, the test says when it looks."""

    def __init__(self, folder: Path, settings: Settings, watch: Path | None = None) -> None:
        folder.mkdir(parents=True, exist_ok=True)
        self.folder = folder
        self.desk: Desk = desk_of(folder, settings, watch)
        if self.desk.watch:
            self.desk.watch.begin, self.desk.watch.end = self.desk.watch.recall, lambda: None
        self.door = Door(application(self.desk), HOST)
        self._opened: list[TestClient] = []

    @contextmanager
    def open(self) -> Iterator[Office]:
        """The desk at work."""
        self.first = TestClient(self.door, base_url=f"http://{HOST}", raise_server_exceptions=False)
        with self.first:
            yield self

    def browser(self) -> Browser:
        """A browser that has entered."""
        client = TestClient(self.door, base_url=f"http://{HOST}", raise_server_exceptions=False)
        assert client.get(f"/enter?token={self.door.token()}").status_code == 200
        return Browser(client)

    def delivery(self, page: str) -> Delivery:
        """What is kept of a delivery, as it stands on the disk."""
        text = (self.folder / page.rpartition("/")[2] / "delivery.json").read_bytes()
        return Delivery.model_validate_json(text)


@pytest.fixture
def make_office(tmp_path: Path) -> Callable[..., Office]:
    """Makes a desk of a folder; the same folder again is the same office after a restart."""

    def made(
        name: str = "office",
        settings: Settings = Settings(),  # noqa: B008
        watch: Path | None = None,
    ) -> Office:
        return Office(tmp_path / name, settings, watch)

    return made


@pytest.fixture
def office(make_office: Callable[..., Office]) -> Iterator[Office]:
    """A desk at work."""
    with make_office().open() as opened:
        yield opened
