"""What stands after two changes of what counts is what laying out the cells after both says."""

from dataclasses import replace

import numpy as np
import pytest
from validation.flips import study_numbered
from validation.workshops import SPEED

from evenhand.findings.finding import Cell
from evenhand.records.audiences import Property
from evenhand.verdicts.grounds import grounds_of, pair_grounds, rows_under
from evenhand.verdicts.others import Other, others, pairs_of


def cells_after(first: Other, then: Other) -> list[Cell]:
    """The cells of the one, and of the other in what it touches."""
    place = {(c.test, c.setup, c.metric): c for c in then.cells}
    return [place[c.test, c.setup, c.metric] if c.test in then.touched else c for c in first.cells]


@pytest.mark.parametrize("properties", [SPEED, SPEED | {Property.LOWS}])
def test_two_changes_stand_on_what_both_leave(properties: frozenset[Property]) -> None:
    now = study_numbered(4)
    found = others(now.cells, now.left, study=now.case.study, properties=properties)
    twice = pairs_of(found, study=now.case.study)
    assert len(twice) > 3
    for first, then, pairs in twice:
        wanted = pair_grounds(cells_after(first, then), study=now.case.study, properties=properties)
        assert [(p.a, p.b, p.grounds, p.unlike) for p in pairs] == [
            (w.a, w.b, w.grounds, w.unlike) for w in wanted
        ]
        for pair, want in zip(pairs, wanted, strict=True):
            assert pair.columns is not None
            assert want.columns is not None
            assert np.array_equal(pair.columns.d, want.columns.d)
            for side, of in zip(pair.columns.boots or (), want.columns.boots or (), strict=True):
                assert np.array_equal(side.squares, of.squares)
                assert np.array_equal(side.runs, of.runs)


def test_a_pair_that_neither_touches_is_laid_out_once() -> None:
    now = study_numbered(4)
    found = others(now.cells, now.left, study=now.case.study, properties=SPEED)
    of_runs = [each for each in found if not each.metric]
    untouched = {
        id(pair) for each in of_runs for pair in each.pairs
        if not {pair.a, pair.b} & {run.setup for run in now.left}
    }  # fmt: skip
    assert len(of_runs) > 1
    assert len(untouched) <= 1


def test_two_of_one_test_are_not_put_together() -> None:
    now = study_numbered(4)
    found = others(now.cells, now.left, study=now.case.study, properties=SPEED)
    same = [each for each in found if set(each.touched) == set(found[0].touched)]
    assert pairs_of([found[0], replace(same[0], name="again")], study=now.case.study) == ()


@pytest.mark.parametrize("properties", [SPEED, SPEED | {Property.LOWS}])
@pytest.mark.parametrize("number", [4, 9])
def test_one_change_stands_on_what_its_cells_say_laid_out_anew(
    properties: frozenset[Property], number: int
) -> None:
    now = study_numbered(number)
    study = now.case.study
    found = others(now.cells, now.left, study=study, properties=properties)
    assert len(found) > 1
    for each in found:
        wanted = rows_under(each.cells, study=study, properties=properties)
        assert each.rows == wanted
        assert [row.a.test for row in each.rows if row.a.test in each.touched]
        assert [repr(pair) for pair in each.pairs] == [repr(pair) for pair in grounds_of(wanted)]
