"""What a meter at the wall says of a run: its power, and what a frame costs."""

from __future__ import annotations

import math
from dataclasses import replace

from evenhand.metrics.run_metrics import RunMetrics

WALL_POWER = "wall_w"
FRAME_ENERGY = "joules_per_frame"
WALL_KEYS = (WALL_POWER, FRAME_ENERGY)

NOT_READ = "no watts at the wall are on record for this run"
NO_RATE = "needs an average frame rate; the run has none"


def with_wall(metrics: RunMetrics, wall_w: float | None) -> RunMetrics:
    """The numbers of a run with those that follow from its watts at the wall, or why there are none.

    A watt is a joule a second, so that watts over frames a second are joules a frame:
    `joules_per_frame` = `wall_w` / `average_fps`. A score has no frames to share them out to, and gives no
    reason. What is not above zero could enter no ratio, and is absent.

    >>> dict(with_wall(RunMetrics(values={"average_fps": 80.0}), 240.0).values)
    {'average_fps': 80.0, 'wall_w': 240.0, 'joules_per_frame': 3.0}
    >>> dict(with_wall(RunMetrics(values={"score": 12.4}), None).absent)
    {'wall_w': 'no watts at the wall are on record for this run'}
    """
    fps, frames = metrics.values.get("average_fps"), "score" not in metrics.values
    if wall_w is None or not (math.isfinite(wall_w) and wall_w > 0):
        why = NOT_READ if wall_w is None else f"{wall_w:g} W at the wall can enter no ratio"
        return _absent(metrics, dict.fromkeys(WALL_KEYS if frames else (WALL_POWER,), why))
    values = {**metrics.values, WALL_POWER: float(wall_w)}
    if fps is not None and fps > 0:
        return replace(metrics, values={**values, FRAME_ENERGY: wall_w / fps})
    found = replace(metrics, values=values)
    return _absent(found, {FRAME_ENERGY: NO_RATE}) if frames else found


def _absent(metrics: RunMetrics, reasons: dict[str, str]) -> RunMetrics:
    return replace(metrics, absent={**metrics.absent, **reasons})
