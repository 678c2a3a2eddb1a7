"""What goes with every decision about a run, whoever makes it and on which way."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """When something was decided, why in words, by whom ("" if not known), and whether names were hidden."""

    now: datetime
    note: str = ""
    by: str = ""
    masked: bool = False
