"""Words that somebody sends: a sign that nobody sees is refused at its field, what turns is shown apart."""

from __future__ import annotations

import json
from collections.abc import Iterator

import pytest
from starlette.testclient import TestClient
from tests.desk.tuning.small_chip import LIMIT, TRIAL, lay_part, tried
from tests.desk.tuning.test_hidden_signs import HIDDEN, TURNS
from tests.desk.tuning.warm_log import brought
from tests.web.conftest import client_of
from tests.web.test_rig_api import rig
from tests.web.tuning.told import at_field

from evenhand.desk.opening import Desk
from evenhand.store import trials as trial_store

HERE = "/studies/quay/tuning"
API = "/api/studies/quay/tuning/wren"
OF = "wren~processor"
JSON = {"content-type": "application/json"}
IN_PLACE = "<bdi>\u202efasted \u05d0\u05d1</bdi>"


@pytest.fixture
def tuned(bench: Desk) -> Desk:
    lay_part(bench)
    return bench


@pytest.fixture
def page(tuned: Desk) -> Iterator[TestClient]:
    with client_of(tuned) as opened:
        yield opened


@pytest.mark.parametrize("field", ["load", "note"])
@pytest.mark.parametrize("sign", HIDDEN[:-1])
def test_the_form_of_a_trial_says_so_at_its_field(
    tuned: Desk, page: TestClient, field: str, sign: str
) -> None:
    sent = {**TRIAL, "of": OF, "hours": "1", field: f"held{sign} on"}
    answer = page.post(f"{HERE}/trial", data={key: str(value) for key, value in sent.items()})
    assert "it has a sign in it that nobody sees" in at_field(answer.text, field).lower()
    assert trial_store.trials_of(tuned, ["wren"]) == ()


def test_the_form_of_a_limit_says_so_at_its_field(page: TestClient) -> None:
    sent = {**LIMIT, "whose": "maker", "of": OF, "read_on": "2031-05-04", "source": "page\x00 14"}
    answer = page.post(f"{HERE}/limit", data={key: str(value) for key, value in sent.items()})
    assert "sign in it that nobody sees, U+0000" in at_field(answer.text, "source")


@pytest.mark.parametrize("sign", HIDDEN)
def test_a_rig_is_refused_and_told_where(tuned: Desk, page: TestClient, sign: str) -> None:
    headers = rig(tuned, "wren") | JSON
    whole = {**TRIAL, "key": "b-1"}
    for field in ("load", "note", "key"):
        for way in ("/api/rig/trials", "/api/rig/trials/here"):
            sent = {**whole, field: f"held{sign} on"}
            if way.endswith("here"):
                sent = {name: value for name, value in sent.items() if name != "outcome"}
                if field == "note":
                    continue
            answer = page.post(way, content=json.dumps(sent), headers=headers)
            assert answer.status_code == 422, (way, field)
            assert answer.json()["error"]["where"] == field, answer.text
    assert trial_store.trials_of(tuned, ["wren"], ever=True) == ()


@pytest.mark.parametrize("sign", HIDDEN)
def test_a_reason_is_refused(tuned: Desk, page: TestClient, sign: str) -> None:
    tried(tuned, [TRIAL])
    answer = page.post(
        f"{API}/trials/1/take-back", headers=JSON, content=json.dumps({"reason": f"a{sign} slip"})
    )
    assert answer.status_code == 422
    assert trial_store.turns(tuned) == {}


def test_on_the_page_what_turns_the_writing_has_an_element_of_its_own(tuned: Desk, page: TestClient) -> None:
    trials = tried(tuned, [{**TRIAL, "load": TURNS, "note": TURNS}] * 2)
    page.post(f"{API}/trials/{trials[0].id}/take-back", json={"reason": TURNS})
    page.post(
        f"{HERE}/limit", data={**LIMIT, "whose": "maker", "of": OF, "read_on": "2031-05-04", "source": TURNS}
    )
    brought(tuned, note=TURNS)
    text = page.get(HERE).text
    body = text[text.index("<main") :]
    assert body.count(IN_PLACE) > 8
    outside = body.replace(IN_PLACE, "")
    left = [outside[at - 60 : at + 20] for at in range(len(outside)) if outside[at] == "\u202e"]
    assert [each for each in left if not each[:60].rstrip().endswith(("\u2068", 'value="'))] == []
