from __future__ import annotations

import re
from dataclasses import replace

import pytest
from tests.publish import saltmarsh as s

from evenhand.findings.finding import Outcome
from evenhand.publish.left_out import (
    REASONS,
    conditions_sentence,
    exclusion_sentence,
    exclusion_sentences,
    why_left_out,
)
from evenhand.publish.names import Names, TestName
from evenhand.records.faults import Fault, Severity
from evenhand.records.runs import Reason, Run, RunState


def said(exclusion, *, margin: float = 0.03, why: str = "") -> str:
    return exclusion_sentence(exclusion, s.NAMES, margin=margin, why=why).replace("\u00a0", " ")


def plain(sentences) -> list[str]:
    return [sentence.replace("\u00a0", " ") for sentence in sentences]


def test_a_left_out_run_is_told_with_its_reason_and_what_it_would_have_changed():
    assert said(s.EXCLUSION, why="capped") == (
        "Left out: the Plover run of Hollow Regatta at 143.9 fps (capped). "
        "With it Plover over Dunlin goes from +11.5 % to +8.7 % in Hollow Regatta "
        "and from +2.7 % to +2.1 % in games; were it the only run, to −0.1 % in games."
    )


def test_without_a_known_reason_none_is_given():
    assert said(s.EXCLUSION).startswith(
        "Left out: the Plover run of Hollow Regatta at 143.9 fps. With it "
    )  # fmt: skip


def test_an_outcome_that_changes_is_said_on_both_sides():
    unsettled = replace(s.WITH_CAPPED, outcome=Outcome.UNSETTLED)
    assert "from ahead at +11.5 % to unsettled at +8.7 % in Hollow Regatta" in said(
        replace(s.EXCLUSION, findings_with=(unsettled,))
    )


def test_what_stays_the_same_as_printed_is_not_said():
    almost = replace(s.GAMES[2], ratio=s.GAMES[2].ratio * 1.0001)
    words = said(replace(s.EXCLUSION, findings_with=(almost,)))
    assert "in Hollow Regatta and" not in words
    assert "goes from +2.7 % to +2.1 % in games" in words


def test_a_run_that_changes_nothing_says_so_in_one_clause():
    same = replace(
        s.EXCLUSION, findings_with=s.EXCLUSION.findings_without, indexes_with=s.EXCLUSION.indexes_without,
        indexes_only=s.EXCLUSION.indexes_without,
    )  # fmt: skip
    assert said(same, why="a copy") == (
        "Left out: the Plover run of Hollow Regatta at 143.9 fps (a copy); it would change no figure."
    )
    bare = replace(s.EXCLUSION, findings_without=(), findings_with=(), indexes_without=())
    assert said(bare).endswith("; it would change no figure.")


def test_the_figure_of_the_only_run_is_told_only_where_it_moves_by_a_tenth_of_the_margin():
    assert "were it the only run" in said(s.EXCLUSION, margin=0.03)
    moved = abs(s.EXCLUSION.indexes_only[0].ratio - s.INDEXES[1].ratio)
    assert "were it the only run" in said(s.EXCLUSION, margin=9.9 * moved)
    assert "were it the only run" not in said(s.EXCLUSION, margin=10.1 * moved)


def test_a_pair_that_only_a_lone_run_would_move_is_told_as_such():
    only = replace(s.EXCLUSION, findings_with=s.EXCLUSION.findings_without, indexes_with=(s.INDEXES[1],))
    assert said(only).endswith(
        "With it Plover over Dunlin stays as it is; were it the only run, to −0.1 % in games."
    )


def test_both_sides_of_a_change_show_the_same_digits():
    loose = s.finding("regatta", 1.0871, 0.2)
    tight = s.finding("regatta", 1.0871, 0.0012)
    for with_it in (loose, tight, s.WITH_CAPPED):
        words = said(replace(s.EXCLUSION, findings_with=(with_it,)))
        for one, other in re.findall(r"from [−+]?[\d.]*?(\.\d+)? % to [−+]?[\d.]*?(\.\d+)? %", words):
            assert len(one) == len(other), words


