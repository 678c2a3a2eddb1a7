"""Loudness as something an audience may weigh: quieter is better, with the readings' own error."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from validation.workshops import MOSTLY_PLAY, SALTMARSH_TESTS, SPEED, saltmarsh_cells, study_of

from evenhand.findings.finding import Outcome
from evenhand.findings.gaps import Gap, Topic
from evenhand.records.audiences import Audience, Property
from evenhand.verdicts.allowing import ALLOWANCE, DRIFT, METER, allowances, within_words
from evenhand.verdicts.case import Case
from evenhand.verdicts.grounds import Ground, PairGrounds, pair_grounds
from evenhand.verdicts.noise import with_noise
from evenhand.verdicts.verdict import Verdict, verdicts

CELLS = saltmarsh_cells()
STUDY = study_of(CELLS)
PAIRS = pair_grounds(CELLS, study=STUDY, properties=SPEED)
QUIETER = Gap(topic=Topic.SOUND, a="plover", b="dunlin", difference=-10.0, se=0.5, df=8.0, allowance=0.0)


def judged(audience: Audience, pairs: tuple[PairGrounds, ...]) -> Verdict:
    case = Case(audience=audience, study=STUDY, tests=SALTMARSH_TESTS, pairs=pairs)
    return next(v for v in verdicts(case) if (v.a, v.b) == ("plover", "dunlin"))


def heard(*gaps: Gap) -> tuple[PairGrounds, ...]:
    return tuple(with_noise(pair, gaps) for pair in PAIRS)


def weighing(noise: float) -> Audience:
    properties = {Property.SPEED: 1 - noise, Property.NOISE: noise}
    return Audience(key="k", name="K", groups=MOSTLY_PLAY.groups, properties=properties)


def test_ten_decibels_quieter_count_as_twice_as_good() -> None:
    assert judged(weighing(1.0), heard(QUIETER)).ratio == pytest.approx(2.0)
    turned = Gap(topic=Topic.SOUND, a="dunlin", b="plover", difference=10.0, se=0.5, df=8.0)
    assert judged(weighing(1.0), heard(turned)).ratio == pytest.approx(2.0)


def test_noise_shares_the_index_with_speed_in_logs() -> None:
    speed = math.log(judged(weighing(0.0), heard(QUIETER)).ratio)
    both = judged(weighing(0.25), heard(QUIETER))
    assert math.log(both.ratio) == pytest.approx(0.75 * speed + 0.25 * math.log(2))
    assert both.outcome is Outcome.AHEAD


def test_its_error_is_that_of_the_readings() -> None:
    found = judged(weighing(1.0), heard(QUIETER))
    assert found.low is not None
    half = 2.306004 * 0.5 * math.log(2) / 10  # t(8) at 95 %
    assert math.log(found.ratio / found.low) == pytest.approx(half, rel=1e-5)


def test_what_was_read_under_load_goes_before_idling() -> None:
    loaded = Gap(topic=Topic.SOUND, a="plover", b="dunlin", test="causeway", difference=10.0, se=0.5, df=8.0)
    assert judged(weighing(1.0), heard(QUIETER, loaded)).ratio == pytest.approx(0.5)


def test_a_single_reading_calls_nothing() -> None:
    once = Gap(topic=Topic.SOUND, a="plover", b="dunlin", difference=-10.0)
    assert judged(weighing(0.5), heard(once)).outcome is Outcome.UNSETTLED


def test_where_nobody_listened_the_pair_stays_as_it_is_and_the_lack_is_told() -> None:
    assert heard() == PAIRS
    found = judged(weighing(0.5), heard())
    assert found.outcome is Outcome.UNSETTLED
    assert any(c.key == "not-measured" for c in found.caveats)


def test_the_error_of_a_meter_is_not_told_as_one_of_boots() -> None:
    off = replace(QUIETER, allowance=0.5)
    found = judged(weighing(0.25), heard(off))
    said = {c.key: c.words for c in found.caveats}
    share = 100 * math.expm1(0.25 * 0.5 * math.log(2) / 10)
    assert ALLOWANCE not in said
    assert said[METER].endswith(
        f"in every reading, which repeats do not show: {share:.3g} % is allowed for it"
    )


def test_what_a_meter_may_be_out_by_is_named_where_it_alone_withholds_a_verdict() -> None:
    found = judged(weighing(1.0), heard(replace(QUIETER, difference=-1.0, allowance=1.0, se=0.1)))
    (withheld,) = (c.words for c in found.caveats if c.key == "ahead-withheld")
    assert withheld.endswith("within what the meter’s error cannot exclude")


def test_errors_of_boots_and_meter_are_told_apart() -> None:
    grounds = (
        Ground(property=Property.SPEED, test="quay", allowance=0.02),
        Ground(property=Property.SPEED, test="weir", allowance=0.05, drift=0.03),
        Ground(property=Property.NOISE, allowance=0.04),
    )
    weights = np.array([0.5, 0.25, 0.25])
    parts = {c.key: c.words.split(": ")[1] for c in allowances(grounds, weights)}
    assert parts == {
        ALLOWANCE: "1.51 % is allowed for it",
        METER: "1.01 % is allowed for it",
        DRIFT: "0.753 % is allowed for it",
    }
    assert within_words(grounds, weights) == "the allowances together"
    assert within_words(grounds[:1], weights[:1]) == "the allowance"
