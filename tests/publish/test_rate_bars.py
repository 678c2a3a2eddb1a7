from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from tests.publish import saltmarsh as s
from tests.publish.svg_reading import SVG, root_of, texts

from evenhand.errors import NotEnoughRuns
from evenhand.findings.finding import Caveat
from evenhand.publish.figures.rate_columns import Rate
from evenhand.publish.figures.rates import rate_bars
from evenhand.publish.style import card, page
from evenhand.records.estimates import Estimate
from evenhand.records.tests import Direction


def said(picture) -> list[str]:
    return [text.words.text.replace("\u00a0", " ") for text in texts(picture)]


def bars(picture, ink):
    return [
        e
        for e in root_of(picture).iter(f"{SVG}rect")
        if ink in (e.attrib.get("fill"), e.attrib.get("stroke"))
    ]


def test_each_unit_has_its_own_pictures_and_a_test_is_never_parted():
    pictures = rate_bars(s.rates(s.NAMES), s.NAMES, style=card())
    assert [p.title.split(":")[0] for p in pictures] == [
        "Rates in fps", "Rates in fps", "Rates in jobs/h", "Rates in loads/min",
    ]  # fmt: skip
    for picture in pictures:
        words = said(picture)
        tests = [name for _, name, *_ in s.TESTS if name in words]
        assert words.count("Wren") == len(tests)


def test_a_bar_is_an_interval_and_begins_where_the_interval_begins():
    fps = [rate for rate in s.rates(s.NAMES) if rate.test == "regatta"]
    picture = rate_bars(fps, s.NAMES, style=card())[0]
    filled = [b for b in bars(picture, "#094a9c") if b.attrib["fill"] == "#094a9c"]
    hollow = [b for b in bars(picture, "#094a9c") if b.attrib["fill"] == "#fcfdfc"]
    assert len(filled) == len(hollow) == 1
    other = [b for b in bars(picture, "#ab782c") if b.attrib["fill"] == "#ab782c"]
    shares = [float(b.attrib["width"]) for b in (filled[0], other[0])]
    assert shares[0] / shares[1] == pytest.approx(
        165 / 148, rel=0.02
    )  # same relative spread, not the rate from zero
    assert max(shares) < 200
    assert float(hollow[0].attrib["x"]) < float(filled[0].attrib["x"])


def scaled(values, unit="points", better=None, relative=0.02):
    """Two setups in each test: the value, and a tenth more."""
    return [
        Rate(
            test=f"t{i}", setup=setup, better=better,
            average=replace(s.estimate(v, unit), low=v * (1 - relative), high=v * (1 + relative)),
        )
        for i, value in enumerate(values) for setup, v in (("wren", value), ("plover", 1.1 * value))
    ]  # fmt: skip


def test_tests_of_unlike_magnitude_have_scales_of_their_own():
    drawn = rate_bars(scaled([70.0, 1253.0, 0.004, 900.0, 60.0]), s.NAMES, style=card())
    assert [p.title for p in drawn] == [
        "Rates in points: t0 and t4", "Rates in points: t1 and t3", "Rates in points: t2",
    ]  # fmt: skip
    for picture in drawn:
        at = [float(b.attrib["x"]) for b in bars(picture, "#094a9c")]
        assert max(at) > 0.6 * picture.width  # not heaped at the beginning of a scale


def test_each_direction_has_pictures_of_its_own_that_say_which_way_is_better():
    higher, lower = (scaled([100.0], unit="s", better=each) for each in Direction)
    lower = [replace(rate, test="t1") for rate in lower]
    more, less = rate_bars([*higher, *lower], s.NAMES, style=card())
    assert "s, more is better" in said(more)
    assert "s, less is better" in said(less)
    assert "Less is better." in less.description


def test_a_unit_with_little_room_leaves_the_direction_to_the_foot():
    drawn = rate_bars(
        scaled([9.0], unit="megapixels per second", better=Direction.LOWER), s.NAMES, style=card()
    )
    assert "megapixels per second" in said(drawn[0])
    assert "Less is better." in " ".join(said(drawn[0]))


