"""The programme of causes counts what it says it counts, and small studies already keep its promises."""

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from validation.swaps import World, driver_change, oracle, random_design, swapped

from evenhand.findings.cause import Sort
from evenhand.findings.causes import causes
from evenhand.stats.designs import Change, Design, is_estimable
from validation import causes as programme


def rng(seed=1):
    return np.random.default_rng(seed)


def share(counts, what):
    return programme.figure_of(what, counts)[0]


@pytest.mark.parametrize("boots", [3, 5])
@pytest.mark.parametrize("boot_sd", [0.0, 0.01])
def test_swap_intervals_cover_the_truth(boots, boot_sd):
    world, draw = World(boots=boots, boot_sd=boot_sd), rng(7)
    counts = [programme.swap_counts(world, draw) for _ in range(40)]
    # Tests of a study share the errors of its boots, so that a share wanders more than its count says.
    assert 0.92 <= share(counts, "effects") <= 0.985
    assert 0.90 <= share(counts, "interactions") <= 0.99


def test_confounded_designs_are_refused_and_others_are_not():
    draw = rng(11)
    counts = [programme.design_counts(draw) for _ in range(120)]
    assert share(counts, "confounded designs refused") == 1.0
    assert share(counts, "designs of sufficient rank with a false refusal") == 0.0
    assert min(programme.figure_of(what, counts)[2] for what in programme.DESIGNS.goals) > 20


def test_the_oracle_agrees_with_elimination_on_every_contrast():
    draw = rng(5)
    for _ in range(60):
        levels = random_design(draw).levels
        factors = tuple(next(iter(levels.values())))
        made = Design(factors=factors, rows=tuple(tuple(row.values()) for row in levels.values()))
        for factor, on in made.levels.items():
            for low, high in pairwise(on):
                change = Change(factor=factor, low=low, high=high)
                assert is_estimable(made, [change]) == oracle(levels, factor, low, high)


def test_a_driver_shift_is_recovered_and_never_mixed_without_a_bridge():
    draw = rng(3)
    counts = [programme.shift_counts(draw, runs=5, boot_sd=0.0) for _ in range(40)]
    assert share(counts, "shift over nine tests within ± 0.8 %") >= 0.95
    assert share(counts, "unbridged ratios refused") == 1.0
    assert 0.92 <= share(counts, "95 % interval of a bridged ratio") <= 0.985


def test_without_noise_effects_and_interactions_are_the_truth():
    made = swapped(World(run_sd=1e-9, tests=2), rng())
    found = causes("p1g1", "p0g0", bench=made.bench, study=made.study)
    y = {s: v for (s, test), v in made.truth.items() if test == "test-0"}
    by = {(c.sort, c.factors[0]): math.log(c.effect.ratio) for c in found if c.test == "test-0"}
    assert by[Sort.EFFECT, "processor"] == pytest.approx(
        (y["p1g0"] - y["p0g0"] + y["p1g1"] - y["p0g1"]) / 2, abs=1e-7
    )
    assert by[Sort.INTERACTION, "processor"] == pytest.approx(
        y["p1g1"] - y["p1g0"] - y["p0g1"] + y["p0g0"], abs=1e-7
    )


def test_an_interval_moved_off_the_truth_is_counted_as_a_miss(monkeypatch):
    made = swapped(World(run_sd=1e-6, tests=2), rng())
    moved = replace(made, truth={k: v + (0.1 if k[0] == "p1g1" else 0.0) for k, v in made.truth.items()})
    monkeypatch.setattr(programme, "swapped", lambda *_: moved)
    counts = programme.swap_counts(World(), rng())
    assert counts == {"effects": (0.0, 4.0), "interactions": (0.0, 2.0)}


def test_a_driver_change_is_what_it_says():
    made = driver_change(rng(), runs=400, tests=1)
    logs = {(p.name, c.setup): np.mean([math.log(o.value) for o in c.observations])
            for p in (made.old, made.new) for c in p.cells}  # fmt: skip
    assert logs["after", "anchor"] - logs["before", "anchor"] == pytest.approx(math.log(1.03), abs=0.005)
    lead = logs["after", "plover"] - logs["before", "wren"] - math.log(1.03)
    assert lead == pytest.approx(math.log(1.05), abs=0.005)


def test_one_chunk_counts_the_same_whoever_works_on_it(monkeypatch):
    monkeypatch.setattr(programme, "CHUNK", 2)
    assert programme.run_chunk(0, 3, 7) == programme.run_chunk(0, 3, 7)
    assert programme.run_chunk(0, 3, 7) != programme.run_chunk(0, 4, 7)


def test_every_line_has_a_name_of_its_own_and_the_table_tells_what_was_missed():
    names = [line.what for line in programme.lines()]
    assert len(names) == len(set(names))
    line = programme.Line(what="w", count=lambda _: {}, goals={"x": (0.9, None)})
    assert "**no**" in programme.table([(line, [{"x": (1.0, 2.0)}])])
    assert "| yes |" in programme.table([(line, [{"x": (2.0, 2.0)}])])
