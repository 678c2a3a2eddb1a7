"""Limits for a run whose numbers stand apart from its siblings."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.triage.limits.limit import limit


@dataclass(frozen=True, slots=True, kw_only=True)
class LevelLimits:
    """When a run's level stands apart from its siblings, in its headline number or along the scene."""

    least_gap: float = limit(0.015, "ln ratio", "agreed by all siblings; less moves no sentence")
    p_few: float = limit(0.003, "p", "two-sided, up to three runs: few siblings, more caution")
    p_many: float = limit(0.005, "p", "two-sided, four runs or more")
    p_pair: float = limit(
        0.01, "p", "two-sided, of two runs, in headline and scene: both are told, and nothing is held"
    )
    unknown_pair_gap: float = limit(
        0.05,
        "ln ratio",
        "two runs this far apart are told even where nothing is known of the spread",
    )
    p_pair_teaches: float = limit(
        0.02, "p", "two runs further apart than other cells scatter may hold an odd one: they lend no spread"
    )
    fewest_teachers: int = limit(
        3, "cells", "of three runs or more, by which it is weighed what cells of two may lend"
    )
    course_p_few: float = limit(0.007, "p", "the same along the scene, where good takes lie closer together")
    course_p_many: float = limit(0.006, "p", "the same, four runs or more")
    no_peer_factor: float = limit(
        0.5, "ratio", "where neither setups nor frames stand witness false holds double: halve p"
    )
    few_runs: int = limit(3, "runs", "where few ends")
    p_two: float = limit(
        0.001, "p", "both of two runs held against the rest: there are many pairs to pick from"
    )
    least_rest: int = limit(3, "runs", "two odd runs need a majority that agrees without them")
    most_paired: int = limit(12, "runs", "among more runs than this two odd ones hide each other no longer")
    course_share: float = limit(
        0.5, "share", "a level along the scene counts if the headline shows this much of it, on the same side"
    )
    elsewhere_share: float = limit(
        0.5, "share", "if the scene shows less than this much of the headline's gap, something else moved it"
    )
    wander_s: float = limit(12.0, "s", "takes that wander apart along the scene come back within this time")
    wander_factor: float = limit(
        1.4,
        "ratio",
        "medians of halves of a second err more than means, and a short take hides slow wandering",
    )
    noisy_spread: float = limit(
        0.03, "ln ratio", "a test that scatters by 3 % cannot hold a run: it is only told"
    )
    least_spread: float = limit(
        0.0005, "ln ratio", "a cell without any spread (a held rate) teaches no spread"
    )
    p_odd_peer: float = limit(
        0.001, "p", "a run this far off among another setup's runs does not speak for their spread"
    )
    far_off_spread: float = limit(
        0.015,
        "ln ratio",
        "what good runs of a calm test scatter by at most; two that agree by chance vouch for no less",
    )
    far_off_spreads: float = limit(
        6.0,
        "spreads",
        "a number this far off the rest of its cell (10 % and more) does not tell of their spread",
    )
    most_learned: float = limit(
        12.0, "degrees of freedom", "earlier studies weigh no more, so that a changed test can still speak"
    )
    p_changed: float = limit(
        0.05, "p", "where this study's spread fits the earlier ones' worse than this, those are not used"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class HitchLimits:
    """When a run has more hitches than its siblings."""

    p_few: float = limit(0.012, "p", "one-sided, up to three runs; gap and ratio must be met as well")
    p_many: float = limit(0.012, "p", "one-sided, four runs or more")
    few_runs: int = limit(3, "runs", "where few ends")
    least_excess: float = limit(
        5.0, "hitches", "fewer than this many more than expected are chance or nothing"
    )
    least_ratio: float = limit(1.5, "ratio", "less than half as many again does not change how a run feels")
    skip_s: float = limit(0.5, "s", "a log's beginning belongs to the program that writes it")
    one_pause_s: float = limit(0.1, "s", "hitches this close together are one pause")
    dispersion: float = limit(
        0.05, "variance / mean²", "hitch counts of good runs scatter by some 20 % beyond chance"
    )
    dispersion_runs: float = limit(4.0, "runs", "weight of that belief")
    least_dispersion: float = limit(0.02, "variance / mean²", "no scene draws its hitches by lot alone")
    most_learned_runs: float = limit(12.0, "runs", "earlier studies weigh no more")
    learned_share: float = limit(
        0.5, "share of a run", "what earlier studies know of the rate counts as this much watching"
    )
    prior_count: float = limit(0.5, "hitches", "siblings without any do not make the first one impossible")
    same_place_s: float = limit(
        0.3, "s", "hitches of two takes this near each other happen at the same place"
    )
    most_paired: int = limit(12, "runs", "in larger cells places are not looked for pair by pair")
    shared_sds: float = limit(
        2.0, "spreads", "hitches at one place in all takes count as the scene's where chance meets fewer"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class ScatterLimits:
    """When a run's frames vary more, or less, from one to the next than its siblings' do."""

    least_ratio: float = limit(1.3, "ratio", "agreed by all siblings; less is how takes differ")
    z_few: float = limit(3.2, "spreads", "up to three runs")
    z_many: float = limit(2.9, "spreads", "four runs or more")
    few_runs: int = limit(3, "runs", "where few ends")
    prior_spread: float = limit(0.08, "ln ratio", "how frame scatter repeats in calm tests")
    noise_factor: float = limit(4.0, "ratio", "noisy frames repeat their scatter worse")
    noise_from: float = limit(0.008, "ln ratio", "from this frame noise on")
    prior_runs: float = limit(6.0, "runs", "weight of that belief")
    most_learned: float = limit(12.0, "degrees of freedom", "earlier studies weigh no more")
    fewest_frames: int = limit(200, "frames", "a scatter from fewer is itself chance")
    least_noise: float = limit(0.002, "ln ratio", "below this the log's last digit speaks, not the frames")


@dataclass(frozen=True, slots=True, kw_only=True)
class WarmUpLimits:
    """When the first run of a cell or of a boot differs from the later ones all over a study."""

    p: float = limit(0.005, "p", "two-sided, halved for its two questions: a note, but one a study")
    least_cells: int = limit(2, "cells", "one cell's first run is a matter for its own siblings")
    least_effect: float = limit(0.003, "ln ratio", "less is not worth a discarded run")
    level: float = limit(0.95, "probability", "of the interval that is told with the effect")
    boot_spread: float = limit(
        0.005, "ln ratio", "runs of one boot share an error of about this, before any boot is seen"
    )
    boot_df: float = limit(4.0, "degrees of freedom", "weight of that belief")
