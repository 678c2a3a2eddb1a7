"""References: an address in braces, a form after the comma, and nothing else in braces."""

from __future__ import annotations

import pytest

from evenhand.errors import NotFound
from evenhand.prose.ground import Ground
from evenhand.prose.references import references, resolve, trouble, written


def words(text: str, ground: Ground) -> str:
    (reference,) = references(text)
    return resolve(reference, ground.quotables)[1]


def test_a_reference_tells_its_figure_alone_or_with_its_range(ground: Ground) -> None:
    assert words("{rate of plover in causeway}", ground) == "88.0\N{NO-BREAK SPACE}fps"
    assert words("{ rate of\nplover in causeway , with range }", ground).startswith(
        "88.0\N{NO-BREAK SPACE}fps ("
    )
    assert words("{price of wren, with range}", ground) == "742\N{NO-BREAK SPACE}dl on 24 November 2026"


@pytest.mark.parametrize(
    ("text", "found", "todo"),
    [
        (
            "{rate of plover in causway}",
            "no figure is called",
            "did you mean 'rate of plover-mild in causeway'",
        ),
        ("{margin, with rang}", "a figure cannot be told 'with rang'", "did you mean 'with range'"),
        ("{margin", "a brace that nothing closes", "write"),
        ("}", "a brace that nothing closes", "write"),
    ],
)
def test_what_means_nothing_is_told_with_what_is_near(
    text: str, found: str, todo: str, ground: Ground
) -> None:
    error = trouble(references(text)[0], ground.quotables)
    assert error is not None
    assert found in error.found
    assert todo in error.todo


def test_a_brace_that_is_written_out_is_none() -> None:
    assert references(r"\{margin\}") == ()


def test_a_figure_is_written_with_the_shortest_words_and_found_again(ground: Ground) -> None:
    for figure in ground.quotables.figures.values():
        (reference,) = references(written(figure, ground.quotables))
        assert resolve(reference, ground.quotables)[0] is figure


def test_an_address_that_nothing_is_near_names_three_and_not_all(ground: Ground) -> None:
    with pytest.raises(NotFound) as refused:
        ground.quotables.find("zzzz of nothing at all")
    assert refused.value.todo.startswith("nearest: '")
    assert refused.value.todo.count("'") == 6
    assert len(str(refused.value)) < 300
