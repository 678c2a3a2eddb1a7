"""Whether tuning was worth it, as sentences and rows, the same on page and command line, and as JSON."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from evenhand.desk.names import names_of
from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.tuning.gained import RUNS, Gained, NoSibling, gained_of
from evenhand.desk.tuning.hotter import heat_of_tuning
from evenhand.findings.finding import Finding
from evenhand.findings.gaps import Gap
from evenhand.publish.names import Names, SetupName
from evenhand.publish.numbers import capital
from evenhand.publish.palette import SLOTS
from evenhand.publish.sentences import finding_sentence
from evenhand.publish.tuning import costs
from evenhand.publish.tuning import gain as say
from evenhand.publish.tuning.alone import Alone, lacking_words
from evenhand.store.workbench import Workbench
from evenhand.tuning.bands import Band

Answer = dict[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class WorthSaid:
    """All that is said of a tuned setup: `doubt` is "" where no gain is doubted; `tests` are sentences.

    `shares` are what each test made of a clock's rise, by its key.

    `lacking` says what is missing and what would tell it.
    """

    answer: str
    tests: tuple[str, ...] = ()
    shares: Mapping[str, str] = field(default_factory=dict)
    rise: str = ""
    doubt: str = ""
    costs: tuple[str, ...] = ()
    lacking: tuple[str, ...] = ()
    care: str = say.CARE
    held: Gained | None = None


def worth_said(wb: Workbench, record: StudyOnRecord, tuned: str) -> WorthSaid:
    """What is said of a setup of a study that is tuned."""
    found, names = gained_of(wb, record, tuned), names_of(record)
    what = say.tuning_called(record.builds[found.build].name, found.parts)
    warm = tuple(heat_of_tuning(wb, record, found.tuned, found.parts))
    if isinstance(found, NoSibling):
        return _alone(found, what, record, names, warm)
    return _held(found, what, record, names, warm)


def held_of(found: Gained) -> say.Held:
    """What sentences and pictures tell of."""
    return say.Held(overall=found.overall, findings=found.comparison.findings, doubted=found.doubted)


def price_said(found: Gained) -> str:
    """What it takes and saves beside money, as it follows in a sentence."""
    return costs.price_of(None if found.watts is None else found.watts.added_w, found.noise)


def _alone(
    found: NoSibling, what: str, record: StudyOnRecord, names: Names, warm: tuple[str, ...]
) -> WorthSaid:
    build = record.builds[found.build].name
    there = tuple(map(names.setup, found.there))
    alone = Alone(
        build=build, at_stock=found.at_stock, there=there, tests=found.tests, minutes=found.minutes, runs=RUNS
    )
    first, *rest = lacking_words(what, alone)
    return WorthSaid(answer=first, lacking=tuple(rest), costs=warm)


def _held(found: Gained, what: str, record: StudyOnRecord, names: Names, warm: tuple[str, ...]) -> WorthSaid:
    margin, findings = record.study.margin, found.comparison.findings
    states = replace(names, setups={**names.setups, **by_state(found, names)})
    return WorthSaid(
        answer=say.gain_sentence(what, held_of(found), price_said(found), margin=margin),
        tests=tuple(finding_sentence(each, states, margin=margin) for each in findings),
        shares={each.test: say.share_words(found.shares.get(each.test)) for each in findings},
        rise=say.rise_words(found.rises), doubt=say.doubt_words(found.shares, names),
        costs=(*_told(found, states), *warm), lacking=tuple(_lacking(found)), held=found,
    )  # fmt: skip


def by_state(found: Gained, names: Names) -> dict[str, SetupName]:
    """The two by their states, told apart by mark and colour though they are one machine."""
    states = found.states if len(set(found.states)) == 2 else ("tuned", "stock")
    own, other = names.slot(found.tuned).number, names.slot(found.stock).number
    slots = (own, other if other != own else _another_slot(own, names))
    return {
        key: SetupName(name=capital(state), slot=slot)
        for key, state, slot in zip((found.tuned, found.stock), states, slots, strict=True)
    }


def _another_slot(own: int, names: Names) -> int:
    """A slot that nothing of the study wears, or else the next: beside these two nothing else is drawn."""
    worn = {each.slot for each in names.setups.values()}
    return next((slot.number for slot in SLOTS if slot.number not in worn), own % len(SLOTS) + 1)


def _told(found: Gained, names: Names) -> Iterator[str]:
    """Watts, work for a joule, decibels and degrees, those that were read."""
    if found.watts is not None:
        yield costs.watts_words(len(found.watts.tests), found.watts.stock_w, found.watts.added_w)
        if found.per_joule is not None:
            yield costs.joule_words(found.per_joule)
    yield from (costs.gap_words(gap, names) for gap in (*found.noise, *found.heat) if _read(gap))


def _read(gap: Gap) -> bool:
    return gap.difference is not None or gap.n_a + gap.n_b > 0


def _lacking(found: Gained) -> Iterator[str]:
    if found.watts is None:
        yield costs.NO_WATTS
    if not any(gap.test and gap.difference is not None for gap in found.noise):
        yield costs.NO_NOISE
    if not any(gap.difference is not None for gap in found.heat):
        yield costs.NO_HEAT


def worth_answer(said: WorthSaid, record: StudyOnRecord, tuned: str) -> Answer:
    """``gain --json``."""
    held = said.held
    return {
        "study": record.study.key,
        "setup": tuned,
        "stock": None if held is None else held.stock,
        "overall": None if held is None or held.overall is None else _over(held),
        "tests": [] if held is None else [_test(each, held) for each in held.comparison.findings],
        "clocks": {} if held is None else {name: list(ends) for name, ends in held.rises.items()},
        "watts": None if held is None or held.watts is None else _watts(held),
        "gaps": [] if held is None else [_gap(gap) for gap in (*held.noise, *held.heat)],
        "doubt": said.doubt,
        "lacking": list(said.lacking),
        "words": [said.answer, *(each for each in (said.rise, *said.costs) if each)],
        "care": said.care,
    }


def _over(held: Gained) -> Answer:
    found = held.overall
    assert found is not None
    return {"ratio": found.ratio, "low": found.low, "high": found.high, "outcome": found.outcome.value}


def _test(finding: Finding, held: Gained) -> Answer:
    share = held.shares.get(finding.test)
    return {
        "test": finding.test,
        "ratio": finding.ratio,
        "low": finding.low,
        "high": finding.high,
        "outcome": finding.outcome.value,
        "runs": [finding.n_a, finding.n_b],
        "share": None if share is None else [share.low, share.value, share.high],
        "clock": None if share is None else share.setting,
        "doubted": share is not None and share.surely_above_one,
    }


def _watts(held: Gained) -> Answer:
    assert held.watts is not None
    added = held.watts.added_w
    ends = [added.low, added.value, added.high] if isinstance(added, Band) else [None, added, None]
    return {"tests": list(held.watts.tests), "stock_w": held.watts.stock_w, "added_w": ends}


def _gap(gap: Gap) -> Answer:
    return {
        "topic": gap.topic.value,
        "test": gap.test,
        "part": gap.part,
        "unit": gap.unit,
        "difference": gap.difference,
        "low": gap.low,
        "high": gap.high,
        "outcome": gap.outcome.value,
        "at_db": gap.at_db,
    }
