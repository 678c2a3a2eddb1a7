"""What moved between two snapshots: each thing once, as it was and as it is."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.editions.test_snapshot import SMALL

from evenhand.desk.publication.article_corrections import moves_told
from evenhand.editions.moved import REWORDED, Move, Of, moved
from evenhand.editions.snapshot import Snapshot

FIGURE = {"value": 1.0, "words": "1.0 %", "ranged": "1.0 % (0.5 to 1.5)"}


def test_nothing_moves_between_the_same() -> None:
    assert moved(SMALL, SMALL) == ()


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        (
            {"study": {**SMALL.study, "margin": 0.02}},
            Move(of=Of.TERM, name="margin", before=None, after="0.02"),
        ),
        ({"claims": {}}, Move(of=Of.CLAIM, name="test-a", before="A is ahead.", after=None)),
        ({"script": "## One"}, Move(of=Of.SCRIPT, name="One", before=None, after="## One")),
        (
            {"prices": {"wren": {"minor": 700, "on": "2031-05-04", "note": ""}}},
            Move(of=Of.PRICE, name="wren", before=None, after="minor: 700; on: 2031-05-04"),
        ),
    ],
)
def test_one_thing_that_differs_is_one_move(changes: dict[str, object], expected: Move) -> None:
    assert moved(SMALL, replace(SMALL, **changes)) == (expected,)  # type: ignore[arg-type]


PRICED = replace(
    SMALL,
    study={**SMALL.study, "currency": {"symbol": "dl", "decimals": 0}},
    part_prices=[{"setup": "wren", "part": "k6", "minor": 78, "on": "2031-05-04", "seller": "shop"}],
)


def test_a_part_that_costs_something_else_moves_where_both_editions_tell_it() -> None:
    (row,) = PRICED.part_prices
    dearer = replace(PRICED, part_prices=[{**row, "minor": 80}])
    expected = Move(
        of=Of.PRICE, name="k6 in wren", before="78\u00a0dl, shop, 4 May 2031",
        after="80\u00a0dl, shop, 4 May 2031",
    )  # fmt: skip
    assert moved(PRICED, dearer) == (expected,)
    assert moved(replace(PRICED, part_prices=[]), PRICED) == (REWORDED,)


def in_other_words(snapshot: Snapshot) -> Snapshot:
    """The same, as another version of the program tells it."""
    claims = {at: {**row, "words": "In front: A.", "why": "settled"} for at, row in snapshot.claims.items()}
    figures = {at: {**row, "ranged": "1 % (½ to 1½)"} for at, row in snapshot.figures.items()}
    verdicts = {"audiences": [{"words": "A it is.", "outcome": "ahead", "audience": {"name": "Mostly play"}}]}
    return replace(
        snapshot, claims=claims, figures=figures, verdicts=verdicts, caveats=["said otherwise"],
        excused="why", objected=[{"rule": "claim"}],
    )  # fmt: skip


TOLD = replace(
    SMALL, figures={"margin": FIGURE}, caveats=["said like this"],
    verdicts={"audiences": [{"words": "A leads.", "outcome": "ahead", "audience": {"name": "Mostly play"}}]},
)  # fmt: skip


def test_what_the_program_alone_says_in_other_words_is_told_once() -> None:
    assert moved(TOLD, in_other_words(TOLD)) == (REWORDED,)
    assert list(moves_told([REWORDED], {})) == ["The program's own wording changed, and nothing else did"]
    assert moved(TOLD, replace(TOLD, excused="why")) == ()


@pytest.mark.parametrize(
    "changes",
    [
        {"claims": {}},
        {"figures": {"margin": {**FIGURE, "value": 1.1}}},
        {"study": {"key": "quay", "title": "Another quay"}},
        {"runs": [{"id": "r1"}]},
        {"caveats": ["one", "and another"]},
        {"script": "Said."},
    ],
    ids=str,
)
def test_words_that_changed_with_anything_else_are_told_with_it(changes: dict[str, object]) -> None:
    after = replace(in_other_words(TOLD), **changes)  # type: ignore[arg-type]
    assert REWORDED not in moved(TOLD, after)
    assert moved(TOLD, after)


def test_another_outcome_or_name_is_no_other_wording() -> None:
    for changed in ({"outcome": "level"}, {"audience": {"name": "Mostly work"}}):
        row = {**in_other_words(TOLD).verdicts["audiences"][0], **changed}
        assert REWORDED not in moved(TOLD, replace(in_other_words(TOLD), verdicts={"audiences": [row]}))


def test_a_figure_that_moves_by_less_than_is_printed_says_so() -> None:
    before = replace(SMALL, figures={"margin": FIGURE})
    after = replace(SMALL, figures={"margin": {**FIGURE, "value": 1.001}})
    (move,) = moved(before, after)
    assert move.of is Of.FIGURE
    assert not move.in_print


def test_causes_are_told_before_what_follows_from_them() -> None:
    after = replace(SMALL, claims={}, study={**SMALL.study, "margin": 0.02}, runs=[{"id": "r1"}])
    assert [move.of for move in moved(SMALL, after)] == [Of.TERM, Of.RUN, Of.CLAIM]


def test_of_a_table_only_what_differs_is_told() -> None:
    run = {"id": "3f9a", "label": "take 1", "state": "landed", "numbers": {"average_fps": 88.0}}
    before, after = replace(SMALL, runs=[run]), replace(SMALL, runs=[{**run, "state": "set aside"}])
    (move,) = moved(before, after)
    assert (move.before, move.after) == ("state: landed", "state: set aside")


def test_disclosures_and_refusals_are_told_in_words() -> None:
    loan = {"part": "lantern-40", "how": "loan", "by": "Harrowfen", "note": ""}
    refusal = {"words": "It lasts.", "why": "no ageing trials", "instead": "Measured once.", "rung": 5}
    after = replace(SMALL, disclosures=[loan], refusals=[refusal])
    told = {move.of: move.after for move in moved(replace(SMALL, disclosures=[], refusals=[]), after)}
    assert told == {
        Of.DISCLOSURE: "lent, to be given back (Harrowfen)",
        Of.REFUSAL: "no ageing trials; what stands: Measured once.",
    }


DAY, LATER = "24 November 2026", "28 November 2026"


@pytest.mark.parametrize(
    ("before", "after", "only"),
    [
        (f"Level at the prices of {DAY}.", f"Level at the prices of {DAY} and {LATER}.", True),
        (f"A at 998, prices of {DAY}.", f"A at 985, prices of {LATER}.", False),
        (f"Level at the prices of {DAY}.", None, False),
    ],
)
def test_a_sentence_that_only_tells_other_days_is_told_apart(
    before: str, after: str | None, *, only: bool
) -> None:
    move = Move(of=Of.CLAIM, name="value", before=before, after=after)
    assert move.only_days is only
    told = list(moves_told([move, Move(of=Of.TERM, name="margin", before="3", after="2")], {}))
    assert ("One sentence tells other days of prices, and nothing else" in told) is only
    assert len(told) == 2
