"""One threshold: a dataclass field that carries its unit and the reason it stands where it does."""

from __future__ import annotations

from dataclasses import field
from typing import Any


def limit(value: Any, unit: str, reason: str) -> Any:
    """A field with this default, told by `evenhand.triage.thresholds.reasons`."""
    return field(default=value, metadata={"unit": unit, "reason": reason})
