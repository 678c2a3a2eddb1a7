"""What moved in a script is told sentence by sentence, under the chapter that holds it."""

from __future__ import annotations

import pytest

from evenhand.editions.script_moves import script_moves

SCRIPT = """# Two machines

## Money

Wren costs less. Crake is the faster one.
Look at both.

## The end

Buy neither."""


@pytest.mark.parametrize(
    ("before", "after", "told"),
    [
        (SCRIPT, SCRIPT, []),
        (
            SCRIPT,
            SCRIPT.replace("the faster one", "ahead"),
            [("Money", "Crake is the faster one.", "Crake is ahead.")],
        ),
        (SCRIPT, SCRIPT + " Wait.", [("The end", None, "Wait.")]),
        (SCRIPT, SCRIPT.replace("Look at both.\n", ""), [("Money", "Look at both.", None)]),
        (
            SCRIPT,
            SCRIPT.replace("Wren costs", "Wren now costs").replace("neither", "both"),
            [
                ("Money", "Wren costs less.", "Wren now costs less."),
                ("The end", "Buy neither.", "Buy both."),
            ],
        ),
        (None, "Come in.", [("script", None, "Come in.")]),
        ("Come in.", None, [("script", "Come in.", None)]),
    ],
)
def test_only_what_changed_is_told(
    before: str | None, after: str | None, told: list[tuple[str, str | None, str | None]]
) -> None:
    assert list(script_moves(before, after)) == told


def test_of_a_whole_script_the_first_sentence_is_told_and_how_many_follow() -> None:
    whole = "# Two\n\n[card: headline]\n\n" + " ".join(f"Number {n}." for n in range(30))
    ((chapter, before, after),) = script_moves(None, whole)
    assert (chapter, before) == ("Two", None)
    assert after == "Number 0. … and 29 sentences more"


def test_how_lines_are_broken_is_no_move() -> None:
    assert not list(script_moves("One.\nTwo.", "One. Two."))
