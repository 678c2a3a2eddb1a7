"""The programme of bridges counts what it says it counts, and small studies already keep its promises."""

import math
from dataclasses import replace

import numpy as np
import pytest
from validation.swaps import driver_change

from evenhand.findings.compare import compare_study
from validation import bridges as programme

PLAIN = programme.World(what="n = 5", runs=5)


def rng(seed=1):
    return np.random.default_rng(seed)


@pytest.mark.parametrize("boot_sd", [0.0, 0.01])
def test_bridged_intervals_hold_the_truth_and_are_hardly_wider_than_they_must_be(boot_sd):
    draw = rng(5)
    seen = [programme.count(replace(PLAIN, boot_sd=boot_sd), draw) for _ in range(60)]
    held, _, wide = programme.figures(seen, programme.OF_ONE)
    assert 0.91 <= held <= 0.985
    assert 1.0 <= wide <= 1.15
    for what in (programme.OF_ALL, programme.OF_AUDIENCE):
        held, _, wide = programme.figures(seen, what)
        assert 0.85 <= held <= 1.0  # of sixty, one in twenty may miss by chance
        assert 0.95 <= wide <= 1.2


def test_without_noise_every_number_is_the_lead_and_not_the_shift():
    made = driver_change(rng(), runs=3)
    still = replace(made, old=_still(made.old, made, 0.0), new=_still(made.new, made, made.shift))
    study = replace(made.study, setups=("plover", "wren"))
    found = compare_study(programme.crossed_cells(still), study=study)
    assert [math.log(f.ratio) for f in found.findings] == pytest.approx([made.lead] * 9)
    assert {f.bridged_by for f in found.findings} == {("anchor",)}


def _still(period, made, moved):
    """The period with every run where its setup and the driver put it."""
    levels = {"anchor": 4.0, "wren": 4.1, "plover": 4.1 + made.lead}
    return replace(period, cells=tuple(_all_at(c, math.exp(levels[c.setup] + moved)) for c in period.cells))


def _all_at(cell, value):
    return replace(cell, observations=tuple(replace(o, value=value) for o in cell.observations))


def test_an_interval_that_lies_beside_the_truth_is_counted_as_a_miss():
    seen = programme.count(PLAIN, rng())
    beside = replace(driver_change(rng(), runs=5), lead=9.0)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(programme, "driver_change", lambda *_, **__: beside)
        missed = programme.count(PLAIN, rng())
    assert seen[programme.OF_ONE][0] > 6
    assert [missed[what][0] for what in missed] == [0.0, 0.0, 0.0]


def test_a_chunk_depends_on_its_number_and_not_on_who_works_on_it(monkeypatch):
    monkeypatch.setattr(programme, "CHUNK", 2)
    assert programme.run_chunk(0, 3, 7) == programme.run_chunk(0, 3, 7)
    assert programme.run_chunk(0, 3, 7) != programme.run_chunk(0, 4, 7)


def test_the_table_says_what_was_not_met():
    seen = [dict.fromkeys((programme.OF_ONE, programme.OF_ALL, programme.OF_AUDIENCE), (0.0, 1.0, 1.0))]
    lines = list(programme.table([seen] * len(programme.WORLDS)))
    assert len(lines) == 2 + 3 * len(programme.WORLDS)
    assert "| 0.0 % | 0.0 | **no** | 1.00 | 1 |" in lines[2]
