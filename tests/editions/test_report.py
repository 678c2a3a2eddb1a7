"""The report keeps to its page, whatever things are called."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest
from tests.publish.test_picture import pixels

from evenhand.editions.article import (
    Article,
    Claim,
    Correction,
    Flip,
    ForWhom,
    Machine,
    PartRow,
    RateTable,
    Refusal,
    RunRow,
)
from evenhand.editions.report import in_keys, in_signs, keys_words, lost_words, report_data, typeset
from evenhand.publish.painting import painted

MARGIN_PT = 50  # of 57: a point or two of overhang are nothing
LONG = "Restorationworkstation" * 6
SPACED = "The second of the two machines, rebuilt with care in the spring of that year by many hands"


def article(name: str) -> Article:
    """Everything in which a name may stand."""
    return Article(
        key="quay", title=name, question=name, answer=f"{name} is ahead of {name}.", terms=name, number=2,
        at=datetime(2031, 5, 4, tzinfo=UTC), digest="a" * 64, data_digest="b" * 64, code_version="1", by=name,
        licence="CC-BY-4.0",
        for_whom=(
            ForWhom(key="a", name=name, weighs=name, said=(name,), flips=(Flip(change=name, effect=name),)),
        ),
        pairs=(),
        rates=RateTable(machines=(name, name, name), rows=((name, "Average", ("88.0 fps (87 to 89)",) * 3),)),
        beside=((name, (name,)),),
        claims=(Claim(address="x", words=f"{name} is ahead.", rung=1, why=name),),
        refusals=(Refusal(words=name, why=name, instead=name),),
        machines=(
            Machine(name=name, slot=1, price="7 dl", parts=(PartRow(kind=name, name=name, disclosed=name),)),
        ),
        method=(name,), meanings=(), caveats=(name,),
        runs=(RunRow(label=name, test=name, setup=name, state="landed", number="88.0 fps", files=()),),
        corrections=(Correction(number=2, day="4 May 2031", reason=name, moved=(name,), turned=(name,)),),
    )  # fmt: skip


@pytest.mark.parametrize("name", ["Plover", LONG, SPACED])
def test_no_name_runs_off_its_page(name: str) -> None:
    made = typeset(article(name), (), format="svg")
    for page in made if isinstance(made, list) else [made]:
        image = pixels(painted(page.decode()))
        assert np.all(image[:, -MARGIN_PT:] == image[0, -1])


def test_what_moved_in_an_older_edition_is_told_in_its_own_report_alone() -> None:
    newest = Correction(number=3, day="6 May 2031", reason="a price", moved=("b",), turned=("c",))
    older = Correction(
        number=2, day="5 May 2031", reason="a run", moved=("d",), turned=("e",), at="edition-2/"
    )
    told = report_data(replace(article("Plover"), corrections=(newest, older)))["corrections"]
    assert [(each["turned"], each["moved"]) for each in told] == [(["c"], ["b"]), ([], [])]
    assert told[1]["said"] == "Edition 2, 5 May 2031: a run. One verdict turned."


def test_a_report_says_that_its_letters_lack_signs_and_else_nothing_of_it() -> None:
    assert lost_words(report_data(article("Łódź őě 2"))) == []
    assert "Łódź őě" in in_signs("Łódź őě")
    (said,) = lost_words(report_data(article("千鳥 K6")))
    assert said.startswith("The letters of this report lack two signs")
    assert typeset(article("千鳥 K6"), ())


def test_machines_whose_names_it_cannot_write_go_by_their_keys_and_stay_apart() -> None:
    keys = {"kestrel": "千鳥", "heron": "千鳥 2"}
    write = in_keys(keys)
    assert write("千鳥 2 is ahead of 千鳥 by 2 %.") == "heron is ahead of kestrel by 2 %."
    assert "kestrel and heron" in " ".join(keys_words(keys))
    assert lost_words([write(each) for each in keys.values()]) == []
    assert keys_words({}) == []
    assert typeset(article("千鳥"), (), {"kestrel": "千鳥"}) != typeset(article("千鳥"), ())
