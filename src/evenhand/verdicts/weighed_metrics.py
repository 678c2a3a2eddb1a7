"""The metrics by which an audience's further properties are measured: its slowest frames, and its power."""

from __future__ import annotations

LOW_METRIC = "low_1pct"
WALL_METRIC = "wall_w"
