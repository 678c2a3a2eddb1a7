"""What a verdict allows for: errors that repeats do not show, each told of what it comes from."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from evenhand.findings.finding import Caveat
from evenhand.records.audiences import Property
from evenhand.verdicts.grounds import Ground

ALLOWANCE, METER, DRIFT = "allowance", "meter-allowance", "drift-allowance"

_WORDS = {
    ALLOWANCE: "runs of one boot, or not taken in turns, may share an error that repeats do not show",
    METER: "a sound meter may be out by as much in every reading, which repeats do not show",
    DRIFT: "a machine that bridges drifts from day to day",
}
_DUST = 1e-12  # what rounding leaves of parts that make up the whole


def allowances(grounds: Sequence[Ground], weights: npt.NDArray[np.float64]) -> list[Caveat]:
    """How much is allowed, by what it is allowed for; `weights` (C,) are those of the columns."""
    return [
        Caveat(key=key, words=f"{_WORDS[key]}: {100 * math.expm1(log):.3g} % is allowed for it")
        for key, log in _parts(grounds, weights).items()
    ]


def within_words(grounds: Sequence[Ground], weights: npt.NDArray[np.float64]) -> str:
    """What has to be exceeded, named where it is one thing: "the allowance", "the meter's error"."""
    parts = list(_parts(grounds, weights))
    named = {METER: "the meter’s error", DRIFT: "that drift"}
    return named.get(parts[0], "the allowance") if len(parts) == 1 else "the allowances together"


def _parts(grounds: Sequence[Ground], weights: npt.NDArray[np.float64]) -> dict[str, float]:
    """The log that each source may make: weights of columns times what each of them allows."""
    found = dict.fromkeys(_WORDS, 0.0)
    for ground, weight in zip(grounds, weights.tolist(), strict=True):
        found[DRIFT] += weight * ground.drift
        of = METER if ground.property is Property.NOISE else ALLOWANCE
        found[of] += weight * (ground.allowance - ground.drift)
    return {key: log for key, log in found.items() if log > _DUST}
