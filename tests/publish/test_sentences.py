from __future__ import annotations

from dataclasses import replace

import pytest
from tests.publish import saltmarsh as s

from evenhand.findings.finding import Caveat, Outcome, Settle
from evenhand.publish.answer import answer
from evenhand.publish.left_out import exclusion_sentence
from evenhand.publish.sentences import (
    finding_sentence,
    headline,
    index_headline,
    index_sentence,
    what_would_settle,
)

FORBIDDEN = ("winner", "wins", "beats", "crushes", "destroys", "tie", "tied", "stable", "significant", "-")


def plain(words: str) -> str:
    """The same with ordinary spaces, to be read."""
    return words.replace("\u00a0", " ")


def state(outcome: Outcome, n: int) -> list[s.Finding]:
    ratio = {Outcome.AHEAD: 1.1, Outcome.BEHIND: 0.9, Outcome.LEVEL: 1.0, Outcome.UNSETTLED: 1.02}[outcome]
    half = 0.06 if outcome is Outcome.UNSETTLED else 0.015
    return [s.finding(t[0], ratio, half) for t in s.TESTS[:n]]


@pytest.mark.parametrize(
    ("findings", "words"),
    [
        (s.PAIR, "Plover ahead in four, Dunlin in three, two level"),
        ([], "No test in common yet"),
        (s.PAIR[:1], "Plover ahead in Salt Causeway"),
        (s.PAIR[1:2], "Dunlin ahead in Nine Tramlines"),
        (s.PAIR[4:5], "Plover and Dunlin: level in Quarry Choir"),
        (state(Outcome.AHEAD, 9), "Plover ahead in all nine tests"),
        (state(Outcome.BEHIND, 2), "Dunlin ahead in both tests"),
        (state(Outcome.UNSETTLED, 9), "Plover and Dunlin: unsettled in all nine tests"),
        (state(Outcome.LEVEL, 3) + state(Outcome.UNSETTLED, 1), "Three level, one unsettled"),
        (state(Outcome.BEHIND, 3) + state(Outcome.AHEAD, 1), "Dunlin ahead in three, Plover in one"),
        (state(Outcome.BEHIND, 1) + state(Outcome.LEVEL, 1), "Dunlin ahead in one, one level"),
    ],
)
def test_headlines(findings, words):
    assert headline(findings, s.NAMES) == words


def test_a_lead_that_may_be_too_small_to_matter_says_so():
    games = replace(s.INDEXES[1], left_out=(), predicted_low=None, perhaps_small=True)
    assert plain(index_sentence(games, s.NAMES, margin=0.03)) == (
        "In games (five tests) Plover is ahead of Dunlin by 2.7 % (1.4 to 3.9), perhaps by less than the "
        "margin of 3 %."
    )
    wide = replace(s.PAIR[1], perhaps_small=True)
    assert plain(finding_sentence(wide, s.NAMES, margin=0.145)) == (
        "Plover is behind Dunlin in Nine Tramlines by 14.7 % (13.4 to 16.0), so Dunlin is ahead by 17.2 %, "
        "perhaps by less than the margin of 14.5 %."
    )


ONE_RUN = Caveat(key="one-run", words="one run on a side: {tests}", tests=("regatta",))


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"caveats": (ONE_RUN,)}, "+2.7 % (+1.4 to +3.9); one test has a single run on a side."),
        (
            {"caveats": (replace(ONE_RUN, tests=("regatta", "choir")),)},
            "+2.7 % (+1.4 to +3.9); two tests have a single run on a side.",
        ),
        (
            {"caveats": (ONE_RUN,), "low": None, "high": None},
            "+2.7 %; one test has a single run on a side.",
        ),
        ({"low": None, "high": None}, "+2.7 %; these runs allow no interval."),
        (
            {"caveats": (Caveat(key="ahead-withheld", words="w"),)},
            (
                "+2.7 % (+1.4 to +3.9); the difference is no larger than an error that the runs of one boot "
                "may share."
            ),
        ),
        (
            {"caveats": (Caveat(key="p-withheld", words="clear of no difference at 95 %, but p"),)},
            "+2.7 % (+1.4 to +3.9); the interval is clear of no difference at 95 %, but p.",
        ),
    ],
)
def test_an_unsettled_index_whose_interval_does_not_show_why_says_why(changes, words):
    found = replace(
        s.INDEXES[1], **{"outcome": Outcome.UNSETTLED, "left_out": (), "predicted_low": None, **changes}
    )
    assert plain(index_sentence(found, s.NAMES, margin=0.03)) == (
        f"In games (five tests) Plover and Dunlin are unsettled: Plover {words}"
    )


