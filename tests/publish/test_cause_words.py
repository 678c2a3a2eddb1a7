"""Causes in one sentence: what is told apart first, then what changed together, elsewhere for the rest."""

from __future__ import annotations

from dataclasses import replace

import pytest

from evenhand.findings.cause import Cause, Sort, Standing
from evenhand.findings.effects import Effect
from evenhand.findings.factors import NOT_ON_RECORD
from evenhand.findings.finding import Caveat, Outcome
from evenhand.publish.cause_words import (
    NOT_CALLED,
    Told,
    allowance_words,
    cause_details,
    cause_name,
    causes_answer,
    effect_words,
    why_not_called,
)
from evenhand.publish.names import Names, SetupName, TestName
from evenhand.stats.designs import Change

NAMES = Names(
    setups={"a": SetupName(name="Tern", slot=1), "b": SetupName(name="Gull", slot=2)},
    tests={key: TestName(name=key.capitalize()) for key in ("quay", "mole", "buoy", "weir")},
)
TOLD = Told(names=NAMES, parts={"g1": "Lantern 40", "g0": "Lantern 36"})
TOGETHER = "processor, board and graphics changed together, and no setup tells them apart"
LEADS = {Outcome.AHEAD: 1.1, Outcome.BEHIND: 0.9, Outcome.LEVEL: 1.0, Outcome.UNSETTLED: 1.02}


def effect(outcome: Outcome) -> Effect:
    ratio = LEADS[outcome]
    return Effect(ratio=ratio, low=ratio - 0.01, high=ratio + 0.01, outcome=outcome, method="t", runs=10)


def cause(test: str, *factors: str, outcome: Outcome | None = Outcome.AHEAD, **more: object) -> Cause:
    changes = tuple(Change(factor=factor, low=f"{factor[0]}0", high=f"{factor[0]}1") for factor in factors)
    standing = Standing.SHOWN if len(factors) == 1 else Standing.BUNDLED
    told = {"standing": standing, "effect": None if outcome is None else effect(outcome), **more}
    return Cause(test=test, metric="fps", a="a", b="b", changes=changes, **told)  # type: ignore[arg-type]


def bundle(test: str) -> Cause:
    return cause(test, "processor", "board", "graphics")


@pytest.mark.parametrize(
    ("causes", "said"),
    [
        ([cause("quay", "graphics")], "Graphics makes the difference in Quay."),
        (
            [cause("quay", "graphics"), cause("quay", "processor", outcome=Outcome.LEVEL)],
            "Graphics makes the difference in Quay.",
        ),
        (
            [cause("quay", "graphics"), cause("quay", "processor")],
            "Graphics and processor make the difference in Quay.",
        ),
        (
            [cause("quay", "graphics"), cause("quay", "processor", "board")],
            "Graphics makes a difference in Quay.",
        ),
        (
            [cause("quay", "graphics", outcome=Outcome.LEVEL)],
            "Graphics makes no difference that matters in Quay.",
        ),
        ([cause("quay", "graphics", outcome=Outcome.UNSETTLED)], "What graphics does in Quay is unsettled."),
        (
            [bundle("quay"), bundle("mole")],
            f"In all two tests {TOGETHER}.",
        ),
        (
            [cause("quay", "graphics"), bundle("mole"), bundle("buoy"), bundle("weir")],
            f"Graphics makes the difference in Quay; elsewhere {TOGETHER}.",
        ),
        (
            [cause("quay", "graphics"), cause("mole", outcome=None, standing=Standing.NOT_MEASURED)],
            "Graphics makes the difference in Quay; in Mole no run of both counts.",
        ),
        (
            [cause("quay", outcome=None, standing=Standing.REFUSED)],
            "In Quay the two ran different tests, which may not share a ratio.",
        ),
        ([cause("quay", "graphics", standing=Standing.UNREAD)], "In Quay what changed is not on record."),
        (
            [cause("quay", "driver", standing=Standing.BESIDE)],
            "In Quay no part differs, only how runs were made.",
        ),
        ([], "Nothing was measured in which a part could make a difference."),
    ],
)  # fmt: skip
def test_the_answer(causes: list[Cause], said: str) -> None:
    assert causes_answer(causes, TOLD) == said


