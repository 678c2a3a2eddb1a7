"""Pictures of a tuned part, usual and awkward, on every card and page: what all say; hours, temperatures."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from tests.publish.svg_reading import root_of, said, texts
from tests.publish.test_media import LEAST, SIZES, faults
from tests.publish.tuning import clock_samples
from tests.publish.tuning import tuning_samples as t

from evenhand.errors import NotEnoughRuns
from evenhand.publish.faces import Face
from evenhand.publish.figures.tuning.claim_bar import claim_bar, targets
from evenhand.publish.figures.tuning.heat_curve import HeatCurve, heat_curve
from evenhand.publish.figures.tuning.map import tuning_map
from evenhand.publish.figures.tuning.watts_curve import watts_curve
from evenhand.publish.picture import Picture
from evenhand.publish.style import Medium, Style, card, for_medium, page, phone
from evenhand.records.trials import Outcome
from evenhand.tuning.claims import claim

Draw = Callable[[Style], dict[str, Picture]]
EVERY: dict[str, Draw] = {
    "map": t.map_pictures, "clock": clock_samples.clock_pictures, "claim": t.claim_pictures,
    "heat": t.heat_pictures, "watts": t.watts_pictures,
}  # fmt: skip


@pytest.fixture(scope="module")
def on_cards() -> dict[Medium, list[tuple[str, Picture]]]:
    return {
        medium: [
            (case, picture) for draw in EVERY.values() for case, picture in draw(for_medium(medium)).items()
        ]
        for medium in Medium
    }


@pytest.mark.parametrize("medium", Medium)
def test_cards_are_full_size_and_their_words_large_enough_inside_and_apart(on_cards, medium: Medium) -> None:
    for case, picture in on_cards[medium]:
        assert (picture.width, picture.height) == SIZES[medium]
        assert faults(picture, LEAST[medium]) == [], case


@pytest.mark.parametrize("style", [page(), phone()], ids=["page", "phone"])
def test_on_a_page_and_a_phone_words_are_at_least_13_px_and_within(style: Style) -> None:
    for draw in EVERY.values():
        for case, picture in draw(style).items():
            for text in texts(picture):
                assert text.words.size >= 13, case
                assert text.box.left >= 0, (case, text.words.text)
                assert text.box.right <= picture.width + 1, (case, text.words.text)


def test_each_says_what_is_known_and_what_is_seen_and_never_the_bare_word(on_cards) -> None:
    for case, picture in on_cards[Medium.WIDE]:
        every = f"{picture.title} {picture.description} {said(picture)}".lower()
        assert "stable" not in every, case
        assert len(picture.title) > 20, case
        assert len(picture.description) > 40, case
        assert "nan" not in picture.svg, case


def test_names_bring_no_markup(on_cards) -> None:
    for medium in Medium:
        for case, picture in on_cards[medium]:
            if case == "markup":
                assert "<b>" not in picture.svg
                assert "<script>" not in picture.svg
                assert root_of(picture).tag.endswith("svg")


def test_headlines_are_set_in_the_face_of_findings(on_cards) -> None:
    for case, picture in on_cards[Medium.WIDE]:
        assert any(text.words.face is Face.SAY for text in texts(picture)), case


def bar_said(case: str) -> str:
    return said(claim_bar(t.bars()[case], t.s.NAMES, style=card()))


def test_a_day_claims_one_in_eight_hours_and_says_what_three_hundred_would() -> None:
    words = bar_said("a day without a failure")
    assert "No failure in 24 h of known answers at 22 to 27 °C: at 95 % fewer than one in 8 h" in words
    assert "now 24 h: fewer than one in 8 h" in words
    assert "300 h in all" in words
    assert "one in 100 h" in words


def test_hours_at_a_bound_are_those_that_bring_it() -> None:
    told = claim(t.bars()["a failure"].trials)
    for target, hours in targets(told, 1.0, 1e4):
        fuller = claim([*t.bars()["a failure"].trials, t.hours(hours - told.hours)] if hours > told.hours else
                       [t.hours(hours - 0.5), t.hours(0.5, outcome=Outcome.CRASH)])  # fmt: skip
        assert fuller.fewer_than_one_in_h == pytest.approx(target)


def test_each_room_has_its_hours_and_its_failures() -> None:
    words = bar_said("a failure")
    assert "22 °C 8 h, no failure" in words
    assert "27 °C 11 h 18 min, one failure" in words
    assert "not read 8 h, no failure" in bar_said("rooms not read")


def test_many_rooms_are_taken_together() -> None:
    words = bar_said("ten rooms")
    assert "18 to 21 °C 8 h, no failure" in words
    assert "26 to 27 °C 4 h, no failure" in words


@pytest.mark.parametrize("medium", Medium)
def test_whose_hours_they_are_stands_whole_and_no_mark_covers_another(medium: Medium) -> None:
    style = for_medium(medium)
    picture = claim_bar(t.bars()["a day without a failure"], t.s.NAMES, style=style)
    words = said(picture)
    assert "5,150 MHz at 1,085 mV" in words
    assert "processor, known answers" in words
    marks = re.findall(r'<path d="M-?[^"]*" transform="translate\(([\d.]+) ([\d.]+)\)', picture.svg)
    for n, a in enumerate(marks):
        for b in marks[:n]:
            assert math.dist(tuple(map(float, a)), tuple(map(float, b))) > 10 * style.unit


def test_without_an_hour_nothing_is_drawn() -> None:
    with pytest.raises(NotEnoughRuns, match="no hour"):
        claim_bar(t.bar([]), t.s.NAMES, style=card())


def heat_said(case: str) -> Picture:
    return heat_curve(t.heats()[case], t.s.NAMES, style=card())


def test_temperatures_are_told_with_the_fit_the_limit_and_the_room() -> None:
    picture = heat_said("usual")
    words = said(picture)
    assert "fitted model, 95 % band" in words
    assert "maker's limit 85 °C" in words
    assert "room 24 °C" in words
    off = math.ceil(10 * (t.heats()["usual"].off_c or 0.0)) / 10  # rounded up: half of them are within
    told = f"Up to 71 °C in 45 min; half of the readings lie within {off} K of the fitted model"
    assert told in picture.title.replace("\u00a0", " ")


def test_a_limit_of_one_s_own_is_never_called_the_maker_s() -> None:
    for own in (heat_said("own limit"), tuning_map(t.maps()["own limit"], t.s.NAMES, style=card())):
        told = said(own) + own.description.replace("\u00a0", " ")
        assert "our own limit" in said(own)
        assert "Our own limit is" in told
        assert "it keeps quiet" in told
        assert "maker" not in told
        assert "ourselves" not in told


def test_a_gap_breaks_the_line_of_readings_and_not_the_model() -> None:
    whole, gap = (
        [len(re.findall("M", d)) for d in re.findall(r'<path d="(M[^"]{200,})"', heat_said(case).svg)]
        for case in ("usual", "gap, no limit, no room")
    )
    assert len(gap) == len(whole) + 1


def test_rows_that_are_missing_break_both_lines() -> None:
    usual = t.heats()["usual"]
    kept = (usual.times_s <= 700) | (usual.times_s >= 1000)
    arrays = ("times_s", "readings_c", "model_c", "low_c", "high_c")
    gone = replace(usual, **{name: getattr(usual, name)[kept] for name in arrays})
    lines = [len(re.findall("M", d)) for each in (usual, gone)
             for d in re.findall(r'<path d="(M[^"]{200,})"[^>]*fill="none"', each_svg(each))]  # fmt: skip
    assert len(lines) == 2 + 4, "readings and model, whole, and each in two pieces"


def each_svg(found: HeatCurve) -> str:
    return heat_curve(found, t.s.NAMES, style=card()).svg


def test_without_a_model_only_readings_are_drawn_and_said() -> None:
    picture = heat_said("no model")
    assert "no model is fitted" in picture.title
    assert "fitted model, 95" not in said(picture)


def test_a_limit_of_the_temperature_that_is_missing_is_said_to_be() -> None:
    assert "no maker's limit on record" in said(heat_said("gap, no limit, no room"))


def test_readings_that_are_none_are_refused() -> None:
    none = np.full(2700, np.nan)
    with pytest.raises(NotEnoughRuns, match="fewer than two temperatures"):
        heat_curve(replace(t.heats()["usual"], readings_c=none), t.s.NAMES, style=card())


def test_a_graphics_card_is_named_as_such_beside_its_temperature() -> None:
    found = replace(t.heats()["usual"], part="graphics")
    assert ": graphics card" in said(heat_curve(found, t.s.NAMES, style=card()))


def watts_seen(case: str, style: Style | None = None) -> Picture:
    return watts_curve(t.curves()[case], t.s.NAMES, style=style or card())


def test_watts_name_both_plots_the_marks_the_law_and_the_best_clock() -> None:
    words = said(watts_seen("usual"))
    for each in ("watts at the part", "work for a joule, over stock", "held 16", "failed 4",
                 "law, as advised, 95 % band", "most for a joule: 5,000 MHz", "stock 62 W"):  # fmt: skip
        assert each in words


def test_the_best_clock_is_an_upright_line_in_both_plots_and_every_reading_has_its_bar() -> None:
    found, lines = t.curves()["usual"], root_of(watts_seen("usual")).iter()
    drawn = [each.attrib for each in lines if each.tag.endswith("line")]
    upright = [each for each in drawn if each["x1"] == each["x2"] and each["y1"] != each["y2"]]
    dashed = [each for each in upright if "stroke-dasharray" in each]
    assert len(dashed) == 2 + 1, "one in each plot, and its key"
    top, bottom = (float(dashed[-1][end]) for end in ("y1", "y2"))
    bars = [each for each in upright if "stroke-dasharray" not in each and float(each["y1"]) >= top - 1
            and float(each["y2"]) < bottom and each["stroke-width"] == "2"]  # fmt: skip
    assert len([each for each in bars if float(each["y1"]) > float(each["y2"])]) == 2 * len(found.read)


def test_of_one_clock_voltages_run_across_and_the_advised_one_is_marked() -> None:
    words = said(watts_seen("one clock"))
    assert "advised: 980 mV" in words
    assert "1,050 mV" in words
    assert "5,000 MHz at 980 mV does 11.6 % more work for a joule than stock" in words


def test_what_no_trial_tells_from_stock_is_not_called_better() -> None:
    assert "trials do not tell it from stock" in watts_seen("open").title
    assert watts_seen("worse than stock").title.startswith("No advised clock does more work for a joule")


def test_a_square_card_has_the_plot_of_the_work_alone_and_says_so() -> None:
    picture = watts_seen("usual", for_medium(Medium.SQUARE))
    assert "watts at the part" not in said(picture)
    assert "Clocks across; work for a joule over stock upward." in picture.description
    assert (
        "Clocks across; watts at the part, and work for a joule over stock, upward."
        in watts_seen("usual").description
    )


def best_lines(picture: Picture) -> list[float]:
    """Where the lines of the best clock stand across, one for each plot."""
    lines = [each.attrib for each in root_of(picture).iter() if each.tag.endswith("line")]
    upright = [each for each in lines if each["x1"] == each["x2"] and "stroke-dasharray" in each]
    return [float(each["x1"]) for each in upright if "transform" not in each]


@pytest.mark.parametrize("style", [phone(), for_medium(Medium.TALL)], ids=["phone", "tall"])
def test_plots_below_each_other_have_each_clock_over_itself(style: Style) -> None:
    upper, lower = best_lines(watts_seen("usual", style))
    assert upper == lower


def test_the_word_for_stock_does_not_stand_on_the_line_of_the_best_clock() -> None:
    for style in (page(), phone(), card()):
        picture = watts_seen("usual", style)
        stock = [text for text in texts(picture) if re.match(r"stock( \d|$)", text.words.text)]
        assert len(stock) == 2
        for text in stock:
            assert not any(text.box.left < x < text.box.right for x in best_lines(picture))
