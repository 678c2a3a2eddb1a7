"""What stands before every route: which names may be asked for, who may change things, what a page may load.

Pages load nothing from elsewhere and run no script of their own text. A request that changes something must
come from a page of this site, or carry a device's token.
"""

from __future__ import annotations

from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
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
SAFE = frozenset({"GET", "HEAD", "OPTIONS"})


class Guard:
    """Refuses strangers and puts the safety headers on every answer."""

    def __init__(self, app: ASGIApp, *, hosts: frozenset[str]) -> None:
        self.app = app
        self.hosts = hosts

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        refusal = self._refusal(scope["method"], headers)
        if refusal is not None:
            await refusal(scope, receive, with_headers(send))
            return
        await self.app(scope, receive, with_headers(send))

    def _refusal(self, method: str, headers: Headers) -> PlainTextResponse | None:
        host = headers.get("host", "")
        if name_of(host) not in self.hosts:
            return PlainTextResponse("This name is not one this site is asked for by.\n", status_code=421)
        if method not in SAFE and not own_page(headers, host):
            return PlainTextResponse("Only this site's own pages may change things.\n", status_code=403)
        return None


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
            headers.setdefault("Content-Security-Policy", POLICY)
            headers.setdefault("X-Content-Type-Options", "nosniff")
            headers.setdefault("Referrer-Policy", "same-origin")
            headers.setdefault("Cross-Origin-Opener-Policy", "same-origin")
            headers.setdefault("Cross-Origin-Resource-Policy", "same-origin")
            headers.setdefault("Cache-Control", "no-store")
        await send(message)

    return sending
