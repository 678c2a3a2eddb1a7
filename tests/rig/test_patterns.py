"""A pattern takes its last match, and one that never ends is given up."""

from __future__ import annotations

import sys
import threading
import time

import pytest

from evenhand.rig import scripted
from evenhand.rig.patterns import Match, last_match

EVIL, BAIT = r"(a+)+$", "a" * 60 + "b"


def test_the_last_of_several_matches_is_taken() -> None:
    assert last_match(r"pass (\d+)", "pass 1\npass 2") == Match(times=2, text="2", group="the first group")


def test_nothing_is_taken_where_nothing_fits() -> None:
    assert last_match(r"pass (\d+)", "done") is None


def test_a_group_that_took_no_part_gives_no_text() -> None:
    found = last_match(r"pass(?: (\d+))?", "pass")
    assert found is not None
    assert found.text is None


def test_a_pattern_that_never_ends_is_given_up() -> None:
    begin = time.monotonic()
    with pytest.raises(TimeoutError, match=r"not done with the output after 0\.5 s"):
        last_match(EVIL, BAIT, most_s=0.5)
    assert time.monotonic() - begin < 30


def test_a_rig_tells_of_a_pattern_that_never_ends(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(
        scripted, "last_match", lambda pattern, output: last_match(pattern, output, most_s=0.5)
    )
    script = scripted.Script(command=f'"{sys.executable}" -c "print(\'{BAIT}\')"', score=EVIL)
    found = scripted.run(script, stop=threading.Event())
    assert (found.score, "not done with the output" in found.trouble) == (None, True)
