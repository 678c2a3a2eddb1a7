"""The figures that a script may quote, as they are offered while one types."""

from __future__ import annotations

from evenhand.desk.on_record import load_study
from evenhand.desk.publication.material import material_of
from evenhand.prose.quotable import Quotable
from evenhand.prose.quotables import quotables
from evenhand.prose.references import written
from evenhand.store.workbench import Workbench

Offered = tuple[str, str, str, str]


def figures_offered(wb: Workbench, study: str) -> tuple[Offered, ...]:
    """Of each figure its shortest address, its words without and with interval, and what it is."""
    return wb.lately(("figures offered", study), lambda: _offered(wb, study))


def _offered(wb: Workbench, study: str) -> tuple[Offered, ...]:
    figures = quotables(material_of(wb, load_study(wb, study)))
    return tuple(
        (written(each, figures)[1:-1], each.words, each.ranged, about(each))
        for each in figures.figures.values()
    )


def about(figure: Quotable) -> str:
    """What a figure is, and what has to be known with it."""
    return f"{figure.definition}. {figure.caution}" if figure.caution else figure.definition