@pytest.mark.parametrize(("values", "told"), [([54.0, 165.0], True), ([20.0, 99.0], False)])
def test_a_scale_that_leaves_zero_out_says_so(values, told):
    words = said(rate_bars(scaled(values), s.NAMES, style=card())[0])
    assert ("Scale not from zero." in " ".join(words)) is told
    assert ("0" in words) is not told


@pytest.mark.parametrize(("relative", "told"), [(0.0001, True), (0.05, False)])
def test_bars_drawn_wider_than_their_interval_say_so(relative, told):
    words = " ".join(said(rate_bars(scaled([54.0, 165.0], relative=relative), s.NAMES, style=card())[0]))
    assert ("Thinnest marks: narrower still." in words) is told
    assert ("Marks: 95 %" in words) is told
    assert ("Bars: 95 %" in words) is not told


def rules(picture) -> list[float]:
    """The heights of the lines from margin to margin, downward: the last is the foot's."""
    across = [e.attrib for e in root_of(picture).iter(f"{SVG}line")]
    return sorted(float(e["y1"]) for e in across if float(e["x2"]) - float(e["x1"]) > 1000)


def test_the_lanes_of_a_single_test_take_all_of_a_card():
    *_, one_test = rate_bars(s.rates(s.NAMES), s.NAMES, style=card())
    *_, below_lanes, of_foot = rules(one_test)
    assert of_foot - below_lanes < 60


def test_lines_of_the_scale_end_at_the_last_lane():
    picture = rate_bars(scaled([100.0]), s.NAMES, style=card())[0]
    lines = [
        {k: float(e.attrib[k]) for k in ("x1", "x2", "y1", "y2")} for e in root_of(picture).iter(f"{SVG}line")
    ]
    upright = {line["y2"] for line in lines if line["x1"] == line["x2"] and line["y2"] - line["y1"] > 100}
    rules = [line["y1"] for line in lines if line["x2"] - line["x1"] > 1000]
    assert upright == {sorted(rules)[-2]}  # the last is the foot's


def test_a_page_says_the_intervals():
    words = said(rate_bars(s.rates(s.NAMES), s.NAMES, style=page())[0])
    assert "165.0 (162.5 to 167.5)" in words
    assert {"average", "1% low", "fps"} <= set(words)


def test_the_low_is_called_by_the_name_of_its_definition():
    words = said(rate_bars(s.rates(s.NAMES), s.NAMES, style=card(), low_label="0.1% low")[0])
    assert "hollow for the 0.1% low." in " ".join(words)
    assert "0.1% low" in words


def test_the_headline_says_who_is_in_front_in_the_tests_drawn():
    of_three = (*s.PAIR, *s.findings_of("plover", "wren"), *s.findings_of("dunlin", "wren"))
    drawn = rate_bars(s.rates(s.NAMES), s.NAMES, style=card(), findings=of_three)
    assert [said(p)[0] for p in drawn] == [
        "Plover ahead of all in two, Dunlin in one",
        "Plover ahead of all in one, Plover and Dunlin level in one",
        "Dunlin ahead of all in two, Plover in one",
        "Plover and Dunlin level in Project load",
    ]


def test_a_lead_of_another_number_than_the_headline_number_is_not_in_the_headline():
    lows = [replace(f, headline=False) for f in s.PAIR]
    assert said(rate_bars(s.rates(s.NAMES), s.NAMES, style=card(), findings=lows)[0])[0].startswith("54.0 to")


@pytest.mark.parametrize(
    ("tests", "setups", "words"),
    [
        (("regatta",), ("plover",), "Plover: 165.0 fps in Hollow Regatta"),
        (("regatta",), ("plover", "wren"), "118.0 to 165.0 fps in Hollow Regatta"),
        (("regatta", "choir"), ("plover",), "Plover: 104.0 to 165.0 fps in two tests"),
    ],
)
def test_without_findings_the_headline_says_how_far_the_rates_reach(tests, setups, words):
    rates = [rate for rate in s.rates(s.NAMES) if rate.test in tests and rate.setup in setups]
    assert said(rate_bars(rates, s.NAMES, style=card())[0])[0] == words


