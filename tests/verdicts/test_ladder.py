"""How far beyond its runs a sentence may reach is decided by the record."""

from dataclasses import replace

import pytest
from tests.verdicts.ladder_cases import (
    GAMES,
    backing,
    cause,
    finding,
    index,
    rung,
    swapped_workshop,
    workshop,
)

from evenhand.errors import NotFound
from evenhand.findings.compare import compare_study
from evenhand.findings.finding import Outcome
from evenhand.records.studies import Study
from evenhand.verdicts.claim_words import ASKS, MARKERS, RUNG_NAMES
from evenhand.verdicts.claims import Kind, Rung, Shown
from evenhand.verdicts.ladder import JUDGES, ladder, standing


def test_the_workshop_stands_on_its_tests():
    made = ladder(workshop())
    assert made.stands_on is Rung.TESTS
    assert [answer.shown for answer in made.rungs] == [
        Shown.SHOWN,
        Shown.SHOWN,
        Shown.NOT_SHOWN,
        Shown.NOT_SHOWN,
        Shown.NOT_SHOWN,
    ]


def test_a_rung_says_how_many_runs_it_rests_on():
    assert rung(workshop(), Rung.TESTS).reason.told() == "the weights of play over 9 tests, 90 runs"


def test_a_rung_that_holds_for_some_tests_names_them():
    made = backing([finding("quay", Outcome.LEVEL), finding("weir", Outcome.UNSETTLED)], [])
    answer = rung(made, Rung.SCENE)
    assert (answer.shown, answer.tests) == (Shown.PARTLY, ("quay",))


def test_an_index_may_be_called_though_no_test_is():
    findings = [finding(t, Outcome.UNSETTLED) for t in GAMES]
    made = ladder(backing(findings, [index(Outcome.LEVEL, group="")]))
    assert made.rungs[0].shown is Shown.NOT_SHOWN
    assert made.stands_on is Rung.TESTS


def test_no_rung_stands_whole_above_a_verdict_that_is_not_shown():
    swapped = [cause(t, "graphics") for t in GAMES]
    findings = [finding(t, Outcome.AHEAD) for t in GAMES]
    open_ = backing(findings, [index(Outcome.UNSETTLED, group="")], causes=tuple(swapped))
    assert rung(open_, Rung.TESTS).shown is Shown.NOT_SHOWN
    assert rung(open_, Rung.CAUSE).shown is Shown.PARTLY
    assert ladder(open_).stands_on is None
    called = backing(findings, [index(Outcome.AHEAD, group="")], causes=tuple(swapped))
    assert rung(called, Rung.CAUSE).shown is Shown.SHOWN
    assert ladder(called).stands_on is Rung.TESTS


def test_the_index_over_all_tests_is_no_verdict_of_an_audience_that_has_none():
    made = replace(workshop(), verdict=None, without="watts")
    answer = rung(made, Rung.TESTS)
    assert (ladder(made).stands_on, answer.shown) == (None, Shown.NOT_SHOWN)
    told = (
        "nothing that watts weighs bears a verdict; the index over all tests is called by itself (9 tests, 90"
    )
    assert answer.reason.told() == f"{told} runs)"
    open_ = replace(backing(indexes=[index(Outcome.UNSETTLED, group="")]), without="watts")
    assert rung(open_, Rung.TESTS).reason.told() == "nothing that watts weighs bears a verdict"
    assert ladder(replace(workshop(), verdict=None)).stands_on is Rung.TESTS, "where nobody was asked of"


def test_a_pair_the_study_has_not_is_refused_in_words():
    with pytest.raises(NotFound, match="no finding of dunlin over plover"):
        standing(Kind.INDEX, replace(backing(), a="dunlin", b="plover"))


def test_every_kind_has_a_judge_and_a_rung():
    assert set(JUDGES) == set(ASKS) == set(Kind)
    assert set(RUNG_NAMES) == set(Rung)
    assert all(markers for markers in MARKERS.values())


def test_every_answer_can_be_told():
    """No slot of any sentence or reason is left without its number."""
    for pair in (("wren", "plover"), ("wren", "dunlin"), ("plover", "dunlin")):
        made = workshop(*pair)
        for kind in Kind:
            for about in ("", "games", "causeway", "graphics"):
                found = standing(kind, made, about=about)
                assert found.reason.told()
                assert found.would_stand is None or found.would_stand.told()


def test_turning_the_pair_of_a_study_round_bears_the_same_rungs():
    made = swapped_workshop()
    study = Study(key="s", title="S", setups=("dunlin", "plover"), tests=("quay", "weir", "lock"))
    turned = replace(
        made, a="dunlin", b="plover", comparison=compare_study(made.cells, study=study), causes=None
    )
    one, other = ladder(replace(made, causes=None)), ladder(turned)
    assert [answer.shown for answer in one.rungs] == [answer.shown for answer in other.rungs]
