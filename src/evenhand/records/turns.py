"""That something on record was taken back, or put back, and why."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """Something was taken back, or put back where it `counts` again; the last turn of a thing stands."""

    counts: bool
    reason: str
    at: datetime


def why_gone(turns: Sequence[Turn]) -> str | None:
    """Why something counts no more; None where it counts.

    >>> why_gone([]) is None
    True
    """
    return None if not turns or turns[-1].counts else turns[-1].reason
