"""What was published held against what the logs give when it is worked out again."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from evenhand.editions.lasting import lasting_claims
from evenhand.editions.snapshot import Snapshot, Table
from evenhand.editions.tuned import as_known_to, beside_told, said_rows, series_name, without_tuning

CLOSE = 1e-9  # relative: libraries and processors may differ in the last digits, which nobody prints


@dataclass(frozen=True, slots=True, kw_only=True)
class Differing:
    """One published thing that comes out otherwise: its sort, address, and both in words."""

    of: str
    name: str
    published: str
    again: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Recomputed:
    """How many things of each sort match, and those that do not."""

    matching: Mapping[str, int]
    differing: tuple[Differing, ...] = field(default=())


def recomputed(published: Snapshot, again: Snapshot) -> Recomputed:
    """Every published figure, sentence, verdict and number of a run, against the same worked out anew."""
    found = [(of, *row) for of, rows in _sorts(published, again) for row in rows]
    matching = dict.fromkeys((of for of, *_ in found), 0)
    differing = []
    for of, name, one, other in found:
        if _same(one, other):
            matching[of] += 1
        else:
            differing.append(Differing(of=of, name=name, published=_words(one), again=_words(other)))
    return Recomputed(matching=matching, differing=tuple(differing))


Row = tuple[str, Any, Any]


def _sorts(published: Snapshot, again: Snapshot) -> Iterator[tuple[str, Iterator[Row]]]:
    now = as_known_to(published, again).figures if published.tuning else without_tuning(again.figures)
    yield "figures", _by_key(published.figures, now, ("value", "low", "high", "words", "ranged"))
    yield "sentences", _by_key(_sentences(published), _sentences(again), ("words",))
    yield "verdicts", _by_key(_verdicts(published), _verdicts(again), ("outcome", "value", "words"))
    yield "runs", _by_key(_runs(published), _runs(again), ("state",))
    yield "numbers of runs", _by_key(_numbers(published), _numbers(again), ("value",))
    if published.tuning:
        yield "claims of tuned parts", _by_key(_called(published), _called(again), CALLED)
        yield "advised voltages", _by_key(_advised(published), _advised(again), ("voltage_mv",))
        yield "words on tuned parts", _by_key(_beside(published), _beside(again), ("words",))


def _by_key(one: Mapping[str, Table], other: Mapping[str, Table], what: tuple[str, ...]) -> Iterator[Row]:
    for key in dict.fromkeys((*one, *other)):
        sides = [None if key not in of else [of[key].get(name) for name in what] for of in (one, other)]
        yield key, *sides  # type: ignore[misc]


def _verdicts(snapshot: Snapshot) -> dict[str, Table]:
    return {
        f"{each['audience']['key']}: {v['a']} over {v['b']}": v
        for each in snapshot.verdicts["audiences"]
        for v in each["verdicts"]
    }


def _sentences(snapshot: Snapshot) -> dict[str, Table]:
    return dict(lasting_claims(snapshot))


def _runs(snapshot: Snapshot) -> dict[str, Table]:
    """Runs by what they are called: a masked log is another file, and its run has another id."""
    return {f"{run['label']} ({run['test']}, {run['setup']})": run for run in snapshot.runs}


def _numbers(snapshot: Snapshot) -> dict[str, Table]:
    return {
        f"{name}: {key}": {"value": value}
        for name, run in _runs(snapshot).items()
        for key, value in run["metrics"].items()
    }


CALLED = ("clock_mhz", "voltage_mv", "hours", "failures", "most_per_h", "may")


def _called(snapshot: Snapshot) -> dict[str, Table]:
    return {series_name(row, row): row["claim"] or {} for row in said_rows(snapshot)}


def _advised(snapshot: Snapshot) -> dict[str, Table]:
    return {
        f"{series_name(row, row)} at {each['clock_mhz']:g} MHz": each
        for row in said_rows(snapshot)
        for each in row["advice"]
    }


def _beside(snapshot: Snapshot) -> dict[str, Table]:
    return {name: {"words": said} for name, said in beside_told(snapshot).items()}


def _same(one: Any, other: Any) -> bool:
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(map(_same, one, other))
    if isinstance(one, float) and isinstance(other, float):
        return math.isclose(one, other, rel_tol=CLOSE, abs_tol=CLOSE)
    return bool(one == other)


def _words(value: Any) -> str:
    if value is None:
        return "not there"
    told = [each for each in value if each is not None]
    return ", ".join(f"{each:.12g}" if isinstance(each, float) else str(each) for each in told)
