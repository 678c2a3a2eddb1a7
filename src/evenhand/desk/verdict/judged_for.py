"""For every audience of a study: how its setups stand, how firmly, and what would flip it."""

from __future__ import annotations

import zlib
from dataclasses import replace

import numpy as np

from evenhand.desk.comparison.known_machines import known_of
from evenhand.desk.comparison.other_evidence import other_evidence
from evenhand.desk.latest import Latest
from evenhand.desk.names import names_of
from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.study.pricing import paid_now
from evenhand.desk.verdict.ground import Ground
from evenhand.desk.verdict.judged import ForAudience, Judgement, Turning
from evenhand.desk.verdict.states import States, states_of_one
from evenhand.errors import BadRecord, NotFound, nearest
from evenhand.money.paid import Paid
from evenhand.records.audiences import Audience
from evenhand.store.rows import as_text
from evenhand.store.workbench import Workbench
from evenhand.verdicts.case import Case
from evenhand.verdicts.counted import levers
from evenhand.verdicts.flips import flips
from evenhand.verdicts.joint_flips import joint_flips
from evenhand.verdicts.moves import Aspect, Flip
from evenhand.verdicts.others import Other
from evenhand.verdicts.reading import lay_pairs
from evenhand.verdicts.verdict import Verdict, verdicts
from evenhand.verdicts.wobble import Wobble, wobble

ALIKE = "all-tests"  # the stand-in for a study that names no audience
LATELY = Latest(32)  # audiences of the studies that are being looked at


def judged_for(wb: Workbench, record: StudyOnRecord, *, only: str | None = None) -> Judgement:
    """Verdicts for every audience of the study, or on its own index where it names none.

    `only` asks for one audience by its key; what it stands on is laid out as for all, so that its numbers are
    the same. Raises NotFound with the nearest key.
    """
    paid = paid_now(wb, record)
    told, audiences = record.study.audiences, audiences_of(record)
    if only is not None and only not in (known := [each.key for each in audiences]):
        raise NotFound(f"no audience is called '{only}'", where="this study", todo=nearest(only, known))
    ground = Ground.of(record, audiences, other_evidence(wb, record).noise)
    ground = replace(ground, known=known_of(wb, record))
    asked = [each for each in audiences if only in (None, each.key)]
    states = states_of_one(wb, record, paid)
    made = tuple(_for_audience(each, ground, record, paid, states, stand_in=not told) for each in asked)
    return Judgement(audiences=made, paid=paid, names=names_of(record))


def audiences_of(record: StudyOnRecord) -> tuple[Audience, ...]:
    """The audiences that a study names, or the one that stands in for them."""
    return record.study.audiences or (all_alike(record),)


def all_alike(record: StudyOnRecord) -> Audience:
    """Who cares for every test as the study weighs it: the verdict is then the study's index."""
    weights = {key: record.study.weights.get(key, 1.0) for key in record.study.tests}
    return Audience(key=ALIKE, name="All tests alike", tests=weights)


def _for_audience(
    audience: Audience, ground: Ground, record: StudyOnRecord, paid: Paid, states: States, *, stand_in: bool
) -> ForAudience:
    case = Case(
        audience=audience, study=record.study, tests=record.compared_tests, pairs=ground.pairs,
        prices=paid.minor, known=ground.known, states=states,
    )  # fmt: skip
    said = (
        *ground.said,
        as_text(record.study),
        as_text(audience),
        as_text(paid.minor),
        tuple(states.items()),
    )
    return LATELY.of(said, lambda: _judged(case, ground, record, stand_in=stand_in))


def _judged(case: Case, ground: Ground, record: StudyOnRecord, *, stand_in: bool) -> ForAudience:
    try:
        found = verdicts(case)
        if not case.pairs:
            flips(case, ())  # without a pair only flips look at weights
    except BadRecord as trouble:
        return ForAudience(audience=case.audience, case=case, trouble=trouble, stand_in=stand_in)
    bare = replace(record)  # what was worked out of the record is not kept as long as this is
    return ForAudience(
        audience=case.audience, case=case, verdicts=found, stand_in=stand_in,
        turning=lambda: _turning(case, found, ground.others(bare)),
        wobbling=lambda: {
            pair: None if _is_open(pair, found) else chance for pair, chance in _wobbles(case).items()
        },
    )  # fmt: skip


def _turning(case: Case, found: tuple[Verdict, ...], others_now: tuple[Other, ...]) -> Turning:
    """What turns these verdicts; nothing turns that on a machine beside itself."""
    tried = {
        (each.a, each.b): levers(case, (each.a, each.b), others_now)
        for each in found
        if not each.is_of_one_machine
    }
    return Turning(flips=_of_two_machines(flips(case, others_now), found), tried=tried)


def _of_two_machines(found: tuple[Flip, ...], judged: tuple[Verdict, ...]) -> tuple[Flip, ...]:
    """Without those of a machine beside itself, whose verdict nothing can turn; nor its value, tuned."""
    alike = {(each.a, each.b) for each in judged if each.is_of_one_machine}
    tuned = {(each.a, each.b) for each in judged if each.bought}
    return tuple(
        flip for flip in found
        if (flip.a, flip.b) not in alike and not (flip.aspect is Aspect.VALUE and (flip.a, flip.b) in tuned)
    )  # fmt: skip


def _is_open(pair: tuple[str, str], judged: tuple[Verdict, ...]) -> bool:
    """Whether no chance can be told: something weighed has no number to draw, or the two are one machine."""
    return any((each.a, each.b) == pair and (each.missing > 0 or each.is_of_one_machine) for each in judged)


def _wobbles(case: Case) -> dict[tuple[str, str], Wobble | None]:
    found = {}
    for pair in lay_pairs(case):
        place = (pair.grounds.a, pair.grounds.b)
        # The same question has the same answer every time it is asked.
        rng = np.random.default_rng(zlib.crc32("~".join((case.audience.key, *place)).encode()))
        found[place] = wobble(case, pair, rng)
    return found


def two_at_once(wb: Workbench, record: StudyOnRecord, judged: ForAudience) -> tuple[Flip, ...]:
    """The smallest pairs of changes that turn something for this audience."""
    ground = _ground_of_two(wb, record, judged)
    found = LATELY.of(_key_of_two(record, judged, ground), lambda: _two(judged, ground, record))
    return _of_two_machines(found, judged.verdicts)


def two_are_known(wb: Workbench, record: StudyOnRecord, judged: ForAudience) -> bool:
    """Whether `two_at_once` has been worked out already."""
    return LATELY.has(_key_of_two(record, judged, _ground_of_two(wb, record, judged)))


def _ground_of_two(wb: Workbench, record: StudyOnRecord, judged: ForAudience) -> Ground:
    return Ground.of(record, record.study.audiences or (judged.audience,), other_evidence(wb, record).noise)


def _key_of_two(record: StudyOnRecord, judged: ForAudience, ground: Ground) -> tuple[object, ...]:
    said = as_text(record.study), as_text(judged.audience), as_text(judged.case.prices)
    return ("two", *ground.said, *said)


def _two(judged: ForAudience, ground: Ground, record: StudyOnRecord) -> tuple[Flip, ...]:
    others = ground.others(record)
    return joint_flips(judged.case, others, judged.flips, two_others=ground.two_others(record))
