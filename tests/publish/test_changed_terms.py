"""Terms that were changed with runs on record stand at the foot of every picture of a study."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.publish import saltmarsh as s
from tests.publish.svg_reading import texts

from evenhand.publish.figures.frame import must_say
from evenhand.publish.figures.intervals import interval_plot
from evenhand.publish.figures.rates import rate_bars
from evenhand.publish.figures.strips import run_strip
from evenhand.publish.figures.traces import frame_time_trace
from evenhand.publish.names import ChangedWords
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
    names = replace(s.NAMES, changed=ChangedWords(terms=(MOVED,)))
    for case, pictures in drawn(names, style).items():
        assert all(MOVED in foot(picture) for picture in pictures), case


def test_without_a_change_nothing_is_said_of_it():
    for case, pictures in drawn(s.NAMES, card()).items():
        assert not any("changed" in foot(picture) for picture in pictures), case


BRIEF = "Terms changed after runs were on record."
SCORES = "Two scores changed after they were in."
TOO_MANY = tuple(
    f"Margin, weights, settings, list of tests and version changed after {n} runs." for n in range(4)
)


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        (ChangedWords(terms=TOO_MANY), [BRIEF]),
        (ChangedWords(terms=TOO_MANY, scores=(SCORES,)), [BRIEF, SCORES]),
        (ChangedWords(scores=(SCORES,)), [SCORES]),
    ],
)
def test_terms_too_many_for_the_foot_are_still_said_to_have_changed_and_scores_beside_them(changed, said):
    for case, pictures in drawn(replace(s.NAMES, changed=changed), card()).items():
        assert all(sentence in foot(p) for sentence in said for p in pictures), case


def test_where_even_that_is_too_long_one_sentence_names_both():
    changed = ChangedWords(terms=(MOVED,), scores=(SCORES,))
    first = "What stands first at the foot of this picture. " * 4
    assert must_say(replace(s.NAMES, changed=changed), first, card()) == (
        "Terms and scores changed after runs were on record.",
    )
