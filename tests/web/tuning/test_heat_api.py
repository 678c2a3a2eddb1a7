"""Temperature logs for programs over HTTP: the answers of the command, and what a rig may send."""

from __future__ import annotations

import hashlib
from typing import Any

import pytest
from starlette.testclient import TestClient
from tests.desk.tuning.small_chip import TRIAL, lay_limit, lay_part
from tests.desk.tuning.warm_log import LOG, NAMED, brought
from tests.web.tuning.told import by_command

from evenhand.desk.opening import Desk
from evenhand.desk.tuning.heat import heat_logs

API = "/api/studies/quay/tuning/wren/heat"
DIGEST = hashlib.sha256(LOG).hexdigest()
ROLES = {
    "time": "elapsed time", "temperature": "temperature", "watts": "power", "room": "temperature",
    "other": "temperature", "fan": "fan", "clock": "clock",
}  # fmt: skip
SENT = {
    "digest": DIGEST, "name": "heat-k.csv",
    "layout": {
        "kind": "sensors",
        "columns": [{"header": NAMED[name], "role": role, "about": name} for name, role in ROLES.items()],
    },
    "columns": {"temperature": NAMED["temperature"], "watts": NAMED["watts"], "room": ""},
}  # fmt: skip


@pytest.fixture
def bench(bench: Desk) -> Desk:
    """A tuned part and its maker's limit of temperature."""
    lay_part(bench)
    lay_limit(bench, quantity="temperature", most=95.0)
    return bench


@pytest.mark.parametrize(
    ("query", "asked"),
    [
        ("", ()),
        ("?room=20&watts=150", ("--room", "20", "--watts", "150")),
        ("?cooler=0.15&off=0.02", ("--cooler", "0.15±0.02")),
    ],
)
def test_it_is_the_answer_of_the_command(
    bench: Desk, site: TestClient, capsys: pytest.CaptureFixture[str], query: str, asked: tuple[str, ...]
) -> None:
    brought(bench)
    told = by_command(bench, capsys, "heat", "wren", "processor", "--study", "quay", *asked)
    del told["again"]
    assert site.get(f"{API}{query}").json() == told


def test_before_any_log_there_is_none_and_what_cannot_be_asked_is_refused(site: TestClient) -> None:
    assert site.get(API).json()["heat"] is None
    assert site.get(f"{API}?room=400").status_code == 422
    assert site.get(f"{API}?log=9").status_code == 404
    assert site.get(API.replace("wren", "nobody")).status_code == 404


def test_a_log_is_taken_back_with_a_reason(bench: Desk, site: TestClient) -> None:
    number = brought(bench).heat.id
    assert site.post(f"{API}/{number}/take-back", json={"reason": " "}).status_code == 422
    answer = site.post(f"{API}/{number}/take-back", json={"reason": "the probe fell off"})
    assert answer.json()["taken_back"] == "the probe fell off"
    assert heat_logs(bench, "wren", "processor") == ()


def sent(site: TestClient, *, trial: str = "k", **changes: object) -> Any:
    """The log is uploaded, then told to be that of a trial."""
    site.patch(f"/api/uploads/{DIGEST}", content=LOG, headers={"Upload-Offset": "0"})
    return site.post(f"/api/rig/trials/{trial}/heat", json={**SENT, **changes})


def test_what_was_kept_with_a_trial_is_a_log_of_its_part_once(bench: Desk, site: TestClient) -> None:
    site.post("/api/rig/trials", json={**TRIAL, "key": "k", "settings": {"fan": "fixed"}})
    answer = sent(site)
    assert answer.status_code == 200, answer.text
    assert answer.json()["again"] is False
    assert sent(site).json() == {**answer.json(), "again": True}
    (log,) = heat_logs(bench, "wren", "processor")
    assert (log.room_c, log.clock_mhz, log.voltage_mv) == (24.0, 5000.0, 1050.0)
    assert dict(log.settings) == {"fan": "fixed"}
    assert (log.columns.room, log.columns.watts) == ("", NAMED["watts"])


def test_one_whose_trial_or_bytes_are_not_here_or_whose_columns_are_none_is_refused(
    bench: Desk, site: TestClient
) -> None:
    site.post("/api/rig/trials", json={**TRIAL, "key": "k"})
    assert site.post("/api/rig/trials/k/heat", json=SENT).status_code == 409, "no bytes of it are here"
    assert sent(site, trial="nobody").status_code == 404
    assert sent(site, layout={"kind": "frames"}).status_code == 422
    assert sent(site, columns={"temperature": "nowhere"}).status_code == 422
    assert heat_logs(bench, "wren", "processor") == ()
