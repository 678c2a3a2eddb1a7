"""Findings, indexes and causes made by hand, so that a rung hangs on one number at a time."""

from evenhand.findings.cause import Cause, Sort, Standing
from evenhand.findings.effects import Effect
from evenhand.findings.finding import Comparison, Finding, Index, Outcome
from evenhand.stats.designs import Change
from evenhand.verdicts.backing import Backing

MARGIN = 0.03
GAMES = ("quay", "weir", "lock", "sluice", "ford", "ferry")


def finding(test, outcome, *, a="plover", b="dunlin", ratio=None, group="games", low=None, high=None):
    """A called finding, or an unsettled one around no difference."""
    r = ratio or {Outcome.AHEAD: 1.1, Outcome.BEHIND: 0.9}.get(outcome, 1.0)
    width = 0.005 if outcome is not Outcome.UNSETTLED else 0.05
    return Finding(
        test=test, metric="average_fps", a=a, b=b, outcome=outcome, ratio=r, low=low or r - width,
        high=high or r + width, level=0.95, n_a=5, n_b=5, method="t", group=group,
    )  # fmt: skip


def index(outcome, *, tests=GAMES, group="games", predicted=(0.7, 1.4), a="plover", b="dunlin", caveats=()):
    """An index with this range for a title not tested."""
    r = {Outcome.AHEAD: 1.1, Outcome.BEHIND: 0.9}.get(outcome, 1.0)
    return Index(
        group=group, a=a, b=b, tests=tests, ratio=r, low=r - 0.01, high=r + 0.01, level=0.95, outcome=outcome,
        sample_low=None, sample_high=None, predicted_low=predicted[0], predicted_high=predicted[1],
        method="t",
        bound_low=r - 0.009, bound_high=r + 0.009, caveats=tuple(caveats),
    )  # fmt: skip


def backing(findings=None, indexes=None, **more):
    """A pair with these; one game ahead each unless said otherwise."""
    made = findings if findings is not None else [finding(t, Outcome.AHEAD) for t in GAMES]
    over = indexes if indexes is not None else [index(Outcome.AHEAD, group=""), index(Outcome.AHEAD)]
    whole = Comparison(study="s", margin=MARGIN, findings=tuple(made), indexes=tuple(over))
    return Backing(a="plover", b="dunlin", comparison=whole, **more)


def cause(test, *parts, outcome=Outcome.AHEAD, standing=Standing.SHOWN):
    """What these parts do in a test, together where there are several."""
    r = {Outcome.AHEAD: 1.08, Outcome.BEHIND: 0.92}.get(outcome, 1.0)
    return Cause(
        test=test, metric="average_fps", a="plover", b="dunlin", sort=Sort.EFFECT, standing=standing,
        changes=tuple(Change(factor=part, low="x", high="y") for part in parts),
        effect=Effect(ratio=r, low=r - 0.01, high=r + 0.01, outcome=outcome, method="t", runs=8),
    )  # fmt: skip
