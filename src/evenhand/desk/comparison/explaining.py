"""All that may be said of which part made the difference between two setups, and what would say more."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from evenhand.desk.comparison.anchoring import AcrossTime, across_time
from evenhand.desk.comparison.causing import Grounds, causes_of, differences, grounds_of
from evenhand.desk.comparison.exchanging import Swaps, swaps_for
from evenhand.desk.comparison.findings_now import findings_now
from evenhand.desk.comparison.limiting import OnMachine, limits_of
from evenhand.desk.names import names_of
from evenhand.desk.on_record import StudyOnRecord
from evenhand.errors import BadRecord, NotEnoughRuns, NotFound, nearest
from evenhand.findings.cause import Cause
from evenhand.findings.fairness import Fairness
from evenhand.findings.refusals import Refusal
from evenhand.publish.direction import isolated
from evenhand.publish.names import Names
from evenhand.store.workbench import Workbench
from evenhand.verdicts.front_pair import front_of_indexes

Pair = tuple[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Explained:
    """A pair of setups held against each other: what differs, what each part does, what limits, what changed.

    `parts` is what each part is called, by key.
    """

    record: StudyOnRecord
    a: str
    b: str
    names: Names
    parts: Mapping[str, str]
    differs: Fairness
    refused: tuple[Refusal, ...]
    causes: tuple[Cause, ...]
    swaps: tuple[Swaps, ...]
    limits: tuple[OnMachine, ...]
    time: AcrossTime


def explained(wb: Workbench, record: StudyOnRecord, pair: Pair) -> Explained:
    """The pair as all setups with runs let it be seen."""
    grounds, (a, b) = grounds_of(wb, record), pair
    found = causes_of(grounds, a, b) if a != b else ()
    return Explained(
        record=record, a=a, b=b, names=names_of(record), parts=part_names(grounds),
        differs=differences(grounds, a, b), refused=_refused(grounds, pair), causes=found,
        swaps=swaps_for(grounds, found), time=across_time(record, pair),
        limits=limits_of(grounds, [grounds.machine(setup).build.key for setup in pair]),
    )  # fmt: skip


def part_names(grounds: Grounds) -> dict[str, str]:
    """What each part of the study is called."""
    return {
        key: isolated(part.name) for machine in grounds.bench.machines for key, part in machine.parts.items()
    }  # fmt: skip


def _refused(grounds: Grounds, pair: Pair) -> tuple[Refusal, ...]:
    """Why the pair may share no ratio, test by test."""
    return tuple(r for r in grounds.bench.refused if set(pair) <= set(r.setups))


def chosen_pair(record: StudyOnRecord, asked: Sequence[str]) -> Pair:
    """The two setups that are asked for, else of several the pair in front, else the first two compared.

    Any setup with runs may be asked for, compared or not. Raises NotFound, BadRecord, NotEnoughRuns.
    """
    for key in asked:
        if key not in record.setups:
            raise NotFound(f"no setup here is called '{key}'", where="pair", todo=nearest(key, record.setups))
    if len(asked) == 2:
        return asked[0], asked[1]
    if asked:
        raise BadRecord("a pair has two setups", where="pair", todo="name two setups of the study")
    if len(record.study.setups) < 2:
        raise NotEnoughRuns(
            "one setup alone: with nothing to hold against it no part can be named as a cause",
            where=f"study {record.study.key}", todo="add a second setup to the study",
        )  # fmt: skip
    front = front_of_indexes(findings_now(record).indexes) if len(record.study.setups) > 2 else None
    return front.pair if front is not None else (record.study.setups[0], record.study.setups[1])
