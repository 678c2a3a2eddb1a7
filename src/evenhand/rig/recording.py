"""A log of what the machine's sensors say, once a second, from the start of a run to its end."""

from __future__ import annotations

import os
import threading
import time
from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from evenhand.rig.readings.sensor import UNITS, Sensor

EVERY_S = 1.0
TO_DISK_EVERY = 10  # readings: a power cut takes the last seconds at most, and the disk is left alone
TIME, ELAPSED = "time of day [UTC]", "elapsed [s]"


class Recorder:
    """Writes a line a second while its `with` block lasts.

    `now` gives the workbench's time, so that a rig whose clock is off by an hour does no harm.
    """

    def __init__(
        self, sensors: Sequence[Sensor], place: Path, *, now: Callable[[], datetime], every_s: float = EVERY_S
    ) -> None:
        self._sensors = sensors
        self._place = place
        self._now = now
        self._every_s = every_s
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._record, daemon=True)

    def __enter__(self) -> Recorder:
        self._thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._stop.set()
        self._thread.join()

    def log(self) -> bytes:
        """What was recorded, once the block has ended."""
        return self._place.read_bytes()

    def _record(self) -> None:
        begin = time.monotonic()
        with self._place.open("w", encoding="utf-8", newline="\n") as file:
            file.write(",".join((TIME, ELAPSED, *(s.header for s in self._sensors))) + "\n")
            line = 0
            while not self._stop.wait(max(0.0, begin + line * self._every_s - time.monotonic())):
                file.write(self._line(time.monotonic() - begin))
                line += 1
                if line % TO_DISK_EVERY == 0:
                    file.flush()
                    os.fsync(file.fileno())

    def _line(self, elapsed_s: float) -> str:
        stamp = self._now().astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%f")[:-3] + "Z"
        return ",".join((stamp, f"{elapsed_s:.3f}", *(written(s.read()) for s in self._sensors))) + "\n"


def written(value: float | None) -> str:
    """A reading as it stands in the log: three decimals at most, nothing where there was none.

    >>> written(81.25), written(4700.0), written(None)
    ('81.25', '4700', '')
    """
    return "" if value is None else f"{value:.3f}".rstrip("0").rstrip(".")


def layout_of(sensors: Sequence[Sensor]) -> dict[str, Any]:
    """What the columns of the log are, so that nobody needs to be asked."""
    columns = [
        {"header": TIME, "role": "time of day", "unit": "UTC", "about": ""},
        {"header": ELAPSED, "role": "elapsed time", "unit": "s", "about": ""},
    ]
    columns += [
        {"header": s.header, "role": s.role, "unit": UNITS[s.role], "about": s.about} for s in sensors
    ]
    return {"kind": "sensors", "columns": columns}
