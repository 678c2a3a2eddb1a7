"""Pictures painted in a further process: the very same pixels, in the same order, whatever becomes of it."""

from __future__ import annotations

import sys

import pytest

from evenhand.desk.cores import free_cores
from evenhand.desk.painters import WORTH_ONE, Painter, painted_in_order, painter_for
from evenhand.publish.painting import painted

SQUARES = [
    f'<svg xmlns="http://www.w3.org/2000/svg" width="40" height="40"><rect width="{w}" height="9"/></svg>'
    for w in range(1, 9)
]


def test_a_painter_paints_the_very_same_in_the_same_order() -> None:
    with painter_for(len(SQUARES)) as painter:
        assert (painter is None) == (free_cores() == 1)
        assert list(painted_in_order(SQUARES, painter)) == [painted(svg) for svg in SQUARES]


def test_what_a_painter_that_is_no_more_was_given_is_painted_here() -> None:
    painter = Painter()
    painter._child.kill()
    assert list(painted_in_order(SQUARES, painter)) == [painted(svg) for svg in SQUARES]
    painter.dismiss()
    assert painter._child.ended


def test_few_pictures_start_none() -> None:
    with painter_for(WORTH_ONE - 1) as painter:
        assert painter is None


@pytest.mark.parametrize("interpreter", ["", "/nowhere/python"])
def test_without_an_interpreter_all_is_painted_here(
    monkeypatch: pytest.MonkeyPatch, interpreter: str
) -> None:
    monkeypatch.setattr(sys, "executable", interpreter)
    with painter_for(WORTH_ONE) as painter:
        assert painter is None
