from __future__ import annotations

from dataclasses import replace

import pytest
from tests.publish import saltmarsh as s
from tests.publish.svg_reading import SVG, root_of, texts

from evenhand.errors import NotEnoughRuns
from evenhand.publish.figures.strips import RunStrip, run_strip
from evenhand.publish.left_out import REASONS
from evenhand.publish.palette import slot
from evenhand.publish.style import card, page
from evenhand.records.runs import Reason, RunState


def said(picture) -> list[str]:
    return [text.words.text.replace("\u00a0", " ") for text in texts(picture)]


def marks(picture, number):
    return [e for e in root_of(picture).iter(f"{SVG}path") if e.attrib["d"] == slot(number).mark]


def test_the_headline_counts_what_counts_what_waits_and_what_is_set_aside():
    words = said(run_strip(s.strip(), s.NAMES, style=page())[0])
    assert words[0] == "Hollow Regatta: 15 runs count, one waits and one is set aside"


@pytest.mark.parametrize(
    ("states", "words"),
    [
        ([RunState.LANDED], "Hollow Regatta: one run counts"),
        ([RunState.LANDED, RunState.KEPT], "Hollow Regatta: two runs count"),
        ([RunState.IN_DOUBT] * 2, "Hollow Regatta: no runs count and two wait"),
        (
            [RunState.LANDED, RunState.SET_ASIDE, RunState.REPLACED],
            "Hollow Regatta: one run counts and two are set aside",
        ),
    ],
)
def test_headlines(states, words):
    runs = [
        replace(run, state=state) for run, state in zip(s.runs_of("plover", value=165), states, strict=False)
    ]
    assert said(run_strip(RunStrip(test="regatta", runs=tuple(runs)), s.NAMES, style=page())[0])[0] == words


def test_every_run_has_a_mark_and_form_shows_its_state():
    picture = run_strip(s.strip(), s.NAMES, style=card())[0]
    for number, runs in ((1, 5), (2, 6), (3, 6)):
        assert len(marks(picture, number)) == runs + 1  # and one beside the name
    hollow = [m for n in (1, 2, 3) for m in marks(picture, n) if m.attrib["fill"] == "#fcfdfc"]
    crosses = [e for e in root_of(picture).iter(f"{SVG}line") if e.attrib["stroke"] == "#b3261e"]
    assert len(hollow) == 2
    assert len(crosses) == 2


def test_what_does_not_count_is_labelled_with_number_and_reason():
    words = said(run_strip(s.strip(), s.NAMES, style=card())[0])
    assert {"143.9", "capped", "150.2", "waits"} <= set(words)
    assert "Crossed: capped." in " ".join(words)


def test_every_reason_has_its_words():
    assert set(REASONS) == set(Reason)


def test_runs_stand_in_the_order_they_were_made():
    runs = s.runs_of("plover", value=165)
    shuffled = RunStrip(test="regatta", runs=(runs[3], runs[0], runs[4], runs[1], runs[2]))
    in_order = RunStrip(test="regatta", runs=tuple(runs))
    one, other = (run_strip(strip, s.NAMES, style=card())[0] for strip in (shuffled, in_order))
    assert [m.attrib["transform"] for m in marks(one, 2)] == [m.attrib["transform"] for m in marks(other, 2)]


def test_setups_stand_side_by_side_on_one_scale():
    picture = run_strip(s.strip(), s.NAMES, style=card())[0]

    def places(number: int) -> list[tuple[float, float]]:
        inside = [
            m.attrib["transform"].split("(")[1].split(")")[0].split() for m in marks(picture, number)[1:]
        ]
        return [(float(x), float(y)) for x, y in inside]

    wren, plover, dunlin = places(1), places(2), places(3)
    assert max(x for x, _ in wren) < min(x for x, _ in plover)
    assert max(x for x, _ in plover) < min(x for x, _ in dunlin)
    assert min(y for _, y in wren) > max(y for _, y in dunlin)  # slower stands lower


def test_no_run_is_refused():
    with pytest.raises(NotEnoughRuns):
        run_strip(RunStrip(test="regatta", runs=()), s.NAMES, style=card())


def test_no_tick_of_the_scale_is_finer_than_the_digits_of_a_run():
    held = [replace(run, value=60.0 - 0.0004 * i) for i, run in enumerate(s.runs_of("plover", value=60.0))]
    words = said(run_strip(RunStrip(test="regatta", runs=tuple(held)), s.NAMES, style=card())[0])
    ticks = [word for word in words if word.startswith(("59.", "60."))]
    assert len(ticks) >= 2
    assert all(len(tick.split(".")[1]) == 2 for tick in ticks)
    assert len(set(ticks)) == len(ticks)


def test_the_unit_of_the_scale_keeps_clear_of_the_first_setup():
    strip = replace(s.strip(), test="load")  # loads/min
    words = {t.words.text: t for t in texts(run_strip(strip, s.NAMES, style=card())[0])}
    name = next(t for text, t in words.items() if text.startswith("Wren"))
    own_mark = 19 * 1.02 * card().unit
    assert words["loads/min"].box.right < name.words.x - own_mark
