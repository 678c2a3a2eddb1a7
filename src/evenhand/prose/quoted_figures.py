"""What is advised of tuned parts, what they draw, how warm they get, what they gain: figures for prose."""

from __future__ import annotations

from collections.abc import Iterator

from evenhand.prose.material import Material
from evenhand.prose.quotable import Quotable, Sort
from evenhand.prose.quoted_leads import ALL_TESTS
from evenhand.prose.quoted_tuning import under_load, word
from evenhand.publish.names import Names
from evenhand.publish.numbers import counted
from evenhand.publish.tuning.quoted import figure_caution, figure_meaning, figure_source, figure_words
from evenhand.tuning.figured import OF_HEAT, Of, TunedFigure


def tuned_figures(material: Material) -> Iterator[Quotable]:
    """Each figure of each tuned part, under the words that it is asked for by."""
    for figure in material.figured:
        yield _quotable(figure, material.names)


def _quotable(figure: TunedFigure, names: Names) -> Quotable:
    words, ranged = figure_words(figure)
    runs = figure.test is not None
    n = "runs of both" if runs and figure.n is None else counted(figure.n or 0, "run" if runs else "trial")
    whose = f"{names.setup(figure.setup)}, {figure.part}" if figure.part else names.setup(figure.setup)
    return Quotable(
        address=address_of(figure), sort=Sort(figure.of.value), value=figure.value, low=figure.low,
        high=figure.high, level=figure.level, unit=figure.unit, words=words, ranged=ranged,
        definition=figure_meaning(figure, names), source=figure_source(figure, whose, n),
        caution=figure_caution(figure), n=figure.n, setups=(figure.setup,),
        tests=(figure.test,) if figure.test else (),
    )  # fmt: skip


def address_of(figure: TunedFigure) -> str:
    """Under which words a figure is quoted: whose it is, at which clock, under which load, by which meter.

    The clock is what is asked about; where the clock itself is what was found, it is named by none.
    """
    of = f"{figure.of.value} of {figure.setup}"
    meter = "" if figure.meter is None else f" read at {figure.meter.value}"
    if figure.test is not None:
        return f"{of} over stock {f'in {figure.test}' if figure.test else f'across {ALL_TESTS}'}{meter}"
    of = f"{of} by {word(figure.part)}"
    if figure.of is Of.LIMIT and figure.limit is not None:
        return f"{of} for {figure.limit.quantity.value}"
    if figure.of in OF_HEAT:
        return of
    at = "" if figure.at_clock is None or figure.of is Of.WORK else f" at {figure.at_clock:g}-mhz"
    at = " at stock" if figure.stock else at
    return f"{of}{at} {under_load(figure.load, figure.settings)}{meter}"
