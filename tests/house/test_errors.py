"""Every error says what was found, where, and what to do next."""

import inspect

import pytest

from evenhand import errors

CHILDREN = [
    value
    for value in vars(errors).values()
    if inspect.isclass(value)
    and issubclass(value, errors.EvenhandError)
    and value is not errors.EvenhandError
]


@pytest.mark.parametrize("kind", CHILDREN)
def test_the_words_carry_place_and_advice(kind):
    error = kind("the file is empty", where="logs/a.csv", todo="record the run again")
    assert str(error) == "logs/a.csv: the file is empty; record the run again"
    assert kind.__doc__


def test_place_and_advice_may_be_absent():
    assert str(errors.NotFound("no study 'x'")) == "no study 'x'"


def test_the_tree_in_the_docstring_is_the_tree():
    assert all(kind.__name__ in (errors.__doc__ or "") for kind in CHILDREN)
