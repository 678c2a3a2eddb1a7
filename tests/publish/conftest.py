from __future__ import annotations

import random
from dataclasses import replace

import numpy as np
import pytest
from tests.publish import saltmarsh as s
from tests.publish.evidence_samples import samples

from evenhand.publish.figures.evidence import evidence_picture
from evenhand.publish.figures.intervals import interval_plot
from evenhand.publish.figures.rate_columns import Rate
from evenhand.publish.figures.rates import rate_bars
from evenhand.publish.figures.strip_runs import RunMark, RunStrip
from evenhand.publish.figures.strips import run_strip
from evenhand.publish.figures.traces import TraceScene, frame_time_trace
from evenhand.publish.names import Names, TestName
from evenhand.publish.palette import Theme
from evenhand.publish.picture import Picture
from evenhand.publish.style import Style, card, page
from evenhand.records.estimates import Estimate
from evenhand.records.runs import Reason, RunState

STYLES = {"card, light": card(), "card, dark": card(Theme.DARK), "page": page()}


def _twenty() -> tuple[s.Comparison, Names]:
    rng = random.Random(7)
    tests = {f"t{i}": TestName(name=f"Harbour lap {i + 1}", unit="fps") for i in range(20)}
    found = [s.finding(key, rng.uniform(0.8, 1.25), rng.uniform(0.01, 0.06)) for key in tests]
    names = Names(setups=s.NAMES.setups, tests=tests)
    return s.comparison(found, [s.index("", found, 0.012, (0.7, 1.4))]), names


def _crowded() -> RunStrip:
    rng = random.Random(3)
    states = [RunState.LANDED] * 4 + [RunState.SET_ASIDE, RunState.IN_DOUBT, RunState.REPLACED]
    runs = [
        RunMark(
            run=f"{setup}{j}", setup=setup, value=(100 + 10 * i) * rng.gauss(1, 0.012), order=j,
            boot=str(j // 2), state=rng.choice(states), reason=Reason.OTHER_CONDITIONS,
        )
        for i, setup in enumerate(s.FIVE_NAMES.setups) for j in range(7)
    ]  # fmt: skip
    return RunStrip(test="regatta", runs=tuple(runs))


def draw_all(style: Style) -> dict[str, tuple[Picture, ...]]:
    """Every figure, in its usual and in its awkward cases."""
    twenty, twenty_names = _twenty()
    unsettled = [s.finding(t[0], 1.01, 0.04 + 0.03 * i) for i, t in enumerate(s.TESTS)]
    lone = [*(s.one_run(t[0], t[4] / t[5]) for t in s.TESTS[:4]), s.one_run("choir", None, n_a=0)]
    missing = s.index("", s.PAIR[:6], 0.01)
    alone = Estimate(value=7.4, unit="loads/min", low=None, high=None, level=0.95, n=1, method="one run")
    two_faults = [s.fault("Loading between 22 and 26 s", (22, 26)), s.fault("Bursts near the end", (50, 52))]
    flat = TraceScene(test="regatta", setup="plover", run="flat", frame_times_ms=np.full(400, 6.95))
    return {
        "intervals": interval_plot(s.WHOLE, s.NAMES, style=style),
        "intervals of another pair": interval_plot(
            s.THREE_SETUPS, s.NAMES, style=style, pair=("dunlin", "wren")
        ),
        "intervals, one test": interval_plot(s.comparison(s.PAIR[:1]), s.NAMES, style=style),
        "intervals, twenty tests": interval_plot(twenty, twenty_names, style=style),
        "intervals, long names": interval_plot(s.WHOLE, s.LONG_NAMES, style=style),
        "intervals, all unsettled": interval_plot(s.comparison(unsettled), s.NAMES, style=style),
        "intervals, no intervals": interval_plot(s.comparison(lone), s.NAMES, style=style),
        "intervals, tests missing": interval_plot(
            s.comparison(s.PAIR[:6], [replace(missing, missing=("photo", "load"))]), s.NAMES, style=style
        ),
        "rates": rate_bars(s.rates(s.NAMES), s.NAMES, style=style),
        "rates, long names": rate_bars(s.rates(s.LONG_NAMES), s.LONG_NAMES, style=style),
        "rates, five setups": rate_bars(s.rates(s.FIVE_NAMES), s.FIVE_NAMES, style=style),
        "rates, no interval": rate_bars(
            [Rate(test="load", setup="plover", metric="score", average=alone)], s.NAMES, style=style
        ),
        "trace": frame_time_trace(s.scene(), s.NAMES, style=style),
        "trace, one fault": frame_time_trace(
            s.scene(faults=[s.fault("Looks capped at 143.9 fps", (0.5, 50))]), s.NAMES, style=style
        ),
        "trace, two faults, long names": frame_time_trace(
            s.scene(faults=two_faults), s.LONG_NAMES, style=style
        ),
        "trace, flat": frame_time_trace(flat, s.NAMES, style=style),
        "trace, 60,000 frames": frame_time_trace(s.scene(n=60_000, siblings=4), s.NAMES, style=style),
        "strip": run_strip(s.strip(), s.NAMES, style=style),
        "strip, long names": run_strip(s.strip(), s.LONG_NAMES, style=style),
        "strip, five setups": run_strip(_crowded(), s.FIVE_NAMES, style=style),
        **{
            f"evidence, {kind}": evidence_picture(found, s.NAMES, style=style)
            for kind, found in samples().items()
        },
        "evidence, long names": evidence_picture(
            replace(samples()["level, peers"], run="a label that somebody made too long " * 4),
            s.LONG_NAMES,
            style=style,
        ),
        "strip, one run": run_strip(
            RunStrip(test="regatta", runs=tuple(s.runs_of("plover", value=165, n=1))), s.NAMES, style=style
        ),
    }


@pytest.fixture(scope="session")
def all_pictures() -> dict[str, dict[str, tuple[Picture, ...]]]:
    """Style name → case → pictures."""
    return {name: draw_all(style) for name, style in STYLES.items()}
