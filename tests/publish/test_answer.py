from __future__ import annotations

from dataclasses import replace

import pytest
from tests.publish import saltmarsh as s

from evenhand.findings.finding import Caveat, Outcome
from evenhand.findings.stamps import NO_RATIO
from evenhand.publish.answer import answer
from evenhand.publish.names import Names, SetupName
from evenhand.publish.sentences import finding_sentence

GAMES_SAID = "In games Plover is ahead of Dunlin by 2.7 % (1.4 to 3.9), and that leans on single tests."


def plain(words: str) -> str:
    """The same with ordinary spaces, to be read."""
    return words.replace("\u00a0", " ")


def state(outcome: Outcome, n: int) -> list[s.Finding]:
    ratio = {Outcome.LEVEL: 1.0, Outcome.UNSETTLED: 1.02}[outcome]
    half = 0.06 if outcome is Outcome.UNSETTLED else 0.015
    return [s.finding(t[0], ratio, half) for t in s.TESTS[:n]]


@pytest.mark.parametrize(
    ("comparison", "words"),
    [
        (
            s.WHOLE,
            (
                "Plover is ahead in four tests, Dunlin in three, and two are level. Over all nine "
                "tests Plover and Dunlin are level within ±3 %: Plover −0.1 % (90 %: −0.8 to +0.7)."
            ),
        ),
        (s.comparison([]), "No two setups have a test in common yet."),
        (s.comparison(s.PAIR[:1]), "Plover is ahead of Dunlin in Salt Causeway."),
        (s.comparison(s.PAIR[4:5]), "Plover and Dunlin are level in Quarry Choir."),
        (s.comparison(state(Outcome.UNSETTLED, 2)), "Plover and Dunlin are unsettled in both tests."),
        (
            s.comparison(state(Outcome.LEVEL, 1) + state(Outcome.UNSETTLED, 1)),
            "One test is level, and one is unsettled.",
        ),
    ],
)
def test_of_two_setups_it_counts_the_tests_and_gives_the_index(comparison, words):
    assert plain(answer(comparison, s.NAMES)) == words


def refused(n: int) -> list[s.Finding]:
    apart = Caveat(key=next(iter(NO_RATIO)), words="two different tests")
    return [replace(each, ratio=None, caveats=(apart,)) for each in state(Outcome.UNSETTLED, n)]


@pytest.mark.parametrize(
    ("n", "where"), [(1, "Salt Causeway"), (2, "either test"), (3, "any of three tests")]
)
def test_what_may_not_share_a_ratio_is_not_called_unsettled(n, where):
    """More runs would settle nothing."""
    said = plain(answer(s.comparison(refused(n)), s.NAMES))
    assert said == f"Plover and Dunlin may not be held against each other in {where}."
    sentence = plain(finding_sentence(refused(1)[0], s.NAMES, margin=0.03))
    assert sentence == (
        "Plover and Dunlin may not be held against each other in Salt Causeway: two different tests."
    )


def test_of_three_setups_it_gives_the_picture_over_all_and_the_number_of_the_pair_in_front():
    assert plain(answer(s.THREE_SETUPS, s.NAMES)) == (
        f"Over all nine tests Plover and Dunlin are level; both are ahead of Wren. {GAMES_SAID}"
    )


def test_it_is_the_pair_in_front_wherever_it_stands_on_record():
    other_pair = (*s.findings_of("plover", "wren"), *s.PAIR, *s.findings_of("dunlin", "wren"))
    said = plain(answer(replace(s.THREE_SETUPS, findings=other_pair), s.NAMES))
    assert said.endswith(GAMES_SAID)


def test_a_pair_without_any_lead_is_told_with_its_bound_and_one_test_it_leans_on_by_name():
    level_only = replace(s.THREE_SETUPS, indexes=(s.OVERALL, *s.THREE_SETUPS.indexes[3:]))
    assert plain(answer(level_only, s.NAMES)).endswith(
        "are ahead of Wren. Plover and Dunlin are level within ±3 %: Plover −0.1 % (90 %: −0.8 to +0.7)."
    )
    turning = [left for left in s.INDEXES[2].left_out if left.test == "night"]
    leaning = replace(s.INDEXES[2], left_out=tuple(turning))
    work = replace(s.THREE_SETUPS, indexes=(s.OVERALL, leaning, *s.THREE_SETUPS.indexes[3:]))
    assert plain(answer(work, s.NAMES)).endswith(
        "In work Plover is behind Dunlin by 3.4 % (2.5 to 4.3), so Dunlin is ahead by 3.5 %, and that leans "
        "on one test, Night render."
    )


def test_without_any_index_each_pair_is_told_by_its_counts():
    alone = replace(s.THREE_SETUPS, indexes=())
    assert answer(alone, s.NAMES) == (
        "Plover is ahead in four tests, Dunlin in three, and two are level. "
        "Plover is ahead of Wren in all nine tests. Dunlin is ahead of Wren in all nine tests."
    )


def test_leaders_of_the_same_setups_are_told_together_and_a_row_of_steps_one_by_one():
    rates = {"gull": 100.0, "tern": 100.1, "knot": 80.0, "ruff": 60.0}
    names = Names(
        setups={key: SetupName(name=key.capitalize(), slot=1) for key in rates}, tests=s.NAMES.tests
    )
    pairs = [(a, b) for i, a in enumerate(rates) for b in list(rates)[i + 1 :]]
    found = [
        [s.finding(t[0], rates[a] / rates[b], 0.016, pair=(a, b)) for t in s.TESTS[:5]] for a, b in pairs
    ]
    whole = s.comparison([f for own in found for f in own], [s.index("", own, 0.01) for own in found])
    assert plain(answer(whole, names)).startswith(
        "Over all five tests Gull and Tern are level; both are ahead of Knot and Ruff; Knot is ahead of Ruff."
    )


@pytest.mark.parametrize("comparison", [s.WHOLE, s.THREE_SETUPS])
def test_it_is_short_enough_to_be_said_in_one_breath_or_two(comparison):
    assert len(answer(comparison, s.NAMES).split()) <= 45
