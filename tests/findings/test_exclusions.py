"""Every left-out run, with and without it."""

from dataclasses import replace

import pytest
from tests.findings.test_indexes import STUDY, cells, percent

from evenhand.errors import NotFound
from evenhand.findings.compare import compare_study
from evenhand.findings.exclusions import LeftOutRun, exclusions, put_back
from evenhand.findings.finding import Observation

CAPPED = LeftOutRun(
    test="regatta",
    setup="plover",
    metric="rate",
    observation=Observation(run="capped", value=143.9, boot="plover4", order=9),
)


def four_kept():
    """The study with one run of the capped cell set aside; the mean of the others stays."""
    return [
        replace(c, observations=_four(c.observations), set_aside=1)
        if (c.test, c.setup) == ("regatta", "plover")
        else c
        for c in cells()
    ]


def _four(observations):
    return tuple(replace(o, value=165.0 * (1 + 0.01 * (-1) ** k)) for k, o in enumerate(observations[:4]))


def games(indexes):
    return next(i for i in indexes if i.group == "games")


def test_the_capped_run_moves_the_games_index_as_one_of_five_and_as_the_only_one():
    seen = exclusions(four_kept(), [CAPPED], study=STUDY)[0]
    assert percent(games(seen.indexes_without).ratio) == 2.7
    assert percent(games(seen.indexes_with).ratio) == 2.1
    assert percent(games(seen.indexes_only).ratio) == -0.1


def test_without_is_what_the_study_says():
    said = compare_study(four_kept(), study=STUDY)
    seen = exclusions(four_kept(), [CAPPED], study=STUDY)[0]
    assert seen.findings_without == tuple(f for f in said.findings if f.test == "regatta")
    assert seen.indexes_without == tuple(i for i in said.indexes if "regatta" in i.tests)


def test_with_is_what_the_study_would_say_had_the_run_counted():
    joined = [
        replace(c, observations=(*c.observations, CAPPED.observation), set_aside=0)
        if (c.test, c.setup) == ("regatta", "plover")
        else c
        for c in four_kept()
    ]
    said = compare_study(joined, study=STUDY)
    seen = exclusions(four_kept(), [CAPPED], study=STUDY)[0]
    assert seen.findings_with == tuple(f for f in said.findings if f.test == "regatta")
    assert seen.findings_with[0].n_a == 5
    assert (seen.run, seen.value, seen.metric) == ("capped", 143.9, "rate")


def test_a_run_whose_cell_has_no_other_is_seen_with_as_the_only_one():
    missing = [c for c in cells() if (c.test, c.setup) != ("regatta", "plover")]
    seen = exclusions(missing, [CAPPED], study=STUDY)[0]
    assert games(seen.indexes_without).missing == ("regatta",) if seen.indexes_without else True
    assert games(seen.indexes_with).ratio == games(seen.indexes_only).ratio


def test_a_metric_besides_the_headline_has_findings_but_no_index():
    also = [replace(c, metric="low", headline=False) for c in four_kept()]
    seen = exclusions([*four_kept(), *also], [replace(CAPPED, metric="low")], study=STUDY)[0]
    assert len(seen.findings_with) == 1
    assert seen.indexes_with == ()


def test_nothing_left_out_shows_nothing():
    assert exclusions(four_kept(), [], study=STUDY) == ()


def test_a_run_of_an_unknown_test_is_refused():
    with pytest.raises(NotFound, match="no cell of test quay"):
        exclusions(four_kept(), [replace(CAPPED, test="quay")], study=STUDY)


def test_a_run_of_another_version_put_back_gives_no_ratio():
    there = [replace(c, says=(("version", ("1.0",)),), fixes=("version",)) for c in four_kept()]
    other = replace(CAPPED, says=(("version", ("1.1",)),), fixes=("version",))
    seen = exclusions(there, [other], study=STUDY)[0]
    assert None not in [f.ratio for f in seen.findings_without]
    assert [f.ratio for f in seen.findings_with] == [None] * len(seen.findings_without)
    assert all("regatta" in index.missing for index in seen.indexes_only if index.group == "games")


def test_what_the_others_said_is_no_longer_said_where_it_is_the_only_run():
    home = replace(four_kept()[0], says=(("version", ("1.0",)),))
    run = replace(CAPPED, says=(("version", ("1.1",)),), fixes=("version",))
    assert put_back(home, run).says == (("version", ("1.0", "1.1")),)
    assert put_back(replace(home, observations=()), run).says == (("version", ("1.1",)),)
