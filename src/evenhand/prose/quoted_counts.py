"""What was fixed and how much was run, as figures that prose may quote."""

from __future__ import annotations

from collections.abc import Iterator

from evenhand.prose.material import Material
from evenhand.prose.quotable import Quotable, Sort
from evenhand.publish.numbers import number, with_unit


def counts(material: Material) -> Iterator[Quotable]:
    """The margin, and how many runs and boots stand behind each setup in each test, and behind all."""
    margin = 100 * material.comparison.margin
    words = with_unit(f"{margin:.4g}", "%")
    yield Quotable(
        address="margin", sort=Sort.MARGIN, value=margin, unit="%", words=words, ranged=words,
        definition="the smallest difference that matters", source="fixed in the brief",
    )  # fmt: skip
    own = [cell for cell in material.cells if cell.headline]
    total = sum(len(cell.observations) for cell in own)
    yield _count(Sort.RUNS, "runs", total, source="every run that counts")
    for cell in own:
        where = f"{material.names.setup(cell.setup)} in {material.names.test(cell.test)}"
        ending = f"of {cell.setup} in {cell.test}"
        boots = {seen.boot for seen in cell.observations if seen.boot is not None}
        about = {"source": where, "setups": (cell.setup,), "tests": (cell.test,)}
        yield _count(Sort.RUNS, f"runs {ending}", len(cell.observations), **about)  # type: ignore[arg-type]
        yield _count(Sort.BOOTS, f"boots {ending}", len(boots), **about)  # type: ignore[arg-type]


def _count(
    sort: Sort,
    address: str,
    n: int,
    *,
    source: str,
    setups: tuple[str, ...] = (),
    tests: tuple[str, ...] = (),
) -> Quotable:
    return Quotable(
        address=address, sort=sort, value=n, unit="", words=number(n), ranged=number(n), n=n,
        definition=f"how many {sort} count", source=source, setups=setups, tests=tests,
    )  # fmt: skip
