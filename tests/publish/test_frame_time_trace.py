from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp
from tests.publish import saltmarsh as s
from tests.publish.svg_reading import SVG, root_of, texts

from evenhand.errors import NotEnoughRuns
from evenhand.publish.figures.thinning import thinned, turning_points
from evenhand.publish.figures.traces import TraceScene, frame_time_trace
from evenhand.publish.numbers import counted
from evenhand.publish.style import card, page
from evenhand.records.faults import Severity


def said(picture) -> list[str]:
    return [text.words.text.replace("\u00a0", " ") for text in texts(picture)]


@given(
    hnp.arrays(np.float64, st.integers(1, 500), elements=st.floats(0.1, 500)),
    st.integers(1, 60),
)
def test_thinning_loses_no_extreme_and_keeps_order(frame_times_ms, columns):
    starts, low, high = thinned(frame_times_ms, columns)
    assert starts.shape == low.shape == high.shape
    assert 1 <= starts.size <= columns
    assert (np.diff(starts) > 0).all()
    assert low.min() == frame_times_ms.min()
    assert high.max() == frame_times_ms.max()
    assert (low <= high).all()


def test_thinning_by_hand():
    starts, low, high = thinned(np.array([10.0, 10.0, 40.0, 20.0, 20.0]), 5)
    assert starts.tolist() == pytest.approx([0.0, 0.02, 0.06, 0.08])  # one frame lasts from 0.02 to 0.06 s
    assert low.tolist() == [10.0, 40.0, 20.0, 20.0]
    assert high.tolist() == [10.0, 40.0, 20.0, 20.0]


def test_a_minute_and_a_quarter_of_an_hour_draw_alike_in_size():
    short = frame_time_trace(s.scene(n=12_000, siblings=0), s.NAMES, style=card())[0]
    long = frame_time_trace(s.scene(n=60_000, siblings=0), s.NAMES, style=card())[0]
    assert len(long.svg) < 1.5 * len(short.svg) < 50_000


def test_hitches_are_marked_counted_and_the_longest_is_told():
    scene = s.scene()
    picture = frame_time_trace(scene, s.NAMES, style=card())[0]
    arrows = [e for e in root_of(picture).iter(f"{SVG}path") if e.attrib["fill"] == "none"]
    assert len(arrows) == len(scene.hitches) > 2
    longest = scene.frame_times_ms.max()
    assert f"longest {longest:.0f} ms" in said(picture)
    assert f"{counted(len(scene.hitches), 'hitch', 'hitches').capitalize()}." in " ".join(said(picture))


def test_a_fault_is_the_headline_and_its_place_is_marked():
    scene = s.scene(faults=[s.fault("Looks capped at 143.9 fps", (0.5, 50))])
    picture = frame_time_trace(scene, s.NAMES, style=card())[0]
    assert said(picture)[0] == "Plover in Hollow Regatta: looks capped at 143.9 fps"
    edges = [e for e in root_of(picture).iter(f"{SVG}line") if e.attrib["stroke"] == "#b3261e"]
    assert len(edges) == 3


def test_several_faults_are_each_named_over_their_places():
    faults = [s.fault("Loading between 22 and 26 s", (22, 26)), s.fault("Bursts near the end", (50, 52))]
    picture = frame_time_trace(s.scene(faults=faults), s.NAMES, style=card())[0]
    labels = {t.words.text: t for t in texts(picture)}
    assert labels["Bursts near the end"].fill == "#8a1c17"
    assert labels["Loading between 22 and 26 s"].words.x < labels["Bursts near the end"].words.x
    noted = [replace(fault, severity=Severity.NOTE) for fault in faults]
    quiet = frame_time_trace(s.scene(faults=noted), s.NAMES, style=card())[0]
    assert {t.words.text: t.fill for t in texts(quiet)}["Bursts near the end"] == "#14201e"


