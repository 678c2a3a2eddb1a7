from __future__ import annotations

from dataclasses import replace

import pytest
from tests.publish import saltmarsh as s
from tests.publish.svg_reading import SVG, root_of, texts

from evenhand.errors import NotFound
from evenhand.findings.finding import Caveat, Outcome
from evenhand.publish.figures.interval_forms import Lane, Scale, taken
from evenhand.publish.figures.interval_pages import pages_of, reach_of
from evenhand.publish.figures.interval_rows import Pair, Row, all_rows
from evenhand.publish.figures.intervals import interval_plot
from evenhand.publish.palette import Theme, colour, slot
from evenhand.publish.spans import Span
from evenhand.publish.style import card, page
from evenhand.publish.svg import Box

ABOUT = Pair(a="plover", b="dunlin", names=s.NAMES, margin=0.03, level=0.95)


def said(picture) -> list[str]:
    return [text.words.text.replace("\u00a0", " ") for text in texts(picture)]


def forms(picture, colour):
    return [e for e in root_of(picture).iter() if colour in (e.attrib.get("fill"), e.attrib.get("stroke"))]


def posts(picture) -> tuple[float, float]:
    band = next(
        e for e in root_of(picture).iter(f"{SVG}rect") if e.attrib["fill"] in ("#dde7e2", "var(--band)")
    )
    left = float(band.attrib["x"])
    return left, left + float(band.attrib["width"])


def test_the_sentence_is_on_top_and_both_sides_are_named():
    words = said(interval_plot(s.WHOLE, s.NAMES, style=card())[0])
    assert words[0] == "Plover ahead in four, Dunlin in three, two level"
    assert {"Dunlin ahead", "Plover ahead", "Plover"} <= set(words)


@pytest.mark.parametrize("style", [page(), card()], ids=["page", "card"])
def test_of_two_states_of_one_machine_the_state_is_said_where_the_whole_name_would_be_cut(style):
    states = {"plover": "Plover, mild tune", "dunlin": "Plover, stock"}
    named = {key: replace(s.NAMES.setups[key], name=name) for key, name in states.items()}
    names = replace(s.NAMES, setups={**s.NAMES.setups, **named})
    words = said(interval_plot(s.WHOLE, names, style=style)[0])
    assert "Mild tune ahead" in words
    assert not [each for each in words if "…" in each]
    assert words[0].startswith("Plover, mild tune ahead in four"), "the sentence has the whole name"


def test_rows_end_in_short_words_on_a_card_and_in_the_interval_on_a_page():
    on_card = said(interval_plot(s.WHOLE, s.NAMES, style=card())[0])
    assert {"+10.7 %", "−14.7 %", "level"} <= set(on_card)
    on_page = said(interval_plot(s.WHOLE, s.NAMES, style=page())[0])
    assert {"+10.7 % (+8.7 to +12.7)", "Dunlin ahead", "Level", "+0.4 % (90 %: −0.9 to +1.7)"} <= set(on_page)
    assert {"level: within ±3 %", "Plover over Dunlin, 95 % interval"} <= set(on_page)


def test_nine_tests_and_the_index_over_all_stand_on_one_card_and_the_indexes_on_the_next():
    tests, sums = all_rows(list(s.PAIR), s.WHOLE, ABOUT, card(), with_indexes=True)
    assert [len(rows) for rows in pages_of(tests, sums, card())] == [10, 6]
    first, second = interval_plot(s.WHOLE, s.NAMES, style=card())
    assert "All nine" in said(first)
    assert {"All nine", "Games", "Work", "a test not run"} <= set(said(second))
    assert said(second)[0].startswith("Level over all nine")
    assert not [text for p in (first, second) for text in said(p) if "Part" in text]


def test_on_a_page_everything_is_one_picture_with_left_out_runs_in_rows_of_their_own():
    tests, sums = all_rows(list(s.PAIR), s.WHOLE, ABOUT, page(), with_indexes=True)
    assert [len(rows) for rows in pages_of(tests, sums, page())] == [16]


def test_tests_that_need_several_cards_say_which_part_each_card_is():
    many = [s.finding(f"t{i}", 1.1, 0.02) for i in range(20)]
    pictures = interval_plot(s.comparison(many, [s.index("", many, 0.01)]), s.NAMES, style=card())
    feet = [text for p in pictures for text in said(p) if "Band" in text]
    assert feet[0].startswith("Part one of two.")
    assert feet[1].startswith("Part two of two.")
    assert feet[2].startswith("Band")


