"""What is worked out of a run once, however many cells it is looked at from.

A run is judged in its own cell, and stands beside every other setup's cell of its test as a peer.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from evenhand.triage.candidate import Candidate
from evenhand.triage.features import Features, features
from evenhand.triage.thresholds import Thresholds

Made = TypeVar("Made")

LARGE_FRAMES = 1_000_000  # of longer runs, arrays as long as the run are not kept between detectors


class Prepared:
    """Features of runs, and whatever detectors derive from them, under one set of thresholds.

    >>> from evenhand.triage.thresholds import DEFAULT
    >>> run = Candidate(id="r", label="r", headline=None)
    >>> prepared = Prepared(DEFAULT)
    >>> prepared.features(run) is prepared.features(run)
    True
    """

    def __init__(self, thresholds: Thresholds) -> None:
        self._thresholds = thresholds
        self._features: dict[int, Features] = {}
        self._derived: dict[tuple[int, str, int], object] = {}
        self._large: set[tuple[int, str, int]] = set()

    def features(self, run: Candidate) -> Features:
        """The features of this very run; they hold on to it, so that its identity stays its own."""
        known = self._features.get(id(run))
        if known is None:
            known = self._features[id(run)] = features(run, self._thresholds)
        return known

    def derived(self, of: Features, what: str, size: int, make: Callable[[], Made]) -> Made:
        """Something a detector makes of a run's features, by its name and size."""
        key = (id(of), what, size)
        if key not in self._derived:
            self._derived[key] = make()
        made: Made = self._derived[key]  # type: ignore[assignment]  # a name always stands for one type
        return made

    def as_long_as_the_run(self, of: Features, what: str, size: int, make: Callable[[], Made]) -> Made:
        """As `derived`, for what takes as much memory as the run itself: kept of long runs until `let_go`."""
        if of.frames >= LARGE_FRAMES:
            self._large.add((id(of), what, size))
        return self.derived(of, what, size, make)

    def let_go(self) -> None:
        """Forget what takes up much memory; whoever asks for it again has it worked out again."""
        for key in self._large:
            self._derived.pop(key, None)
        self._large.clear()