COUNT = "but not once all 27 comparisons of the study are counted: p is 0.042 then, against 0.03"
UNSETTLED = s.finding("parish", 1.041, 0.045)


@pytest.mark.parametrize(
    ("finding", "words"),
    [
        (s.PAIR[0], "Plover is ahead of Dunlin in Salt Causeway by 10.7 % (8.7 to 12.7)."),
        (
            s.PAIR[1],
            (
                "Plover is behind Dunlin in Nine Tramlines by 14.7 % (13.4 to 16.0), so Dunlin is ahead by "
                "17.2 %."
            ),
        ),
        (
            s.PAIR[4],
            ("Plover and Dunlin are level in Quarry Choir, within ±3 %: Plover +0.4 % (90 %: −0.9 to +1.7)."),
        ),
        (
            replace(s.PAIR[4], ratio=1.012, bound_low=1.005, bound_high=1.019, measurably=True),
            (
                "Plover and Dunlin are level in Quarry Choir, within ±3 %: Plover measurably +1.2 % "
                "(90 %: +0.5 to +1.9)."
            ),
        ),
        (
            UNSETTLED,
            (
                "Plover and Dunlin are unsettled in Ember Parish: Plover +4 % (0 to +9); the "
                "interval holds no difference and also more than ±3 %. Two more runs of each, about "
                "14 min, would settle it."
            ),
        ),
        (
            replace(
                UNSETTLED,
                low=1.004,
                high=1.08,
                settle=Settle(more_runs=None),
                caveats=(Caveat(key="family-withheld", words=f"clear of no difference by itself, {COUNT}"),),
            ),
            (
                "Plover and Dunlin are unsettled in Ember Parish: Plover +4.1 % (+0.4 to +8.0); the "
                "interval is clear of no difference by itself, but not once all 27 comparisons of the study "
                "are counted: p is 0.042 then, against 0.03. Not to be settled within twelve runs of each."
            ),
        ),
        (
            replace(
                UNSETTLED,
                low=1.004,
                high=1.08,
                settle=None,
                caveats=(Caveat(key="ahead-withheld", words="w"),),
            ),
            (
                "Plover and Dunlin are unsettled in Ember Parish: Plover +4.1 % (+0.4 to +8.0); the "
                "difference is no larger than an error that the runs of one boot may share."
            ),
        ),
        (
            s.one_run("choir", 1.004),
            (
                "Plover and Dunlin are unsettled in Quarry Choir: Plover +0.4 %; Plover and Dunlin "
                "have one run each."
            ),
        ),
        (
            s.one_run("choir", None, n_a=0),
            "Plover and Dunlin are unsettled in Quarry Choir: Plover has no run that counts.",
        ),
    ],
)
def test_findings(finding, words):
    assert plain(finding_sentence(finding, s.NAMES, margin=0.03)) == words


def test_the_same_finding_seen_from_the_other_side_says_the_other_word_and_both_numbers():
    turned = replace(
        s.PAIR[0],
        a="dunlin",
        b="plover",
        outcome=Outcome.BEHIND,
        ratio=1 / 1.107,
        low=1 / 1.127,
        high=1 / 1.087,
    )
    assert plain(finding_sentence(turned, s.NAMES, margin=0.03)) == (
        "Dunlin is behind Plover in Salt Causeway by 9.7 % (8.0 to 11.3), so Plover is ahead by 10.7 %."
    )


@pytest.mark.parametrize(
    ("index", "words"),
    [
        (
            s.INDEXES[0],
            (
                "Over all nine tests Plover and Dunlin are level within ±3 %: Plover −0.1 % (90 %: "
                "−0.8 to +0.7). No single test turns it; it moves most without Nine Tramlines, level at +1.9 "
                "%. For a test not run they foretell anything from −21 to +27 %, Plover over Dunlin."
            ),
        ),
        (
            s.INDEXES[1],
            (
                "In games (five tests) Plover is ahead of Dunlin by 2.7 % (1.4 to 3.9). It leans on "
                "single tests: level at +0.7 % without Salt Causeway, level at +0.6 % without Hollow "
                "Regatta and level at +1.4 % without Ember Parish. For a test not run they foretell "
                "anything from −30 to +51 %, Plover over Dunlin: no forecast yet, for which six tests of one "
                "sort are needed."
            ),
        ),
        (
            replace(s.INDEXES[2], left_out=(), predicted_low=None, missing=("load",)),
            (
                "In work (four of five tests) Plover is behind Dunlin by 3.4 % (2.5 to 4.3), so Dunlin is "
                "ahead by 3.5 %. Not in it, "
                "for want of runs to compare: Project load."
            ),
        ),
        (
            replace(s.INDEXES[0], outcome=Outcome.UNSETTLED, left_out=(), predicted_low=None),
            "Over all nine tests Plover and Dunlin are unsettled: Plover −0.1 % (−1.0 to +0.9).",
        ),
    ],
)
def test_indexes(index, words):
    assert plain(index_sentence(index, s.NAMES, margin=0.03)) == words


