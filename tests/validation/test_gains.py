"""What is told of simulated pairs at stock and tuned: near the truth, and watts on top as no fixed share."""

from __future__ import annotations

import numpy as np
import pytest
from validation.gains import main, tried

PAIRS = [list(tried(np.random.default_rng([7, n]))) for n in range(40)]


def test_every_number_is_told_near_the_truth() -> None:
    for name, most in (("gain on average, %", 0.3), ("watts on top", 0.6), ("work for a joule, %", 0.4)):
        own = [each for pair in PAIRS for each in pair if each.name == name]
        assert len(own) == len(PAIRS)
        assert abs(np.mean([each.band.value - each.truth for each in own])) < most, name


def test_watts_that_are_taken_for_a_fixed_share_are_told_too_high() -> None:
    by_name: dict[str, list[float]] = {each.name: [] for each in PAIRS[0]}
    for pair in PAIRS:
        for each in pair:
            by_name[each.name].append(each.band.value - each.truth)
    assert np.mean(by_name["watts on top, taken for a fixed share"]) > np.mean(by_name["watts on top"]) + 0.4


def test_the_command_prints_each_with_how_far_it_is_off(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("sys.argv", ["gains", "--pairs", "2"])
    main()
    head, _, *rows = capsys.readouterr().out.splitlines()
    assert head.split("|")[4].strip() == "told less true"
    assert len(rows) == 4