def test_a_row_of_comment_never_begins_a_picture():
    finding = Row(label="t", outcome=Outcome.AHEAD, span=Span(value=1, low=0.5, high=1.5), word="+1 %")
    comment = replace(finding, left_out=True)
    for at in range(1, 30):
        rows = [finding] * at + [comment] + [finding] * (30 - at)
        pages = pages_of(rows, [], card())
        assert [row for rows in pages for row in rows] == rows
        assert not any(page_rows[0].left_out for page_rows in pages)
        assert max(map(len, pages)) <= 12


def test_a_left_out_run_shares_its_row_on_a_card_crossed_small_and_named_in_the_foot():
    with_it = interval_plot(s.WHOLE, s.NAMES, style=card())[0]
    without = interval_plot(replace(s.WHOLE, exclusions=()), s.NAMES, style=card())[0]
    assert len(forms(with_it, "#b3261e")) == 2
    assert not forms(without, "#b3261e")
    assert len(texts(with_it)) <= len(texts(without)) + 1
    assert any("Crossed: with the run at 143.9 fps, left out." in text for text in said(with_it))
    assert not any("Crossed" in text for text in said(without))
    assert "with the Plover run at 143.9 fps +9 % (+3 to +15), ahead" in with_it.description.replace(
        "\xa0", " "
    )


def test_a_left_out_run_is_named_beside_its_mark_where_there_is_room():
    again = replace(s.EXCLUSION, findings_with=(s.finding("regatta", 1.88, 0.02),))
    lone = s.comparison([s.finding("regatta", 1.9, 0.02)], (), [again])
    assert "with 143.9 fps" in said(interval_plot(lone, s.NAMES, style=card())[0])


def test_several_left_out_runs_are_named_together():
    other = replace(s.EXCLUSION, test="choir", findings_with=(s.finding("choir", 1.05, 0.02),))
    both = replace(s.WHOLE, exclusions=(s.EXCLUSION, other))
    assert any(
        "Crossed: with a left-out run." in text
        for text in said(interval_plot(both, s.NAMES, style=card())[0])
    )


def test_a_left_out_run_that_would_hardly_move_its_row_is_not_drawn_into_it():
    def crosses(ratio: float, outcome: Outcome = Outcome.AHEAD) -> int:
        again = replace(s.PAIR[2], ratio=ratio, outcome=outcome)
        of_it = replace(s.WHOLE, exclusions=(replace(s.EXCLUSION, findings_with=(again,)),))
        return len(forms(interval_plot(of_it, s.NAMES, style=card())[0], "#b3261e"))

    stands = s.PAIR[2].ratio
    assert crosses(stands - 0.0059) == 0  # a fifth of ±3 %
    assert crosses(stands - 0.0061) == 2
    assert crosses(stands - 0.0001, Outcome.UNSETTLED) == 2


def test_the_crossed_mark_leaves_the_finding_in_sight():
    scale = Scale(left=0, right=1000, reach=20)
    lane = Lane(scale=scale, style=card(), y=100, pitch=68)
    row = all_rows(list(s.PAIR), s.WHOLE, ABOUT, card(), with_indexes=False)[0][2]
    assert row.with_runs
    for value in (row.span.value, row.span.value - 1, row.span.value + 5, -15.0):
        again = replace(row.with_runs[0], span=Span(value=value, low=None, high=None))
        _, mark = taken(replace(row, with_runs=(again,)), lane)
        middle = Box(left=scale.x(row.span.low), top=96, right=scale.x(row.span.high), bottom=104)
        assert not mark.meets(middle)
        assert mark.inside(Box(left=0, top=66, right=1000, bottom=134))


def test_on_a_page_a_left_out_run_has_a_row_of_its_own():
    on_page = said(interval_plot(s.WHOLE, s.NAMES, style=page())[0])
    assert {"with the Plover run at 143.9 fps", "would read +9 % (+3 to +15)"} <= set(on_page)


@pytest.mark.parametrize("outcome", [Outcome.AHEAD, Outcome.UNSETTLED])
def test_that_row_is_crossed_whatever_it_would_say(outcome):
    again = replace(s.EXCLUSION, findings_with=(replace(s.WITH_CAPPED, outcome=outcome),))
    picture = interval_plot(replace(s.WHOLE, exclusions=(again,)), s.NAMES, style=page())[0]
    assert len(forms(picture, "var(--fault-edge)")) == 2


