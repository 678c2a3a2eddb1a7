"""Limits for the four ways in which the course of a run can differ from its siblings'."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.triage.limits.limit import limit


@dataclass(frozen=True, slots=True, kw_only=True)
class TakesLimits:
    """How the usual difference of two takes is pooled from siblings, other setups and the past."""

    few_siblings: int = limit(2, "runs", "with so few, chance agrees more easily")
    peer_weight: float = limit(0.5, "pairs", "a pair of another setup says half as much of this one")
    few_peers: int = limit(4, "runs", "of more a median over their pairs passes over an odd one")
    odd_run: float = limit(
        4.0, "ratio", "a run so much further off than its others are from each other is no measure of them"
    )
    most_learned: float = limit(10.0, "pairs", "the past may not outvote the runs at hand")
    pair_factor: float = limit(1.5, "ratio", "of two runs only what is plain is worth a note")
    gate: float = limit(
        0.035, "ln ratio", "takes that differ so much along the scene cannot hold a run by it"
    )
    surely: float = limit(
        1.5, "of the limit", "what lies so far past its limit holds a run in a noisy test too"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class SagLimits:
    """Slower towards the end, against every sibling."""

    least: float = limit(0.02, "ln ratio", "good takes were measured to drift apart by up to this")
    spreads_few: float = limit(3.3, "sd", "keeps false alarms rare with two siblings")
    spreads_many: float = limit(2.2, "sd", "the same where three or more must agree")
    errors: float = limit(3.0, "standard errors", "of the difference of two quarters of a few bins each")
    shapes: float = limit(1.3, "of the shape", "less is how two takes differ anywhere along the scene")
    least_bins: int = limit(8, "bins a quarter", "heat takes longer than a shorter run lasts, drifts do not")
    most: float = limit(0.3, "ln ratio", "heat never costs a third within a take: more is a slow stretch")
    prior: float = limit(0.011, "ln ratio", "how far two takes usually drift apart: one degree each by 0.8 %")
    prior_pairs: float = limit(2.0, "pairs", "what that is worth against measured pairs")


@dataclass(frozen=True, slots=True, kw_only=True)
class StretchLimits:
    """Slower for some seconds, against every sibling."""

    windows_s: tuple[float, ...] = limit(
        (1.5, 2.0, 3.0, 4.0, 6.0, 8.0, 12.0, 16.0),
        "s",
        "a pause for loading and the bursts of other programs",
    )
    most_share: float = limit(0.45, "share", "a longer stretch is the run")
    least_known: float = limit(0.7, "share", "of the bins of a window both courses must be known")
    least: float = limit(0.05, "ln ratio", "less costs a run of a minute less than a tenth of a second")
    spreads_few: float = limit(6.0, "sd", "the worst of some hundred windows of a good run, two siblings")
    spreads_many: float = limit(5.0, "sd", "the same where three or more must agree")
    of_worst: float = limit(1.1, "ratio", "and worse than the worst window of any good pair")
    prior: float = limit(0.03, "ln ratio", "sd of one bin between two takes, where nothing is measured")
    prior_pairs: float = limit(2.0, "pairs", "what that is worth against measured pairs")
    least_s: float = limit(1.0, "s", "what lasts less is a cut between scenes that two takes reach apart")
    persists: float = limit(0.5, "share", "what stays so much slower after the stretch has not ended")
    begins_before: float = limit(
        0.8, "share of the run", "what begins later is no sag but a stretch at its end"
    )
    pause_s: float = limit(1.2, "s", "more than any hitch takes; loading shows as this at least")
    pause_ratio: float = limit(2.0, "ratio", "and twice the longest pause of any sibling or other setup")
    plain_ratio: float = limit(10.0, "ratio", "frames so much longer than those around them stand still")


@dataclass(frozen=True, slots=True, kw_only=True)
class LateStartLimits:
    """Begun earlier or later in the scene than every sibling."""

    least_s: float = limit(1.5, "s", "takes started by hand were measured to lie within half a second")
    of_worst: float = limit(2.5, "ratio", "and well beyond the worst shift between two siblings")
    least_gain: float = limit(0.33, "share", "the shift brings the courses half as near again")
    agreement: float = limit(0.5, "r", "and once shifted they are the same scene")
    agreement_lost: float = limit(0.25, "r", "and nearly as much so as its siblings are among themselves")
    apart_s: float = limit(1.0, "s", "shifts that the siblings do not agree on are chance")
    apart_share: float = limit(0.15, "share", "or by this much of a large one")
    before_beyond: float = limit(
        0.15, "ln ratio", "a start this far outside of all the scene's frames is no piece of the scene"
    )
    before_beyond_course: float = limit(
        0.02, "share", "of the scene's frames may be beyond what counts as its range: hitches and cuts"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class SceneLimits:
    """A course unlike every sibling's, however it is shifted."""

    least: float = limit(0.035, "ln ratio", "takes of one scene differ less along it")
    shapes: float = limit(2.3, "of the shape", "far more than two siblings differ")
    shapes_unlike: float = limit(
        3.0, "of the shape", "the same where the siblings resemble each other little"
    )
    unlike_below: float = limit(0.6, "r", "siblings that agree less make poor witnesses")
    crosses: float = limit(0.5, "of the shape", "a run that is only ever slower does not cross its siblings")
    outside: float = limit(
        0.6, "of the limit", "so near its siblings outside of a slow stretch a run is in their scene"
    )
    disagreement: float = limit(0.35, "1 − r", "one scene played twice agrees far better")


@dataclass(frozen=True, slots=True, kw_only=True)
class ConsequenceLimits:
    """What of a course a fault of sensors explains."""

    early_s: float = limit(3.0, "s", "readings come late, and a stretch is placed to a bin or two")
    factor: float = limit(1.5, "ratio", "frames lose what the clock loses; a stretch shows its worst part")
    beyond: float = limit(0.02, "ln ratio", "two takes differ by that much along the scene anyhow")
    most_slowed: float = limit(0.5, "ln ratio", "slower than this no scene was seen to go on")


@dataclass(frozen=True, slots=True, kw_only=True)
class PartsLimits:
    """What clocks and temperatures say to a run that grew slower."""

    fewest: int = limit(4, "samples", "in the first quarter and in the last, for a median of each")
    fall: float = limit(0.005, "ln ratio", "a clock wanders by one step of 25 MHz in 4,000")
    fall_share: float = limit(0.25, "share of the loss", "a clock that falls by less is not the reason")
    warmer_c: float = limit(2.0, "°C", "sensors of temperature step by one degree")
