"""The numbers of one run, each under the key of its definition."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True, kw_only=True)
class Definition:
    """What a number means. The key names the definition: another definition is another key.

    `rankable` says whether the number may enter findings; `better` is "higher", "lower" or "".
    """

    key: str
    label: str
    unit: str
    better: str
    rankable: bool
    meaning: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RunMetrics:
    """`values` by definition key; a metric that the run cannot carry is absent, with its reason in `absent`.

    `within_run` holds (low, high) at 95 % "within this run only" for the keys that have one.
    """

    values: Mapping[str, float]
    within_run: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    absent: Mapping[str, str] = field(default_factory=dict)
