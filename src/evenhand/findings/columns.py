"""The tests of one pair laid out as columns of logs, ready for any weights."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np

from evenhand.findings.sessions import Beside, Replicates, Sessions
from evenhand.stats.between import Difference
from evenhand.stats.boots import boots_of
from evenhand.stats.contrasts import means_of
from evenhand.stats.less_boots import less_boots
from evenhand.stats.spread import Floats
from evenhand.stats.weighing import Columns


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
    by_boots = lay_boots([u.sessions for u in used])
    if by_boots:
        return by_boots
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


def lay_boots(tests: Sequence[Sessions]) -> Columns | None:
    """One column a test by the boots that all of them share, less what bridges stand on; None without any.

    Where the four cells of a bridged test scatter unlike, its degrees of freedom follow what they scatter by.
    Taking its tests as independent instead would leave out the error that all tests of a boot share.
    """
    over = [i for i, s in enumerate(tests) if s.beside]
    own = _boot_tables(tests)
    if own is None:
        return None
    sides = [boots_of(table) for table in own]
    if over:
        beside = _tables([_bridge(s.beside) for s in tests if s.beside])
        if beside is None:
            return None
        both, unlike = zip(sides, beside, strict=True), [_is_uneven(tests[i]) for i in over]
        sides = [less_boots(side, boots_of(table), at=over, unlike=unlike) for side, table in both]
    (means_a, a), (means_b, b) = sides
    return Columns(d=means_a - means_b, boots=(a, b))


def _is_uneven(test: Sessions) -> bool:
    beside = () if test.beside is None else (test.beside.logs_a, test.beside.logs_b)
    return means_of([test.logs_a, test.logs_b, *beside]).uneven


def _error(used: Used) -> tuple[float, float] | None:
    d = used.difference
    if d.se is None:
        return None
    if used.one_run or d.plain_se is None:
        return d.se, d.df
    return d.plain_se, d.plain_df


Side: TypeAlias = tuple[tuple[str, ...], tuple[float, ...]]
"""The boots of one side of a test by name, and their logs."""


def _bridge(beside: Beside) -> tuple[Side, Side]:
    """Both sides of a bridge, its boots under names that no other machine's have."""
    a, b = (tuple(f"{beside.machine}\n{boot}" for boot in side) for side in (beside.boots_a, beside.boots_b))
    return (a, beside.logs_a), (b, beside.logs_b)


def _boot_tables(tests: Sequence[Sessions]) -> tuple[Floats, Floats] | None:
    if not tests or any(s.kind is Replicates.RUNS for s in tests):
        return None
    return _tables([((s.boots_a, s.logs_a), (s.boots_b, s.logs_b)) for s in tests])


def _tables(tests: Sequence[tuple[Side, Side]]) -> tuple[Floats, Floats] | None:
    """Logs by boot and test for both sides, where every test stands on the same boots but for single gaps.

    Gaps come from runs set aside. Two boots a side must hold every test.
    """
    if not all(_may_hold([test[side][0] for test in tests]) for side in (0, 1)):
        return None
    a, b = (_table([test[side] for test in tests]) for side in (0, 1))
    enough = all(int(np.isfinite(side).all(axis=1).sum()) >= 2 for side in (a, b))
    return (a, b) if enough else None


def _may_hold(names: Sequence[tuple[str, ...]]) -> bool:
    """Whether two boots are named in every test, as a table needs: told without making one."""
    first, *others = dict.fromkeys(names)  # most tests name the same
    return len(frozenset(first).intersection(*others)) >= 2


def _table(tests: Sequence[Side]) -> Floats:
    alike: dict[tuple[str, ...], list[int]] = {}  # most tests name the same boots
    for column, (names, _) in enumerate(tests):
        alike.setdefault(names, []).append(column)
    place = {boot: row for row, boot in enumerate(dict.fromkeys(boot for names in alike for boot in names))}
    table = np.full((len(place), len(tests)), math.nan)
    for names, columns in alike.items():
        rows = [place[boot] for boot in names]
        table[np.ix_(rows, columns)] = np.array([tests[column][1] for column in columns]).T
    return table
