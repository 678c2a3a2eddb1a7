"""Whose turn it is: a device of ours is counted by its token, everybody else by the address they ask from.

So nobody who shares an address with a rig, or guesses beside it, holds it up.
"""

from __future__ import annotations

import time
from collections import Counter
from hashlib import sha256

from evenhand.web.admission import Pace

NETWORK_BURST, NETWORK_PER_S = 400.0, 100.0  # eight rigs sending logs at once stay well below
FAILURES_BURST, FAILURES_PER_S = 10.0, 0.2
MOST_AT_ONCE = 64  # requests of one asker that are being answered, open streams among them


class Turns:
    """Counts what was asked, what failed, and what is open."""

    __slots__ = ("_asked", "_failed", "_let_in", "_open")

    def __init__(self) -> None:
        self._asked = Pace(burst=NETWORK_BURST, per_s=NETWORK_PER_S, clock=time.monotonic)
        self._failed = Pace(burst=FAILURES_BURST, per_s=FAILURES_PER_S, clock=time.monotonic)
        self._open: Counter[str] = Counter()
        self._let_in: set[str] = set()

    def asker(self, client: str, token: str | None) -> str:
        """Under which name somebody is counted: a token's hash once it was found known."""
        name = sha256(token.encode("utf-8", "replace")).hexdigest() if token else ""
        return name if name in self._let_in else client

    def know(self, token: str | None) -> None:
        """Counts this token by itself from now on."""
        if token:
            self._let_in.add(sha256(token.encode("utf-8", "replace")).hexdigest())

    def take(self, asker: str) -> bool:
        """Whether this one may ask now; asking counts."""
        return self._asked.take(asker) and self._open[asker] < MOST_AT_ONCE

    def fail(self, client: str) -> None:
        """Counts a guess of this address."""
        self._failed.take(client)

    def may_guess(self, client: str) -> bool:
        """Whether a token that nobody knows may come from this address now."""
        return self._failed.may(client)

    def begin(self, asker: str) -> None:
        """One more is open."""
        self._open[asker] += 1

    def end(self, asker: str) -> None:
        """One less."""
        self._open[asker] -= 1
        self._open += Counter()  # forgets who has nothing open
