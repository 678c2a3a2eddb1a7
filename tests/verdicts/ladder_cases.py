"""Findings, indexes and causes made by hand, so that a rung hangs on one number at a time."""

from datetime import date

from tests.findings.bench import around, cell, machine
from validation.workshops import MOSTLY_PLAY, PRICES, case_of, saltmarsh_cells, study_of

from evenhand.findings.cause import Cause, Sort, Standing
from evenhand.findings.causes import Bench, causes
from evenhand.findings.compare import compare_study
from evenhand.findings.effects import Effect
from evenhand.findings.finding import Comparison, Finding, Index, Outcome
from evenhand.records.studies import Study
from evenhand.stats.designs import Change
from evenhand.verdicts.backing import Backing
from evenhand.verdicts.ladder import ladder
from evenhand.verdicts.verdict import verdicts

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


CELLS = saltmarsh_cells()
STUDY = study_of(CELLS)
COMPARISON = compare_study(CELLS, study=STUDY)
BOUGHT = {setup: date(2026, 11, 24) for setup in PRICES}


def workshop(a="plover", b="dunlin", *, prices=PRICES, **more):
    """A pair of the Saltmarsh workshop before a room that mostly plays."""
    found = verdicts(case_of(MOSTLY_PLAY, CELLS, prices=prices))
    verdict = next(v for v in found if (v.a, v.b) == (a, b))
    given = {"priced_on": BOUGHT, "causes": (), **more}
    return Backing(a=a, b=b, comparison=COMPARISON, cells=CELLS, verdict=verdict, **given)


def rung(made, at):
    return next(answer for answer in ladder(made).rungs if answer.rung is at)


def three(ab, ac, bc):
    """Three setups of which plover is held against dunlin, plover against wren, dunlin against wren."""
    pairs = {("plover", "dunlin"): ab, ("plover", "wren"): ac, ("dunlin", "wren"): bc}
    return backing(
        [finding(t, o, a=a, b=b) for (a, b), o in pairs.items() for t in GAMES],
        [index(o, group="", a=a, b=b) for (a, b), o in pairs.items()],
    )


def swapped_workshop():
    """Two builds that differ in processor and graphics; a full swap in two tests, none in the third."""
    machines = (machine("plover", "p0", "g1"), machine("dunlin", "p1", "g0"),
                machine("x", "p1", "g1"), machine("y", "p0", "g0"))  # fmt: skip
    graphics = {"plover": 0.10, "dunlin": 0.0, "x": 0.10, "y": 0.0}
    cells = [
        cell(key, around(4 + graphics[key]), test=test, place=i)
        for test in ("quay", "weir")
        for i, key in enumerate(graphics)
    ]
    cells += [
        cell(k, around(4 + graphics[k]), test="lock", place=i) for i, k in enumerate(("plover", "dunlin"))
    ]
    study = Study(key="s", title="S", setups=("plover", "dunlin"), tests=("quay", "weir", "lock"))
    found = causes("plover", "dunlin", bench=Bench(machines=machines, cells=tuple(cells)), study=study)
    return Backing(
        a="plover", b="dunlin", comparison=compare_study(cells, study=study), cells=tuple(cells), causes=found
    )
