"""Parts that several builds have, or one has several times: asked about until their number is noted."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from evenhand.desk.parts.fitting import Fitting
from evenhand.desk.parts.known import PIECES
from evenhand.publish.numbers import capital, count_word, listed
from evenhand.records.builds import Build
from evenhand.records.part_facts import PartFact


@dataclass(frozen=True, slots=True, kw_only=True)
class Shared:
    """A part that several builds have, or one has several times, and nobody said that there are so many.

    `moving` are as many as do for all builds if they move between them, `moves` says so, "" for one build.
    """

    part: str
    key: str
    builds: str
    asks: str
    moving: int
    moves: str
    count: int
    each: str


def shared_parts(found: Sequence[Fitting]) -> Iterator[Shared]:
    """Parts that several builds have, or one has several times, where nobody said that there are so many."""
    stand: dict[str, list[tuple[Build, int]]] = {}
    named: dict[str, tuple[str, Mapping[str, PartFact]]] = {}
    for fitting in found:
        for key, times in Counter(item.key for item in fitting.items).items():
            stand.setdefault(key, []).append((fitting.build, times))
        for item in fitting.items:
            named[item.key] = (item.name, fitting.facts.get(item.key, {}))
    for key, own in stand.items():
        name, facts = named[key]
        pieces = facts.get(PIECES)
        there = None if pieces is None or pieces.value is None else float(pieces.value)
        most, every = max(times for _, times in own), sum(times for _, times in own)
        if there < most if there is not None else every > 1:
            yield _shared(key, name, own, there=there)


def _shared(key: str, name: str, own: Sequence[tuple[Build, int]], *, there: float | None) -> Shared:
    """What is asked of one part that stands in these builds so many times each."""
    most, every = max(times for _, times in own), sum(times for _, times in own)
    stands = (f"{build.name} ({count_word(times)})" if most > 1 else build.name for build, times in own)
    asks = "are there so many?" if most > 1 else "one that moves between them, or one for each?"
    if there is not None:
        asks = (
            f"there {'is' if there == 1 else 'are'} {count_word(int(there))} of it on record. Are there more?"
        )
    moves = f"{capital(count_word(most))}, which move{'s' if most == 1 else ''}" if len(own) > 1 else ""
    return Shared(
        part=name, key=key, builds=listed(tuple(stands)), asks=asks, moving=most, moves=moves,
        count=every, each=f"{capital(count_word(every))} of them",
    )  # fmt: skip