def test_siblings_lie_pale_behind_and_are_counted():
    picture = frame_time_trace(s.scene(siblings=3), s.NAMES, style=card())[0]
    pale = [e for e in root_of(picture).iter(f"{SVG}path") if "fill-opacity" in e.attrib]
    assert len(pale) == 1
    assert pale[0].attrib["d"].count("M") == 3
    assert "Grey: three siblings." in " ".join(said(picture))


@pytest.mark.parametrize("times", [[], [np.nan, np.nan], [0.0, -1.0]])
def test_a_run_without_a_readable_frame_is_refused(times):
    scene = replace(s.scene(), frame_times_ms=np.array(times))
    with pytest.raises(NotEnoughRuns, match="no readable frame"):
        frame_time_trace(scene, s.NAMES, style=card())


def test_unreadable_frames_are_passed_over():
    times = s.frame_times(1)
    times[100:120] = np.nan
    picture = frame_time_trace(replace(s.scene(), frame_times_ms=times), s.NAMES, style=page())[0]
    assert "nan" not in picture.svg


def test_places_too_near_to_be_told_apart_are_drawn_as_one():
    near = s.fault("Held at a fixed rate", (5, 10), (10.05, 15), (40, 45))
    apart = s.fault("Held at a fixed rate", (5, 10), (14, 15), (40, 45))
    for fault, bars in ((near, 2), (apart, 3)):
        picture = frame_time_trace(s.scene(faults=[fault]), s.NAMES, style=card())[0]
        lines = [e.attrib for e in root_of(picture).iter(f"{SVG}line") if e.attrib["stroke"] == "#b3261e"]
        assert sum(at["y1"] == at["y2"] for at in lines) == bars
        assert sum(at["x1"] == at["x2"] for at in lines) == 2 * bars


def test_a_pale_ground_shows_short_places_and_is_left_out_where_a_fault_is_nearly_everywhere():
    def grounds(*places: tuple[float, float]) -> int:
        picture = frame_time_trace(s.scene(faults=[s.fault("Slow", *places)]), s.NAMES, style=card())[0]
        return sum(e.attrib["fill"] == "#fbeae7" for e in root_of(picture).iter(f"{SVG}rect"))

    assert grounds((5, 9), (20, 24)) == 2
    assert grounds((0, 9), (12, 50)) == 0


INK, GREY = "#14201e", "#737f7b"


def ticks(picture, ink: str) -> list[tuple[float, float]]:
    """Where the short upright strokes of this colour stand: x, and the end that is nearer the top."""
    lines = [e.attrib for e in root_of(picture).iter(f"{SVG}line") if e.attrib["stroke"] == ink]
    short = [at for at in lines if at["x1"] == at["x2"] and abs(float(at["y1"]) - float(at["y2"])) == 10]
    return [(float(at["x1"]), min(float(at["y1"]), float(at["y2"]))) for at in short]


def scene_with(long: dict[int, float], *siblings: dict[int, float]) -> TraceScene:
    """2,000 frames of 7 ms, a few of them longer."""

    def times(longer: dict[int, float]) -> np.ndarray:
        frames = np.full(2000, 7.0)
        frames[list(longer)] = list(longer.values())
        return frames

    return TraceScene(
        test="regatta",
        setup="plover",
        run="r",
        frame_times_ms=times(long),
        siblings=tuple(times(each) for each in siblings),
    )


@pytest.mark.parametrize(
    ("scene", "words"),
    [
        (scene_with({}), None),
        (scene_with({200: 21.04}), "Ticks on top: one longer frame, 21.0 ms."),
        (scene_with({200: 18.0, 900: 21.04}), "Ticks on top: two longer frames, up to 21.0 ms."),
        (
            scene_with({200: 21.04}, {300: 18.0, 900: 17.0}, {600: 19.0}),
            "Ticks on top: one longer frame, 21.0 ms; three frames of siblings.",
        ),
        (scene_with({}, {300: 18.0}), "Ticks on top: one longer frame of siblings."),
    ],
)
def test_frames_longer_than_the_scale_are_ticked_and_counted_the_runs_own_and_its_siblings(scene, words):
    picture = frame_time_trace(scene, s.NAMES, style=card())[0]
    assert len(ticks(picture, INK)) == (scene.frame_times_ms > 10).sum()
    assert len(ticks(picture, GREY)) == sum((f > 10).sum() for f in scene.siblings)
    assert len({y for _, y in (*ticks(picture, INK), *ticks(picture, GREY))}) <= 1  # all over one edge
    for told in (" ".join(said(picture)), picture.description.replace("\u00a0", " ")):
        assert (words in told) if words else ("longer" not in told)


