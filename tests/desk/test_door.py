"""Who may come in, and what other pages, other hosts and strangers are told."""

from __future__ import annotations

import pytest
from starlette.testclient import TestClient

from tests.desk.conftest import HOST, OURS

CHANGES = ["/deliveries", "/language", "/end", "/deliveries/x/files", "/deliveries/x/begin",
           "/deliveries/x/again", "/deliveries/x/books/1/decisions"]  # fmt: skip


def stranger(office, base=f"http://{HOST}"):
    return TestClient(office.door, base_url=base)


@pytest.mark.parametrize("path", ["/", "/register", "/order.xlsx", "/deliveries/x", "/deliveries/x/made/y"])
def test_without_the_cookie_nothing_is_shown(office, path):
    answer = stranger(office).get(path)
    assert answer.status_code == 401
    assert "has not entered" in answer.text


@pytest.mark.parametrize("path", CHANGES)
def test_without_the_cookie_nothing_is_changed(office, path):
    assert stranger(office).post(path, headers=OURS).status_code == 401
    assert [*office.desk.deliveries.all()] == []


@pytest.mark.parametrize("path", CHANGES)
@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"origin": "http://example.org"},
        {"origin": "null"},
        {"origin": f"https://{HOST}"},
        {"origin": "http://127.0.0.1:4712"},
        {"sec-fetch-site": "cross-site", **OURS},
        {"sec-fetch-site": "same-site", **OURS},
        {"sec-fetch-site": "none"},
        {"sec-fetch-site": "same-origin", "origin": "http://example.org"},
    ],
)
def test_a_foreign_page_changes_nothing_even_with_the_cookie(office, path, headers):
    ended = []
    office.desk.end = lambda: ended.append(1)
    browser = office.browser()
    answer = browser.client.post(path, headers=headers)
    assert answer.status_code == 403
    assert "only from its own page" in answer.text
    assert ([*office.desk.deliveries.all()], ended) == ([], [])


@pytest.mark.parametrize(
    "host", ["example.org", "localhost:4711", "127.0.0.1:4712", "127.0.0.1", "[::1]:4711"]
)
def test_another_host_is_refused_whatever_cookie_it_brings(office, host):
    browser = office.browser()
    answer = browser.client.get("/", headers={"host": host})
    assert answer.status_code == 403


@pytest.mark.parametrize("path", CHANGES)
def test_nothing_is_changed_by_get(office, path):
    ended = []
    office.desk.end = lambda: ended.append(1)
    assert office.browser().get(path).status_code in (404, 405)
    assert ([*office.desk.deliveries.all()], ended) == ([], [])


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE"])
def test_other_methods_are_refused(office, method):
    assert office.browser().client.request(method, "/deliveries", headers=OURS).status_code == 405


def test_an_address_is_good_once_and_for_a_while(office, monkeypatch):
    token = office.door.token()
    assert stranger(office).get(f"/enter?token={token}").status_code == 200
    again = stranger(office).get(f"/enter?token={token}")
    assert (again.status_code, "used already" in again.text) == (401, True)
    assert stranger(office).get("/enter?token=").status_code == 401
    late = office.door.token()
    monkeypatch.setattr("sheetgen.desk.door.time.monotonic", lambda: 1e12)
    assert stranger(office).get(f"/enter?token={late}").status_code == 401


def test_the_cookie_is_strict_and_hidden_from_scripts(office):
    answer = stranger(office).get(f"/enter?token={office.door.token()}", follow_redirects=False)
    cookie = answer.headers["set-cookie"].lower()
    assert "httponly" in cookie
    assert "samesite=strict" in cookie
    assert answer.status_code == 303


def test_only_who_knows_the_secret_is_given_a_token(office):
    ask = stranger(office)
    for headers in ({}, {"x-desk-secret": "guess"}, {"x-desk-secret": "ñ".encode()}):
        assert ask.post("/tokens", headers=headers).status_code == 401
    assert ask.get("/tokens", headers={"x-desk-secret": office.door.secret}).status_code == 401
    token = ask.post("/tokens", headers={"x-desk-secret": office.door.secret}).text
    assert stranger(office).get(f"/enter?token={token}").status_code == 200


@pytest.mark.parametrize("path", ["/", "/nothing", "/assets/desk.js", "/enter?token=x"])
def test_every_answer_forbids_what_is_not_ours(office, path):
    headers = office.browser().get(path).headers
    assert "default-src 'none'" in headers["content-security-policy"]
    assert "unsafe" not in headers["content-security-policy"]
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["cross-origin-resource-policy"] == "same-origin"


def test_going_back_after_a_choice_of_language_leads_nowhere_else(office):
    browser = office.browser()
    for back in ("//example.org", "https://example.org", "/\\example.org"):
        answer = browser.client.post(
            "/language", content=f"language=es&back={back}", headers=OURS, follow_redirects=False
        )
        assert answer.headers["location"] == "/"
    assert "Entregar archivos" in browser.get("/").text
