"""Pictures at the extremes: long names, foreign letters, absurd percentages, a study of one test."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import pytest
from tests.publish import saltmarsh as s
from tests.publish.svg_reading import SVG, root_of, texts

from evenhand.findings.finding import Caveat, Outcome
from evenhand.publish.faces import covered
from evenhand.publish.figures.intervals import interval_plot
from evenhand.publish.figures.rates import rate_bars
from evenhand.publish.figures.strips import run_strip
from evenhand.publish.figures.traces import frame_time_trace
from evenhand.publish.left_out import exclusion_sentence
from evenhand.publish.names import KEYS_STAND, Names, SetupName, TestName
from evenhand.publish.palette import slot
from evenhand.publish.picture import to_png
from evenhand.publish.sentences import finding_sentence, index_sentence
from evenhand.publish.style import card, page
from evenhand.publish.svg import Box

HUGE = 1e148
LONGEST = "Plover" + "withoutanyspace" * 12
WILD = {"plover": LONGEST, "dunlin": "Dunlin, the second sample, as it came " * 6, "wren": "Жар-птица " * 9}


def renamed(**named: str) -> Names:
    return replace(
        s.NAMES, setups={k: replace(n, name=named.get(k, n.name)) for k, n in s.NAMES.setups.items()}
    )


def every(names, style):
    foretold = [replace(i, predicted_low=0.5, predicted_high=HUGE) for i in s.INDEXES]
    ahead = [replace(f, ratio=HUGE, low=5.0, high=10 * HUGE) for f in s.PAIR[:1]]
    return {
        "intervals": interval_plot(s.WHOLE, names, style=style),
        "foretold": interval_plot(s.comparison(s.PAIR, foretold), names, style=style),
        "far ahead": interval_plot(s.comparison(ahead), names, style=style),
        "rates": rate_bars(s.rates(names), names, style=style, findings=s.PAIR),
        "strip": run_strip(s.strip(), names, style=style),
        "trace": frame_time_trace(s.scene(), names, style=style),
    }


@pytest.fixture(scope="module", params=[s.NAMES, renamed(**WILD)], ids=["usual", "wild"])
def drawn(request):
    return {style.height: every(request.param, style) for style in (card(), page())}


def said(picture) -> list[str]:
    return [text.words.text.replace("\u00a0", " ") for text in texts(picture)]


def test_all_text_stays_in_the_picture_and_none_touches_another(drawn):
    for height, cases in drawn.items():
        for case, pictures in cases.items():
            for p in pictures:
                room = Box(
                    left=90 if height else 6, top=0, right=p.width - (90 if height else 6), bottom=p.height
                )
                outside = [t.words.text for t in texts(p) if not t.box.inside(room)]
                assert not outside, (height, case, outside)
                meeting = [
                    (one.words.text, other.words.text)
                    for one, other in combinations(texts(p), 2)
                    if one.ink.meets(other.ink)
                ]
                assert not meeting, (height, case, meeting)


def test_both_sides_keep_their_mark_and_the_word_ahead(drawn):
    for case in ("intervals", "foretold", "far ahead"):
        for picture in drawn[1080][case]:
            heads = [t for t in texts(picture) if t.words.text.endswith(" ahead") and t.words.size > 50]
            heads = [t for t in heads if t.words.face.value.family == "Asap"]
            assert len(heads) == 2, case
            for head, number in zip(sorted(heads, key=lambda t: t.words.x), (3, 2), strict=True):
                assert len(head.words.text.removesuffix(" ahead").strip("…")) >= 3, case
                own = [m for m in marks(picture, number) if near(m, head)]
                assert own, (case, head.words.text)


def marks(picture, number):
    return [e for e in root_of(picture).iter(f"{SVG}path") if e.attrib["d"] == slot(number).mark]


def near(mark, text) -> bool:
    x, y = map(float, mark.attrib["transform"].split("(")[1].split(")")[0].split())
    return 0 < text.words.x - x < 50 and abs(text.words.y - y) < 50 and x > 90


def test_no_percentage_is_written_out_beyond_a_thousand(drawn):
    for cases in drawn.values():
        words = [w for case in ("foretold", "far ahead") for p in cases[case] for w in said(p)]
        assert any("more than 1,000 %" in w for w in words)
        assert max(map(len, words)) < 250


def test_sentences_cap_percentages_as_cards_do():
    far = replace(s.PAIR[0], ratio=HUGE, low=4.0, high=10 * HUGE)
    assert finding_sentence(far, s.NAMES, margin=0.03).replace("\u00a0", " ") == (
        "Plover is ahead of Dunlin in Salt Causeway by more than 1,000 % (300 to more than 1,000)."
    )
    index = replace(s.OVERALL, predicted_low=0.5, predicted_high=HUGE)
    told = index_sentence(index, s.NAMES, margin=0.03).replace("\u00a0", " ")
    assert "anything from −50 to more than 1,000 %, Plover over Dunlin." in told
    both = replace(s.OVERALL, predicted_low=12.5, predicted_high=HUGE)
    assert "from more than 1,000 %," in index_sentence(both, s.NAMES, margin=0.03).replace("\u00a0", " ")
    with_it = replace(s.EXCLUSION, findings_with=(replace(s.WITH_CAPPED, ratio=HUGE),))
    told = exclusion_sentence(with_it, s.NAMES, margin=0.03)
    assert "more than 1,000" in told
    assert len(told) < 400


CYRILLIC = renamed(wren="Жук", plover="Лис ∮", dunlin="Dunlin Ж")


def test_no_picture_holds_a_sign_that_the_fonts_lack():
    for style in (card(), page()):
        for case, pictures in every(CYRILLIC, style).items():
            for text in (t for p in pictures for t in texts(p)):
                assert set(text.words.text) <= covered(text.words.face), (case, text.words.text)


def test_what_was_drawn_otherwise_is_told_with_the_picture_and_in_its_description():
    (picture,) = run_strip(s.strip(), CYRILLIC, style=card())
    assert {"wren 118.0", "plover 165.0", "Dunlin ? 148.0"} <= set(said(picture))
    assert picture.told == (
        "wren stands for Жук, of which the fonts lack letters.",
        "plover stands for Лис ∮, of which the fonts lack letters.",
        "Drawn plainly, as the fonts lack them: Ж.",
    )
    assert all(sentence in picture.description for sentence in picture.told)
    assert b"PNG" in to_png(picture)[:8]


@pytest.mark.parametrize("style", [card(), page()])
def test_every_picture_with_keys_for_names_says_so_at_its_foot(style):
    for case, pictures in every(CYRILLIC, style).items():
        assert all(KEYS_STAND in " ".join(said(p)) for p in pictures), case
    for case, pictures in every(s.NAMES, style).items():
        assert not any("Keys stand" in " ".join(said(p)) for p in pictures), case


@pytest.mark.parametrize("name", ["Ωμέγα", "Καλύβα β"])
def test_greek_names_give_way_to_keys_and_a_greek_letter_beside_latin_is_told(name):
    (picture,) = run_strip(s.strip(), renamed(wren=name, plover="Plover β"), style=card())
    assert {"wren 118.0", "Plover ? 165.0"} <= set(said(picture))
    assert KEYS_STAND in " ".join(said(picture))
    assert picture.told == (
        f"wren stands for {name}, of which the fonts lack letters.",
        "Drawn plainly, as the fonts lack them: β.",
    )


def test_letters_with_accents_that_the_fonts_lack_stand_without_them():
    (picture,) = run_strip(s.strip(), renamed(wren="Hà Nội\u200b"), style=card())
    assert "Hà Noi 118.0" in said(picture)
    assert picture.told == ("Drawn plainly, as the fonts lack them: ộ.",)


def test_a_name_in_our_letters_is_drawn_as_it_is_and_nothing_is_told():
    for pictures in every(s.NAMES, card()).values():
        assert all(p.told == () for p in pictures)


def test_a_test_and_a_setup_of_one_key_stand_each_for_their_own_name():
    names = Names(setups={"a": SetupName(name="Wren", slot=1)}, tests={"a": TestName(name="Жук")}).drawn()
    assert (names.setup("a"), names.test("a"), dict(names.stand_ins)) == ("Wren", "a", {"a": "Жук"})


def test_figures_in_a_name_of_foreign_letters_do_not_keep_it_from_its_key():
    names = Names(setups={}, tests={}, others={"beetle-7": "Жук 7 (М) 2026", "lodz": "Łódź 2026"}).drawn()
    assert (names.other("beetle-7"), names.other("lodz")) == ("beetle-7", "Łódź 2026")


def test_a_study_of_one_test_has_one_row_and_no_index():
    one = s.PAIR[:1]
    for indexes in ([], [s.index("", one, 0.01), s.index("games", one, 0.01)]):
        (picture,) = interval_plot(s.comparison(one, indexes), s.NAMES, style=card())
        words = said(picture)
        assert words[0] == "Plover ahead in Salt Causeway"
        assert words.count("Salt Causeway") == 1
        assert not {"One", "Games"} & set(words)


@pytest.mark.parametrize("name", ["Matrix work, all cores", "Timeline export in ten parts"])
def test_a_name_is_not_cut_where_there_is_room(name):
    names = replace(s.NAMES, tests=dict(s.NAMES.tests) | {"causeway": TestName(name=name)})
    findings = [replace(f, outcome=Outcome.BEHIND) for f in s.PAIR[:6]]
    for style in (card(), page()):
        (picture,) = interval_plot(s.comparison(findings), names, style=style)
        assert not [w for w in said(picture) if "…" in w]
    for picture in rate_bars([r for r in s.rates(names) if r.test == "causeway"], names, style=card()):
        assert not [w for w in said(picture) if "…" in w]


def test_a_lead_that_may_be_too_small_says_so_below_its_number_where_there_is_room():
    perhaps = [replace(f, perhaps_small=True) for f in s.PAIR[:2]]
    (few,) = interval_plot(s.comparison([*perhaps, *s.PAIR[2:4]]), s.NAMES, style=card())
    assert said(few).count("perhaps under 3 %") == 2
    (many,) = interval_plot(s.comparison([*perhaps, *s.PAIR[2:]]), s.NAMES, style=card())
    assert "perhaps under 3 %" not in said(many)
    assert "Bars that end in the band: perhaps too small to matter." in " ".join(said(many))
    assert "perhaps too small" not in " ".join(said(few))


def test_the_foot_grows_shorter_before_it_leaves_out_the_conditions():
    perhaps = [replace(i, perhaps_small=i.group != "") for i in s.INDEXES]
    names = replace(s.NAMES, terms="Mild tune, room 21 to 27 °C, doors shut")
    index_card = interval_plot(s.comparison(s.PAIR, perhaps), names, style=card())[1]
    foot = " ".join(said(index_card))
    assert "Band: ±3 %. Bars: 95 %, level ones 90 %." in foot
    assert (
        "Bars that end in the band: perhaps too small to matter. Mild tune, room 21 to 27 °C, doors shut."
        in foot
    )


def test_an_unsettled_index_says_that_tests_have_a_single_run():
    lone = Caveat(key="one-run", words="single runs in {tests}", tests=("causeway",))
    index = replace(s.OVERALL, outcome=Outcome.UNSETTLED, caveats=(lone,), predicted_low=None)
    (picture,) = interval_plot(s.comparison(s.PAIR[:3], [index]), s.NAMES, style=card())
    assert "one test of one run" in said(picture)
