"""One picture for each kind of evidence: what is marked, what is said, what lies on one clock."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.publish import evidence_samples as e
from tests.publish import saltmarsh as s
from tests.publish.svg_reading import SVG, root_of, texts

from evenhand.errors import NotEnoughRuns
from evenhand.publish.figures.evidence import evidence_picture
from evenhand.publish.figures.evidence_time import scope_of
from evenhand.publish.figures.evidence_views import Evidence
from evenhand.publish.palette import slot
from evenhand.publish.picture import Picture
from evenhand.publish.style import card, page
from evenhand.records.faults import Severity
from evenhand.triage.exhibits.forms import (
    Differences,
    Marked,
    Moments,
    Readings,
    Saying,
    Sayings,
    Series,
    Traces,
)

FAULT, TIDE, GREY, BAND, POST = "#b3261e", "#094a9c", "#737f7b", "#dde7e2", "#4a5754"


def drawn(found: Evidence) -> Picture:
    return evidence_picture(found, s.NAMES, style=card())[0]


def said(picture: Picture) -> list[str]:
    return [text.words.text.replace("\u00a0", " ") for text in texts(picture)]


def lines(picture: Picture, ink: str) -> list[dict[str, float]]:
    return [
        {key: float(at.attrib[key]) for key in ("x1", "x2", "y1", "y2")}
        for at in root_of(picture).iter(f"{SVG}line")
        if at.attrib["stroke"] == ink
    ]


def bars(picture: Picture, ink: str = FAULT) -> list[tuple[float, float]]:
    """From where to where the bars over the places reach."""
    return [(at["x1"], at["x2"]) for at in lines(picture, ink) if at["y1"] == at["y2"]]


LONG = "Große Werkbank mit außerordentlich langem Namen, dritte Fassung, und allem, was dazu gehört"


@pytest.mark.parametrize("of_test", [False, True])
def test_a_long_name_is_cut_short_and_never_the_fault(of_test):
    for found in e.samples().values():
        setups = {key: replace(name, name=f"{LONG} {key}") for key, name in s.NAMES.setups.items()}
        tests = {key: replace(name, name=LONG) for key, name in s.NAMES.tests.items()}
        names = replace(s.NAMES, setups=setups, tests=tests if of_test else s.NAMES.tests)
        picture = evidence_picture(found, names, style=card())[0]
        title = found.fault.title
        headline = " ".join(said(picture)[:2])
        assert f"{title[:1].lower()}{title[1:]}" in headline
        assert "Große Werkban… in " in headline
        forms = {
            words for words in said(picture)[2:] if words.startswith("Gr") and not words.startswith("Grey")
        }
        assert forms <= {"Große Werkban…"}  # one form of a name on a card
        assert LONG in picture.title


def test_a_name_that_cannot_be_drawn_gives_way_to_its_key():
    found = next(iter(e.samples().values()))
    names = replace(s.NAMES, setups={found.setup: replace(s.NAMES.setups[found.setup], name="静かな作業台")})
    picture = evidence_picture(found, names, style=card())[0]
    assert said(picture)[0].startswith(f"{found.setup} in ")
    assert not [words for words in said(picture) if "??" in words]


@pytest.mark.parametrize("kind", list(e.samples()))
def test_the_title_is_the_headline_and_the_evidence_stands_whole_at_the_foot(kind):
    found = e.samples()[kind]
    told = " ".join(said(drawn(found)))
    title = found.fault.title
    assert f"Plover in Hollow Regatta: {title[0].lower()}{title[1:]}" in told
    assert found.fault.evidence.replace("'", "’") in told
    assert "Run: Plover, Hollow Regatta 3." in told


@pytest.mark.parametrize("kind", ["loading", "sag", "throttling"])
def test_a_place_is_marked_at_the_same_seconds_in_both_views(kind):
    found = bars(drawn(e.samples()[kind]))
    assert len(found) == 2
    assert found[0] == found[1]


def test_every_place_has_its_own_bar_at_its_own_seconds():
    picture = drawn(e.capped())
    (first, second) = bars(picture)
    trace_end_s = e.held_ms(5).sum() / 1000
    per_s = (first[1] - first[0]) / 9  # the first place is from 2 to 11 s
    assert second[0] - first[0] == pytest.approx(22 * per_s, abs=1)
    assert second[1] - second[0] == pytest.approx(14 * per_s, abs=1)
    left = first[0] - 2 * per_s
    assert left + trace_end_s * per_s < picture.width


def test_what_is_only_a_note_is_marked_without_red():
    found = e.noted()
    assert not lines(drawn(found), FAULT)
    assert bars(drawn(found), POST)
    doubted = replace(found, fault=replace(found.fault, severity=Severity.IN_DOUBT))
    assert len(bars(drawn(doubted))) == 1


def test_the_difference_leaves_its_band_exactly_where_the_place_is():
    picture = drawn(e.loading())
    band = next(r for r in root_of(picture).iter(f"{SVG}rect") if r.attrib["fill"] == BAND)
    top = float(band.attrib["y"])
    (left, right), _ = bars(picture)
    curves = [p for p in root_of(picture).iter(f"{SVG}path") if p.attrib.get("stroke") == TIDE]
    assert len(curves) == 4
    for curve in curves:
        points = [
            tuple(map(float, point.split()))
            for point in curve.attrib["d"].replace("M", "L").split("L")
            if point
        ]
        beyond = [x for x, y in points if y < top]
        assert min(beyond) == pytest.approx(left, abs=20)
        assert max(beyond) == pytest.approx(right, abs=20)
    assert "Frame time against each sibling. Band: ±6 %. Grey: siblings to each other." in said(picture)


def test_a_band_that_is_not_even_says_both_ends():
    found = e.evidence(
        e.fault("Slow", "It is slow."),
        None,
        Differences(times_s=e.BINS_S, against=(e.curve(1),), allowed=(-1.5, 4)),
    )
    assert "Frame time against each sibling. Band: −1.5 to +4.0 %." in said(drawn(found))


def test_a_missing_reading_breaks_the_line_and_is_not_drawn_as_a_value():
    at = np.arange(10.0)
    values = np.where(at == 4, np.nan, 4.0 + at / 10)
    found = e.evidence(
        e.fault("Falls", "It falls."),
        None,
        Readings(what="Clock", unit="GHz", own=Series(times_s=at, values=values)),
    )
    picture = drawn(found)
    (curve,) = [p for p in root_of(picture).iter(f"{SVG}path") if p.attrib.get("stroke") == TIDE]
    assert curve.attrib["d"].count("M") == 2
    assert curve.attrib["d"].count("L") == 7
    assert "nan" not in picture.svg


def test_the_limit_is_named_at_the_end_that_the_run_is_farther_from():
    rising = e.hot()
    sensor = rising.below
    assert isinstance(sensor, Readings)
    falling = replace(sensor, own=replace(sensor.own, values=sensor.own.values[::-1]))

    def x(found: Evidence) -> float:
        return next(t.words.x for t in texts(drawn(found)) if t.words.text == "limit 95 °C")

    assert x(rising) < 960 < x(replace(rising, below=falling))


def test_a_rate_that_no_frame_comes_near_is_marked_at_its_own_place_on_the_scale():
    told = e.capped()
    density = replace(told.trace.density, marked=(Marked(from_ms=24.8, to_ms=25.2, words="declared 40 fps"),))
    scope = scope_of(replace(told.trace, density=density), told.run)
    assert scope.high >= 25.2 > scope_of(told.trace, told.run).high
    low = replace(density, marked=(Marked(from_ms=0.9, to_ms=1.1, words="declared 1,000 fps"),))
    assert scope_of(replace(told.trace, density=low), told.run).low < 0.9


def test_a_run_of_two_frames_is_told_as_too_short_to_draw_and_a_whole_one_is_not():
    found = e.capped()
    cut = replace(found.trace, frame_times_ms=found.trace.frame_times_ms[:2], density=None)
    short = drawn(replace(found, trace=cut))
    assert any("two frames: too short to draw." in text.casefold() for text in said(short))
    assert "too short" in short.description
    assert "too short" not in drawn(found).description


def test_the_density_peaks_on_the_line_of_the_trace_it_stands_beside():
    picture = drawn(e.capped())
    words = next(t for t in texts(picture) if t.words.text == "144.0 fps")
    paths = [p.attrib["d"] for p in root_of(picture).iter(f"{SVG}path") if p.attrib.get("fill") == TIDE]
    trace, density = paths
    cells = [cell.split("V") for cell in density.split("M")[1:]]
    longest = max(cells, key=lambda cell: float(cell[1].split("H")[1]))
    y = float(longest[1].split("H")[0])
    assert f"V{y:.0f}" in {f"V{float(v.split('H')[0]):.0f}" for v in trace.split("V")[1:-1]}
    assert words.words.y < y < words.words.y + 60
    assert "How often." in said(picture)


def test_frames_that_step_are_dots_on_two_rows():
    picture = drawn(e.stepped())
    (dots,) = [p for p in root_of(picture).iter(f"{SVG}path") if p.attrib.get("stroke") == TIDE]
    rows = sorted({float(cell.split(" ")[1].split("h")[0]) for cell in dots.attrib["d"].split("M")[1:]})
    gaps = np.diff(rows)
    assert (gaps > 50).sum() == 1
    assert {"1 refresh", "2 refreshes"} <= set(said(picture))


def test_each_run_has_its_row_of_hitches():
    found = e.hitched()
    view = found.below
    assert isinstance(view, Moments)
    picture = drawn(found)
    own = [at for at in lines(picture, TIDE) if at["x1"] == at["x2"]]
    assert len(own) == view.own.size == 19
    tall = {round(at["y2"] - at["y1"]) for at in own}
    others = [
        at for at in lines(picture, GREY) if at["x1"] == at["x2"] and at["y1"] > min(o["y1"] for o in own)
    ]
    assert len(others) == sum(times.size for times in view.siblings)
    assert {round(at["y2"] - at["y1"]) for at in others} < {t / 2 for t in tall} or len(tall) == 1
    assert "Hitches: 19. Grey: four siblings, 1 to 4 each." in said(picture)


def test_numbers_of_runs_stand_on_one_scale_other_setups_in_rows_of_their_own():
    picture = drawn(e.samples()["level, peers"])
    assert {"Plover", "Dunlin", "Wren", "143.9 fps"} <= set(said(picture))

    def places(number: int) -> list[tuple[float, float]]:
        marks = [p for p in root_of(picture).iter(f"{SVG}path") if p.attrib["d"] == slot(number).mark]
        at = [m.attrib["transform"].split("(")[1].split(")")[0].split() for m in marks]
        return [(float(x), float(y)) for x, y in at]

    plover, dunlin, wren = places(2), places(3), places(1)
    assert len(plover) == 5  # this run and its four siblings: one form
    assert len(dunlin) == 3
    middle = plover[-1][1]
    assert all(abs(y - middle) < 3 * 7.5 * card().unit for _, y in plover)  # one row, stacked in it
    own = plover[-1][0]
    assert max(x for x, _ in wren) < own < min(x for x, _ in dunlin)
    assert {y for _, y in dunlin} != {y for _, y in wren} != {y for _, y in plover}


def test_the_expected_range_is_a_band_and_this_run_lies_where_its_number_says():
    picture = drawn(e.room())
    band = next(r for r in root_of(picture).iter(f"{SVG}rect") if r.attrib["fill"] == BAND)
    left = float(band.attrib["x"])
    per_degree = float(band.attrib["width"]) / 6
    marks = [p for p in root_of(picture).iter(f"{SVG}path") if p.attrib["d"] == slot(2).mark]
    xs = [float(m.attrib["transform"].split("(")[1].split()[0]) for m in marks]
    assert xs[-1] == pytest.approx(left + (29.6 - 21) * per_degree, abs=1)
    assert "29.6 °C" in said(picture)


def test_runs_at_one_number_stand_above_each_other_and_the_caption_says_so():
    room = e.room()
    picture = drawn(replace(room, below=replace(room.below, siblings=(23.6, 23.6, 23.6, 24.4))))
    grey = [p for p in root_of(picture).iter(f"{SVG}path") if p.attrib.get("stroke") == GREY]
    places = [tuple(map(float, p.attrib["transform"].split("(")[1].split(")")[0].split())) for p in grey]
    assert len(places) == 4
    for i, (x, y) in enumerate(places):
        assert all(abs(x - u) > 30 or abs(y - v) > 30 for u, v in places[:i])  # no mark hides another
    assert any("Stacked: alike." in text for text in said(picture))
    apart = drawn(replace(room, below=replace(room.below, siblings=(22.0, 25.0))))
    assert not any("Stacked" in text for text in said(apart))


def test_a_band_and_the_number_of_this_run_leave_other_rows_and_each_other_alone():
    level = e.samples()["level, peers"]
    below = replace(
        level.below, own=160.0, siblings=(164.0, 165.0), expected=(163.0, 166.0), expected_words="w"
    )
    picture = drawn(replace(level, trace=None, below=below))
    band = next(r for r in root_of(picture).iter(f"{SVG}rect") if r.attrib["fill"] == BAND)
    low = float(band.attrib["y"]) + float(band.attrib["height"])
    left, right = (float(band.attrib["x"]) + side * float(band.attrib["width"]) for side in (0, 1))
    rows = {t.words.text: t for t in texts(picture) if t.words.text in ("Dunlin", "Wren")}
    assert all(text.box.bottom > low + text.words.size / 2 for text in rows.values())
    (own,) = (t.box for t in texts(picture) if t.words.text.startswith("160.0"))
    assert not any(own.left < post < own.right for post in (left, right))


def test_the_odd_stamp_is_strong_and_never_counted_away():
    rows = [Saying(who=f"run {i}", value="31.6" if i == 30 else "31.4", odd=i == 30) for i in range(1, 41)]
    found = e.evidence(
        e.fault("Stamps differ", "One differs."), None, Sayings(what="Driver of each run", rows=tuple(rows))
    )
    words = {t.words.text: t.fill for t in texts(drawn(found))}
    assert words["31.6"] == "#8a1c17"
    assert any(text.endswith("more runs") for text in words)
    whole = " ".join(said(evidence_picture(found, s.NAMES, style=page())[0]))
    assert all(f"run {i}" in whole for i in range(1, 41))


def test_a_sibling_is_laid_where_it_begins():
    own = np.full(1000, 10.0)
    late = Traces(frame_times_ms=own, siblings=(own,), begins_s=(2.0,))
    picture = drawn(e.evidence(e.fault("Begins late", "It begins late."), late))
    pale, main = [p for p in root_of(picture).iter(f"{SVG}path") if p.attrib.get("fill") in (GREY, TIDE)]
    starts = [float(p.attrib["d"][1:].split(" ")[0]) for p in (main, pale)]
    ends = [
        max(float(x.split("V")[0]) for x in p.attrib["d"].rstrip("Z").split("H")[1:]) for p in (main, pale)
    ]
    assert starts[1] - starts[0] == pytest.approx((ends[0] - starts[0]) / 5, rel=0.02)
    assert ends[1] > ends[0]


def test_the_description_tells_what_the_card_has_no_room_for():
    picture = drawn(e.samples()["level, peers"])
    told = picture.description.replace("\u00a0", " ")
    assert "Ticks on top: three longer frames" in told
    assert "This run 143.9 fps; siblings 161.0 fps, 164.2 fps, 165.1 fps and 166.4 fps." in told


@pytest.mark.parametrize(
    ("trace", "words"),
    [
        (None, "no view to draw"),
        (Traces(frame_times_ms=np.array([np.nan])), "no readable frame"),
    ],
)
def test_what_cannot_be_drawn_is_said(trace, words):
    with pytest.raises(NotEnoughRuns, match=words):
        drawn(e.evidence(e.fault("Odd", "It is odd."), trace))


@pytest.mark.parametrize(
    "below",
    [
        Moments(own=np.array([]), siblings=()),
        Differences(times_s=np.array([0.25]), against=(np.array([np.nan]),)),
        Readings(what="Clock", unit="GHz", own=Series(times_s=np.array([0.0]), values=np.array([4.0]))),
        Readings(what="Clock", unit="GHz", own=Series(times_s=np.array([]), values=np.array([]))),
    ],
)
@pytest.mark.parametrize("traced", [True, False])
def test_a_view_that_holds_nearly_nothing_is_drawn_all_the_same(below, traced):
    one = Traces(frame_times_ms=np.array([16.0])) if traced else None
    picture = drawn(e.evidence(e.fault("Odd", "It is odd.", (0, 1)), one, below))
    assert "nan" not in picture.svg
    assert "inf" not in picture.svg.lower().replace("info", "")


def held_low(*, dip: float | None = None) -> Evidence:
    """A run that draws 200 W where its siblings draw 240; one of them rests in its last reading."""
    at = np.arange(60.0)
    sibling = np.where((at == 59) & (dip is not None), dip or 0.0, 240.0)
    below = Readings(
        what="Graphics power", unit="W", own=Series(times_s=at, values=np.full(60, 200.0)),
        siblings=(Series(times_s=at, values=np.full(60, 240.0)), Series(times_s=at, values=sibling)),
        limit=200.0, limit_words="200 W in this run",
    )  # fmt: skip
    return e.evidence(e.fault("Held low", "It drew 200 W."), e.trace(e.scene_ms(6)), below)


def test_one_reading_of_a_sibling_at_rest_stretches_no_scale():
    usual, dipped = (scope_of(found.below, found.run) for found in (held_low(), held_low(dip=20.0)))
    assert dipped.low == pytest.approx(usual.low)


def test_the_words_of_a_limit_stand_on_the_side_that_no_line_runs_through():
    below = held_low().below
    assert isinstance(below, Readings)

    def y(*levels: float) -> float:
        """Where the words stand beside siblings at these levels."""
        siblings = tuple(replace(below.own, values=np.full(60, level)) for level in levels)
        found = replace(held_low(), trace=None, below=replace(below, siblings=siblings))
        return next(t.words.y for t in texts(drawn(found)) if t.words.text == "200 W in this run")

    assert y(150.0, 250.0, 195.0) < y(150.0, 250.0, 205.0)


def test_the_words_of_a_limit_stand_clear_of_siblings_and_of_the_grid():
    """Their paper ground would else cut through lines; if that place is taken they move."""
    below = held_low().below
    assert isinstance(below, Readings)
    siblings = (replace(below.own, values=np.full(60, 200.0)), replace(below.own, values=np.full(60, 194.0)))
    found = replace(held_low(), trace=None, below=replace(below, siblings=siblings))
    words = next(t.words for t in texts(drawn(found)) if t.words.text == "200 W in this run")
    middle = (words.box.top + words.box.bottom) / 2
    lines = [float(line.attrib["y1"]) for line in root_of(drawn(found)).iter(f"{SVG}line")]
    assert min(abs(y - middle) for y in lines) > 0.6 * words.size


def test_a_copy_says_that_the_other_run_lies_under_it():
    hidden = e.evidence(
        e.fault("Same recording", "All frames are one."), replace(e.trace(e.scene_ms(6)), grey="that run")
    )
    assert "Time of every frame. Grey: that run." in " ".join(said(drawn(hidden)))


def test_apostrophes_are_set_as_type_is():
    words = foot("Switch off the title's own limiter; the siblings' frames are free.")
    assert "the title’s own limiter; the siblings’ frames" in words


def foot(todo: str) -> str:
    found = e.evidence(replace(e.fault("Held low", "It drew 200 W."), todo=todo), e.trace(e.scene_ms(6)))
    return " ".join(said(drawn(found)))


def test_what_to_do_stands_at_the_foot_as_far_as_it_fits():
    assert "What to do: Switch the limiter off and record the run again." in foot(
        "Switch the limiter off and record the run again."
    )
    long = foot(
        "Compare the power plan; " + "look at every one of the other settings too, " * 12 + "and go on."
    )
    assert "What to do: Compare the power plan." in long
    assert "look at every" not in long
    assert "What to do" not in foot("")
