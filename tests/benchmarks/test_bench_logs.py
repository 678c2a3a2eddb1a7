"""The benchmark's study is one that a bench could have measured."""

from __future__ import annotations

import tomllib
from collections import defaultdict
from itertools import pairwise

from bench.logs import BUILDS, study_text

from evenhand.folders.study_folder import RunEntry, shared_orders


def test_every_run_has_a_place_of_its_own_and_builds_take_turns_within_each_test() -> None:
    runs = tomllib.loads(study_text())["runs"]
    placed = (RunEntry(test=r["test"], setup=r["setup"], label=r["log"], order=r["order"]) for r in runs)
    assert not shared_orders(placed)
    assert sorted(r["order"] for r in runs) == list(range(1, len(runs) + 1))
    turns = defaultdict(list)
    for run in sorted(runs, key=lambda r: r["order"]):
        turns[run["test"]].append(run["setup"])
    for setups in turns.values():
        rounds = [setups[i : i + BUILDS] for i in range(0, len(setups), BUILDS)]
        assert all(now == before[::-1] for before, now in pairwise(rounds))
