"""What one column shows: the words and unit of its header, and how its first values behave."""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np

from evenhand.traces.fields import is_clock_text, read_number
from evenhand.traces.probe import Probe
from evenhand.traces.tables import Floats
from evenhand.units import Unit, unit_in_header

_BRACKETS = re.compile(r"[\[(<{].*?[\])>}]")
_WORDS = re.compile(r"[A-Z]?[a-z]+|[A-Z]+(?![a-z])")
MOSTLY = 0.8
RATE_WORDS = frozenset({"fps", "rate", "framerate", "hz", "hertz", "frequency", "freq"})
_PER_TIME = re.compile(r"(?:\bper|/)[\s_]*(?:s|sec|second|min|minute|h|hour)s?(?![a-z])", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Evidence:
    """One column of the first rows; `values` has shape (n,), NaN where a field is no number.

    `rising`: never falls and does move. `counter`: whole numbers one apart. `timed`: holds dates or
    times of day as text. `numeric`: the share of fields that are numbers.
    """

    header: str
    words: frozenset[str]
    unit: Unit | None
    values: Floats
    numeric: float
    timed: bool

    @property
    def is_numeric(self) -> bool:
        """Whether the column holds numbers."""
        return self.numeric >= MOSTLY

    @property
    def is_rate(self) -> bool:
        """Whether header or unit speak of so many a second: never a time, whatever the values look like."""
        by_unit = self.unit is not None and self.unit.quantity in ("rate", "clock")
        return by_unit or says_rate(self.header)

    @property
    def rising(self) -> bool:
        """Whether the values never fall and do move."""
        known = self.values[np.isfinite(self.values)]
        return known.size > 1 and bool((np.diff(known) >= 0).all() and known[-1] > known[0])

    @property
    def counter(self) -> bool:
        """Whether the values count rows."""
        known = self.values[np.isfinite(self.values)]
        return known.size > 1 and bool((np.diff(known) == 1).all() and known[0] == np.round(known[0]))

    @property
    def median(self) -> float:
        """The middle value; NaN where nothing is a number."""
        known = self.values[np.isfinite(self.values)]
        return float(np.median(known)) if known.size else float("nan")

    @property
    def median_step(self) -> float:
        """The middle step from row to row; NaN where there is none."""
        steps = np.diff(self.values)
        steps = steps[np.isfinite(steps)]
        return float(np.median(steps)) if steps.size else float("nan")

    @property
    def span(self) -> str:
        """Smallest and largest value in words."""
        known = self.values[np.isfinite(self.values)]
        if not known.size:
            return "no numbers"
        low, high = float(known.min()), float(known.max())
        return f"values {low:.4g}" if low == high else f"values {low:.4g} to {high:.4g}"


def evidence(probe: Probe) -> tuple[Evidence, ...]:
    """Every column of a probe's sample, in order."""
    return tuple(_column(probe, k) for k in range(len(probe.header)))


def _column(probe: Probe, position: int) -> Evidence:
    header = probe.header[position]
    fields = [row[position] for row in probe.rows if position < len(row)]
    read = [read_number(f, probe.decimal) for f in fields]
    count = max(len(fields), 1)
    unit = unit_in_header(header)
    if unit is not None and (unit.quantity == "count" or (unit.quantity == "time" and says_rate(header))):
        unit = None  # "core 1" counts nothing, and "frames per second" is in no seconds
    return Evidence(
        header=header,
        words=words_of(header),
        unit=unit,
        values=np.array([np.nan if v is None else v for v in read], dtype=np.float64),
        numeric=sum(v is not None for v in read) / count,
        timed=sum(is_clock_text(f) for f in fields) >= MOSTLY * count,
    )


def words_of(header: str) -> frozenset[str]:
    """The plain words of a header, its bracketed unit aside.

    >>> sorted(words_of("gpuBusy.frame_time [ms]"))
    ['busy', 'frame', 'gpu', 'time']
    """
    return frozenset(w.lower() for w in _WORDS.findall(_BRACKETS.sub(" ", header)))


def says_rate(header: str) -> bool:
    """Whether the words of a header speak of a rate.

    >>> [says_rate(h) for h in ("avg fps", "frameRate", "frames per second", "t [1/s]", "refresh_Hz")]
    [True, True, True, True, True]
    >>> [says_rate(h) for h in ("time per frame [ms]", "frame [ms]", "elapsed", "ms/frame")]
    [False, False, False, False]
    """
    return bool(words_of(header) & RATE_WORDS) or _PER_TIME.search(header) is not None
