"""The tests of one pair laid out as columns of logs, ready for any weights."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from evenhand.findings.sessions import Replicates, Sessions
from evenhand.stats.between import Difference
from evenhand.stats.spread import Floats
from evenhand.stats.weighing import Columns, boots_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Used:
    """A test, under one of its metrics, that enters an index with its weight."""

    test: str
    weight: float
    sessions: Sessions
    difference: Difference
    one_run: bool


def lay_out(used: Sequence[Used]) -> Columns | None:
    """One column a test: by boots where all share them, else each by its own error; None without a spread.

    A test with one run on a side brings its borrowed error. Two numbers of one test are kin: they come from
    the same runs.
    """
    tables = _boot_tables(used)
    if tables:
        (means_a, a), (means_b, b) = map(boots_of, tables)
        return Columns(d=means_a - means_b, boots=(a, b))
    known = [error for error in map(_error, used) if error is not None]
    if len(known) < len(used) or not used:
        return None
    tests = list(dict.fromkeys(u.test for u in used))
    return Columns(
        d=np.array([u.difference.d for u in used]),
        se=np.array([se for se, _ in known]),
        df=np.array([df for _, df in known]),
        kin=tuple(tests.index(u.test) for u in used),
    )


def _error(used: Used) -> tuple[float, float] | None:
    d = used.difference
    if d.se is None:
        return None
    if used.one_run or d.plain_se is None:
        return d.se, d.df
    return d.plain_se, d.plain_df


def _boot_tables(used: Sequence[Used]) -> tuple[Floats, Floats] | None:
    """Logs by boot and test for both sides, where every test stands on the same boots but for single gaps.

    Gaps come from runs set aside. Two boots a side must hold every test.
    """
    if not used or any(u.sessions.kind is Replicates.RUNS for u in used):
        return None
    a = _table([(u.sessions.boots_a, u.sessions.logs_a) for u in used])
    b = _table([(u.sessions.boots_b, u.sessions.logs_b) for u in used])
    enough = all(int(np.isfinite(side).all(axis=1).sum()) >= 2 for side in (a, b))
    return (a, b) if enough else None


def _table(tests: Sequence[tuple[tuple[str, ...], tuple[float, ...]]]) -> Floats:
    boots = dict.fromkeys(boot for names, _ in tests for boot in names)
    columns = [dict(zip(names, logs, strict=True)) for names, logs in tests]
    return np.array([[column.get(boot, math.nan) for column in columns] for boot in boots])
