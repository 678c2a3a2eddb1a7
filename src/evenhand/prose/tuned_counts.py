"""How many trials of a tuned part a sentence counts, and how many of them failed: as they are on record."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from evenhand.prose.objection import Objection, Rule
from evenhand.prose.reading import Reading
from evenhand.prose.spelling import value_of
from evenhand.prose.spoken import place_of
from evenhand.publish.numbers import counted
from evenhand.tuning.held import Held


@dataclass(frozen=True, slots=True, kw_only=True)
class _Count:
    """Trials that may be counted together: how many, and how many failed, as trials or as failures."""

    trials: int
    failed: frozenset[int]


SCOPES: tuple[Callable[[Held], object], ...] = (
    lambda _: (),
    lambda held: (held.setup, held.part),
    lambda held: (held.setup, held.part, held.load),
    lambda held: (held.setup, held.part, held.clock_mhz),
    lambda held: (held.setup, held.part, held.voltage_mv),
    lambda held: (held.setup, held.part, held.clock_mhz, held.voltage_mv),
    lambda held: (held.setup, held.part, held.clock_mhz, held.voltage_mv, held.load, str(held.settings)),
)
"""By what trials may be counted together: all, of a part, under a load, at a clock, a voltage, a point."""


def miscounted_trials(reading: Reading, own: tuple[Held, ...]) -> Iterator[Objection]:
    """A count of trials, or of those that failed or passed, that the record has of no part and no point."""
    text, rules = reading.sentence.text, reading.rules
    timed = any(rules[f"tuning.{name}"].search(text) for name in ("hours", "minutes", "days", "bound"))
    if rules["tuning.imagined"].search(text) or rules["tuning.supposed"].search(text):
        return
    counts = tuple(_counts(own))
    for found in rules["tuning.trials"].finditer(text):
        said = _number(found, reading)
        of_these = [each for each in counts if said is None or _is(said, [each.trials], found, reading)]
        if not of_these:
            yield _otherwise(found, own, reading)
            return
        counts = tuple(of_these)
    for name in ("failed", "failed_times", "passed") if not timed else ():
        for found in rules[f"tuning.{name}"].finditer(text):
            said = _number(found, reading)
            known = [n for each in counts for n in _those(each, passed=name == "passed")]
            if said is not None and not _is(said, known, found, reading):
                yield _otherwise(found, own, reading)
                return


def _counts(own: Iterable[Held]) -> Iterator[_Count]:
    held = tuple(own)
    for scope in SCOPES:
        together = dict[object, list[Held]]()
        for each in held:
            together.setdefault(scope(each), []).append(each)
        for those in together.values():
            claims = [each.claim for each in those]
            yield _Count(
                trials=sum(each.trials for each in claims),
                failed=frozenset((
                    sum(each.failures for each in claims),
                    sum(min(each.failures, each.trials) for each in claims),
                )),
            )  # fmt: skip


def _those(count: _Count, *, passed: bool) -> Iterator[int]:
    yield from ({count.trials - failed for failed in count.failed} if passed else count.failed)


def _number(found: re.Match[str], reading: Reading) -> int | None:
    value = value_of(found["n"], reading.rules)
    return None if value is None else round(value)


def _is(said: int, known: Iterable[int], found: re.Match[str], reading: Reading) -> bool:
    """Whether a count is one of those; hedged ("more than 30") it has to be no more than they are."""
    before = reading.sentence.text[: found.start()]
    hedged = reading.rules["tuning.hedged_count"].search(before) is not None
    return any(said == each or (hedged and said <= each) for each in known)


def _otherwise(found: re.Match[str], own: tuple[Held, ...], reading: Reading) -> Objection:
    """That so many are counted nowhere, with how many there are of each part."""
    place, excerpt = place_of(found.span(), reading)
    told = list[str]()
    for setup, part in dict.fromkeys((each.setup, each.part) for each in own):
        claims = [each.claim for each in own if (each.setup, each.part) == (setup, part)]
        trials = counted(sum(each.trials for each in claims), "trial")
        failures = counted(sum(each.failures for each in claims), "failure")
        told.append(f"{reading.ground.names.setup(setup)}, {part}: {trials} with {failures}")
    reason = reading.rules.words("tuned_apart", figure=excerpt, words="; ".join(told))
    return Objection(rule=Rule.CONTRARY_NUMBER, place=place, excerpt=excerpt, reason=reason, would_stand="")
