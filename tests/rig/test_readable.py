"""What a workbench sends is shown on a rig's terminal, never obeyed by it."""

from __future__ import annotations

import pytest

from evenhand.rig.operator import say


@pytest.mark.parametrize(
    ("sent", "shown"),
    [
        ("true \x1b[2K\x1b[1Grm -r x", "true \\x1b[2K\\x1b[1Grm -r x"),
        ("rm -r x \rtrue   ", "rm -r x \\rtrue   "),
        ("tset\u202e elif", "tset\\u202e elif"),
        ("\x9b31m", "\\x9b31m"),
        ("88.1\u00a0fps, Ångström 測", "88.1\u00a0fps, Ångström 測"),
    ],
)
def test_a_command_cannot_hide_a_part_of_itself(
    sent: str, shown: str, capsys: pytest.CaptureFixture[str]
) -> None:
    say(f"The workbench wants this:\n  {sent}")
    assert capsys.readouterr().out == f"The workbench wants this:\n  {shown}\n"
