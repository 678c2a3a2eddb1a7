"""Invented faults, one of each kind of evidence, for the pictures of evidence."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from evenhand.publish.figures.evidence_views import Evidence
from evenhand.records.faults import Fault, Place, Severity
from evenhand.triage.exhibits.forms import (
    Below,
    Density,
    Differences,
    Marked,
    Moments,
    Numbers,
    Others,
    Readings,
    Saying,
    Sayings,
    Series,
    Traces,
)

N = 8000
SETUPS = {"d1": "dunlin", "w1": "wren"}
EDGES_MS = np.linspace(4.0, 11.0, 141)


def scene_ms(seed: int, *, n: int = N, noise: float = 0.03) -> np.ndarray:
    """A take of one scripted scene: the same course each time, its own noise, a few hitches."""
    rng = np.random.default_rng(seed)
    at = np.linspace(0, 1, n)
    course = 6.6 + 1.1 * np.sin(7 * at) + 0.6 * np.sin(17 * at + 1)
    times = course * np.exp(noise * rng.standard_normal(n))
    times[rng.integers(100, n - 100, 3)] *= 4
    return times


def held_ms(seed: int) -> np.ndarray:
    """The same, but no frame quicker than a limiter lets it be."""
    rng = np.random.default_rng(seed)
    return np.maximum(scene_ms(seed), 6.944 * np.exp(0.0006 * rng.standard_normal(N)))


def share(times_ms: np.ndarray) -> np.ndarray:
    return np.histogram(times_ms, EDGES_MS)[0] / times_ms.size


def fault(
    title: str,
    evidence: str,
    *places: tuple[float, float],
    kind: str = "",
    severity: Severity = Severity.IN_DOUBT,
) -> Fault:
    return Fault(
        kind=kind or "kind", title=title, severity=severity, evidence=evidence, todo="run it again",
        places=tuple(Place(from_s=a, to_s=b) for a, b in places),
    )  # fmt: skip


def evidence(found: Fault, trace: Traces | None = None, below: Below | None = None) -> Evidence:
    return Evidence(
        test="regatta",
        setup="plover",
        run="Plover, Hollow Regatta 3",
        fault=found,
        trace=trace,
        below=below,
        setups=SETUPS,
    )


def trace(
    times_ms: np.ndarray, *, siblings: int = 4, density: Density | None = None, dots: bool = False
) -> Traces:
    return Traces(
        frame_times_ms=times_ms,
        siblings=tuple(scene_ms(20 + i) for i in range(siblings)),
        density=density,
        dots=dots,
    )


def curve(seed: int, bump: tuple[float, float, float] | None = None) -> np.ndarray:
    """A difference in per cent in half-second bins over 54 s, with a bump (from, to, height)."""
    rng = np.random.default_rng(seed)
    values = 1.2 * rng.standard_normal(108)
    if bump:
        at = np.arange(108) / 2
        values[(at >= bump[0]) & (at < bump[1])] += bump[2]
    return values


BINS_S = np.arange(108) / 2 + 0.25


def loading() -> Evidence:
    times = scene_ms(1)
    ends = np.cumsum(times) / 1000
    times[(ends > 22) & (ends < 26)] *= 1.6
    against = tuple(curve(40 + i, (22, 26, 55)) for i in range(4))
    among = tuple(curve(60 + i) for i in range(6))
    return evidence(
        fault("Slow stretch", "From 22.0 to 26.0 s its frames took 55 % longer than in every sibling; "
              "siblings differ there by 2 % at most.", (22, 26)),
        trace(times),
        Differences(times_s=BINS_S, against=against, among=among, allowed=(-6, 6)),
    )  # fmt: skip


def sag() -> Evidence:
    values = tuple(curve(40 + i) + np.linspace(-1, 7, 108) for i in range(3))
    times = scene_ms(2) * np.linspace(0.99, 1.07, N)
    return evidence(
        fault("Slows down over the run", "Its last quarter is 6.8 % slower than its first, against every "
              "sibling; siblings keep within 2 %.", (40, 54)),
        trace(times, siblings=3),
        Differences(
            times_s=BINS_S, against=values, among=tuple(curve(70 + i) for i in range(3)), allowed=(-2, 2)
        ),
    )  # fmt: skip


def capped() -> Evidence:
    times = held_ms(5)
    density = Density(
        edges_ms=EDGES_MS,
        share=share(times),
        siblings=tuple(share(scene_ms(20 + i)) for i in range(4)),
        marked=(Marked(from_ms=6.92, to_ms=6.97, words="144.0 fps"),),
    )
    return evidence(
        fault("Held at a fixed rate", "Held at 144.0 fps, a usual refresh rate (144): 90 % of its frames lie "
              "within 0.15 % of one frame time, none is quicker by more than 1.5 %; every sibling "
              "spends 95 % of its run or more past it.", (2, 11), (24, 38), kind="rate-cap"),
        trace(times, density=density),
    )  # fmt: skip


def stepped() -> Evidence:
    rng = np.random.default_rng(9)
    times = np.where(rng.random(N) < 0.2, 13.9, 6.95) * np.exp(0.004 * rng.standard_normal(N))
    edges = np.linspace(5, 15, 201)
    density = Density(
        edges_ms=edges,
        share=np.histogram(times, edges)[0] / N,
        siblings=tuple(np.histogram(scene_ms(20 + i), edges)[0] / N for i in range(4)),
        marked=(
            Marked(from_ms=6.85, to_ms=7.05, words="1 refresh"),
            Marked(from_ms=13.8, to_ms=14.0, words="2 refreshes"),
        ),
    )
    return evidence(
        fault("Frames step with the screen", "80 % of its frames last one refresh at 144 Hz and 20 % two; "
      "siblings' frames do not."),
        trace(times, density=density, dots=True),
    )  # fmt: skip


def throttled() -> Evidence:
    at = np.arange(0.0, 56.0)
    rng = np.random.default_rng(4)

    def clock(fall: float, seed: int) -> np.ndarray:
        noise = 0.015 * np.random.default_rng(seed).standard_normal(at.size)
        return 4.7 - fall * (at > 27) + noise

    own = Series(times_s=at, values=np.where(rng.random(at.size) < 0.02, np.nan, clock(0.55, 3)))
    return evidence(
        fault("Clock falls under load", "From 27 s the processor clock fell from 4.70 GHz to 4.15 GHz "
              "(−11.7 %) at 98 % load, in a room of 29.6 °C.", (27, 56), kind="throttling"),
        trace(scene_ms(6) * np.where(np.arange(N) > N * 0.5, 1.1, 1)),
        Readings(
            what="Processor clock", unit="GHz", own=own,
            siblings=tuple(Series(times_s=at, values=clock(0, 30 + i)) for i in range(3)),
        ),
    )  # fmt: skip


def hot() -> Evidence:
    at = np.arange(0.0, 1080.0, 5)
    values = 60 + 35 * (1 - np.exp(-at / 200))
    return evidence(
        fault("Temperature at its limit", "From minute 8.0 the processor stood within 1 °C of the limit its "
              "maker gives.", (480, 1078)),
        None,
        Readings(
            what="Processor temperature", unit="°C", own=Series(times_s=at, values=values),
            siblings=(Series(times_s=at, values=values - 12),), limit=95.0, limit_words="limit 95 °C",
        ),
    )  # fmt: skip


def hitched() -> Evidence:
    rng = np.random.default_rng(12)
    own = np.sort(rng.uniform(1, 40, 19))
    times = scene_ms(7)
    ends = np.cumsum(times) / 1000
    times[np.searchsorted(ends, own)] *= 5
    return evidence(
        fault("More hitches than its siblings", "19 hitches against 1 to 4 in its siblings, as where a scene "
              "is shown for the first time."),
        trace(times),
        Moments(own=own, siblings=tuple(np.sort(rng.uniform(0, 54, k)) for k in (2, 1, 4, 3))),
    )  # fmt: skip


def level(peers: Sequence[Others] = ()) -> Evidence:
    return evidence(
        fault("Stands apart from its siblings", "143.9 fps against its siblings at 161.0 to 166.4 fps: "
              "−12.1 %, where runs of this kind scatter by 1.1 % (p = 0.00064)."),
        trace(scene_ms(8) * 1.12),
        Numbers(
            what="Average", unit="fps", own=143.9, siblings=(161.0, 164.2, 165.1, 166.4), peers=tuple(peers)
        ),
    )  # fmt: skip


def room() -> Evidence:
    return evidence(
        fault("Room warmer than the comparison allows", "The room was at 29.6 °C; this study compares runs "
              "at 21.0 to 27.0 °C."),
        None,
        Numbers(
            what="Room", unit="°C", own=29.6, siblings=(23.1, 23.8, 24.4, 24.0), expected=(21, 27),
            expected_words="21 to 27 °C, as declared", own_words="29.6 °C",
        ),
    )  # fmt: skip


def stamped() -> Evidence:
    rows = [
        Saying(who=f"Plover, Hollow Regatta {i}", value="31.6" if i == 3 else "31.4", odd=i == 3)
        for i in range(1, 6)
    ]
    return evidence(
        fault(
            "Stamps differ between runs", "Its driver is “31.6”, 4 of 5 runs say “31.4”.", kind="mixed-stamps"
        ),
        None,
        Sayings(what="Driver of each run", rows=tuple(rows)),
    )


def copied() -> Evidence:
    original = scene_ms(20)
    begins_s = -float(original[:300].sum()) / 1000
    return evidence(
        fault("Same recording as another run", "All 7,700 frames of this run follow the same course "
              "(r = 1.0000) as the frames of Plover, Hollow Regatta 4; it begins 2.0 s into it.",
              severity=Severity.BLOCKS, kind="twin"),
        Traces(
            frame_times_ms=original[300:], siblings=(original,), begins_s=(begins_s,)
        ),
        Differences(
            times_s=BINS_S, against=(np.zeros(108),), among=tuple(4 * curve(80 + i) for i in range(3)),
            what="Frame time against the other run",
        ),
    )  # fmt: skip


def noted() -> Evidence:
    return evidence(
        fault("Log slightly damaged", "Three rows between 12 and 13 s could not be placed.", (12, 13),
              severity=Severity.NOTE),
        trace(scene_ms(4)),
    )  # fmt: skip


def samples() -> dict[str, Evidence]:
    """Every kind of evidence by name."""
    peers = (
        Others(run="d1", values=(146.2, 148.0, 149.1)),
        Others(run="w1", values=(117.0, 118.3)),
    )
    return {
        "loading": loading(), "sag": sag(), "cap": capped(), "steps": stepped(), "throttling": throttled(),
        "limit": hot(), "hitches": hitched(), "level": level(), "level, peers": level(peers), "room": room(),
        "stamps": stamped(), "twin": copied(), "note": noted(),
    }  # fmt: skip