@pytest.mark.parametrize("style", [card(), page()])
def test_what_is_level_rests_between_the_posts(style):
    wide = replace(s.PAIR[4], low=0.96, high=1.05)  # at 95 %: past both posts
    picture = interval_plot(s.comparison([wide], [s.OVERALL]), s.NAMES, style=style)[0]
    left, right = posts(picture)
    paint = "var(--sheet)" if style.roomy else "#fcfdfc"
    boxes = [e.attrib for e in root_of(picture).iter(f"{SVG}rect") if e.attrib["fill"] == paint]
    assert len(boxes) == 2
    for box in boxes:
        assert left < float(box["x"]) < float(box["x"]) + float(box["width"]) < right


@pytest.mark.parametrize(
    ("findings", "words"),
    [
        (s.PAIR[:5], "Bars: 95 %, level ones 90 %."),
        (s.PAIR[:4], "Bars: 95 %."),
        (s.PAIR[4:5], "Bars: 90 %."),
    ],
)
def test_the_foot_says_of_what_level_the_bars_are(findings, words):
    foot = said(interval_plot(s.comparison(findings), s.NAMES, style=card())[0])[1]
    assert foot.startswith(f"Band: ±3 %, too small to matter. {words}")


def test_what_is_unsettled_is_grey_dashed_and_hollow_and_says_so():
    unsettled = s.comparison([s.finding("choir", 1.02, 0.05)])
    picture = interval_plot(unsettled, s.NAMES, style=card())[0]
    grey = forms(picture, "#737f7b")
    assert any("stroke-dasharray" in e.attrib for e in grey)
    assert any(e.attrib["fill"] == "#fcfdfc" for e in grey if "d" in e.attrib)
    assert "unsettled" in said(picture)
    builds = {slot(2).ink, slot(3).ink}
    assert builds  # their marks stand beside their names only, above the plot
    top = max(text.box.bottom for text in texts(picture) if "ahead" in text.words.text)
    below = [e for c in ("#094a9c", "#ab782c") for e in forms(picture, c) if _y(e) > top + 20]
    assert not below


@pytest.mark.parametrize(
    ("key", "p", "why"),
    [
        ("family-withheld", 0.006, "clear by itself, not once all 9 comparisons are counted"),
        ("family-withheld", 0.04, "its p does not reach 0.03"),
        ("ahead-withheld", 0.006, "within its allowance"),
    ],
)
def test_a_bar_clear_of_the_band_that_is_unsettled_says_why_below_and_in_the_description(key, p, why):
    """Else it looks like a mistake: nothing of the bar lies in the band, and nobody is called ahead."""
    counted = [replace(f, p=p, p_holm=0.042) for f in s.PAIR]
    caveats = (Caveat(key=key, words="clear"),)
    unsettled = replace(counted[0], outcome=Outcome.UNSETTLED, caveats=caveats)
    picture = interval_plot(s.comparison([unsettled, *counted[1:]]), s.NAMES, style=card())[0]
    assert f"{s.NAMES.test(unsettled.test)}: {why}." in " ".join(said(picture))
    assert f"unsettled ({why})" in picture.description


def _y(element) -> float:
    if "transform" in element.attrib:
        return float(element.attrib["transform"].split("(")[1].split(")")[0].split()[1])
    return float(element.attrib.get("y", element.attrib.get("y1", "0")))


def test_without_repeats_there_is_a_mark_a_word_and_no_bar():
    picture = interval_plot(s.comparison([s.one_run("choir", 1.004)]), s.NAMES, style=card())[0]
    assert "one run" in said(picture)
    assert not any("stroke-dasharray" in e.attrib for e in forms(picture, "#737f7b"))
    assert not any("Bars" in text for text in said(picture))


def test_a_test_not_run_is_named_as_such():
    missing = replace(s.OVERALL, missing=("load",))
    picture = interval_plot(s.comparison(s.PAIR[:8], [missing]), s.NAMES, style=card())[0]
    assert "not run" in said(picture)


@pytest.mark.parametrize("style", [card(), page()])
def test_row_words_never_reach_into_the_band(style):
    for names in (s.NAMES, s.LONG_NAMES):
        for picture in interval_plot(s.WHOLE, names, style=style):
            left, right = posts(picture)
            top = min(_y(e) for e in forms(picture, "var(--post)" if style.roomy else "#4a5754"))
            posted = forms(picture, "var(--post)" if style.roomy else "#4a5754")
            low = max(float(e.attrib["y2"]) for e in posted if e.attrib.get("x1") == e.attrib.get("x2"))
            rows = [t for t in texts(picture) if top < t.words.y < low]
            assert rows
            assert not [t.words.text for t in rows if t.box.left < right and t.box.right > left]


