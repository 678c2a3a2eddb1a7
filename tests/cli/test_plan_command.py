"""evenhand plan: shown, made, followed and laid out anew from the command line."""

from __future__ import annotations

from tests.cli.conftest import Command


def test_it_shows_what_would_be_made_and_keeps_nothing(stocked: Command) -> None:
    said = stocked("plan", "quay", "--looks", "5")
    assert said.code == 0
    assert said.out.startswith("It would take 12 runs, 2\u00a0h; 3\u00a0% shows in all three tests.")
    assert "Only shown. Put it on record with --make." in said.out
    assert stocked("plan", "quay", "--json", "--looks", "5").json["plan"] is None


def test_a_plan_that_was_made_is_shown_from_then_on(stocked: Command) -> None:
    made = stocked("plan", "quay", "--looks", "5", "--seed", "3", "--make", "--json").json
    shown = stocked("plan", "quay", "--json").json
    assert made == shown
    assert (shown["seed"], shown["looks"], shown["runs"]) == (3, [5], 12)
    assert [slot["state"] for slot in shown["slots"]].count("next") == 2
    assert [slot["due"] for slot in shown["slots"]].count(True) == 1


def test_the_rest_is_laid_out_anew(stocked: Command) -> None:
    stocked("plan", "quay", "--looks", "5", "--make")
    again = stocked("plan", "quay", "--again", "--seed", "9", "--json").json
    assert (again["seed"], again["note"], again["runs"]) == (9, "planned anew", 12)


def test_what_cannot_be_planned_is_told(stocked: Command) -> None:
    said = stocked("plan", "quay", "--looks", "3,5")
    assert said.code == 2
    assert "nothing is left to run" in said.err
    assert "are no looks" in stocked("plan", "quay", "--looks", "often").err
    assert "--without goes with --again" in stocked("plan", "quay", "--without", "wren").err
    assert "give one of them" in stocked("plan", "quay", "--make", "--again").err
