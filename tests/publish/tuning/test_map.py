"""The map of a tuned part: its marks, edge, guard band and limits, what is advised and what comes next."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import pytest
from tests.publish.svg_reading import said, texts
from tests.publish.tuning import clock_samples
from tests.publish.tuning import tuning_samples as t

from evenhand.publish.figures.tuning.map import tuning_map
from evenhand.publish.figures.tuning.marks import Ended, counts, ended, sign_of
from evenhand.publish.figures.tuning.scene import TuningMap
from evenhand.publish.palette import Theme
from evenhand.publish.picture import Picture
from evenhand.publish.style import Medium, Style, card, for_medium, page, phone
from evenhand.records.trials import Outcome


def plain(words: str) -> str:
    return words.replace("\u00a0", " ")


def drawn(found: TuningMap, style: Style | None = None) -> Picture:
    return tuning_map(found, t.s.NAMES, style=style or card())


def crosses(picture: Picture) -> int:
    return picture.svg.count(f'd="{sign_of(Ended.FAILED)[1].place["d"]}"') // 2


@pytest.mark.parametrize("medium", Medium)
def test_light_and_dark_have_one_layout(medium: Medium) -> None:
    light, dark = (
        re.sub(
            r"#[0-9a-f]{6}\b|[td][0-9a-f]{8}", "", tuning_map(t.maps()["usual"], t.s.NAMES, style=each).svg
        )
        for each in (for_medium(medium), for_medium(medium, Theme.DARK))
    )
    assert light == dark


def test_every_way_to_end_has_a_shape_of_its_own_and_its_count_in_words() -> None:
    assert len({str(sign_of(way)[-1].place["d"]) for way in Ended}) == len(Ended)
    found = t.maps()["cut short and against the order"]
    words = said(drawn(found))
    for way, n in counts(found.trials).items():
        assert f"{way} {n}" in words
    assert set(counts(found.trials)) == set(Ended)


def test_errors_that_a_load_went_on_after_are_failures() -> None:
    passed = t.trial(5000, 1000, 1.0, Outcome.PASSED)
    assert ended(passed) is Ended.HELD
    assert ended(replace(passed, errors=2)) is Ended.FAILED
    assert ended(replace(passed, outcome=Outcome.STOPPED)) is Ended.CUT_SHORT


def test_the_map_names_edge_guard_band_advice_and_limit_with_its_source() -> None:
    found = t.maps()["usual"]
    words, told = said(drawn(found)), found.told
    assert told is not None
    assert told.edge_mv is not None
    assert told.voltage_mv is not None
    for name in ("edge", "guard band", "advised", "maker's limit 1,150 mV", "table 7", "1 November 2026"):
        assert name in words
    assert f"{told.voltage_mv:,.0f} mV is advised" in words
    assert f"{told.voltage_mv - told.edge_mv[1]:.0f} mV kept free" in words


def test_the_foot_says_what_a_guard_band_is_and_how_much_of_it_is_reserve() -> None:
    found = t.maps()["usual"]
    assert found.told is not None
    assert found.told.reserve_mv is not None
    words = said(drawn(found, page()))
    assert f"Guard band: edge to advised, {found.told.reserve_mv:.0f} mV of it reserve" in words


def test_less_voltage_at_the_stock_clock_is_told_over_the_map_and_stock_is_named_on_it() -> None:
    found = t.maps()["undervolted"]
    assert found.told is not None
    assert found.told.voltage_mv is not None
    picture = drawn(found)
    assert f"is advised, {1060 - found.told.voltage_mv:.0f} mV below stock" in plain(picture.title)
    assert "stock 1,060 mV" in said(picture)
    assert "below stock" not in drawn(t.maps()["one clock"]).title


def test_a_part_whose_voltage_is_left_alone_has_its_clocks_upward() -> None:
    found = clock_samples.clock_maps()["usual"]
    told, picture = found.told, drawn(found)
    assert told is not None
    assert told.edge_mhz is not None
    assert told.guard_band_mhz is not None
    words = said(picture)
    for name in ("edge", "guard band", "advised", "maker's limit 3,600 MHz", "trials in their order"):
        assert name in words
    assert f"{told.guard_band_mhz:.0f} MHz kept free" in words
    assert f"lies near {told.edge_mhz[1]:,.0f} MHz; {told.clock_mhz:,.0f} MHz is advised" in plain(
        picture.title
    )
    assert "mV" not in words + picture.description
    assert crosses(picture) == 3 + 1  # three that failed, and what the cross means


def test_the_next_trial_is_told_with_its_units_as_they_are_written() -> None:
    for found in (t.maps()["usual"], clock_samples.clock_maps()["usual"]):
        assert found.next is not None
        assert f"Next: {found.next.clock_mhz:,.0f} MHz" in plain(drawn(found).description)


def test_no_clock_is_advised_that_few_hours_cannot_promise_and_the_picture_says_so() -> None:
    picture = drawn(clock_samples.clock_maps()["below stock"])
    assert "no clock is advised: these hours cannot promise any clock above stock yet" in plain(picture.title)
    assert "guard band" not in said(picture)


def test_the_next_trial_is_an_open_mark_with_its_hours() -> None:
    found = t.maps()["no failure yet"]
    picture = drawn(found)
    assert "next: 5,000 MHz, 995 mV for 10 min" in said(picture)
    (open_mark,) = set(re.findall(r'<path d="M-8.2 0a8.2[^>]*fill="([^"]+)"', picture.svg))
    assert open_mark == "#fcfdfc"


def test_where_nothing_failed_no_edge_is_drawn_and_the_title_says_so() -> None:
    picture = drawn(t.maps()["no failure yet"])
    assert picture.title.startswith(
        "No failure in three trials: where the processor begins to fail is not known"
    )
    assert "guard band" not in said(picture)
    assert not [text for text in texts(picture) if text.words.text == "edge"]


def test_where_nothing_held_no_edge_is_told_that_only_was_believed() -> None:
    picture = drawn(t.maps()["all failed"])
    assert picture.title.startswith("Nothing held on the processor: three trials, three failures")
    assert "edge" not in picture.title + said(picture)


def test_one_trial_says_that_it_is_one() -> None:
    title = plain(drawn(t.maps()["one trial"]).title)
    assert title.startswith("One trial, 5,000 MHz at 1,010 mV: no failure in 10 min")


def test_without_a_limit_nothing_is_advised_and_the_picture_says_why() -> None:
    picture = drawn(t.maps()["no limit"])
    words = said(picture)
    assert "no maker's limit on record" in words
    assert "guard band" not in words
    assert "no limit of the maker's is on record" in picture.title


def test_a_limit_far_above_is_told_and_does_not_press_the_trials_together() -> None:
    near, far = drawn(t.maps()["usual"]), drawn(t.maps()["limit far above"])
    assert "maker's limit 1,900 mV, above" in said(far)
    heights = [re.findall(r"translate\([\d.]+ ([\d.]+)\)", each.svg) for each in (near, far)]
    spans = [max(map(float, some)) - min(map(float, some)) for some in heights]
    assert spans[1] >= 0.9 * spans[0]


def lines_of(picture: Picture) -> list[tuple[float, float, float, float]]:
    found = re.findall(
        r'<line x1="([^"]+)" y1="([^"]+)" x2="([^"]+)" y2="([^"]+)"[^>]*dasharray="22.5 10"', picture.svg
    )
    return [(float(a), float(b), float(c), float(d)) for a, b, c, d in found]


def ends_of(picture: Picture) -> tuple[float, float]:
    """From where to where the line of what is advised reaches, in pixels."""
    (d,) = re.findall(r'<path d="M([^"Z]+)" stroke-linejoin="round" stroke-width="5"', picture.svg)
    across = [float(place.split()[0]) for place in d.split("L")]
    return min(across), max(across)


def marks_of(picture: Picture) -> list[tuple[float, float]]:
    """Where marks lie in the plot: those with words are larger."""
    found = re.findall(r"translate\(([\d.]+) ([\d.]+)\)", picture.svg)
    low = min(text.box.bottom for text in texts(picture) if "limit" in text.words.text)
    return [(float(x), float(y)) for x, y in found if float(y) > low]


def test_no_line_reaches_beyond_the_clocks_that_were_tried() -> None:
    for case in ("usual", "clock limit", "done"):
        picture = drawn(t.maps()[case])
        across = [x for x, _ in marks_of(picture)]
        first, last = ends_of(picture)
        assert first >= min(across) - 1, case
        assert last <= max(across) + 1, case


def test_the_limit_of_the_clock_is_an_upright_line_that_says_whose_it_is() -> None:
    picture = drawn(t.maps()["clock limit"])
    assert "maker's clock limit 5,175 MHz" in said(picture)
    (at,) = [x1 for x1, _, x2, _ in lines_of(picture) if x1 == x2]
    assert at > ends_of(picture)[1]
    assert "The maker's limit of the clock is 5,175 MHz" in plain(picture.description)
    own = drawn(t.maps()["own clock limit"])
    assert "our own clock limit 5,150 MHz" in said(own)
    assert "maker's clock limit" not in said(own)
    (at,) = [x1 for x1, _, x2, _ in lines_of(own) if x1 == x2]
    assert ends_of(own)[1] == pytest.approx(at, abs=0.1)


def test_a_limit_of_the_clock_that_cannot_be_drawn_is_told() -> None:
    far, alone = drawn(t.maps()["clock limit far"]), drawn(t.maps()["one clock at its limit"])
    assert "clock limit 5,600 MHz, beyond" in said(far)
    assert "own clock limit 5,000 MHz" in said(alone)
    assert not [1 for each in (far, alone) for x1, _, x2, _ in lines_of(each) if x1 == x2]


@pytest.mark.parametrize("medium", Medium)
def test_marks_of_neighbouring_steps_do_not_lie_over_each_other(medium: Medium) -> None:
    style = for_medium(medium)
    for case in ("usual", "clock limit", "limit far above", "undervolted"):
        found = marks_of(drawn(t.maps()[case], style))
        apart = [math.dist(a, b) for n, a in enumerate(found) for b in found[:n] if math.dist(a, b) > 0.2]
        assert min(apart) >= 6.0 * style.unit, case  # a mark at its smallest is 6.5 wide


def test_what_stands_at_the_right_is_of_the_clock_that_the_title_tells() -> None:
    found = t.maps()["usual"]
    *lower, highest = found.advice
    picture = drawn(replace(found, advice=(*lower, replace(highest, voltage_mv=None))), page())
    told = lower[-1].edge_mv
    assert told is not None
    assert f"{lower[-1].clock_mhz:,.0f} MHz" in plain(picture.title)
    assert f"edge {told[0]:,.0f} to {told[2]:,.0f} mV" in said(picture)


def test_ticks_are_at_what_can_be_set() -> None:
    one = clock_samples.clock_maps()["one trial"]
    picture = drawn(replace(one, step=50.0, step_from=2800.0), page())
    ticks = [w for w in (x.words.text for x in texts(picture)) if re.fullmatch(r"[\d,]+(\u00a0MHz)?", w)]
    clocks = [float(tick.split("\u00a0")[0].replace(",", "")) for tick in ticks]
    assert len(clocks) >= 2
    assert all(clock % 50 == 0 for clock in clocks)


@pytest.mark.parametrize("medium", Medium)
def test_a_card_says_for_what_it_is_advised_and_that_it_is_of_one_part(medium: Medium) -> None:
    for case in ("usual", "undervolted", "clock limit"):
        words = said(drawn(t.maps()[case], for_medium(medium)))
        assert "Advised: one failure in 1,000 h at 30 °C, at 97 %. Copy it to no other part." in words
        assert "guard band" in words
        assert "table 7" in words


@pytest.mark.parametrize("medium", Medium)
def test_what_stands_beside_the_edge_has_its_unit(medium: Medium) -> None:
    for case, found in t.maps().items():
        shown = [text.words.text for text in texts(drawn(found, for_medium(medium)))]
        assert not [words for words in shown if re.fullmatch(r"−?[\d,]+ to −?[\d,]+", words)], case


def test_no_voltage_is_drawn_past_the_limit() -> None:
    for case in ("twelve clocks", "two hundred trials"):
        found = t.maps()[case]
        assert any(each.voltage_mv is None for each in found.advice), "the limit ends the advice"
        svg = drawn(found).svg
        (limit,) = (
            float(y) for y in re.findall(r'<line x1="[^"]+" y1="([^"]+)"[^>]*dasharray="22.5 10"', svg)
        )
        paths = re.findall(r'<path d="M([^"Z]+)" stroke-linejoin="round" stroke-width="5"', svg)
        assert paths
        heights = [float(place.split()[1]) for d in paths for place in d.split("L")]
        assert min(heights) >= limit - 0.1


def test_points_against_the_order_are_framed_and_named() -> None:
    found = t.maps()["cut short and against the order"]
    picture = drawn(found)
    assert f"against the order {len(found.against)}" in said(picture)
    assert picture.svg.count('d="M-8.5-8.5H8.5V8.5H-8.5Z"') == len(found.against) + 1
    assert "Against the order: " in picture.description


def test_two_hundred_trials_at_many_points_all_have_a_mark() -> None:
    found = t.maps()["two hundred trials"]
    assert len(found.trials) == 200
    failed = {(each.clock_mhz, each.voltage_mv) for each in found.trials if ended(each) is Ended.FAILED}
    assert crosses(drawn(found)) == len(failed) + 1  # and one beside its words


def test_offsets_are_told_with_their_sign() -> None:
    words = said(drawn(t.maps()["offsets below zero"]))
    assert "maker's limit −50 mV" in words
    assert "−115 mV is advised" in words


def test_marks_wear_no_colour_of_a_build_but_beside_its_name() -> None:
    assert drawn(t.maps()["usual"]).svg.count("#094a9c") == 1


@pytest.mark.parametrize("style", [card(), page(), phone()], ids=["card", "page", "phone"])
def test_stock_has_a_mark_of_its_own_on_a_map_of_several_clocks(style: Style) -> None:
    usual = t.maps()["usual"]
    clocks = sorted({clock for clock, _ in usual.points})
    at = replace(usual, stock=(clocks[0], max(v for clock, v in usual.points if clock == clocks[0])))
    shown = [text.words.text for text in texts(drawn(at, style))]
    assert "stock" in shown
    assert drawn(at, style).svg.count("M0-10.5 10.5 0 0 10.5-10.5 0Z") == 2, "in the key and on the map"
    off = replace(usual, stock=(clocks[0], 1.0))
    assert "stock" not in [text.words.text for text in texts(drawn(off, style))]
