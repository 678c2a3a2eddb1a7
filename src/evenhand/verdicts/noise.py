"""Loudness as a column beside what was timed: how much quieter one machine is, as the ear has it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from evenhand.findings.gaps import Gap, Topic
from evenhand.records.audiences import Property
from evenhand.stats.weighing import Columns
from evenhand.verdicts.grounds import Ground, PairGrounds

TWICE_AS_LOUD_DB = 10.0
"""Ten decibels more sound about twice as loud (Stevens 1955, a rule of thumb for sounds well above the
threshold): so loudness, like a rate, has ratios that a weight can be laid upon."""


def with_noise(pair: PairGrounds, gaps: Sequence[Gap]) -> PairGrounds:
    """The pair with a column of loudness, a over b with quieter upward; as it is where nothing was read.

    What was read while tests ran goes before idling: the mean over those tests, with their errors taken to be
    independent (Satterthwaite 1946) and the meter's own to be shared. Readings have nothing to do with boots.
    """
    own = [
        _turned(gap, pair) for gap in gaps if gap.topic is Topic.SOUND and {gap.a, gap.b} == {pair.a, pair.b}
    ]
    told = [gap for gap in own if gap.difference is not None]
    used = [gap for gap in told if gap.test] or told
    if not used:
        return pair
    n, per_db = len(used), math.log(2.0) / TWICE_AS_LOUD_DB
    d = -per_db * sum(gap.difference or 0.0 for gap in used) / n
    ground = Ground(
        property=Property.NOISE, one_run=any(gap.se is None for gap in used),
        allowance=per_db * max(gap.allowance for gap in used),
    )  # fmt: skip
    return replace(
        pair, grounds=(*pair.grounds, ground), plain_d=(*pair.plain_d, d),
        columns=_beside(pair.columns, d, used, per_db),
    )  # fmt: skip


def _turned(gap: Gap, pair: PairGrounds) -> Gap:
    """The gap as that of a less b."""
    if gap.a == pair.a or gap.difference is None:
        return gap
    return replace(gap, a=gap.b, b=gap.a, difference=-gap.difference)


def _beside(columns: Columns | None, d: float, used: Sequence[Gap], per_db: float) -> Columns | None:
    """The columns with one more behind them; None where any of them has no error."""
    errors = [(gap.se, gap.df) for gap in used if gap.se is not None]
    if columns is None or len(errors) < len(used):
        return None
    n = len(errors)
    parts = np.array([(per_db * se / n) ** 2 for se, _ in errors])
    pull = float(sum(part**2 / df for part, (_, df) in zip(parts, errors, strict=True)))
    df = float(parts.sum() ** 2 / pull) if pull > 0 else 1.0
    own = Columns(d=np.array([d]), se=np.array([math.sqrt(parts.sum())]), df=np.array([df]))
    return columns.beside(own)
