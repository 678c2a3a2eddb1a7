"""What is known of a part: one fact of it, where that was read, and on which day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

PERFORMANCE = "performance:"
"""Before a role's name: how good a part is at it, as a multiple of any one reference."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PartFact:
    """One fact of a part, as `fit` or a choice of parts asks for it.

    `value` is as `fit.known` has it, None where it was looked for and is not known. `source` says in the
    reviewer's words where it is from. `id` is 0 until it is on record.
    """

    part: str
    fact: str
    value: Any
    source: str
    on: date
    id: int = 0