def test_pairs_are_told_one_after_the_other():
    other = (s.finding("regatta", 165 / 118, 0.017, pair=("plover", "wren")),)
    again = (s.finding("regatta", 160 / 118, 0.04, pair=("plover", "wren")),)
    both = replace(
        s.EXCLUSION, findings_without=(*other, *s.EXCLUSION.findings_without),
        findings_with=(*s.EXCLUSION.findings_with, *again),
    )  # fmt: skip
    words = said(both)
    assert words.count("With it") == 1
    assert ". With it Plover over Wren goes from +39.8 % to +35.6 % in Hollow Regatta. Plover over" in words


def test_a_cell_that_is_empty_without_the_run_has_nothing_to_go_from():
    none = s.one_run("regatta", None, n_a=0)
    with_it = replace(s.one_run("regatta", 0.966), outcome=Outcome.UNSETTLED)
    bare = replace(s.EXCLUSION, findings_without=(none,), findings_with=(with_it,), indexes_without=())
    assert said(bare, why="waits") == (
        "Left out: the Plover run of Hollow Regatta at 143.9 fps (waits). With it Plover over Dunlin "
        "would read −3.4 % in Hollow Regatta; without it no run counts."
    )
    called = said(replace(bare, findings_with=(s.WITH_CAPPED,)))
    assert "would read ahead at +9 % in Hollow Regatta; without it no run counts." in called
    both = said(replace(s.EXCLUSION, findings_without=(none,)))
    assert "without it no run counts, and goes from +2.7 % to +2.1 % in games;" in both


def test_runs_of_one_cell_of_which_the_same_is_to_be_said_are_told_together():
    bare = replace(s.EXCLUSION, findings_without=(), findings_with=(), indexes_without=())
    four = [(replace(bare, run=f"r{i}", value=60.0 + 0.0004 * i), "waits") for i in range(4)]
    assert plain(exclusion_sentences(four, s.NAMES, margin=0.03)) == [
        (
            "Left out: four Plover runs of Hollow Regatta at 60.00 fps (wait); "
            "no one of them would change a figure."
        )
    ]
    changing = [(replace(s.EXCLUSION, run=f"r{i}", value=143.9 + i), "capped") for i in range(2)]
    assert plain(exclusion_sentences(changing, s.NAMES, margin=0.03))[0].startswith(
        "Left out: two Plover runs of Hollow Regatta at 143.9 and 144.9 fps (capped). "
        "With any one of them Plover over Dunlin goes from +11.5 % to +8.7 % in Hollow Regatta"
    )


@pytest.mark.parametrize(
    "other",
    [
        (replace(s.EXCLUSION, setup="dunlin"), "waits"),
        (replace(s.EXCLUSION, test="choir"), "waits"),
        (s.EXCLUSION, "capped"),
        (replace(s.EXCLUSION, findings_with=s.EXCLUSION.findings_without), "waits"),
    ],
)
def test_what_differs_in_setup_test_reason_or_consequence_is_told_apart(other):
    said_of = exclusion_sentences([(s.EXCLUSION, "waits"), other], s.NAMES, margin=0.03)
    assert len(said_of) == 2


@pytest.mark.parametrize("reason", list(Reason))
def test_every_reason_has_its_words(reason):
    assert why_left_out(RunState.SET_ASIDE, reason) == REASONS[reason]


@pytest.mark.parametrize(
    ("state", "words"),
    [
        (RunState.LANDED, ""),
        (RunState.KEPT, ""),
        (RunState.IN_DOUBT, "waits"),
        (RunState.REPLACED, "replaced"),
        (RunState.SET_ASIDE, "set aside"),
    ],
)
def test_a_state_speaks_where_no_reason_does(state, words):
    assert why_left_out(state, None) == words


def test_a_run_under_other_conditions_is_a_result_of_its_own():
    run = Run(id="r", study="saltmarsh", test="render", setup="dunlin", label="hot", ambient_c=29.6)
    fell = Fault(
        kind="throttling",
        title="Clock falls under load",
        severity=Severity.IN_DOUBT,
        evidence="From minute 9.0 the clock fell, in a room of 29.6 °C.",
        todo="",
        behaviour=True,
    )
    names = Names(setups={}, tests={"render": TestName(name="Night render", unit="jobs/h")})
    words = conditions_sentence(run, 4.33, (fell,), names).replace("\u00a0", " ")
    assert words == (
        "dunlin in Night render: 4.330 jobs/h. From minute 9.0 the clock fell, in a room of 29.6 °C. "
        "A result of its own, and no part of the comparison."
    )
