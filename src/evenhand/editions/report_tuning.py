"""What a report says of tuned parts, as data for its template."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import count
from typing import Any

from evenhand.editions.article_tuning import BesideTold, TrialTold, TunedPart, TunedSeries
from evenhand.publish.tuning.readers import FOR_READERS, not_called_words


def tuned_data(parts: Sequence[TunedPart]) -> dict[str, Any]:
    """Every tuned part; pictures by their place among those of all of them."""
    places = count()
    return {
        "tuned": [
            {
                "name": part.name,
                "stock": part.stock,
                "limits": [list(each) for each in part.limits],
                "series": [_series(each, places) for each in part.series],
                "beside": [_beside(each, places) for each in part.beside],
                "trials": [_trial(each) for each in part.trials],
            }
            for part in parts
        ],
        "cautions": list(FOR_READERS),
    }


def _series(series: TunedSeries, places: Iterator[int]) -> dict[str, Any]:
    claim = [series.called, not_called_words(series.not_called), series.more] if series.called else []
    return {
        "about": series.about,
        "said": [*claim, *filter(None, [series.first]), *series.doubts],
        "advice": list(series.advice),
        "pictures": [next(places) for _ in series.for_paper],
    }


def _beside(told: BesideTold, places: Iterator[int]) -> dict[str, Any]:
    return {
        "name": told.name,
        "said": list(told.said),
        "pictures": [next(places) for _ in told.for_paper],
    }


def _trial(trial: TrialTold) -> list[str]:
    back = f"; taken back: {trial.back}" if trial.back else ""
    return [trial.point, trial.load, f"{trial.ended}{back}", trial.on]
