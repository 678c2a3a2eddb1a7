"""Whose a connection on this computer is: another user of a shared one must not get in through loopback.

Linux tells it, of one connection or in a table of all. Where neither is told, every user of this computer is
taken for its owner.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from evenhand.web.one_connection import owner_of

TABLE = Path("/proc/net/tcp")
HERE = "0100007F"  # 127.0.0.1 as the table writes it
LISTENING = "0A"
ROOT = 0  # may do everything anyhow, and forwards connections for others


@dataclass(frozen=True, slots=True, kw_only=True)
class End:
    """One end of a connection; an end that its program has let go of has no `inode`."""

    own: tuple[str, int]
    other: tuple[str, int]
    state: str
    user: int
    inode: int


def ends(table: str, *, having: str = "") -> Iterator[End]:
    """Every end in a table, or those whose line has these words: a busy computer has thousands.

    >>> head = "  sl  local_address rem_address   st tx_queue rx_queue tr tm->when retrnsmt   uid  timeout"
    >>> line = "   0: 0100007F:C350 0100007F:2145 01 00000000:00000000 00:00000000 00000000  1000 0 52 1 f 20"
    >>> [(end.own, end.user, end.inode) for end in ends(head + chr(10) + line)]
    [(('0100007F', 50000), 1000, 52)]
    """
    for line in table.splitlines()[1:]:
        words = line.split() if having in line else []
        if len(words) > 9:
            yield End(
                own=_place(words[1]), other=_place(words[2]), state=words[3],
                user=int(words[7]), inode=int(words[9]),
            )  # fmt: skip


def _place(told: str) -> tuple[str, int]:
    host, _, port = told.partition(":")
    return host, int(port, 16)


def anybody(_: int) -> bool:
    """Takes every connection on this computer for its owner's."""
    return True


def owner_only(port: int, *, table: Path = TABLE, user: int | None = None) -> Callable[[int], bool]:
    """Tells of the far port of a connection to `port` whether its program is this user's, or the system's.

    An end that is gone, or that its program has let go of, is nobody's.
    """
    own = os.getuid() if user is None and hasattr(os, "getuid") else user
    if own is None or not any(end.own[1] == port and end.state == LISTENING for end in _read(table)):
        return anybody  # a system that does not tell

    def ours(far: int) -> bool:
        return any(inode and user in (own, ROOT) for user, inode in _owners(table, far, port))

    return ours


def _owners(table: Path, far: int, port: int) -> list[tuple[int, int]]:
    """User and inode of the far end of a connection: asked of the system alone, or found in its table."""
    if table == TABLE:
        with suppress(OSError):
            found = owner_of(far, port)
            return [] if found is None else [found]
    ends_there = _read(table, having=f"{HERE}:{far:04X} {HERE}:{port:04X}")
    return [(end.user, end.inode) for end in ends_there]


def _read(table: Path, *, having: str = "") -> tuple[End, ...]:
    try:
        return tuple(ends(table.read_text(encoding="ascii"), having=having))
    except (OSError, ValueError):
        return ()
