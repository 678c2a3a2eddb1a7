"""Who may do what: this computer all, a device from the network what its token is for, others nothing."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from http.cookies import SimpleCookie
from types import MappingProxyType

from starlette.datastructures import Headers

from evenhand.errors import EvenhandError
from evenhand.records.devices import Device, Scope

COOKIE = "evenhand-device"
LOOPBACK = frozenset({"127.0.0.1", "::1"})
THIS_COMPUTER = "this computer"
SOMEBODY = "somebody on the network"  # who asks for what needs no token

READ = frozenset({"GET", "HEAD"})
WRITE = frozenset({"POST", "PUT", "PATCH", "DELETE"})

# What needs no token: how pages look, the rig program (which holds no secret), and the way in itself.
OPEN = re.compile(r"/(static|fonts)/.*|/rig/evenhand-rig\.pyz|/join")

# What each scope opens, as methods and whole paths. FULL opens all but letting others in.
OPENS: Mapping[Scope, tuple[tuple[frozenset[str], re.Pattern[str]], ...]] = MappingProxyType(
    {
        Scope.RIG: (
            (READ | WRITE, re.compile(r"/api/uploads/.*")),
            (READ | WRITE, re.compile(r"/api/rig/.*")),
        ),
        Scope.PHONE: (
            (
                READ,
                re.compile(
                    r"/|/live|/studies/[^/]+/(bench|runs|compare)(/.*)?|/studies/[^/]+/(strip|away)|/photos/.*"
                ),
            ),
            (WRITE, re.compile(r"/studies/[^/]+/(bench|runs)(/.*)?")),
            (READ | WRITE, re.compile(r"/studies/[^/]+/builds/[^/]+/photos(/.*)?")),
            (READ, re.compile(r"/api/runs/.*")),
        ),
        Scope.FULL: ((READ | WRITE, re.compile(r"/(?!devices|rig).*")),),
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Refusal:
    """Why a request is not answered, with its status; `device` is who asked, where its token is known."""

    status: int
    words: str
    device: Device | None = None


class NoWayIn(EvenhandError):
    """A link whose token opens nothing, or nothing any more."""


def refusal(
    method: str, path: str, *, client: str, token: str | None, known: Callable[[str], Device | None]
) -> Refusal | str:
    """Who asks, by name, or why they are not answered. `known` finds the device of a token.

    This computer may do everything; a rig program or phone that runs on it goes by its own name all the same.

    >>> nobody = lambda token: None
    >>> refusal("POST", "/inbox", client="127.0.0.1", token=None, known=nobody)
    'this computer'
    >>> refusal("GET", "/", client="192.0.2.7", token=None, known=nobody).status
    401
    """
    if client in LOOPBACK:
        here = known(token) if token else None
        return here.name if here else THIS_COMPUTER
    if method in READ and OPEN.fullmatch(path):
        return SOMEBODY
    device = known(token) if token else None
    if device is None:
        words = "This token opens nothing here." if token else "This needs a link from the workbench."
        return Refusal(status=401, words=words)
    if not any(method in methods and paths.fullmatch(path) for methods, paths in OPENS[device.scope]):
        words = f"{device.name} is not let in for this: it may {device.scope.meaning}."
        return Refusal(status=403, words=words, device=device)
    return device.name


def token_of(headers: Headers) -> str | None:
    """The token that a request carries, in its Authorization header or its cookie."""
    said = headers.get("authorization", "")
    if said.lower().startswith("bearer "):
        return said[7:].strip() or None
    cookies: SimpleCookie = SimpleCookie()
    try:
        cookies.load(headers.get("cookie", ""))
    except ValueError:
        return None
    return cookies[COOKIE].value if COOKIE in cookies else None


class Pace:
    """How often somebody may ask: `burst` times at once, then `per_s` a second. Others are not slowed."""

    __slots__ = ("_burst", "_clock", "_left", "_per_s")

    def __init__(self, *, burst: float, per_s: float, clock: Callable[[], float]) -> None:
        self._burst, self._per_s, self._clock = burst, per_s, clock
        self._left: dict[str, tuple[float, float]] = {}

    def take(self, who: str) -> bool:
        """Whether this one may ask now; asking counts."""
        now = self._clock()
        left, then = self._left.get(who, (self._burst, now))
        left = min(self._burst, left + (now - then) * self._per_s)
        allowed = left >= 1
        self._left[who] = (left - 1 if allowed else left, now)
        if len(self._left) > 10_000:  # somebody who invents addresses must not fill our memory
            self._left = {who: self._left[who]}
        return allowed

    def may(self, who: str) -> bool:
        """Whether this one may ask now, without counting it."""
        left, then = self._left.get(who, (self._burst, self._clock()))
        return left + (self._clock() - then) * self._per_s >= 1
