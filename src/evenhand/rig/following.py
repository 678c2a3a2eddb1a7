"""What the workbench says of the run that comes next, held against the run that was made."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

Wanted = Mapping[str, Any]


def not_this(following: Wanted | None, wanted: Wanted) -> bool:
    """Whether the run that comes next is another one, or the same to be made again for a reason.

    >>> not_this({"plan": 1, "slot": 4, "why": "run 9 was set aside"}, {"plan": 1, "slot": 4, "why": ""})
    True
    """
    if following is None:
        return True
    return any(following.get(part) != wanted.get(part) for part in ("plan", "slot", "why"))


def in_inbox(wanted: Wanted) -> str:
    """That a file which may be the log of this run waits in the inbox, and what then; "" where none does.

    >>> in_inbox({"waiting": "walk.csv"})
    'walk.csv waits in the inbox and may be its log: once you have said there what it is, I go on.'
    """
    name = wanted.get("waiting")
    if not name:
        return ""
    return f"{name} waits in the inbox and may be its log: once you have said there what it is, I go on."
