"""The Saltmarsh folder: a study file and raw logs in many dialects, the same bytes from the same seed.

Nothing here was measured. Run effects are drawn at random and then centred, so that the good runs of every
cell reproduce the true rate exactly (see `effects.run_effects`): the example is there to teach, and its
figures are stated in advance. The noise, the scenes, the hitches and the spread between runs are left as
drawn.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from evenhand.demo import heat_logs
from evenhand.demo.asked_prices import asked_prices
from evenhand.demo.card_trials import CARD, card_trials
from evenhand.demo.dialects import DIALECTS
from evenhand.demo.effects import run_effects
from evenhand.demo.frames import scene
from evenhand.demo.making import Bench, copied_run, made_run
from evenhand.demo.part_facts import part_facts
from evenhand.demo.schedule import BLOCK_STARTS, PLANTED_AT, REPLACES_GOOD, slots
from evenhand.demo.score_tables import SCORE_LAYOUT, score_tables
from evenhand.demo.sensor_logs import LAYOUTS
from evenhand.demo.sound_readings import sound_readings
from evenhand.demo.swaps import swap_effects, swap_slots, swap_stream
from evenhand.demo.trials import TUNED, trials
from evenhand.demo.truth import GAMES, MACHINES, TASKS
from evenhand.demo.workshop import BUILDS, DRELL, PARTS, PRICES, SETUPS, STUDY, TESTS
from evenhand.folders.study_folder import (
    STUDY_FILE,
    LayoutEntry,
    LimitEntry,
    RunEntry,
    StudyFolder,
    TrialEntry,
    TunedEntry,
)
from evenhand.folders.writing import write_study
from evenhand.records.trials import Tuned

SEED = 25
"""One of the seeds with no good run so far out, by chance alone, that it would be held."""

_GROUPS = (slice(0, len(GAMES)), slice(len(GAMES), len(GAMES) + len(TASKS)))
_TESTS = tuple(test.key for test in (*GAMES, *TASKS))


def saltmarsh(seed: int = SEED) -> Mapping[str, bytes]:
    """The whole folder: relative path to bytes, `study.toml` among them.

    >>> folder = saltmarsh()
    >>> b"Saltmarsh" in folder["study.toml"], "logs/plover/regatta-3.csv" in folder
    (True, True)
    """
    rng = np.random.default_rng(seed)
    bench = Bench(
        rng=rng,
        scenes={game.key: scene(game.swing, rng) for game in GAMES},
        effects={machine.key: _effects(machine.key, rng) for machine in MACHINES},
    )
    runs = [made_run(slot, bench) for slot in slots(rng)]
    runs.append(copied_run(bench))
    runs += _swap_runs(bench, seed, first=1 + max(run.order or 0 for run in runs))
    folder = StudyFolder(
        study=STUDY,
        parts=PARTS,
        facts=part_facts(),
        builds=BUILDS,
        setups=SETUPS,
        tests=TESTS,
        layouts=_layouts(),
        runs=_by_cell(runs),
        prices=PRICES,
        sound=sound_readings(seed),
        offers=asked_prices(DRELL),
        tuned=tuple(map(_tuned, (TUNED, CARD))),
        trials=tuple(TrialEntry(trial=each) for each in (*trials(), *card_trials())),
        heat=(heat_logs.ENTRY,),
    )
    files = {**bench.files, **score_tables(bench.table_rows), heat_logs.FILE: heat_logs.heat_file(seed)}
    return {STUDY_FILE: write_study(folder).encode(), **files}


def _tuned(part: Tuned) -> TunedEntry:
    """A tuned part of which no limit was ever taken back."""
    return TunedEntry(part=replace(part, limits=()), limits=tuple(LimitEntry(limit=x) for x in part.limits))


def _swap_runs(bench: Bench, seed: int, *, first: int) -> list[RunEntry]:
    """The runs of the graphics swap, from draws of their own."""
    rng = swap_stream(seed)
    own = replace(bench, rng=rng, effects=swap_effects(rng))
    return [made_run(slot, own) for slot in swap_slots(first, rng)]


def _effects(machine: str, rng: np.random.Generator) -> Mapping[tuple[int, str], float]:
    """Log effects of one machine's runs by block and test."""
    good = np.ones((len(BLOCK_STARTS), len(_TESTS)), dtype=np.bool_)
    for (block, test, where), sort in PLANTED_AT.items():
        if where == machine and sort in REPLACES_GOOD:
            good[block, _TESTS.index(test)] = False
    effects = run_effects(good, _GROUPS, rng)
    return {
        (block, test): float(effects[block, at])
        for block in range(len(good))
        for at, test in enumerate(_TESTS)
    }


def _layouts() -> tuple[LayoutEntry, ...]:
    return (*(dialect.layout for dialect in DIALECTS.values()), *LAYOUTS, SCORE_LAYOUT, heat_logs.LAYOUT)


def _by_cell(runs: Sequence[RunEntry]) -> tuple[RunEntry, ...]:
    """Runs by test and setup, in the order they were made: what the study file writes as one batch each."""
    setups = [setup.key for setup in SETUPS]
    return tuple(sorted(runs, key=lambda run: (_TESTS.index(run.test), setups.index(run.setup))))
