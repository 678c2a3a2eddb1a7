"""Studies of known truth that a verdict can be held against: the Saltmarsh rates, and random ones."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence

import numpy as np

from evenhand.demo.effects import run_effects
from evenhand.demo.truth import GAMES, TASKS
from evenhand.findings.finding import Cell, Observation
from evenhand.records.audiences import Audience, Property
from evenhand.records.studies import Study
from evenhand.records.tests import Direction, Measures, Test
from evenhand.verdicts.case import Case
from evenhand.verdicts.grounds import pair_grounds

SPEED = frozenset({Property.SPEED})
PRICES = {"wren": 74200, "plover": 99800, "dunlin": 101200}
MOSTLY_PLAY = Audience(key="play", name="Mostly play", groups={"games": 80, "work": 20})
MOSTLY_EDIT = Audience(key="edit", name="Mostly editing", groups={"games": 20, "work": 80})
HALF = Audience(key="half", name="Half and half", groups={"games": 50, "work": 50})


def a_test(key: str, group: str, *, frames: bool = True) -> Test:
    """A game, or a job with a score, of a group."""
    return Test(
        key=key, name=key.title(), group=group,
        measures=Measures.FRAMES if frames else Measures.SCORE,
        metric="average_fps" if frames else "score", unit="fps" if frames else "jobs/h",
        direction=Direction.HIGHER,
    )  # fmt: skip


SALTMARSH_TESTS = (
    *(a_test(game.key, "games") for game in GAMES),
    *(a_test(task.key, "work", frames=False) for task in TASKS),
)


def cells_of(
    rates: Mapping[str, Mapping[str, float]], tests: Sequence[Test], *, rng: np.random.Generator,
    boots: int = 5, exact: bool = True,
) -> tuple[Cell, ...]:  # fmt: skip
    """Cells of known rates by setup and test, a run a boot; `exact`: centred so that the truth comes out."""
    groups = [[i for i, t in enumerate(tests) if t.group == g] for g in dict.fromkeys(t.group for t in tests)]
    slices = tuple(slice(g[0], g[-1] + 1) for g in groups)
    made = []
    for at, (setup, own) in enumerate(rates.items()):
        shape = (boots, len(tests))
        if exact:
            effects = run_effects(np.ones(shape, bool), slices, rng)
        else:
            effects = rng.normal(0, 0.012, shape) + rng.normal(0, 0.005, (boots, 1))
        made += [
            Cell(
                test=test.key, setup=setup, metric=test.metric, better="higher", group=test.group,
                observations=tuple(
                    Observation(
                        run=f"{setup}-{test.key}-{k}", value=float(own[test.key] * np.exp(effects[k, i])),
                        boot=f"b{k}", order=2 * k + (at + k) % len(rates),
                    )
                    for k in range(boots)
                ),
            )
            for i, test in enumerate(tests)
        ]  # fmt: skip
    return tuple(made)


def saltmarsh_cells(seed: int = 3) -> tuple[Cell, ...]:
    """Five boots of every test on every machine of the workshop, their truth coming out exactly."""
    rates = {
        setup: {each.key: each.rates[setup] for each in (*GAMES, *TASKS)}
        for setup in ("wren", "plover", "dunlin")
    }
    return cells_of(rates, SALTMARSH_TESTS, rng=np.random.default_rng(seed))


def study_of(cells: Sequence[Cell], **more: object) -> Study:
    """The study that holds these cells."""
    setups = tuple(dict.fromkeys(c.setup for c in cells))
    tests = tuple(dict.fromkeys(c.test for c in cells))
    return Study(key="s", title="S", setups=setups, tests=tests, **more)  # type: ignore[arg-type]


def case_of(
    audience: Audience, cells: Sequence[Cell], *, tests: Sequence[Test] = SALTMARSH_TESTS,
    prices: Mapping[str, int] | None = None, properties: frozenset[Property] = SPEED, **study: object,
) -> Case:  # fmt: skip
    """An audience before a study of these cells."""
    of = study_of(cells, **study)
    return Case(
        audience=audience, study=of, tests=tuple(tests), prices=prices or {},
        pairs=pair_grounds(cells, study=of, properties=properties),
    )  # fmt: skip


def random_study(seed: int) -> tuple[tuple[Cell, ...], tuple[Test, ...]]:
    """Two or three setups, three to six tests in two groups, differences of a few per cent."""
    rng = np.random.default_rng(seed)
    setups = [f"s{i}" for i in range(rng.integers(2, 4))]
    tests = tuple(
        a_test(f"t{i}", group)
        for i, group in enumerate(
            itertools.chain(["games"] * rng.integers(2, 4), ["work"] * rng.integers(1, 4))
        )
    )
    rates = {s: {t.key: 100 * float(np.exp(rng.normal(0, 0.05))) for t in tests} for s in setups}
    return cells_of(rates, tests, rng=rng, boots=int(rng.integers(3, 6)), exact=False), tests