def test_the_scale_is_the_same_on_both_sides_and_holds_every_point():
    rows, _ = all_rows(list(s.PAIR), s.WHOLE, ABOUT, card(), with_indexes=False)
    reach = reach_of(rows, 0.03)
    scale = Scale(left=100, right=300, reach=reach)
    assert scale.x(0) == 200
    assert scale.x(7) - 200 == pytest.approx(200 - scale.x(-7))
    assert all(abs(row.span.value) <= reach for row in rows if row.span)


def test_one_loose_interval_does_not_squeeze_the_others():
    rows, _ = all_rows([*s.PAIR, s.finding("load", 1.0, 1.2)], s.WHOLE, ABOUT, card(), with_indexes=False)
    assert reach_of(rows, 0.03) <= 50


def test_exchanging_the_setups_keeps_the_sentence_and_turns_the_numbers():
    other_way = {Outcome.AHEAD: Outcome.BEHIND, Outcome.BEHIND: Outcome.AHEAD}
    turned = [
        replace(f, a=f.b, b=f.a, ratio=1 / f.ratio, low=1 / f.high, high=1 / f.low,
                outcome=other_way.get(f.outcome, f.outcome))
        for f in s.PAIR
    ]  # fmt: skip
    one = interval_plot(s.comparison(s.PAIR), s.NAMES, style=card())[0]
    other = interval_plot(s.comparison(turned), s.NAMES, style=card())[0]
    assert said(one)[0] == said(other)[0]
    assert "+17.2 %" in said(other)


def test_a_pair_that_has_no_findings_is_refused_with_the_pairs_there_are():
    with pytest.raises(NotFound, match="no findings of wren and plover") as caught:
        interval_plot(s.WHOLE, s.NAMES, style=card(), pair=("wren", "plover"))
    assert "plover and dunlin" in caught.value.todo
    with pytest.raises(NotFound):
        interval_plot(s.comparison([]), s.NAMES, style=card())


def test_another_metric_is_drawn_alone_without_the_index():
    low = [replace(f, metric="low-1", headline=False) for f in s.PAIR]
    both = s.comparison([*s.PAIR, *low], [s.OVERALL])
    assert "All nine" in said(interval_plot(both, s.NAMES, style=card())[0])
    assert "All nine" not in said(interval_plot(both, s.NAMES, style=card(), metric="low-1")[0])


@pytest.mark.parametrize("style", [card(), page()])
def test_no_form_reaches_under_the_words_at_the_end_of_its_row(style):
    for names in (s.NAMES, s.LONG_NAMES):
        for picture in interval_plot(s.WHOLE, names, style=style):
            edge = picture.width - style.margin
            ends = [t for t in texts(picture) if abs(t.box.right - edge) < 1]
            for x, y in rightmost(picture):
                beside = [t for t in ends if abs(t.words.y - 0.35 * t.words.size - y) < 0.6 * t.words.size]
                assert not [t.words.text for t in beside if t.box.left < x], (x, y)


def rightmost(picture) -> list[tuple[float, float]]:
    """How far each bar and dashed line reaches to the right, and at what height."""
    found = []
    for element in root_of(picture).iter():
        at = element.attrib
        if element.tag == f"{SVG}rect" and 0 < float(at["height"]) < 60:
            found.append((float(at["x"]) + float(at["width"]), float(at["y"]) + float(at["height"]) / 2))
        if element.tag == f"{SVG}line" and "stroke-dasharray" in at and at["y1"] == at["y2"]:
            found.append((float(at["x2"]), float(at["y2"])))
    return found


def test_the_foot_says_what_a_reader_must_know_and_what_the_numbers_mean():
    caveats = (
        Caveat(key="one-boot", words="plover: all 4 runs come from one boot, and may share its error"),
        Caveat(key="one-boot", words="dunlin: all 4 runs come from one boot, and may share its error"),
        Caveat(key="not-interleaved", words="not interleaved: all 4 runs of plover came before the others"),
    )
    poor = [replace(f, metric="average_fps", caveats=caveats) for f in s.PAIR]
    told = " ".join(said(interval_plot(s.comparison(poor, s.INDEXES), s.NAMES, style=card())[0]))
    assert "One boot a side, not interleaved." in told
    assert "Average fps." in told
    assert "One boot" not in " ".join(said(interval_plot(s.WHOLE, s.NAMES, style=card())[0]))