@pytest.mark.parametrize(
    ("tests", "missing", "short", "long"),
    [
        (2, 0, "over both", "Over both tests "),
        (5, 1, "over five of six", "Over five of six tests "),
        (3, 0, "over all three", "Over all three tests "),
    ],
)
def test_over_what_an_index_stands_never_claims_a_test_that_is_not_in_it(tests, missing, short, long):
    keys = tuple(t[0] for t in s.TESTS)
    index = replace(s.OVERALL, tests=keys[:tests], missing=keys[tests : tests + missing])
    assert index_headline([index], s.NAMES) == f"Level {short}"
    assert index_sentence(index, s.NAMES, margin=0.03).startswith(long)


def test_the_headline_of_the_indexes():
    assert (
        index_headline(s.INDEXES, s.NAMES)
        == "Level over all nine, Plover ahead in games, Dunlin ahead in work"
    )


def test_that_leads_may_be_too_small_is_said_once_of_both():
    small = [replace(each, perhaps_small=each.outcome is not Outcome.LEVEL) for each in s.INDEXES]
    told = "Level over all nine, Plover ahead in games, Dunlin ahead in work"
    assert index_headline(small, s.NAMES) == f"{told} (both leads perhaps too little to matter)"
    one = [*s.INDEXES[:-1], replace(s.INDEXES[-1], perhaps_small=True)]
    assert index_headline(one, s.NAMES) == f"{told} (perhaps too little to matter)"


@pytest.mark.parametrize(
    ("settle", "words"),
    [
        (None, ""),
        (Settle(more_runs=1), "One more run of each would settle it."),
        (Settle(more_runs=3, minutes=21.4), "Three more runs of each, about 21 min, would settle it."),
        (Settle(more_runs=None), "Not to be settled within twelve runs of each."),
    ],
)
def test_what_would_settle_it(settle, words):
    assert plain(what_would_settle(replace(UNSETTLED, settle=settle))) == words


def test_no_sentence_of_ours_holds_a_word_that_says_more_than_the_data():
    findings = [*s.PAIR, UNSETTLED, s.one_run("choir", 1.004), s.one_run("choir", None, n_a=0)]
    said = [
        *(finding_sentence(f, s.NAMES, margin=0.03) for f in findings),
        *(index_sentence(i, s.NAMES, margin=0.03) for i in s.INDEXES),
        *(answer(c, s.NAMES) for c in (s.WHOLE, s.THREE_SETUPS)),
        headline(s.PAIR, s.NAMES),
        index_headline(s.INDEXES, s.NAMES),
        exclusion_sentence(s.EXCLUSION, s.NAMES, margin=0.03, why="capped"),
    ]
    for sentence in said:
        words = plain(sentence).lower().replace(",", " ").replace(".", " ").replace(":", " ").split()
        assert not set(FORBIDDEN) & set(words), sentence
        assert "-" not in sentence


def test_a_level_pair_always_says_its_bound_and_an_unsettled_one_why():
    for f in s.PAIR:
        if f.outcome is Outcome.LEVEL:
            assert "within ±3" in finding_sentence(f, s.NAMES, margin=0.03)
    assert ";" in finding_sentence(UNSETTLED, s.NAMES, margin=0.03)


def test_the_headline_of_indexes_says_once_what_holds_of_several():
    unsettled = replace(s.INDEXES[1], outcome=Outcome.UNSETTLED)
    ahead = [replace(i, outcome=Outcome.AHEAD) for i in s.INDEXES]
    assert index_headline(ahead, s.NAMES) == "Plover ahead over all nine, in games and in work"
    assert index_headline([ahead[0], unsettled, ahead[2]], s.NAMES) == (
        "Plover ahead over all nine and in work, unsettled in games"
    )


def test_a_deficit_that_reads_alike_from_both_sides_is_said_once():
    little = replace(s.PAIR[1], ratio=0.9996, low=0.999, high=0.9999)
    assert "is ahead by" not in finding_sentence(little, s.NAMES, margin=0.0001)


def test_a_headline_says_of_a_lead_that_it_may_be_too_small_to_matter() -> None:
    ahead = [replace(index, outcome=Outcome.AHEAD, perhaps_small=i == 1) for i, index in enumerate(s.INDEXES)]
    assert index_headline(ahead, s.NAMES) == (
        "Plover ahead over all nine and in work, Plover ahead in games (perhaps too little to matter)"
    )