def edges(bar) -> tuple[float, float]:
    return float(bar.attrib["y"]), float(bar.attrib["y"]) + float(bar.attrib["height"])


@pytest.mark.parametrize(("low", "parted"), [(150.0, True), (100.0, False)])
def test_an_average_never_hides_the_end_of_the_low(low, parted):
    regatta = next(r for r in s.rates(s.NAMES) if (r.test, r.setup) == ("regatta", "plover"))
    wide = replace(s.estimate(low, "fps"), low=low - 20, high=low + 20)
    picture = rate_bars([replace(regatta, low=wide)], s.NAMES, style=card())[0]
    filled, hollow = (
        next(b for b in bars(picture, "#094a9c") if b.attrib["fill"] == fill)
        for fill in ("#094a9c", "#fcfdfc")
    )
    assert (edges(filled)[1] <= edges(hollow)[0]) == parted
    if parted:
        assert float(hollow.attrib["x"]) + float(hollow.attrib["width"]) > float(filled.attrib["x"])


def test_parted_bars_of_a_full_card_touch_no_other_lane():
    rates = [
        replace(rate, low=rate.average) for rate in s.rates(s.FIVE_NAMES) if rate.test in ("regatta", "choir")
    ]
    picture = rate_bars(rates, s.FIVE_NAMES, style=card())[0]
    drawn = [b for b in root_of(picture).iter(f"{SVG}rect") if "rx" in b.attrib]
    spans = sorted(edges(bar) for bar in drawn)
    assert len(spans) == 20
    assert all(one[1] <= other[0] for one, other in pairwise(spans))


def test_without_lows_there_is_no_column_for_them():
    jobs = [rate for rate in s.rates(s.NAMES) if rate.low is None]
    assert "1% low" not in said(rate_bars(jobs, s.NAMES, style=card())[0])


def test_nothing_to_draw_is_said():
    with pytest.raises(NotEnoughRuns):
        rate_bars([], s.NAMES, style=card())


def test_the_foot_names_the_definition_of_every_number_shown():
    fps = " ".join(said(rate_bars(s.rates(s.NAMES), s.NAMES, style=card())[0]))
    assert "Average fps; 1% low: 1000 ÷ P99 of frame time." in fps
    jobs = [rate for rate in s.rates(s.NAMES) if rate.average.unit == "jobs/h"]
    scores = " ".join(said(rate_bars(jobs, s.NAMES, style=card())[0]))
    assert "Score as reported." in scores
    assert "P99" not in scores
    in_fps = replace(s.rates(s.NAMES)[0], metric="score", low=None)  # a score may be in frames a second too
    assert "Score as reported." in " ".join(said(rate_bars([in_fps], s.NAMES, style=card())[0]))


def test_the_foot_tells_the_reservations_of_the_tests_drawn_once_whatever_the_pairs():
    waits = Caveat(key="waiting", words="plover: one run waits", waiting=1)
    boots = [Caveat(key="one-boot", words=f"{x}: one boot") for x in ("plover", "dunlin", "wren")]
    row = Caveat(key="not-interleaved", words="one after the other")
    pairs = (("plover", "dunlin", boots[:2]), ("plover", "wren", [boots[0], boots[2]]))
    findings = [
        replace(s.finding("export", 1.1, 0.02, pair=(a, b)), caveats=(waits, *own, row))
        for a, b, own in pairs
    ]
    jobs = [rate for rate in s.rates(s.NAMES) if rate.average.unit == "jobs/h" and rate.test == "export"]
    told = " ".join(said(rate_bars(jobs, s.NAMES, style=card(), findings=findings)[0]))
    assert "One boot each, not interleaved. One run waits. Score as reported." in told
    elsewhere = rate_bars(
        [rate for rate in s.rates(s.NAMES) if rate.test == "load"], s.NAMES, style=card(), findings=findings
    )
    assert "waits" not in " ".join(said(elsewhere[0]))


