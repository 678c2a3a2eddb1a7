"""The cards of a study: full size, readable, nothing cut or over another, and what they say."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import date
from xml.etree import ElementTree

import pytest
from tests.publish import saltmarsh as s
from tests.publish.card_samples import (
    AUDIENCES,
    TWELVE,
    about,
    all_cards,
    build,
    flip,
    flips,
    for_whom,
    of_all,
    owning,
    path_card,
    price_index,
    price_lines,
    prices,
    sayings,
)
from tests.publish.svg_reading import said, texts
from tests.publish.test_extremes import WILD, renamed
from tests.publish.test_media import LEAST, SIZES, faults

from evenhand.money.break_even import BreakEven, Value
from evenhand.publish.card_titles import title
from evenhand.publish.figures.break_even import break_even_cards
from evenhand.publish.figures.flip_cards import TITLE, flip_card, one_of_each
from evenhand.publish.figures.frame import headline_fits
from evenhand.publish.figures.headline import headline_cards
from evenhand.publish.figures.owning_card import owning_cards
from evenhand.publish.figures.parts_card import parts_cards
from evenhand.publish.figures.price_card import price_history_card
from evenhand.publish.figures.price_index import CAUTION, OTHERWISE, price_index_card
from evenhand.publish.palette import Theme
from evenhand.publish.style import Medium, for_medium
from evenhand.publish.svg import Box
from evenhand.verdicts.moves import Aspect, Lever, Move

RIGHT_TO_LEFT = renamed(plover="זמיר שחור", dunlin="بجعة")
NAMES = {
    "usual": s.NAMES, "long": s.LONG_NAMES, "wild": renamed(**WILD), "right to left": RIGHT_TO_LEFT,
}  # fmt: skip


@pytest.fixture(scope="module", params=NAMES, ids=list(NAMES))
def names(request):
    return NAMES[request.param]


@pytest.mark.parametrize("medium", Medium)
def test_text_is_large_enough_inside_the_card_and_apart(names, medium):
    for case, pictures in all_cards(names, for_medium(medium)).items():
        assert pictures, case
        for picture in pictures:
            assert (picture.width, picture.height) == SIZES[medium], case
            assert faults(picture, LEAST[medium]) == [], case


@pytest.mark.parametrize("medium", Medium)
def test_every_card_says_what_it_shows_and_what_is_seen(medium):
    for case, pictures in all_cards(s.NAMES, for_medium(medium, Theme.DARK)).items():
        for picture in pictures:
            assert len(picture.title) > 10, case
            assert len(picture.description) > 40, case
            assert "var(" not in picture.svg, case


@pytest.mark.parametrize("medium", Medium)
def test_twelve_builds_find_room_each_by_name_though_marks_repeat(medium):
    picture = price_index_card(price_index(tuple(TWELVE.setups)), TWELVE, style=for_medium(medium))
    assert faults(picture, LEAST[medium]) == []
    assert all(named.name in said(picture) for named in TWELVE.setups.values())


@pytest.mark.parametrize("medium", Medium)
def test_what_twelve_builds_cost_to_own_goes_over_cards_on_one_scale(medium):
    cards = owning_cards(owning(tuple(TWELVE.setups)), TWELVE, style=for_medium(medium))
    assert all(faults(picture, LEAST[medium]) == [] for picture in cards)
    told = " ".join(said(picture) for picture in cards)
    assert all(named.name in told for named in TWELVE.setups.values())
    assert "1,171 dl (915 to 1,405)" in said(cards[0])


def test_a_card_of_owning_says_what_its_line_rests_on_and_what_is_not_in_it():
    style = for_medium(Medium.WIDE)
    (card,), (without,) = (owning_cards(owning(("plover",), w), s.NAMES, style=style) for w in (310.0, None))
    assert "900 to 1,500 h a year at 0.28 to 0.36 dl, 16 to 38 % fetched in the end" in said(card)
    assert said(card).startswith("What each costs to own over 3 years, prices of 24 November 2026")
    assert "Without electricity" in said(without)
    assert "electricity" not in said(without).replace("Without electricity", "")


@pytest.mark.parametrize("medium", Medium)
def test_a_card_of_owning_says_for_whom_it_is_and_parts_no_date(medium):
    (card,) = owning_cards(owning(("plover", "dunlin", "wren")), s.NAMES, style=for_medium(medium))
    assert "For Mostly play." in said(card)
    dated = [t.words.text for t in texts(card) if "November" in t.words.text]
    assert dated
    assert all("24 November 2026" in line for line in dated)


def test_a_single_build_is_drawn_alone():
    picture = price_index_card(price_index(("plover",)), s.NAMES, style=for_medium(Medium.WIDE))
    assert faults(picture, 50) == []


def test_the_flip_card_on_which_nothing_flips_says_for_what_was_looked():
    bare = replace(flips(s.NAMES), flips=())
    for medium in Medium:
        card = flip_card(bare, ("Nine tests.",), style=for_medium(medium))
        assert "who is ahead or better value" in card.description
        assert ".." not in card.description
        assert "who is ahead or better value" in said(card)
        assert said(card).endswith("judging by 1% lows.")


def test_a_name_cannot_bring_markup_into_a_picture():
    evil = renamed(plover='<script>alert("1")</script>', dunlin="x' onload='1&<b>")
    for case, pictures in all_cards(evil, for_medium(Medium.WIDE)).items():
        for picture in pictures:
            tags = {element.tag.rsplit("}", 1)[-1] for element in ElementTree.fromstring(picture.svg).iter()}
            assert tags <= {"svg", "title", "desc", "text", "rect", "line", "path"}, case
            assert "<script" not in picture.svg, case


def test_a_title_is_a_sentence_that_stands_or_the_next_one_that_fits():
    style = for_medium(Medium.SQUARE)
    both = sayings("audience-level", "test-ahead" if False else "audience-unsettled")
    assert title(both, s.NAMES, style, otherwise="-").startswith(
        "For Mostly play, Plover and Dunlin are level"
    )
    long = renamed(plover="P" * 60, dunlin="D" * 60)
    assert headline_fits(title(both, long, style, otherwise="-"), style)
    assert title(sayings(), s.NAMES, style, otherwise="What is shown") == "What is shown"


def test_the_flip_card_shows_one_change_of_each_kind_before_a_second():
    kinds = [
        flip.moves[0].lever for flip in one_of_each((*flips(s.NAMES).flips[:1] * 2, *flips(s.NAMES).flips))
    ]
    assert len(set(kinds[:6])) == 6
    card = flip_card(flips(s.NAMES), ("Nine tests.",), style=for_medium(Medium.WIDE))
    assert TITLE in said(card)
    assert "Plover rises to 1,019 dl from 998 dl" in said(card)


def test_what_was_not_measured_is_said():
    nothing = all_cards(s.NAMES, for_medium(Medium.WIDE))["beside, nothing"][0]
    assert said(nothing).count("not measured") == 3
    assert "not measured" in nothing.description


def test_watts_are_told_as_sentences_tell_them():
    card = all_cards(s.NAMES, for_medium(Medium.WIDE))["beside"][0]
    assert "Plover 13.8 % less" in said(card)


def test_parts_say_how_each_was_come_by_and_the_price_its_day():
    (card,) = parts_cards(build(), s.NAMES, style=for_medium(Medium.WIDE))
    assert "on loan from Harrowfen" in said(card)
    assert "not disclosed" in said(card)
    assert "998 dl on 24 November 2026" in said(card)


def test_parts_say_what_each_cost_its_seller_and_the_day_once_where_it_is_one():
    day, style = date(2031, 5, 4), for_medium(Medium.WIDE)
    bare = build((("processor", "Brellow Ash 6", ""), ("board", "Nimtal Quay B", "")))
    first, second = (
        replace(part, cost=cost, on=day)
        for part, cost in zip(bare.parts, ("192 dl, shop", "9 dl, used"), strict=True)
    )
    (card,) = parts_cards(replace(bare, parts=(first, second)), s.NAMES, style=style)
    assert "192 dl, shop" in said(card)
    assert "9 dl, used" in said(card)
    assert said(card).count("4 May 2031") == 1
    other_day = (first, replace(second, on=date(2031, 5, 2)))
    (other,) = parts_cards(replace(bare, parts=other_day), s.NAMES, style=style)
    assert "192 dl, shop, 4 May 2031" in said(other)
    assert "9 dl, used, 2 May 2031" in said(other)
    (one,) = parts_cards(replace(bare, parts=(first, bare.parts[1])), s.NAMES, style=style)
    assert "no price on record" in said(one)


def test_of_two_states_of_one_machine_the_headline_card_says_the_state_where_a_name_would_be_cut():
    states = {"plover": "Plover, mild tune", "dunlin": "Plover, stock"}
    named = {key: replace(s.NAMES.setups[key], name=name) for key, name in states.items()}
    names = replace(s.NAMES, setups={**s.NAMES.setups, **named})
    for one in headline_cards(
        for_whom(names)[:1], about(names), ("Nine tests.",), style=for_medium(Medium.WIDE)
    ):
        assert said(one).replace("\u00a0", " ").endswith(" Stock Mild tune level")
        assert "…" not in said(one)


def test_a_pair_of_builds_keeps_its_names_on_the_headline_card():
    cards = all_cards(s.NAMES, for_medium(Medium.TALL))["headline"]
    told = " ".join(said(card) for card in cards)
    assert about(s.NAMES).names.setup("plover") in told
    assert "For Mostly editing, Dunlin is ahead of Plover" in told
    assert "For New seats, Plover and Dunlin are unsettled." in told


THREE = ("plover", "dunlin", "wren")
WREN_BEST = of_all(THREE, [Value.A, Value.B, Value.B])


@pytest.mark.parametrize("medium", Medium)
def test_the_sentence_over_a_card_of_three_is_over_all_of_them(medium):
    found = replace(price_index(THREE), among=WREN_BEST)
    told = price_index_card(found, s.NAMES, style=for_medium(medium)).title.replace("\u00a0", " ")
    assert told.startswith("For Mostly play, Wren is the better value beside every other, prices of 24 Nov")
    of_two = price_index_card(price_index(("plover", "dunlin")), s.NAMES, style=for_medium(medium)).title
    assert "Plover is better value than Dunlin while" in of_two or of_two.startswith(OTHERWISE)


@pytest.mark.parametrize("medium", Medium)
def test_a_caution_never_yields_to_room(medium):
    days = (date(2026, 11, 24), date(2026, 12, 28), date(2027, 1, 5))
    found = replace(price_index(THREE), among=WREN_BEST, days=days, unpriced=tuple(s.LONG_NAMES.setups))
    for names in (s.NAMES, s.LONG_NAMES):
        told = said(price_index_card(found, names, style=for_medium(medium)))
        assert CAUTION in told


BAND = "#dde7e2"  # on light ground


def bands(picture):
    """Where the bands of a card lie."""
    every = (e.attrib for e in ElementTree.fromstring(picture.svg).iter() if e.tag.endswith("rect"))
    return [
        Box(
            left=float(e["x"]), top=float(e["y"]), right=float(e["x"]) + float(e["width"]),
            bottom=float(e["y"]) + float(e["height"]),
        )
        for e in every
        if e.get("fill") == BAND
    ]  # fmt: skip


@pytest.mark.parametrize("medium", [Medium.TALL, Medium.SQUARE])
def test_no_band_lies_over_an_audiences_name(medium, names):
    longer = [replace(one, name="Mostly play, new seats") for one in for_whom(names)]
    for picture in headline_cards(longer, about(names), ("Nine tests.",), style=for_medium(medium)):
        found = bands(picture)
        assert found
        assert [t.words.text for t in texts(picture) for b in found if t.ink.meets(b)] == []


def test_audiences_are_shared_out_evenly_over_the_cards():
    pictures = headline_cards(
        for_whom(s.NAMES), about(s.NAMES), ("Nine tests.",), style=for_medium(Medium.TALL)
    )
    assert [p.description.split("Drawn for each audience:")[1].count(";") for p in pictures] == [1, 1]


@pytest.mark.parametrize("medium", Medium)
def test_the_amounts_of_a_band_stay_on_its_side_of_todays_price(medium):
    near, far = prices().levels[:2]
    levels = (
        replace(near, even=BreakEven(at=1030.0, low=1026.0, high=1034.0)),
        replace(far, even=BreakEven(at=1200.0, low=1150.0, high=1250.0)),
    )
    (card,) = break_even_cards(replace(prices(now=1012), levels=levels), s.NAMES, style=for_medium(medium))
    lines = [e.attrib for e in ElementTree.fromstring(card.svg).iter() if e.tag.endswith("line")]
    upright = Counter(e["x1"] for e in lines if e["x1"] == e["x2"])
    (now,) = (float(x) for x, times in upright.items() if times == 1 + len(levels))
    found = [t.box for t in texts(card) if t.words.text.replace("\u00a0", " ") in ("1,026", "1,034 dl")]
    assert [box.left > now for box in found] == [True, True]


def test_todays_price_runs_through_no_audiences_name():
    levels = tuple(replace(one, audience="Mostly play, new seats") for one in prices().levels)
    for card in break_even_cards(replace(prices(), levels=levels), s.NAMES, style=for_medium(Medium.TALL)):
        lines = [e.attrib for e in ElementTree.fromstring(card.svg).iter() if e.tag.endswith("line")]
        upright = [e for e in lines if e["x1"] == e["x2"]]
        named = [t.box for t in texts(card) if t.words.text == "Mostly play, new seats"]
        assert len(named) == len(levels)
        for e in upright:
            x, ends = float(e["x1"]), sorted((float(e["y1"]), float(e["y2"])))
            assert not any(b.left < x < b.right and ends[0] < b.bottom - 8 and ends[1] > b.top for b in named)


@pytest.mark.parametrize("medium", Medium)
def test_what_is_not_shown_to_be_level_is_called_so_on_no_card_of_prices(medium):
    now = prices(now=1026)
    levels = tuple(replace(one, value_open=True) for one in now.levels[:1])
    (card,) = break_even_cards(replace(now, levels=levels), s.NAMES, style=for_medium(medium))
    words = [t.words.text for t in texts(card)]
    assert "not told apart" in words
    assert "level" not in words
    assert "not told apart by value now" in card.description


@pytest.mark.parametrize("medium", Medium)
def test_a_change_into_what_is_not_shown_to_be_level_says_so(medium):
    move = Move(lever=Lever.PRICE, name="plover", size=0.02, before=998, after=1019)
    found = replace(flips(s.NAMES), flips=(replace(flip(move), becomes_open=True),))
    told = said(flip_card(found, ("Nine tests.",), style=for_medium(medium)))
    assert "not told apart by value" in told
    assert "are then level by value" not in told


@pytest.mark.parametrize("medium", Medium)
def test_what_would_be_flipped_is_on_the_card_whatever_its_length(medium, names):
    by_price = tuple(f for f in flips(names).flips if f.aspect is Aspect.VALUE)
    found = replace(flips(names), flips=by_price, now=sayings("audience-level", "value"))
    told = said(flip_card(found, ("Nine tests.",), style=for_medium(medium)))
    assert "For Mostly play, " in told
    assert "better value than" in told


def test_both_numbers_stand_beside_the_point_where_all_is_to_one_side_of_the_band():
    left_out = replace(flips(s.NAMES).flips[2], ratio=1.346)
    found = replace(flips(s.NAMES), ratio=1.306, flips=(left_out,), now=sayings("audience-ahead"))
    for medium in (Medium.WIDE, Medium.TALL):
        picture = flip_card(found, ("Nine tests.",), style=for_medium(medium))
        (band,) = bands(picture)
        now, then = (t.box for t in texts(picture) if t.words.text.startswith(("30.6", "34.6")))
        assert band.right < now.left < then.left


@pytest.mark.parametrize("medium", Medium)
def test_paths_that_end_together_are_told_apart_by_the_marks_beside_their_names(medium: Medium) -> None:
    setups = tuple(s.NAMES.setups)
    drawn = path_card(setups, s.NAMES, for_medium(medium)).svg
    for setup in setups:
        assert drawn.count(f'd="{s.NAMES.slot(setup).mark}"') == 2, "where its line ends, and beside its name"


def test_a_card_of_prices_is_headed_by_an_audience_that_it_shows() -> None:
    cards = break_even_cards(prices(), s.NAMES, style=for_medium(Medium.SQUARE))
    assert len(cards) > 1
    for card in cards:
        heading, rows = card.title, card.description
        assert any(name in heading and f"{name}: " in rows for name in AUDIENCES.values()), (heading, rows)


@pytest.mark.parametrize("medium", Medium)
def test_prices_over_time_are_dated_and_find_room_for_twelve_builds(medium):
    picture = price_history_card(price_lines(tuple(TWELVE.setups)), TWELVE, style=for_medium(medium))
    assert faults(picture, LEAST[medium]) == []
    assert "Prices up to 24 November 2026; their axis does not begin at zero." in said(picture)


def test_a_gap_in_prices_stays_open():
    picture = price_history_card(price_lines(("plover", "dunlin")), s.NAMES, style=for_medium(Medium.WIDE))
    ways = [
        e.attrib["d"] for e in ElementTree.fromstring(picture.svg).iter() if e.attrib.get("d", "").count("H")
    ]
    lines = [d for d in ways if d.startswith("M") and "Z" not in d]
    # Looked at 89, 60, 52, 30 and 0 days ago, and 89, 20 and 0 days ago: only 60 and 52 join.
    assert [d.count("H") for d in lines] == [1, 2, 1, 1, 1, 1, 1]
    assert "usual 995" in said(picture)
    assert "Plover 999 dl on 27 August 2026, 990 dl on 24 November 2026" in picture.description.replace(
        "\u00a0", " "
    )