def test_an_index_without_one_of_its_tests_is_not_called_all():
    five = replace(s.index("", s.PAIR[:5], 0.01), missing=("export",))
    picture = interval_plot(s.comparison(s.PAIR[:5], [five]), s.NAMES, style=card())[0]
    assert "Five of six" in said(picture)
    assert "All five" not in said(picture)


@pytest.mark.parametrize("name", ["Große Werkbank dritter Fassung", "Große Werkbank " * 6])
def test_a_long_name_has_one_short_form_on_a_card(name):
    setups = {key: replace(n, name=f"{name} {key}") for key, n in s.NAMES.setups.items()}
    picture = interval_plot(s.WHOLE, replace(s.NAMES, setups=setups), style=card())[0]
    words = said(picture)
    forms = {word.removesuffix(" ahead") for word in words if word.startswith("Große") and "… in" not in word}
    short = {form for form in forms if form.endswith("…")}
    subject = {word for word in words if word in short}
    assert len(short) <= 2  # one of each setup
    assert len(subject) == 1
    assert f"{next(iter(subject))} ahead" in words
    assert min(map(len, short)) >= 6
    assert " ".join(words[:2]).startswith((f"{name} plover ", *short))  # whole where there is room for it


def test_a_long_name_on_one_side_leaves_the_other_whole():
    setups = dict(s.NAMES.setups) | {
        "plover": replace(s.NAMES.setups["plover"], name="Plover Extended Edition Nine"),
        "dunlin": replace(s.NAMES.setups["dunlin"], name="Oystercatcher"),
    }
    words = said(interval_plot(s.WHOLE, replace(s.NAMES, setups=setups), style=card())[0])
    assert "Oystercatcher ahead" in words
    assert any(word.startswith("Plover") and word.endswith("… ahead") for word in words)


def test_a_card_numbers_its_scale_below_its_rows():
    for picture in interval_plot(s.WHOLE, s.NAMES, style=card()):
        _, right = posts(picture)
        numbers = {
            t.words.text.replace("\u00a0", " "): t for t in texts(picture) if t.words.anchor == "middle"
        }
        assert "0" in numbers
        assert len(numbers) >= 3
        assert all(word == "0" or word[0] in "−+" for word in numbers)
        assert [word for word in numbers if word.endswith(" %")] == [
            max(numbers, key=lambda w: numbers[w].words.x)
        ]
        (edge,) = (t.words.x for word, t in numbers.items() if word.endswith(" %"))
        most, zero = float(max(numbers, key=lambda w: numbers[w].words.x)[1:-2]), numbers["0"].words.x
        assert (right - zero) / (edge - zero) == pytest.approx(3 / most, rel=0.01)  # the band ends at 3 %


@pytest.mark.parametrize("half", [0.0005, 0.005, 0.05])
def test_both_ends_of_a_lead_reach_past_its_mark_however_narrow(half):
    picture = interval_plot(s.comparison([s.finding("regatta", 1.2, half)]), s.NAMES, style=card())[0]
    own = [e for e in forms(picture, "#094a9c") if e.tag.endswith("line")]
    heights = {float(e.attrib["y2"]) - float(e.attrib["y1"]) for e in own}
    assert len(own) == 2
    assert min(heights) > 2 * 7.5 * card().unit


@pytest.mark.parametrize("half", [0.0005, 0.005])
def test_the_rest_of_what_is_level_is_never_wider_than_its_interval(half):
    picture = interval_plot(s.comparison([s.finding("choir", 1.001, half)]), s.NAMES, style=card())[0]
    ink = colour("ink", Theme.LIGHT)
    (bar,) = (e for e in root_of(picture).iter(f"{SVG}rect") if e.attrib.get("stroke") == ink)
    rests = [e for e in root_of(picture).iter(f"{SVG}rect") if e.attrib.get("fill") == ink]
    assert len(rests) == 1
    assert float(rests[0].attrib["width"]) <= max(float(bar.attrib["width"]) / 3, 4.0) + 0.1


def test_a_left_out_run_is_never_named_without_its_unit():
    for ratio in (1.02, 1.1, 1.3, 1.6):
        again = replace(s.EXCLUSION, findings_with=(s.finding("regatta", ratio * 0.97, 0.02),))
        rows = [*s.PAIR, s.finding("regatta", ratio, 0.02)]
        words = said(interval_plot(s.comparison(rows, (), [again]), s.NAMES, style=card())[0])
        assert not [word for word in words if word.endswith("143.9")]
