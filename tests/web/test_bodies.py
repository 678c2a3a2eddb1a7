"""Bodies that are too large, too slow or without end are cut off before anything reads them."""

from __future__ import annotations

import asyncio
import socket
import time
from collections.abc import Coroutine, Iterator
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime
from typing import Any, TypeVar
from urllib.parse import urlsplit

import httpx2
import pytest
from starlette.datastructures import Headers
from starlette.exceptions import HTTPException
from starlette.testclient import TestClient
from starlette.types import Message
from tests.web.conftest import client_of
from tests.web.looking import Served

from evenhand.desk.bench.admitting import admit, known_by, shut_out
from evenhand.desk.opening import Desk
from evenhand.records.devices import Scope
from evenhand.web import bodies, first, turns
from evenhand.web.admission import Refusal, refusal
from evenhand.web.live import _events
from evenhand.web.pulse import Pulse

HOUR = 3600.0
T = TypeVar("T")


def run(doing: Coroutine[Any, Any, T]) -> T:
    """What comes of it, in a thread of its own: an open browser keeps a loop going in this one."""
    with ThreadPoolExecutor(1) as room:
        return room.submit(asyncio.run, doing).result()


def pieces(*parts: bytes, more: bool = False) -> Iterator[Message]:
    """A body in pieces; with `more` its end never comes."""
    for at, part in enumerate(parts, start=1):
        yield {"type": "http.request", "body": part, "more_body": more or at < len(parts)}


def read(parts: Iterator[Message], *, seconds: Iterator[float], **headers: str) -> bytes:
    """Reads a body to its end as a route would."""

    async def receive() -> Message:
        found = next(parts, None)
        if found is None:
            await asyncio.sleep(HOUR)
        assert found is not None
        return found

    async def whole() -> bytes:
        taking, found = bodies.watched(receive, Headers(headers), lambda: next(seconds)), b""
        while True:
            message = await taking()
            found += message["body"]
            if not message["more_body"]:
                return found

    return run(whole())


def at_once() -> Iterator[float]:
    """A clock that stands still."""
    while True:
        yield 0.0


def test_a_body_in_pieces_is_read() -> None:
    assert read(pieces(b"ab", b"", b"c"), seconds=at_once()) == b"abc"


def test_a_body_without_end_is_cut_off_at_the_limit() -> None:
    parts = pieces(*[b"x" * bodies.MIB] * 12, more=True)
    with pytest.raises(HTTPException) as told:
        read(parts, seconds=at_once())
    assert told.value.status_code == 413
    assert next(parts, None) is not None  # what is past the limit was not taken in


def test_a_body_that_stops_is_not_waited_for(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(bodies, "PAUSE_S", 0.05)
    with pytest.raises(HTTPException) as told:
        read(pieces(b"half", more=True), seconds=at_once())
    assert told.value.status_code == 408


def test_a_body_that_trickles_is_cut_off() -> None:
    seconds = iter([0.0, *(10.0 * each for each in range(1, 100))])
    with pytest.raises(HTTPException) as told:
        read(pieces(*[b"x"] * 90), seconds=seconds)
    assert told.value.status_code == 408


def test_a_slow_link_is_given_its_time() -> None:
    seconds = iter([0.0, *(5.0 * each for each in range(1, 100))])
    part = b"x" * 32 * 1024  # a piece of an upload at 6.5 kB/s
    assert len(read(pieces(*[part] * 60), seconds=seconds)) == 60 * len(part)


def test_a_request_that_says_it_is_too_large_is_refused_before_any_of_it_came(client: TestClient) -> None:
    for size in (str(2 * bodies.MOST_FILES), "-1", "many"):
        answer = client.post(
            "/api/logs", content=b"", headers={"content-length": size, "content-type": "multipart/form-data"}
        )
        assert (answer.status_code, answer.headers["connection"]) == (413, "close")
    plain = {"content-length": str(bodies.MOST_PLAIN + 1), "content-type": "application/json"}
    assert client.put("/api/studies/saltmarsh", content=b"", headers=plain).status_code == 413


def test_the_real_server_says_so_and_hangs_up(served: Served) -> None:
    place = urlsplit(served.url)
    with socket.create_connection((str(place.hostname), place.port or 0), timeout=10) as line:
        line.sendall(
            f"POST /api/logs HTTP/1.1\r\nHost: {place.netloc}\r\nContent-Type: multipart/form-data\r\n"
            f"Content-Length: {10**12}\r\n\r\n".encode()
        )
        told = line.recv(4096)
        assert b" 413 " in told.partition(b"\r\n")[0]
        line.settimeout(10)
        while line.recv(4096):
            pass


def test_somebody_with_too_much_open_waits(client: TestClient, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(turns, "MOST_AT_ONCE", 0)
    assert client.get("/").status_code == 200  # this computer is not counted
    elsewhere = TestClient(client.app, base_url="http://127.0.0.1", client=("192.0.2.7", 50000))
    assert elsewhere.get("/static/mark.svg").status_code == 429


def test_a_stream_ends_once_its_device_is_shut_out(wb: Desk, served: Served) -> None:
    """The stream asks before each event whether it may still tell."""
    made = admit(wb, name="phone", scope=Scope.PHONE, now=datetime.now(UTC))

    def still() -> bool:
        known = lambda token: known_by(wb, token)  # noqa: E731
        found = refusal("GET", "/live", client="192.0.2.7", token=made.token, known=known)
        return not isinstance(found, Refusal)

    async def told() -> list[str]:
        pulse, found = Pulse(wb), []
        async with pulse.beating():
            async for event in _events(pulse, still):
                found.append(event)
                if len(found) == 1:
                    await asyncio.sleep(0.5)
                    await asyncio.to_thread(shut_out, wb, made.device.id, now=datetime.now(UTC))
        return found

    assert still()
    begun = time.monotonic()
    assert len(run(told())) == 1
    assert time.monotonic() - begun < 10
    assert not still()


def test_a_trouble_of_ours_is_told_without_its_inside(wb: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object) -> None:
        raise RuntimeError("the token is secret-token")

    monkeypatch.setattr(first, "home_page", broken)
    with client_of(wb) as client:
        quiet = TestClient(
            client.app, base_url="http://127.0.0.1", client=("127.0.0.1", 1), raise_server_exceptions=False
        )
        answer = quiet.get("/")
    assert answer.status_code == 500
    assert "secret-token" not in answer.text
    assert "default-src 'none'" in answer.headers["content-security-policy"]


def test_nothing_is_logged_of_a_link(served: Served, capfd: pytest.CaptureFixture[str]) -> None:
    httpx2.get(f"{served.url}/join?token=a-secret-one")
    told = capfd.readouterr()
    assert "a-secret-one" not in told.out + told.err
