"""How much a request may bring, and how slowly: looked at while it comes, before anything reads it."""

from __future__ import annotations

import asyncio
from collections.abc import Callable

from starlette.datastructures import Headers
from starlette.exceptions import HTTPException
from starlette.types import Message, Receive

MIB = 2**20
MOST_PLAIN = 8 * MIB + 64 * 1024  # one piece of an upload, a table, a form without files
MOST_FILES = 1024 * MIB + MIB  # a form with a log as long as a log may be

PAUSE_S = 20.0  # nothing came for so long
GRACE_S, SLOWEST_PER_S = 30.0, 4096.0  # slower than this altogether is somebody who holds us up


def most_bytes(headers: Headers) -> int:
    """The most that the body of a request may hold: forms with files go to the disk, all else into memory."""
    kind = headers.get("content-type", "").partition(";")[0].strip().lower()
    return MOST_FILES if kind == "multipart/form-data" else MOST_PLAIN


def said_too_large(headers: Headers) -> bool:
    """Whether a request says of itself that it is too large, or says something else than a size."""
    said = headers.get("content-length")
    return said is not None and not (said.isascii() and said.isdigit() and int(said) <= most_bytes(headers))


def watched(receive: Receive, headers: Headers, clock: Callable[[], float]) -> Receive:
    """The body piece by piece; raises HTTPException once it is too large or too slow."""
    most, begun = most_bytes(headers), clock()
    seen, whole = 0, False

    async def receiving() -> Message:
        nonlocal seen, whole
        if whole:  # what comes now is only that the asker has gone
            return await receive()
        message = await _within(PAUSE_S, receive)
        if message["type"] == "http.request":
            seen += len(message.get("body", b""))
            whole = not message.get("more_body", False)
            if seen > most:
                raise HTTPException(413, "More was sent than a request may hold.", {"Connection": "close"})
            if clock() - begun > GRACE_S + seen / SLOWEST_PER_S:
                raise too_slow()
        return message

    return receiving


async def _within(seconds: float, receive: Receive) -> Message:
    try:
        async with asyncio.timeout(seconds):
            return await receive()
    except TimeoutError:
        raise too_slow() from None


def too_slow() -> HTTPException:
    """What somebody is told who sends too slowly to be waited for."""
    return HTTPException(408, "The rest of the request did not come in time.", {"Connection": "close"})
