"""What a script says is heard once: it hangs on names, and not on what was measured or paid."""

from __future__ import annotations

from dataclasses import replace

import pytest

from evenhand.demo.narration import first_draft
from evenhand.prose.checking import check
from evenhand.prose.ground import Ground
from evenhand.prose.hearing import hear, heard_by
from evenhand.prose.rules import rules
from evenhand.prose.script import Script, parse
from evenhand.records.publications import How


@pytest.fixture(scope="module")
def script() -> Script:
    return parse(first_draft(), abbreviations=rules().abbreviations)


@pytest.fixture(scope="module")
def moved(ground: Ground) -> Ground:
    """The same study with other prices, another margin, other figures, nothing measured and a loan."""
    figures = {at: replace(figure, value=7.0, ranged="7") for at, figure in ground.quotables.figures.items()}
    return replace(
        ground, prices={key: replace(p, minor=1) for key, p in ground.prices.items()}, margin=0.2,
        backings={}, quotables=replace(ground.quotables, figures=figures),
        disclosures={"harrowfen-lantern-40": (How.LOAN,)},
    )  # fmt: skip


def test_numbers_change_nothing_of_what_a_script_is_heard_by(
    script: Script, ground: Ground, moved: Ground
) -> None:
    assert heard_by(script, moved, rules()) == heard_by(script, ground, rules())
    assert hear(script, moved, rules()) == hear(script, ground, rules())


def test_a_script_heard_before_is_objected_to_as_one_heard_anew(
    script: Script, ground: Ground, moved: Ground
) -> None:
    heard = hear(script, ground, rules())
    anew = check(script, moved, rules())
    assert check(script, moved, rules(), heard=heard) == anew
    assert anew != check(script, ground, rules())


def test_another_name_and_a_figure_that_is_gone_change_it(script: Script, ground: Ground) -> None:
    named = tuple(replace(test, name=f"{test.name} Revisited") for test in ground.tests)
    assert heard_by(script, replace(ground, tests=named), rules()) != heard_by(script, ground, rules())
    none = replace(ground, quotables=replace(ground.quotables, figures={}))
    quoting = parse("Plover costs {price of plover}.")
    assert heard_by(quoting, none, rules()) != heard_by(quoting, ground, rules())
