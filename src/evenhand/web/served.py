"""The site as it was opened: the workbench, the clock, and under which names it may be asked for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime

from evenhand.desk.opening import Desk, own_clock, present
from evenhand.web.neighbours import anybody

OWN_NAMES = frozenset({"localhost", "127.0.0.1", "[::1]"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """One opened workbench as it is served.

    `hosts` are the names under which this server may be asked for; any other is refused, so that a page from
    elsewhere cannot point its own name at this machine. `clock` gives a moment as lists tell it: by this
    computer's own clock, whatever the rigs' say. `network` holds the addresses under which others can
    reach it, none where it listens on this computer alone, and `certificate` the SHA-256 of its certificate
    where it has one. `ours` tells of the far port of a connection on this computer whether it is its owner's.
    """

    wb: Desk
    hosts: frozenset[str] = OWN_NAMES
    now: Callable[[], datetime] = field(default=present)
    clock: Callable[[datetime], datetime] = field(default=own_clock)
    network: tuple[str, ...] = ()
    certificate: str = ""
    ours: Callable[[int], bool] = anybody
