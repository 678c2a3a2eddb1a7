"""What is drawn is what was judged: places marked, and the numbers of the sentence, stand in the arrays."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TypeVar

import numpy as np
import pytest
from tests.triage import cells as c
from tests.triage.one_of_each import Shown, shown

from evenhand.records.faults import Fault, Severity
from evenhand.triage.exhibits import forms
from evenhand.triage.exhibits.by_kind import as_judged, exhibit
from evenhand.triage.exhibits.forms import Differences, Moments, Numbers, Readings, Sayings
from evenhand.triage.thresholds import DEFAULT

Form = TypeVar("Form", Differences, Moments, Numbers, Readings, Sayings)


def below(told: Shown, form: type[Form]) -> Form:
    assert isinstance(told.exhibit.below, form)
    return told.exhibit.below


def trace(told: Shown) -> forms.Traces:
    assert told.exhibit.trace is not None
    return told.exhibit.trace


def density(told: Shown) -> forms.Density:
    found = trace(told).density
    assert found is not None
    return found


def inside(told: Shown, times_s: np.ndarray, *, shy_s: float = 0.0) -> np.ndarray:
    """Which of these seconds lie in a place of the fault."""
    places = told.fault.places
    return np.any([(times_s >= p.from_s + shy_s) & (times_s <= p.to_s - shy_s) for p in places], axis=0)


def words(told: Shown) -> str:
    return c.plain(told.fault.evidence)


# --- what the log says of itself


@pytest.mark.parametrize(("name", "factor"), [("seconds", 1000.0), ("microseconds", 0.001)])
def test_a_log_in_another_unit_lies_over_its_siblings_once_read_so(name: str, factor: float) -> None:
    told = shown(name)
    own, others = trace(told).frame_times_ms, trace(told).siblings
    assert np.median(own) == pytest.approx(told.fault.numbers["median_if_meant_ms"])
    assert all(abs(math.log(np.median(own) / np.median(other))) < 0.02 for other in others)
    numbers = below(told, Numbers)
    assert numbers.own == pytest.approx(told.fault.numbers["median_ms"])
    assert numbers.own * factor == pytest.approx(np.median(numbers.siblings), rel=0.02)
    assert c.plain(numbers.own_words) in words(told)
    assert name in trace(told).what


def test_siblings_that_are_in_another_unit_too_are_read_in_it_as_well() -> None:
    runs = tuple(c.run(str(i), c.take(100 + i) / 1000) for i in (1, 2))
    fault = c.only(c.judge(runs)["1"], "wrong-units")
    found = exhibit(as_judged(runs, c.ALONE, of=("1", "wrong-units")), "1", fault)
    assert found is not None
    assert found.trace is not None
    (other,) = found.trace.siblings
    assert np.median(other) == pytest.approx(10.0, rel=0.1)


def test_bad_rows_are_spelled_out_beside_their_places() -> None:
    told = shown("bad rows")
    rows = below(told, Sayings).rows
    assert [row.who.split(",")[0] + "," + row.who.split(",")[1] for row in rows] == [
        "Frame 1,201", "Frame 1,202", "Frame 2,001",
    ]  # fmt: skip
    assert [c.plain(row.value) for row in rows] == ["0.000 ms", "no number", "−3.000 ms"]
    assert all(row.odd for row in rows)
    assert len(told.fault.places) == 3


def test_the_clock_leaves_the_frames_at_the_marked_place_by_what_is_missing() -> None:
    told = shown("gap")
    readings, numbers = below(told, Readings), told.fault.numbers
    off = readings.own.values
    assert off[-1] == pytest.approx(numbers["clock_span_s"] - numbers["frame_time_sum_s"], abs=1e-9)
    (place,) = told.fault.places
    before, after = off[readings.own.times_s < place.from_s], off[readings.own.times_s > place.from_s]
    assert np.abs(before).max() < 0.01
    assert after.min() == pytest.approx(0.6, abs=0.01)
    assert readings.limit is not None
    assert np.abs(before).max() < readings.limit < after.min()
    assert all(np.abs(s.values).max() < readings.limit for s in readings.siblings)
    assert len(readings.siblings) == 4


def test_samples_leave_the_clock_all_along() -> None:
    told = shown("samples")
    off, numbers = below(told, Readings).own.values, told.fault.numbers
    assert off[-1] == pytest.approx(numbers["clock_span_s"] - numbers["frame_time_sum_s"], abs=0.05)
    assert off[off.size // 2] == pytest.approx(off[-1] / 2, rel=0.05)


def test_the_end_of_each_log_is_said_the_cut_one_first() -> None:
    rows = below(shown("cut"), Sayings).rows
    assert rows[0].value == "within a row, line 3,002"
    assert [row.odd for row in rows] == [True, False, False, False, False]
    assert {row.value for row in rows[1:]} == {"with a whole row"}


def test_what_the_reader_found_is_said_beside_logs_with_nothing() -> None:
    told = shown("damaged")
    rows = below(told, Sayings).rows
    assert c.plain(rows[0].value) == "short row: 12 lines, first 14"
    assert "lines 14, 200, 201 and 9 more" in words(told).lower()
    assert [row.value for row in rows[1:]] == ["nothing"] * 4


def test_a_copy_lies_on_its_origin_frame_by_frame_from_where_it_was_cut() -> None:
    told = shown("copy")
    curve = below(told, Differences)
    assert np.nanmax(np.abs(curve.against[0])) < 1e-9
    assert np.isfinite(curve.against[0]).mean() > 0.95
    assert all(np.nanmedian(np.abs(other)) > 1 for other in curve.among)
    (begin,) = trace(told).begins_s
    assert f"it begins {-begin:.1f} s into it" in words(told)
    (origin,) = trace(told).siblings
    skipped = told.fault.numbers["lag_frames"]
    assert np.array_equal(origin[round(abs(skipped)) :], trace(told).frame_times_ms)


def test_a_hitch_that_only_one_take_has_is_no_part_of_the_difference() -> None:
    times = c.take(102)
    times[500] = 90.0
    runs = (c.run("1", c.take(101)[200:]), *c.cell()[1:3], c.run("9", times))
    fault = c.only(c.judge(runs)["1"], "twin")
    found = exhibit(as_judged(runs, c.ALONE, of=("1", "twin")), "1", fault)
    assert found is not None
    assert isinstance(found.below, Differences)
    assert all(np.nanmax(np.abs(other)) < 60 for other in found.below.among)


def test_of_a_run_many_times_as_long_as_its_copy_only_the_piece_about_it_is_shown() -> None:
    long = c.take(3, seconds=300.0)
    runs = (c.run("1", long[12000:15000]), c.run("2", long), c.run("3", c.take(5)))
    fault = c.only(c.judge(runs)["1"], "twin")
    found = exhibit(as_judged(runs, c.ALONE, of=("1", "twin")), "1", fault)
    assert found is not None
    assert found.trace is not None
    copy_s, (piece,) = found.trace.frame_times_ms.sum() / 1000, found.trace.siblings
    assert piece.sum() / 1000 == pytest.approx(2 * copy_s, rel=0.05)
    assert found.trace.begins_s == (pytest.approx(-copy_s / 2, abs=0.1),)


def test_a_copy_of_a_later_run_is_laid_over_that_one() -> None:
    runs = (c.run("1", c.take(103)[200:]), *c.cell()[1:])
    fault = c.only(c.judge(runs)["1"], "twin")
    found = exhibit(as_judged(runs, c.ALONE, of=("1", "twin")), "1", fault)
    assert found is not None
    assert found.trace is not None
    (origin,) = found.trace.siblings
    assert np.array_equal(origin, c.take(103))


# --- what the run says of itself


def test_the_declared_setting_stands_over_what_each_run_says() -> None:
    told = shown("settings")
    rows = below(told, Sayings).rows
    assert (rows[0].who, rows[0].value) == ("The test", "1920x1080")
    assert [row.value for row in rows if row.odd] == ["1600 × 900"]
    assert below(told, Sayings).what == "Resolution of each run"
    assert all(row.value in words(told) for row in rows[:2])


def test_each_stamp_that_differs_has_its_rows() -> None:
    told = shown("stamps")
    rows = below(told, Sayings).rows
    assert [row.value for row in rows if row.odd] == ["31.6", "9.2"]
    assert {row.value for row in rows if not row.odd} == {"31.4", "9.1"}
    assert len(rows) == 10
    assert all(row.value in words(told) for row in rows)


@pytest.mark.parametrize("name", ["room", "room, undeclared"])
def test_the_room_lies_outside_the_range_and_its_siblings_inside(name: str) -> None:
    told = shown(name)
    numbers = below(told, Numbers)
    assert numbers.expected is not None
    low, high = numbers.expected
    assert numbers.own == told.fault.numbers["room_c"] > high
    assert all(low <= value <= high for value in numbers.siblings)
    assert c.plain(numbers.own_words) in words(told)


def test_without_a_declared_range_the_room_is_held_to_the_median_of_its_siblings() -> None:
    told = shown("room, undeclared")
    numbers = below(told, Numbers)
    assert numbers.expected is not None
    assert sum(numbers.expected) / 2 == pytest.approx(told.fault.numbers["siblings_c"])


def test_a_short_take_ends_before_the_band_of_lengths_that_would_pass() -> None:
    told = shown("short")
    numbers = below(told, Numbers)
    assert numbers.expected is not None
    assert numbers.own == pytest.approx(trace(told).frame_times_ms.sum() / 1000)
    assert numbers.own == told.fault.numbers["length_s"] < numbers.expected[0]
    assert all(numbers.expected[0] < value < numbers.expected[1] for value in numbers.siblings)


def test_no_length_below_what_is_asked_for_is_shown_as_passing() -> None:
    among_long, among_brief = (below(shown(name), Numbers) for name in ("brief", "all brief"))
    assert among_long.expected is not None
    assert among_long.own < DEFAULT.length.least_s <= among_long.expected[0]
    assert among_brief.expected is None


@pytest.mark.parametrize("by", [-0.001, 0.001])
@pytest.mark.parametrize("end", [0, 1])
def test_the_band_of_lengths_ends_where_the_detector_begins(end: int, by: float) -> None:
    expected = below(shown("short"), Numbers).expected
    assert expected is not None
    times = np.tile(c.take(100), 2)
    ends_s = np.cumsum(times) / 1000
    wanted_s = expected[end] * (1 + by)
    kept = times[: int(np.searchsorted(ends_s, wanted_s)) + 1].copy()
    kept[-1] -= 1000 * (kept.sum() / 1000 - wanted_s)
    found = c.judge(c.with_first(c.cell(), c.run("1", kept)))
    assert ("length" in c.kinds(found["1"])) == ((end == 1) == (by > 0))


# --- held rates


def test_a_cap_is_the_fullest_cell_of_the_density_and_is_marked_by_its_rate() -> None:
    told = shown("cap")
    view = density(told)
    (held,) = view.marked
    fullest = int(np.argmax(view.share))
    assert view.edges_ms[fullest] <= 1000 / told.fault.numbers["rate_fps"] <= view.edges_ms[fullest + 1]
    assert view.share[fullest] > 5 * max(float(s.max()) for s in view.siblings)
    assert view.share[:fullest].sum() < 0.01
    assert c.plain(held.words) in words(told)
    assert held.from_ms < 1000 / told.fault.numbers["rate_fps"] < held.to_ms
    assert view.share.sum() == pytest.approx(1, abs=0.01)


def test_frames_at_the_cap_lie_in_the_marked_places() -> None:
    told = shown("cap")
    times = trace(told).frame_times_ms
    begins_s = np.cumsum(times) / 1000
    at = np.abs(times - 1000 / told.fault.numbers["rate_fps"]) < 0.05
    there = inside(told, begins_s)
    assert at[there].mean() > 0.8
    assert at[~there].mean() < 0.5


def test_a_declared_rate_and_the_one_reached_are_both_marked() -> None:
    told = shown("unlocked")
    declared, average = density(told).marked
    assert declared.from_ms < 1000 / told.fault.numbers["declared_fps"] < declared.to_ms
    assert average.from_ms < 1000 / told.fault.numbers["average_fps"] < average.to_ms
    assert c.plain(declared.words).removeprefix("declared ") in words(told)
    assert c.plain(average.words).removeprefix("average ") in words(told)
    edges = density(told).edges_ms
    assert all(edges[0] <= m.from_ms < m.to_ms <= edges[-1] for m in (declared, average))


def test_frames_that_wait_for_the_screen_lie_in_the_marked_multiples() -> None:
    told = shown("screen")
    times = trace(told).frame_times_ms
    assert trace(told).dots
    shares = [np.mean((times > m.from_ms) & (times < m.to_ms)) for m in density(told).marked]
    for marked, part in zip(density(told).marked, shares, strict=True):
        assert c.plain(marked.words).startswith(f"{100 * part:.0f} %")
    assert sum(shares) > 0.95


# --- level


@pytest.mark.parametrize("name", ["level", "level of two", "score"])
def test_the_odd_number_lies_outside_what_was_expected_and_its_siblings_inside(name: str) -> None:
    told = shown(name)
    numbers = below(told, Numbers)
    assert numbers.expected is not None
    low, high = numbers.expected
    assert numbers.own < low
    assert all(low <= value <= high for value in numbers.siblings)
    headlines = [run.headline for run in told.runs]
    assert numbers.own == pytest.approx(headlines[0])
    assert sorted(numbers.siblings) == pytest.approx(sorted(h for h in headlines[1:] if h is not None))
    gap = np.mean([math.log(numbers.own / value) for value in numbers.siblings])
    assert gap == pytest.approx(told.fault.numbers["gap_ln"])


def test_a_run_that_is_odd_as_well_is_no_part_of_what_was_expected() -> None:
    scores = replace(c.ALONE, test=c.WORK)
    runs = c.scores(88, 89, 100, 101, 100.4, 99.8, 100.2)
    fault = c.only(c.judge(runs, scores)["1"], "odd-level")
    assert "Judged without run 2" in fault.evidence
    found = exhibit(as_judged(runs, scores, of=("1", "odd-level")), "1", fault)
    assert found is not None
    assert isinstance(found.below, Numbers)
    assert sorted(found.below.siblings) == pytest.approx([99.8, 100, 100.2, 100.4, 101])
    assert found.below.expected is not None
    assert found.below.expected[0] > 95


def test_another_setup_is_shown_by_the_numbers_of_its_runs() -> None:
    told = shown("level")
    (peer,) = below(told, Numbers).peers
    assert peer.run == "w0"
    assert peer.values == tuple(run.headline for run in told.company.peers[0])


def test_a_level_seen_only_along_the_scene_is_shown_along_it() -> None:
    told = shown("level")
    view = as_judged(told.runs, told.company, of=("1", "odd-level"))
    fault = Fault(
        kind="odd-level", title="", severity=Severity.NOTE, evidence="", todo="",
        numbers={"gap_ln": -0.086, "along_scene_ln": -0.086},
    )  # fmt: skip
    found = exhibit(view, "1", fault)
    assert found is not None
    assert isinstance(found.below, Differences)
    assert [float(np.nanmedian(a)) for a in found.below.against] == pytest.approx([9.0] * 4, abs=0.5)
    assert all(abs(np.nanmedian(a)) < 1 for a in found.below.among)


def test_the_scatter_of_frames_is_shown_beside_what_would_pass() -> None:
    told = shown("scatter")
    numbers = below(told, Numbers)
    assert numbers.expected is not None
    assert numbers.own == pytest.approx(100 * told.fault.numbers["scatter_ln"])
    assert numbers.own > numbers.expected[1] > max(numbers.siblings)
    assert min(numbers.siblings) > numbers.expected[0]
    assert c.plain(numbers.own_words) in words(told)


# --- course of the run


def test_a_slow_stretch_leaves_the_band_where_it_is_marked_and_nowhere_else() -> None:
    told = shown("stretch")
    curve = below(told, Differences)
    assert curve.allowed is not None
    there = inside(told, curve.times_s, shy_s=1.0)
    around = inside(told, curve.times_s, shy_s=-1.0)
    for against in curve.against:
        assert np.nanmin(against[there]) > curve.allowed[1]
        assert np.nanmax(np.abs(against[~around])) < curve.allowed[1]
        assert np.nanmedian(against[there]) == pytest.approx(
            100 * math.expm1(told.fault.numbers["slower_ln"]), abs=3
        )
    assert all(np.nanmax(np.abs(a)) < curve.allowed[1] for a in curve.among)
    assert len(curve.among) == 6


def test_a_stretch_of_frames_too_long_for_a_course_is_drawn_through_all_the_same() -> None:
    told = shown("crawl")
    curve = below(told, Differences)
    there = inside(told, curve.times_s, shy_s=0.5)
    assert there.sum() >= 5
    for against in curve.against:
        assert np.isfinite(against[there]).all()
        assert np.median(against[there]) == pytest.approx(900, rel=0.15)


def test_a_pause_is_shown_by_how_long_each_run_stood_still() -> None:
    told = shown("pause")
    numbers = below(told, Numbers)
    assert numbers.own == told.fault.numbers["lost_s"]
    assert numbers.siblings == (0.0,) * 4
    assert f"{c.plain(numbers.own_words)} lost" in words(told)


def test_a_run_that_sags_begins_at_0_and_ends_above_the_band() -> None:
    told = shown("sag")
    curve = below(told, Differences)
    assert curve.allowed is not None
    assert curve.allowed[1] == pytest.approx(100 * math.expm1(told.fault.numbers["limit_ln"]))
    quarter = curve.times_s.size // 4
    there = inside(told, curve.times_s)
    for against in curve.against:
        assert np.nanmean(against[:quarter]) == pytest.approx(0, abs=0.3)
        assert np.nanmean(against[there]) > curve.allowed[1]
    assert all(abs(np.nanmean(a[there])) < curve.allowed[1] for a in curve.among)


def test_siblings_of_a_late_take_are_shifted_to_where_they_lie_over_it() -> None:
    told = shown("late")
    assert trace(told).begins_s == pytest.approx([-told.fault.numbers["later_s"]] * 4, abs=0.1)
    curve = below(told, Differences)
    shifted, as_started = (
        np.nanmean([np.nanmean(np.abs(a)) for a in own]) for own in (curve.against, curve.among)
    )
    assert as_started > 8 * shifted


def test_another_scene_leaves_the_band_while_siblings_keep_to_each_other() -> None:
    told = shown("elsewhere")
    curve = below(told, Differences)
    assert curve.allowed is not None
    assert all(np.nanmean(np.abs(a) > curve.allowed[1]) > 0.5 for a in curve.against)
    assert all(np.nanmax(np.abs(a)) < curve.allowed[1] for a in curve.among)


# --- frame by frame


def test_every_hitch_has_its_moment_and_every_marked_place_one_of_them() -> None:
    told = shown("hitches")
    rows = below(told, Moments)
    assert rows.own.size == told.fault.numbers["hitches"]
    assert f"{rows.own.size} hitches" in words(told)
    for place in told.fault.places:
        assert np.abs(rows.own - place.from_s).min() < 1e-6
    assert [row.size for row in rows.siblings] == [0, 0, 0, 0]


def test_hitches_of_siblings_stand_where_the_scene_meets_this_run() -> None:
    """All takes hitch at one place of the scene; the first was begun four seconds late."""
    takes = [c.take(200 + i, seconds=36) for i in range(5)]
    for take in takes:
        take[2000] *= 6
    takes = [take[400:3400] if i == 0 else take[:3000] for i, take in enumerate(takes)]
    scene_s = takes[0][:1600].sum() / 1000
    takes[0][np.random.default_rng(6).choice(np.arange(200, 2900), 16, replace=False)] *= 6
    runs = tuple(c.run(str(i + 1), take) for i, take in enumerate(takes))
    fault = Fault(kind="extra-hitches", title="", severity=Severity.NOTE, evidence="", todo="")
    found = exhibit(as_judged(runs, c.ALONE, of=("1", "no such kind")), "1", fault)
    assert found is not None
    assert isinstance(found.below, Moments)
    assert [at.tolist() for at in found.below.siblings] == [[pytest.approx(scene_s, abs=0.3)]] * 4


# --- sensors


@pytest.mark.parametrize(
    ("name", "before", "after"), [("throttled", "from_mhz", "to_mhz"), ("fan", "before", "after")]
)
def test_what_fell_is_shown_to_fall_where_it_is_marked(name: str, before: str, after: str) -> None:
    told = shown(name)
    readings, numbers = below(told, Readings), told.fault.numbers
    scale = 1000 if readings.unit == "GHz" else 1
    there = inside(told, readings.own.times_s, shy_s=4.0)
    around = inside(told, readings.own.times_s, shy_s=-1.0)
    assert np.median(readings.own.values[~around]) * scale == pytest.approx(numbers[before], rel=0.01)
    assert np.median(readings.own.values[there]) * scale == pytest.approx(numbers[after], rel=0.01)
    assert readings.limit is not None
    assert readings.limit * scale == pytest.approx(numbers[before])
    assert c.plain(readings.limit_words).removesuffix(" before") in words(told)
    assert all(np.ptp(s.values) < 0.1 * readings.limit for s in readings.siblings)


def test_how_warm_the_part_grew_is_shown_over_its_fan_and_beside_its_siblings() -> None:
    told = shown("fan")
    warmth = told.exhibit.readings
    assert warmth is not None
    assert warmth.unit == "°C"
    there = inside(told, warmth.own.times_s, shy_s=6.0)
    assert all(warmth.own.values[there].min() > np.max(s.values) for s in warmth.siblings)
    assert len(warmth.siblings) == 4


def test_lower_power_lies_below_every_sibling() -> None:
    told = shown("power")
    readings = below(told, Readings)
    assert readings.what == "Graphics power"
    assert readings.limit == told.fault.numbers["power_w"]
    assert all(readings.own.values.max() < s.values.min() for s in readings.siblings)
    assert len(readings.siblings) == 4


def test_memory_reaches_its_ceiling_where_it_is_marked() -> None:
    told = shown("memory")
    readings = below(told, Readings)
    (place,) = told.fault.places
    assert readings.limit == told.fault.numbers["top"] == readings.own.values.max()
    assert np.all(readings.own.values[readings.own.times_s >= place.from_s] > 0.98 * readings.limit)
    assert readings.own.values[readings.own.times_s < place.from_s - 2].max() < 0.98 * readings.limit


def test_other_programs_burst_where_it_is_marked() -> None:
    told = shown("loaded")
    readings = below(told, Readings)
    assert readings.limit == told.fault.numbers["mean_pct"] == pytest.approx(readings.own.values.mean())
    assert readings.own.values.max() == pytest.approx(told.fault.numbers["most_pct"])
    assert inside(told, readings.own.times_s)[np.argmax(readings.own.values)]


@pytest.mark.parametrize("name", ["throttled", "power", "fan", "memory", "loaded"])
def test_a_sibling_without_sensors_is_left_out_of_the_curve_and_stays_in_the_trace(name: str) -> None:
    told = shown(name)
    runs = (*told.runs[:4], replace(told.runs[4], sensors=None))
    found = exhibit(as_judged(runs, told.company, of=("1", told.fault.kind)), "1", told.fault)
    assert found is not None
    assert isinstance(found.below, Readings)
    assert len(found.below.siblings) == 3
    assert found.trace is not None
    assert len(found.trace.siblings) == 4


def test_no_view_holds_a_number_that_is_none() -> None:
    zeros = (c.run("1", np.zeros(2000), headline=None), *c.cell()[1:])
    for name, faults in c.judge(zeros).items():
        for fault in faults:
            told = exhibit(as_judged(zeros, c.ALONE, of=(name, fault.kind)), name, fault)
            if told is not None and isinstance(told.below, Numbers):
                values = (told.below.own, *told.below.siblings, *(told.below.expected or ()))
                assert all(map(math.isfinite, values))


def test_of_a_run_without_a_usable_frame_its_bad_rows_are_shown_and_no_length() -> None:
    zeros = (c.run("1", np.zeros(2000), headline=None), *c.cell()[1:])
    faults = {fault.kind: fault for fault in c.judge(zeros)["1"]}
    short, bad = faults["too-short"], faults["bad-frame-times"]
    assert exhibit(as_judged(zeros, c.ALONE, of=("1", "too-short")), "1", short) is None
    told = exhibit(as_judged(zeros, c.ALONE, of=("1", "bad-frame-times")), "1", bad)
    assert told is not None
    assert isinstance(told.below, Sayings)