def test_rare_long_frames_do_not_press_the_others_together():
    calm = scene_with({})
    with_hitches = scene_with(dict.fromkeys(range(100, 1900, 200), 60.0))
    scales = [
        [float(word) for word in said(frame_time_trace(each, s.NAMES, style=card())[0]) if word[:1] == "7"]
        for each in (calm, with_hitches)
    ]
    assert scales[0]
    assert scales[1]


@given(hnp.arrays(np.float64, st.integers(1, 400), elements=st.floats(-5, 5)), st.integers(2, 60))
def test_a_thinned_line_keeps_its_ends_of_range_and_its_order(values, most):
    kept = turning_points(values, most)
    assert (np.diff(kept) > 0).all()
    assert kept.size <= max(most, 2)
    assert values[kept].min() == values.min()
    assert values[kept].max() == values.max()


def test_a_thinned_line_keeps_its_gaps():
    values = np.sin(np.arange(1000.0) / 50)
    values[400:430] = np.nan
    kept = turning_points(values, 100)
    assert np.isnan(values[kept]).any()
    assert kept.size < 110


@pytest.mark.parametrize(
    ("minutes", "last"), [(0.5, "30 s"), (0.983, "50 s"), (18, "15 min"), (0.002, "0.12 s")]
)
def test_round_times_stand_below(minutes, last):
    scene = TraceScene(
        test="regatta", setup="plover", run="r", frame_times_ms=np.full(int(minutes * 60_000 / 4), 4.0)
    )
    words = said(frame_time_trace(scene, s.NAMES, style=card())[0])
    assert last in words
    assert {"0", "0.00"} & set(words)


def test_few_frames_that_follow_each_other_make_one_line():
    times = np.linspace(20.0, 40.0, 60)
    scene = TraceScene(test="regatta", setup="plover", run="r", frame_times_ms=times)
    picture = frame_time_trace(scene, s.NAMES, style=card())[0]
    (outline,) = [p for p in root_of(picture).iter(f"{SVG}path") if p.attrib.get("fill") == "#094a9c"]
    heights = [float(v.split("H")[0]) for v in outline.attrib["d"].rstrip("Z").split("V")[1:]]
    tops, feet = heights[:60], heights[60:][::-1]
    for at in range(59):  # the picture's y grows downward: each column reaches to the top of the next one
        assert tops[at] <= feet[at + 1]


def test_a_place_too_narrow_for_two_edges_has_one():
    narrow = s.fault("Hitch", (5, 5.02))
    picture = frame_time_trace(s.scene(faults=[narrow]), s.NAMES, style=card())[0]
    lines = [e.attrib for e in root_of(picture).iter(f"{SVG}line") if e.attrib["stroke"] == "#b3261e"]
    assert sum(at["x1"] == at["x2"] for at in lines) == 1
    assert sum(at["y1"] == at["y2"] for at in lines) == 1


def test_a_long_name_is_cut_short_and_never_the_fault():
    setups = {
        key: replace(name, name=f"{name.name} of {'very ' * 20}long name")
        for key, name in s.NAMES.setups.items()
    }
    scene = s.scene(faults=[s.fault("Looks capped at 143.9 fps", (0.5, 50))])
    picture = frame_time_trace(scene, replace(s.NAMES, setups=setups), style=card())[0]
    headline = " ".join(text.words.text for text in texts(picture)[:2])
    assert "looks capped at 143.9" in headline
