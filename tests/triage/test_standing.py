from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy import stats
from tests.triage.cells import ALONE, STUDY, WORK, cell, run, scores, take

from evenhand.stats.leave_out import leave_one_out
from evenhand.triage.candidate import Company
from evenhand.triage.learned import Known, Learned
from evenhand.triage.spread import lent
from evenhand.triage.standing import Beside, along_scene, beside, headline_logs, standing
from evenhand.triage.thresholds import DEFAULT
from evenhand.triage.view import look

LIMITS = DEFAULT.level
LOGS = np.log([5.05, 4.55, 4.61, 4.66, 4.58])
NOBODY = Beside(peers=(0.0, 0.0), learned=Known(), study=None)


def test_a_run_is_judged_by_the_moderated_t_of_its_siblings() -> None:
    view = look(scores(*np.exp(LOGS)), Company(test=WORK, study_spread=STUDY), DEFAULT)
    told = standing(leave_one_out(LOGS), beside([], view), LIMITS)
    rest, study = LOGS[1:], lent(STUDY)
    assert study is not None
    variance = (study.df * study.variance + 3 * rest.var(ddof=1)) / (study.df + 3)
    t = (LOGS[0] - rest.mean()) / np.sqrt(variance * (1 + 1 / 4))
    assert told.p[0] == pytest.approx(2 * stats.t.sf(abs(t), study.df + 3))
    assert told.agreed[0] == pytest.approx(LOGS[0] - rest.max())


def test_without_siblings_spread_peers_or_study_nothing_is_known() -> None:
    told = standing(leave_one_out(LOGS[:2]), NOBODY, LIMITS)
    assert told.p.tolist() == [1.0, 1.0]
    assert np.isnan(told.spread).all()
    assert not told.stands_apart(0.5, 0.0).any()


def test_peers_pool_their_variance_within_their_own_cells() -> None:
    alone = standing(leave_one_out(LOGS), NOBODY, LIMITS)
    noisy = standing(leave_one_out(LOGS), replace(NOBODY, peers=(0.03**2, 4.0)), LIMITS)
    assert noisy.dfs[0] == alone.dfs[0] + 4
    assert noisy.spread[0] > alone.spread[0]


def test_a_run_that_stands_plainly_apart_on_another_setup_does_not_widen_this_one() -> None:
    view = look(scores(*np.exp(LOGS)), Company(test=WORK, study_spread=STUDY), DEFAULT)
    calm, odd = np.array([2.0, 2.01, 1.99, 2.005]), np.array([2.0, 2.01, 1.99, 2.2])
    assert beside([odd], view).peers[0] == pytest.approx(np.var(odd[:3], ddof=1))
    assert beside([calm], view).peers == (pytest.approx(np.var(calm, ddof=1)), 3.0)


def test_what_the_past_taught_weighs_no_more_than_its_cap() -> None:
    past = replace(NOBODY, learned=Known(value=0.01**2, weight=500.0))
    told = standing(leave_one_out(LOGS), past, LIMITS)
    assert told.dfs[0] == 3 + LIMITS.most_learned


def test_takes_that_wander_set_the_least_spread() -> None:
    told = standing(leave_one_out(LOGS), replace(NOBODY, least=0.2), LIMITS)
    assert told.spread.tolist() == [0.2] * 5


def test_along_the_scene_a_quicker_run_is_quicker_by_what_its_frames_are() -> None:
    runs = [*cell(3), run("9", take(9) / 1.05)]
    view = look(runs, ALONE, DEFAULT)
    along = along_scene(view.runs, view)
    assert along is not None
    assert leave_one_out(along.logs).gaps[3] == pytest.approx(np.log(1.05), abs=0.004)
    assert along.logs.mean() == pytest.approx(0.0, abs=1e-12)
    assert len(along.wander) == 6


def test_scores_and_large_cells_have_no_scene() -> None:
    view = look(scores(*np.exp(LOGS)), Company(test=WORK), DEFAULT)
    assert along_scene(view.runs, view) is None
    many = look(cell(2), ALONE, DEFAULT)
    assert along_scene(many.runs * 7, many) is None


def test_runs_without_a_number_have_no_log() -> None:
    view = look(scores(4.6, 0.0, -1.0, float("nan")), Company(test=WORK, learned=Learned()), DEFAULT)
    assert headline_logs(view.runs).tolist() == pytest.approx([np.log(4.6)])
