"""The page's own arithmetic and words are those of the Python code, to the printed digit."""

from __future__ import annotations

import random
import shutil
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

import pytest
from playwright.sync_api import Page
from tests.web.conftest import serving

from evenhand.desk.on_record import load_study
from evenhand.desk.opening import open_desk
from evenhand.desk.verdict.judged import Judgement
from evenhand.desk.verdict.judged_for import judged_for
from evenhand.desk.verdict.verdict_ground import ground_of
from evenhand.publish.unmeasured_words import besides_words
from evenhand.publish.verdict_words import buy_words
from evenhand.records.audiences import Audience, Property
from evenhand.verdicts.verdict import verdicts
from evenhand.verdicts.weights import shares_of_properties

VECTORS = 500  # of readers, without and with bridges
PAIR = ("plover-mild", "dunlin-mild")
WEIGHED = {Property.SPEED: 3.0, Property.LOWS: 1.0, Property.POWER: 1.0, Property.PRICE: 1.0}
READER = Audience(
    key="reader", name="Reader", groups={"games": 1.0, "work": 1.0}, tests={"choir": 1.0}, properties=WEIGHED
)
TELL = """async ([ground, asked]) => {
    const { judge } = await import("/static/weighing.js");
    const { sentence, unknown } = await import("/static/telling.js");
    return asked.map((one) => {
        const own = { ...ground, prices: one.prices, fixed: one.fixed, properties: one.properties };
        return judge(own, one.weights).map((each) => sentence(each, own) + unknown(each, own));
    });
}"""


@dataclass(frozen=True)
class Asked:
    """What a reader may enter: weights, properties, prices in smallest units, fixed costs."""

    weights: Mapping[str, float]
    properties: Mapping[Property, float]
    prices: Mapping[str, int]
    fixed: int

    @property
    def audience(self) -> Audience:
        groups = {key: self.weights[key] for key in READER.groups}
        tests = {key: self.weights[key] for key in READER.tests}
        return replace(READER, groups=groups, tests=tests, properties=self.properties, fixed_minor=self.fixed)

    def told(self) -> dict[str, object]:
        shares = shares_of_properties(self.audience)
        return {
            "weights": self.weights,
            "prices": self.prices,
            "fixed": self.fixed,
            "properties": {of.value: share for of, share in shares.items() if share},
        }


@pytest.fixture
def judgement(decided_file: Path, tmp_path: Path) -> Judgement:
    place = tmp_path / "bench.evenhand"
    shutil.copy(decided_file, place)
    with open_desk(place) as wb:
        record = load_study(wb, "saltmarsh")
        return judged_for(wb, replace(record, study=replace(record.study, audiences=(READER,))))


def drawn(rng: random.Random) -> Asked:
    def some(of: tuple[object, ...]) -> dict[object, float]:
        weights = {each: round(rng.uniform(0, 100), 1) if rng.random() < 0.8 else 0.0 for each in of}
        return weights if any(weights.values()) else dict.fromkeys(of, 1.0)

    return Asked(
        weights=some((*READER.groups, *READER.tests)),  # type: ignore[arg-type]
        properties=some(tuple(WEIGHED)),  # type: ignore[arg-type]
        prices={key: rng.randint(300, 2500) for key in ("wren-mild", *PAIR)},
        fixed=rng.choice((0, 250, 900)),
    )


@pytest.mark.parametrize("bridged", [(), (("choir", "wren-mild"), ("export", "dunlin-mild"))])
def test_readers_are_answered_alike_by_page_and_by_python(
    judgement: Judgement, wb: object, page: Page, bridged: tuple[tuple[str, str], ...]
) -> None:
    here, names = judgement.audiences[0], judgement.names
    pairs = tuple(replace(pair, bridged=bridged) for pair in here.case.pairs)
    here = replace(here, case=replace(here.case, pairs=pairs))
    rng = random.Random(17)
    asked = [drawn(rng) for _ in range(VECTORS)]
    currency, margin = judgement.paid.currency, here.case.study.margin
    expected = [
        [
            buy_words(verdict, names, margin=margin, currency=currency) + besides_words(verdict)
            for verdict in verdicts(replace(here.case, audience=one.audience, prices=one.prices))
        ]
        for one in asked
    ]
    with serving(wb) as served:  # type: ignore[arg-type]
        page.goto(served.url)
        said = page.evaluate(TELL, [ground_of(here, PAIR, names), [one.told() for one in asked]])
    assert said == expected
    assert len({each for row in expected for each in row}) > VECTORS
    assert any(", bridged by " in each for row in said for each in row) is bool(bridged)
