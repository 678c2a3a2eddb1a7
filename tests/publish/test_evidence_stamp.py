"""Evidence as a small picture in a list: the one view that tells most, without headline and foot."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.publish import evidence_samples as e
from tests.publish import saltmarsh as s
from tests.publish.svg_reading import texts

from evenhand.errors import NotEnoughRuns
from evenhand.publish.figures.evidence_small import evidence_stamp, most_telling
from evenhand.publish.figures.evidence_views import Evidence
from evenhand.publish.palette import Theme
from evenhand.publish.style import stamp
from evenhand.triage.exhibits.forms import Readings, Traces

STYLE = stamp(Theme.LIGHT)


@pytest.mark.parametrize(("name", "sample"), e.samples().items())
def test_every_kind_of_evidence_stays_within_its_room(name: str, sample: Evidence) -> None:
    picture = evidence_stamp(sample, s.NAMES, style=STYLE)
    assert (picture.width, picture.height < 240) == (304, True), name
    for text in texts(picture):
        assert text.words.box.left >= 0, text.words.text
        assert text.words.box.right <= 304, text.words.text


@pytest.mark.parametrize("sample", e.samples().values())
def test_what_is_seen_is_told_in_words_as_well(sample: Evidence) -> None:
    picture = evidence_stamp(sample, s.NAMES, style=STYLE)
    assert sample.fault.title in picture.title
    assert sample.fault.evidence.rstrip(".")[1:].replace("'", "’") in picture.description


def test_a_falling_clock_tells_more_than_the_frames_above_it() -> None:
    shown = most_telling(e.throttled())
    assert isinstance(shown.below, Readings)
    assert shown.trace is None


def test_the_frames_tell_more_than_the_difference_drawn_below_them() -> None:
    shown = most_telling(e.sag())
    assert isinstance(shown.trace, Traces)
    assert shown.below is None


def test_nothing_to_draw_is_told() -> None:
    with pytest.raises(NotEnoughRuns, match="no view to draw"):
        evidence_stamp(replace(e.capped(), trace=None, below=None), s.NAMES)