@pytest.mark.parametrize(
    ("one", "state", "slot"),
    [
        (cause("quay", "graphics"), "Puts Tern ahead", 1),
        (cause("quay", "graphics", outcome=Outcome.BEHIND), "Puts Gull ahead", 2),
        (bundle("quay"), "Together put Tern ahead", 1),
        (cause("quay", "graphics", outcome=Outcome.LEVEL), "Level", None),
        (cause("quay", outcome=None, standing=Standing.REFUSED), "Refused", None),
        (cause("quay", outcome=None, standing=Standing.NOT_MEASURED), "Not measured", None),
        (cause("quay", "graphics", sort=Sort.INTERACTION), "Together they do more", None),
        (
            cause("quay", "graphics", sort=Sort.INTERACTION, outcome=Outcome.BEHIND),
            "Together they do less",
            None,
        ),
    ],
)
def test_a_row_says_whose_is_ahead_and_never_lets_a_setup_have_an_interaction(
    one: Cause, state: str, slot: int | None
) -> None:
    words = effect_words(one, TOLD)
    assert words.state.replace("\u00a0", " ").replace("10.0", "10") == state
    assert words.slot == slot


@pytest.mark.parametrize(
    ("outcome", "said"),
    [
        (Outcome.BEHIND, ("Puts Gull ahead", "Gull +11.1\u00a0% (+9.9 to +12.4)")),
        (Outcome.AHEAD, ("Puts Tern ahead", "Tern +10.0\u00a0% (+9.0 to +11.0)")),
    ],
)
def test_the_number_is_that_of_whoever_is_put_ahead(outcome: Outcome, said: tuple[str, str]) -> None:
    words = effect_words(cause("quay", "graphics", outcome=outcome), TOLD)
    assert (words.state, words.interval) == said


@pytest.mark.parametrize(
    ("low", "high", "p", "p_holm", "said"),
    [
        (1.003, 1.05, 0.02, 0.2, NOT_CALLED),
        (0.99, 1.05, 0.2, 0.4, ""),
        (1.003, 1.05, 0.04, 0.04, "clear of 0 at 95 %, but not surely enough to call it"),
        (None, None, None, None, ""),
    ],
)
def test_an_interval_that_leaves_out_0_and_calls_nothing_says_why(
    low: float | None, high: float | None, p: float | None, p_holm: float | None, said: str
) -> None:
    one = replace(effect(Outcome.UNSETTLED), low=low, high=high, p=p, p_holm=p_holm)
    assert why_not_called(one).replace("\u00a0", " ") == said
    assert why_not_called(replace(one, outcome=Outcome.AHEAD)) == ""


def test_what_nobody_wrote_down_is_not_said_to_have_changed() -> None:
    one = bundle("quay")
    unread = replace(one, changes=(one.changes[0], replace(one.changes[2], low=NOT_ON_RECORD)))
    assert causes_answer([unread], TOLD) == (
        "In Quay processor changed, whether graphics did is not on record, and no setup tells them apart."
    )


def test_an_interaction_is_named_by_both_its_sides() -> None:
    both = cause("quay", "processor", "board", "graphics", sort=Sort.INTERACTION)
    against = (both.changes[2],)
    named = Cause(
        test="quay", metric="fps", a="a", b="b", sort=both.sort, changes=both.changes, against=against
    )
    assert cause_name(named) == "graphics beside the other processor and board"


def test_behind_a_row_stand_what_changed_and_every_reservation() -> None:
    caveat = Caveat(key="unread", words="no board on record", setups=("b",), each=True)
    told = dict(cause_details(cause("quay", "graphics", caveats=(caveat,), depends_on=("board",)), TOLD))
    assert told["Graphics"] == "Lantern 40 in place of Lantern 36"
    assert told["Stands as"] == "Told apart: a cause."
    assert told["Depends on"] == "board"
    assert told["Reservation"] == "Gull: no board on record."


SHARED = Caveat(key="allowance", words="allowance for errors that the runs of one boot share: 2.01 % in all")


@pytest.mark.parametrize(
    ("outcome", "bounds", "said"),
    [
        (Outcome.BEHIND, (0.88, 0.92), "with its allowance +8.7 to +13.6 (90 %)"),
        (Outcome.AHEAD, (1.08, 1.12), "with its allowance +8.0 to +12.0 (90 %)"),
        (Outcome.LEVEL, (0.98, 1.02), "its allowance is in that interval"),
    ],
)
def test_an_interval_says_what_it_is_with_its_allowance_and_tells_it_of_the_same_setup(
    outcome: Outcome, bounds: tuple[float, float], said: str
) -> None:
    low, high = bounds
    one = replace(effect(outcome), bound_low=low, bound_high=high)
    shared = cause("quay", "graphics", outcome=None, effect=replace(one, caveats=(SHARED,)))
    assert allowance_words(shared).replace("\u00a0", " ") == said
    assert allowance_words(replace(shared, effect=one)) == ""


def test_an_allowance_stands_under_its_own_term() -> None:
    one = replace(effect(Outcome.AHEAD), caveats=(SHARED,))
    told = dict(cause_details(cause("quay", "graphics", outcome=None, effect=one), TOLD))
    assert "2.01" in told["Allowance"]
    assert "Reservation" not in told
