"""References in a script: the address of a figure in braces, and the form in which it is told."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from evenhand.errors import BadRecord, EvenhandError, nearest
from evenhand.prose.quotable import Quotable
from evenhand.prose.quotables import Quotables

WITH_RANGE = "with range"
FORMS: dict[str, Callable[[Quotable], str]] = {
    "": lambda figure: figure.words,
    WITH_RANGE: lambda figure: figure.ranged,
}
_BRACES = re.compile(r"\\[{}]|\{([^{}\n]*(?:\n(?!\s*\n)[^{}\n]*)*)\}|[{}]")


@dataclass(frozen=True, slots=True, kw_only=True)
class Reference:
    r"""What stands in one pair of braces, and where in the source; a lone brace has `written` None.

    >>> [(r.address, r.form) for r in references(r"{rate of a in t, with range} \{x\}")]
    [('rate of a in t', 'with range')]
    """

    written: str | None
    start: int
    end: int

    @property
    def address(self) -> str:
        """The figure's address, white space evened out."""
        return " ".join((self.written or "").partition(",")[0].split())

    @property
    def form(self) -> str:
        """What stands after the comma."""
        return " ".join((self.written or "").partition(",")[2].split())


def references(text: str, *, at: int = 0) -> tuple[Reference, ...]:
    """Every reference of a text that begins at `at` in its source, lone braces among them."""
    return tuple(
        Reference(written=found[1], start=at + found.start(), end=at + found.end())
        for found in _BRACES.finditer(text)
        if not found[0].startswith("\\")
    )


def plain_braces(text: str) -> str:
    r"""The text with written-out braces as braces.

    >>> plain_braces(r"\{a\}")
    '{a}'
    """
    return text.replace("\\{", "{").replace("\\}", "}")


def resolve(reference: Reference, figures: Quotables) -> tuple[Quotable, str]:
    """The figure that a reference means, and it in words. Raises NotFound or BadRecord."""
    if reference.written is None:
        raise BadRecord("a brace that nothing closes or opens", todo="write \\{ or \\} for a plain brace")
    if reference.form not in FORMS:
        found = f"a figure cannot be told '{reference.form}'"
        raise BadRecord(found, todo=nearest(reference.form, [WITH_RANGE]))
    figure = figures.find(reference.address)
    return figure, FORMS[reference.form](figure)


def trouble(reference: Reference, figures: Quotables) -> EvenhandError | None:
    """Why a reference cannot be told; None where it can."""
    try:
        resolve(reference, figures)
    except EvenhandError as error:
        return error
    return None


def written(figure: Quotable, figures: Quotables, form: str = "") -> str:
    """The reference by which a figure is told, with the shortest words for its setups.

    >>> from evenhand.prose.quotable import Sort
    >>> figure = Quotable(address="price of a-stock", sort=Sort.PRICE, value=7, unit="dl", words="7 dl",
    ...                   ranged="7 dl", definition="", source="")
    >>> written(figure, Quotables(figures={}, called={"a": "a-stock"}), WITH_RANGE)
    '{price of a, with range}'
    """
    short = {full: word for word, full in figures.called.items()}
    address = " ".join(short.get(word, word) for word in figure.address.split())
    return f"{{{address}{', ' + form if form else ''}}}"