def test_runs_that_wait_in_a_test_without_any_rate_are_told_on_the_last_picture_of_its_unit():
    waits = Caveat(key="no-runs", words="plover: four runs wait", waiting=4)
    findings = [replace(s.one_run("parish", None, n_a=0), caveats=(waits,))]
    fps = [rate for rate in s.rates(s.NAMES) if rate.average.unit == "fps" and rate.test != "parish"]
    first, last = rate_bars(fps, s.NAMES, style=card(), findings=findings)
    assert "Four runs wait." in " ".join(said(last))
    assert "Not drawn, as no run counts: Ember Parish." in " ".join(said(last))
    assert "Not drawn" not in " ".join(said(first))
    assert "wait" not in " ".join(said(first))


@pytest.mark.parametrize(
    ("halves", "numbers"),
    [
        ((2.4, 5.2), {"34"}),  # 33.9 and 34 alone: the fewer digits for both
        ((2.4, 2.4), {"33.9", "34.1"}),
        ((0.24, 5.2), {"33.88", "34"}),  # two digits apart: each as its own interval allows
    ],
)
def test_numbers_of_one_size_in_one_column_show_the_same_digits(halves, numbers):
    rates = [
        Rate(
            test="regatta",
            setup=setup,
            average=Estimate(value=v, unit="fps", low=v - half, high=v + half, level=0.95, n=4, method="t"),
        )
        for setup, v, half in zip(("wren", "plover"), (33.88, 34.12), halves, strict=True)
    ]
    words = said(rate_bars(rates, s.NAMES, style=card())[0])
    assert numbers <= set(words)
    assert "33.9" not in set(words) - numbers


@pytest.mark.parametrize("name", ["Große Werkbank, dritte Fassung", "Wide " * 30])
def test_a_long_name_has_one_short_form_on_a_card(name):
    setups = {key: replace(n, name=f"{name} {key}") for key, n in s.NAMES.setups.items()}
    names = replace(s.NAMES, setups=setups)
    regatta = [rate for rate in s.rates(names) if rate.test == "regatta" and rate.setup in ("plover", "wren")]
    pair = [f for f in s.PAIR if f.test == "regatta"]
    picture = rate_bars(regatta, names, style=card(), findings=pair)[0]
    words = " ".join(said(picture)[:2]), *said(picture)[2:]
    lanes = {text for text in words if text.startswith(name[:3]) and text.endswith("…")}
    (form,) = lanes
    assert words[0].startswith((f"{name} plover ", form))  # whole where there is room for it
    assert len(form) > 5


@pytest.mark.parametrize("factor", [1e15, 1e300, 1.05e306, 1e-9, 1e-306])
def test_numbers_of_any_size_are_drawn_within_the_picture(factor):
    def times(e):
        ends = {
            end: factor * getattr(e, end) for end in ("value", "low", "high") if getattr(e, end) is not None
        }
        return replace(e, **ends)

    rates = [replace(r, average=times(r.average), low=r.low and times(r.low)) for r in s.rates(s.NAMES)]
    for style in (card(), page()):
        for picture in rate_bars(rates, s.NAMES, style=style, findings=s.PAIR):
            assert all(t.box.left >= 0 and t.box.right <= picture.width for t in texts(picture))
            assert not [t for t in texts(picture) if "inf" in t.words.text or "nan" in t.words.text]


def test_a_name_is_whole_where_no_column_of_lows_takes_its_room():
    names = replace(
        s.NAMES,
        setups=dict(s.NAMES.setups) | {"wren": replace(s.NAMES.setups["wren"], name="Oystercatcher Gran")},
    )
    assert "Oystercatcher Gran" in said(rate_bars(scaled([100.0]), names, style=card())[0])


def test_names_of_five_setups_stand_whole_beside_a_column_of_lows():
    long = {"wren": "Oystercatcher", "dunlin": "Greenshank mild", "kit": "Kittiwake quick"}
    setups = {
        key: replace(called, name=long.get(key, called.name)) for key, called in s.FIVE_NAMES.setups.items()
    }
    names = replace(s.FIVE_NAMES, setups=setups)
    for picture in rate_bars(s.rates(names), names, style=card()):
        assert set(long.values()) <= set(said(picture))
