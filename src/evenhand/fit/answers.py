"""The three answers there are, and what several come to."""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum


class Answer(StrEnum):
    """What is said of some parts."""

    FITS = "fits"
    MISFIT = "doesn't"
    UNKNOWN = "unknown"


def worst(answers: Iterable[Answer]) -> Answer:
    """A misfit before an unknown, and that before a fit.

    >>> worst([Answer.FITS, Answer.UNKNOWN]), worst([])
    (<Answer.UNKNOWN: 'unknown'>, <Answer.FITS: 'fits'>)
    """
    found = set(answers)
    return next((each for each in (Answer.MISFIT, Answer.UNKNOWN) if each in found), Answer.FITS)
