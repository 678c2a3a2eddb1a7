"""A study put away: nobody works on it any more, nothing of it is lost, and it can be brought back."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class StudyAway:
    """That a study was put away, or brought back where `away` is False; the last one of a study stands.

    `by` says from where it was done ("this computer" or a device's name). `id` is 0 until it is on record.
    """

    study: str
    away: bool
    by: str
    at: datetime
    note: str = ""
    id: int = 0
