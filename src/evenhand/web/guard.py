"""What stands before every route: which names may be asked for, who may change things, what a page may load.

Pages load nothing from elsewhere and run no script of their own text. A request that changes something must
come from a page of this site, or carry a device's token.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from functools import cache, partial
from urllib.parse import urlsplit

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import Request
from starlette.responses import JSONResponse, PlainTextResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from evenhand.records.devices import Device
from evenhand.records.devices import Scope as Scopes
from evenhand.web.admission import LOOPBACK, OPEN, SOMEBODY, Refusal, refusal, token_of
from evenhand.web.bodies import said_too_large, watched
from evenhand.web.neighbours import anybody
from evenhand.web.reach import reaching
from evenhand.web.showing import show
from evenhand.web.turns import Turns

POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "worker-src 'self'",
        "style-src 'self'",
        "img-src 'self' data: blob:",
        "font-src 'self' data:",
        "connect-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
        "manifest-src 'self'",
    )
)
TOO_OFTEN = Refusal(status=429, words="Too many requests from here; wait a little.")
SAFE = frozenset({"GET", "HEAD", "OPTIONS"})

HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cache-Control": "no-store",
}


class Guard:
    """Refuses strangers, bodies without end, and puts the safety headers on every answer.

    `request.state.by` says who asks, for whatever is written down; `request.state.still` whether they may
    still, for answers that take long.
    """

    def __init__(
        self,
        app: ASGIApp,
        *,
        hosts: frozenset[str],
        known: Callable[[str], Device | None],
        ours: Callable[[int], bool] = anybody,
    ) -> None:
        self.app = app
        self.hosts = hosts
        self.ours = ours
        self.known = known
        self.turns = Turns()

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        client = scope["client"][0] if scope.get("client") else ""
        token = token_of(headers)
        ask = partial(refusal, scope["method"], scope["path"], client=client, token=token, known=self.known)
        found = (
            self._stranger(scope["method"], headers)
            or self._neighbour(scope)
            or await self._admitted(client, ask, token)
        )
        if isinstance(found, Refusal):
            await refused(Request(scope), found)(scope, receive, with_headers(send))
            return
        opens = reaching(client, token, cache(self.known))
        scope.setdefault("state", {}).update(
            by=found, still=lambda: not isinstance(ask(), Refusal), opens=opens
        )
        asker = self.turns.asker(client, token)
        self.turns.begin(asker)
        try:
            await self.app(
                scope, watched(receive, headers, time.monotonic), with_headers(self._counted(client, send))
            )
        finally:
            self.turns.end(asker)

    def _stranger(self, method: str, headers: Headers) -> Refusal | None:
        host = headers.get("host", "")
        if name_of(host) not in self.hosts:
            return Refusal(status=421, words="This name is not one this site is asked for by.")
        if method not in SAFE and not own_page(headers, host):
            return Refusal(status=403, words="Only this site's own pages may change things.")
        if said_too_large(headers):
            return Refusal(status=413, words="More was sent than a request may hold.")
        return None

    def _neighbour(self, scope: Scope) -> Refusal | None:
        client = scope.get("client")
        # What holds no secret is most of what a page asks for, and the system takes its time to tell.
        if not client or client[0] not in LOOPBACK or OPEN.fullmatch(scope["path"]) or self.ours(client[1]):
            return None
        return Refusal(status=403, words="Another user of this computer has opened this workbench.")

    async def _admitted(
        self, client: str, ask: Callable[[], Refusal | str], token: str | None
    ) -> Refusal | str:
        if client in LOOPBACK:
            return await run_in_threadpool(ask) if token else ask()
        turns = self.turns
        if not turns.take(turns.asker(client, token)):
            return TOO_OFTEN
        found = await run_in_threadpool(ask)
        if found != SOMEBODY and not (isinstance(found, Refusal) and found.device is None):
            turns.know(token)  # a token of ours is not held up by what else comes from its address
            return found
        if not turns.may_guess(client):
            return TOO_OFTEN
        if isinstance(found, Refusal):
            turns.fail(client)
        return found

    def _counted(self, client: str, send: Send) -> Send:
        """The answer; one that a token opened nothing counts as a failure of this address."""

        async def sending(message: Message) -> None:
            if message["type"] == "http.response.start" and message["status"] == 401:
                self.turns.fail(client)
            await send(message)

        return sending


def refused(request: Request, why: Refusal) -> Response:
    """A refusal in the form the asker reads; the connection ends with it, whatever else was to be sent."""
    headers, path = {"Connection": "close"}, request.url.path
    if why.device is not None and why.device.scope is not Scopes.RIG and not path.startswith("/api/"):
        page = show(request, "refused.html", status=why.status, words=why.words, way=bench_near(path))
        page.headers.update(headers)
        return page
    if not path.startswith("/api/") and "text/html" in request.headers.get("accept", ""):
        page = show(request, "no_way_in.html", status=why.status, code=why.status, words=why.words)
        page.headers.update(headers)
        return page
    if path.startswith("/api/"):
        about = {"kind": "Refused", "found": why.words, "where": path, "todo": ""}
        return JSONResponse({"error": about}, status_code=why.status, headers=headers)
    return PlainTextResponse(f"{why.words}\n", status_code=why.status, headers=headers)


def bench_near(path: str) -> str:
    """The bench page of the study that an address is about; of an address about none, the studies.

    >>> bench_near("/studies/saltmarsh/brief"), bench_near("/devices"), bench_near("/studies/new")
    ('/studies/saltmarsh/bench', '/', '/')
    """
    parts = path.split("/")
    return f"/studies/{parts[2]}/bench" if parts[1] == "studies" and len(parts) > 3 else "/"


def name_of(host: str) -> str:
    """The name in a Host header, without its port.

    >>> name_of("127.0.0.1:8765"), name_of("[::1]:8765"), name_of("bench.local")
    ('127.0.0.1', '[::1]', 'bench.local')
    """
    name, bracket, _ = host.partition("]")
    return (name + bracket if bracket else host.partition(":")[0]).lower()


def own_page(headers: Headers, host: str) -> bool:
    """Whether a request that changes something comes from a page of this site, or from no page at all.

    Browsers say where such a request comes from; programs without pages need not.
    """
    fetched = headers.get("sec-fetch-site")
    if fetched is not None and fetched not in ("same-origin", "none"):
        return False
    origin = headers.get("origin")
    return origin is None or urlsplit(origin).netloc == host


def with_headers(send: Send) -> Send:
    """Answers with the safety headers added."""

    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
        await send(message)

    return sending
