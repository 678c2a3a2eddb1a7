"""Labels of marks: whose each is can be seen."""

from __future__ import annotations

from itertools import combinations

import pytest

from evenhand.publish.figures.strip_labels import ALONE, MARK, Label, labels
from evenhand.publish.style import card
from evenhand.publish.svg import Box, Words

STYLE = card()
BOX = Box(left=100, top=200, right=600, bottom=800)
SAID = (("4.330", "other conditions"), ("other conditions",))


def placed(at, marks, said=SAID):
    drawn = labels([Label(places=(at,), wordings=said)], marks, BOX, STYLE)
    return [d for d in drawn if isinstance(d, Words)], [d for d in drawn if not isinstance(d, Words)]


def gap(box, at):
    """How far a box is from a place."""
    across = max(box.left - at[0], at[0] - box.right, 0.0)
    return (across**2 + max(box.top - at[1], at[1] - box.bottom, 0.0) ** 2) ** 0.5


@pytest.mark.parametrize("at", [(560, 300), (140, 700), (350, 500), (590, 790)])
def test_a_label_is_nearer_to_its_own_mark_than_to_any_other(at):
    others = [(140.0, 260.0), (245, 270), (350, 250), (455, 260)]
    words, ties = placed(at, [*others, at])
    assert [w.text for w in words] == ["4.330", "other conditions"]
    assert not ties
    own = min(gap(w.box, at) for w in words)
    assert own < 60
    assert all(own < gap(w.box, other) for w in words for other in others)


def test_a_label_that_finds_no_room_beside_its_mark_is_tied_to_it_by_a_line():
    row = [(120.0 + 65 * i, 400.0) for i in range(8)]
    words, ties = placed(row[3], row)
    assert words
    assert len(ties) == 1
    assert {ties[0].place["x1"], ties[0].place["x2"]} == {row[3][0]}
    assert all(w.box.left <= row[3][0] <= w.box.right for w in words)


def test_every_label_stays_in_the_box_and_touches_no_mark():
    marks = [(130.0 + 100 * i, 300.0 + 120 * (i % 2)) for i in range(5)]
    drawn = labels([Label(places=(at,), wordings=SAID) for at in marks], marks, BOX, STYLE)
    words = [d for d in drawn if isinstance(d, Words)]
    assert words
    assert all(w.box.inside(BOX) for w in words)
    reach = MARK * STYLE.unit
    around = [Box(left=x - reach, top=y - reach, right=x + reach, bottom=y + reach) for x, y in marks]
    assert not any(w.box.meets(box) for w in words for box in around)


def test_where_nothing_fits_nothing_is_said():
    crowd = [(110.0 + 25 * i, 210.0 + 25 * j) for i in range(20) for j in range(24)]
    assert placed(crowd[0], crowd) == ([], [])


def test_one_label_for_several_stands_below_or_above_them_all():
    row = tuple((150.0 + 100 * i, 400.0) for i in range(4))
    words = labels([Label(places=row, wordings=(("60.00 each", "wait"),))], row, BOX, STYLE)
    assert [w.x for w in words] == [300.0, 300.0]
    assert all(not (400 - MARK < w.y < 400 + MARK) for w in words)
    assert ALONE > MARK


def test_two_labels_never_touch():
    marks = [(180.0 + 30 * i, 400.0 + 60 * (i % 3)) for i in range(12)]
    drawn = labels([Label(places=(at,), wordings=(("84.31", "waits"),)) for at in marks], marks, BOX, STYLE)
    words = [d for d in drawn if isinstance(d, Words)]
    assert len(words) > 4
    rows = [(one.box, other.box) for one, other in combinations(words, 2)]
    beside = [(a, b) for a, b in rows if a.top < b.bottom and b.top < a.bottom]
    assert beside
    assert all(max(a.left - b.right, b.left - a.right) >= 0.19 * STYLE.text[1] for a, b in beside)
