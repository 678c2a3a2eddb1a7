"""Sample input for the pictures: three fictional machines, nine tests, intervals of a plausible width."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from evenhand.findings.finding import Comparison, Exclusion, Finding, Index, LeftOut, Outcome, Settle
from evenhand.publish.figures.rate_columns import Rate
from evenhand.publish.figures.strip_runs import RunMark, RunStrip
from evenhand.publish.figures.traces import TraceScene
from evenhand.publish.names import Names, SetupName, TestName
from evenhand.records.estimates import Estimate
from evenhand.records.faults import Fault, Place, Severity
from evenhand.records.runs import Reason, RunState

# key, name, unit, Wren, Plover, Dunlin, half-width of the log ratio
TESTS = (
    ("causeway", "Salt Causeway", "fps", 61.0, 88.0, 79.5, 0.018),
    ("tramlines", "Nine Tramlines", "fps", 54.0, 61.0, 71.5, 0.015),
    ("regatta", "Hollow Regatta", "fps", 118.0, 165.0, 148.0, 0.017),
    ("parish", "Ember Parish", "fps", 70.0, 96.0, 89.0, 0.016),
    ("choir", "Quarry Choir", "fps", 83.0, 104.0, 103.6, 0.016),
    ("export", "Timeline export", "jobs/h", 9.2, 13.1, 12.4, 0.017),
    ("night", "Night render", "jobs/h", 3.1, 4.05, 4.6, 0.018),
    ("photo", "Photo batch", "jobs/h", 14.0, 16.0, 17.2, 0.015),
    ("load", "Project load", "loads/min", 6.0, 7.4, 7.35, 0.016),
)
COLUMN = {"wren": 3, "plover": 4, "dunlin": 5}

NAMES = Names(
    setups={
        "wren": SetupName(name="Wren", slot=1),
        "plover": SetupName(name="Plover", slot=2),
        "dunlin": SetupName(name="Dunlin", slot=3),
    },
    tests={key: TestName(name=name, unit=unit) for key, name, unit, *_ in TESTS},
    groups={"games": "games", "work": "work"},
    terms="Mild tune, 24 °C",
)
LONG_NAMES = Names(
    setups={
        "wren": SetupName(name="Wren as it came from the shelf", slot=3),
        "plover": SetupName(name="Plover rebuilt with the quieter cooler and more memory", slot=4),
        "dunlin": SetupName(name="Dunlin in the long low case, second sample", slot=5),
    },
    tests={
        key: TestName(name=f"{name} at the highest preset, night scene, third visit", unit=unit)
        for key, name, unit, *_ in TESTS
    },
    groups={"games": "games that people of the harbour play", "work": "work"},
    terms="Terms that go on and on, as nobody should write them but somebody will, at 24 °C and no other",
)
FIVE_NAMES = Names(
    setups={
        key: SetupName(name=name, slot=i + 1)
        for i, (key, name) in enumerate(
            [
                ("wren", "Wren"),
                ("plover", "Plover"),
                ("dunlin", "Dunlin"),
                ("kit", "Kittiwake"),
                ("ruff", "Ruff"),
            ]
        )
    },
    tests=NAMES.tests,
)


BOUND = 0.79  # of the half-width at 95 %: that at 90 %, with some ten degrees of freedom


def outcome_of(low: float, high: float, bounds: tuple[float, float]) -> Outcome:
    if bounds[0] > 0.97 and bounds[1] < 1.03:
        return Outcome.LEVEL
    return Outcome.AHEAD if low > 1 else Outcome.BEHIND if high < 1 else Outcome.UNSETTLED


def around(ratio: float, half: float) -> tuple[float, float]:
    return ratio * math.exp(-half), ratio * math.exp(half)


def finding(test: str, ratio: float, half: float, *, pair: tuple[str, str] = ("plover", "dunlin")) -> Finding:
    (low, high), bounds = around(ratio, half), around(ratio, BOUND * half)
    outcome = outcome_of(low, high, bounds)
    settle = Settle(more_runs=2, minutes=14.0) if outcome is Outcome.UNSETTLED else None
    return Finding(
        test=test, metric="average_fps", a=pair[0], b=pair[1], outcome=outcome, ratio=ratio, low=low,
        high=high, level=0.95, n_a=5, n_b=5, method="moderated t", settle=settle,
        bound_low=bounds[0], bound_high=bounds[1],
    )  # fmt: skip


def findings_of(a: str, b: str) -> tuple[Finding, ...]:
    return tuple(finding(t[0], t[COLUMN[a]] / t[COLUMN[b]], t[6], pair=(a, b)) for t in TESTS)


def index(
    group: str, findings: Sequence[Finding], half: float, predicted: tuple[float, float] | None = None
) -> Index:
    def mean(some: Sequence[Finding]) -> float:
        return math.exp(sum(math.log(f.ratio or 1.0) for f in some) / len(some))

    ratio, (a, b) = mean(findings), (findings[0].a, findings[0].b)
    (low, high), bounds = around(ratio, half), around(ratio, BOUND * half)
    outcome = outcome_of(low, high, bounds)
    left_out = []
    for f in findings:
        without = mean([g for g in findings if g is not f]) if len(findings) > 1 else ratio
        ends = around(without, 1.1 * half)
        now = outcome_of(*ends, around(without, 1.1 * BOUND * half))
        left_out.append(
            LeftOut(
                test=f.test, ratio=without, low=ends[0], high=ends[1], outcome=now, flips=now is not outcome
            )
        )  # fmt: skip
    return Index(
        group=group, a=a, b=b, tests=tuple(f.test for f in findings), ratio=ratio,
        low=low, high=high, level=0.95, outcome=outcome, bound_low=bounds[0], bound_high=bounds[1],
        sample_low=None, sample_high=None, method="geometric mean", left_out=tuple(left_out),
        predicted_low=predicted[0] if predicted else None, predicted_high=predicted[1] if predicted else None,
    )  # fmt: skip


def comparison(
    findings: Sequence[Finding], indexes: Sequence[Index] = (), exclusions: Sequence[Exclusion] = ()
) -> Comparison:
    return Comparison(
        study="saltmarsh", margin=0.03, findings=tuple(findings), indexes=tuple(indexes),
        exclusions=tuple(exclusions),
    )  # fmt: skip


PAIR = findings_of("plover", "dunlin")
GAMES, WORK = PAIR[:5], PAIR[5:]
OVERALL = index("", PAIR, 0.0095, (0.79, 1.27))
INDEXES = (OVERALL, index("games", GAMES, 0.012, (0.70, 1.51)), index("work", WORK, 0.009, (0.70, 1.38)))
WITH_CAPPED = finding("regatta", 1.087, 0.055)
EXCLUSION = Exclusion(
    run="r17",
    test="regatta",
    setup="plover",
    value=143.9,
    findings_without=(GAMES[2],),
    findings_with=(WITH_CAPPED,),
    indexes_without=(INDEXES[1],),
    indexes_with=(index("games", [*GAMES[:2], WITH_CAPPED, *GAMES[3:]], 0.02),),
    indexes_only=(index("games", [*GAMES[:2], finding("regatta", 0.972, 0.02), *GAMES[3:]], 0.02),),
)
WHOLE = comparison(PAIR, INDEXES, [EXCLUSION])
THREE_SETUPS = comparison(
    (*PAIR, *findings_of("plover", "wren"), *findings_of("dunlin", "wren")),
    (
        *INDEXES,
        index("", findings_of("plover", "wren"), 0.01),
        index("", findings_of("dunlin", "wren"), 0.01),
    ),
)


def one_run(test: str, ratio: float | None, n_a: int = 1) -> Finding:
    return Finding(
        test=test, metric="average_fps", a="plover", b="dunlin", outcome=Outcome.UNSETTLED, ratio=ratio,
        low=None, high=None, level=0.95, n_a=n_a, n_b=1, method="none",
    )  # fmt: skip


def estimate(value: float, unit: str, cv: float = 0.012) -> Estimate:
    half = 1.24 * cv * value
    return Estimate(value=value, unit=unit, low=value - half, high=value + half, level=0.95, n=5, method="t")


def rates(names: Names) -> tuple[Rate, ...]:
    """Every setup in every test; setups beyond the third a little quicker than the first."""
    found = []
    for test, _, unit, *values, _ in TESTS:
        for i, setup in enumerate(names.setups):
            value = values[i] if i < 3 else values[0] * (1 + 0.07 * i)
            low = estimate(0.76 * value, unit, 0.02) if unit == "fps" else None
            metric = "average_fps" if unit == "fps" else "score"
            found.append(Rate(test=test, setup=setup, metric=metric, average=estimate(value, unit), low=low))
    return tuple(found)


def frame_times(seed: int, *, n: int = 9000, base: float = 6.06, spikes: int = 6) -> np.ndarray:
    rng = np.random.default_rng(seed)
    times = base * np.exp(0.09 * np.sin(np.linspace(0, 14, n)) + 0.05 * rng.standard_normal(n))
    times[rng.integers(300, n - 300, spikes)] *= rng.uniform(3, 6, spikes)
    return times


def hitches(times: np.ndarray) -> tuple[Place, ...]:
    ends = np.cumsum(times) / 1000
    long = np.flatnonzero(times > 2.5 * np.median(times))
    return tuple(Place(from_s=float(ends[i] - times[i] / 1000), to_s=float(ends[i])) for i in long)


def fault(title: str, *places: tuple[float, float]) -> Fault:
    return Fault(
        kind="loading", title=title, severity=Severity.IN_DOUBT, evidence="Slower than its siblings.",
        todo="run it again", places=tuple(Place(from_s=a, to_s=b) for a, b in places),
    )  # fmt: skip


def scene(*, n: int = 9000, siblings: int = 3, faults: Sequence[Fault] = ()) -> TraceScene:
    times = frame_times(5, n=n)
    return TraceScene(
        test="regatta", setup="plover", run="boot 1, third", frame_times_ms=times, hitches=hitches(times),
        siblings=tuple(frame_times(10 + i, n=n) for i in range(siblings)), faults=tuple(faults),
    )  # fmt: skip


def runs_of(setup: str, *, value: float, n: int = 5, seed: int = 1) -> list[RunMark]:
    rng = np.random.default_rng(seed)
    return [
        RunMark(
            run=f"{setup}-{i}", setup=setup, value=float(value * np.exp(0.011 * rng.standard_normal())),
            state=RunState.LANDED, boot=f"b{i // 2}", order=i,
        )
        for i in range(n)
    ]  # fmt: skip


def strip() -> RunStrip:
    runs = [
        *runs_of("wren", value=118, seed=1),
        *runs_of("plover", value=165, seed=2),
        RunMark(
            run="capped", setup="plover", value=143.9, state=RunState.SET_ASIDE, reason=Reason.RATE_CAP,
            boot="b1", order=9,
        ),
        *runs_of("dunlin", value=148, seed=3),
        RunMark(run="doubt", setup="dunlin", value=150.2, state=RunState.IN_DOUBT, boot="b2", order=9),
    ]  # fmt: skip
    means = (
        ("wren", estimate(118, "fps")),
        ("plover", estimate(165, "fps")),
        ("dunlin", estimate(148, "fps")),
    )
    return RunStrip(test="regatta", runs=tuple(runs), means=means)
