"""Terms that were changed with runs on record stand at the foot of every picture of a study."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.publish import saltmarsh as s
from tests.publish.svg_reading import texts

from evenhand.publish.figures.intervals import interval_plot
from evenhand.publish.figures.rates import rate_bars
from evenhand.publish.figures.strips import run_strip
from evenhand.publish.figures.traces import frame_time_trace
from evenhand.publish.style import card, page

MOVED = "Margin changed after 12 runs."


def drawn(names, style):
    return {
        "intervals": interval_plot(s.WHOLE, names, style=style),
        "rates": rate_bars(s.rates(names), names, style=style, findings=s.PAIR),
        "strip": run_strip(s.strip(), names, style=style),
        "trace": frame_time_trace(s.scene(), names, style=style),
    }


def foot(picture) -> str:
    return " ".join(text.words.text for text in texts(picture)).replace("\u00a0", " ")


@pytest.mark.parametrize("style", [card(), page()])
def test_every_picture_says_which_terms_changed(style):
    names = replace(s.NAMES, changed=(MOVED,))
    for case, pictures in drawn(names, style).items():
        assert all(MOVED in foot(picture) for picture in pictures), case


def test_without_a_change_nothing_is_said_of_it():
    for case, pictures in drawn(s.NAMES, card()).items():
        assert not any("changed" in foot(picture) for picture in pictures), case


def test_terms_too_many_for_the_foot_are_still_said_to_have_changed():
    changed = tuple(
        f"Margin, weights, settings, list of tests and version changed after {n} runs." for n in range(4)
    )
    for case, pictures in drawn(replace(s.NAMES, changed=changed), card()).items():
        assert all("Terms changed after runs were on record." in foot(p) for p in pictures), case
