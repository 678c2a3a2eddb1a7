from __future__ import annotations

from dataclasses import replace

import pytest
from tests.publish import saltmarsh as s
from tests.publish.svg_reading import SVG, root_of, texts

from evenhand.errors import NotEnoughRuns
from evenhand.findings.finding import Caveat
from evenhand.publish.figures.rate_columns import Rate
from evenhand.publish.figures.rates import rate_bars
from evenhand.publish.style import card, page
from evenhand.records.estimates import Estimate


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


def test_a_page_says_the_intervals():
    words = said(rate_bars(s.rates(s.NAMES), s.NAMES, style=page())[0])
    assert "165.0 (162.5 to 167.5)" in words
    assert {"average", "1% low", "fps"} <= set(words)


def test_the_low_is_called_by_the_name_of_its_definition():
    words = said(rate_bars(s.rates(s.NAMES), s.NAMES, style=card(), low_label="0.1% low")[0])
    assert words[0] == "Filled: the average. Hollow: the 0.1% low."
    assert "0.1% low" in words


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
