"""A phone sees only what it may open; where it may not go it is told what it may do, with the way there."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from starlette.testclient import TestClient
from tests.web.conftest import NOW

from evenhand.desk.bench.admitting import admit
from evenhand.desk.bench.landing import arrive
from evenhand.desk.bench.plan_needs import Terms
from evenhand.desk.bench.planning import make_plan
from evenhand.desk.on_record import load_study
from evenhand.desk.opening import Desk
from evenhand.records.devices import Scope
from evenhand.web.app import make_app
from evenhand.web.served import OWN_NAMES, Site

HOST = "bench.local"
STUDY = "/studies/saltmarsh"


class device_on:  # noqa: N801  (used as a `with` word)
    """A device of the local network with the token of this scope."""

    def __init__(self, wb: Desk, scope: Scope) -> None:
        site = Site(wb=wb, now=lambda: NOW, hosts=OWN_NAMES | {HOST}, network=(f"http://{HOST}:8517/",))
        self.token = admit(wb, name="left phone", scope=scope, now=NOW).token
        self.client = TestClient(make_app(site), base_url=f"http://{HOST}", client=("192.0.2.7", 50000))

    def __enter__(self) -> TestClient:
        self.client.headers["authorization"] = f"Bearer {self.token}"
        return self.client.__enter__()

    def __exit__(self, *_: object) -> None:
        self.client.__exit__()


@pytest.fixture
def phone_client(wb: Desk) -> Iterator[TestClient]:
    make_plan(wb, "saltmarsh", Terms(looks=(20,)), seed=7, now=NOW)
    with device_on(wb, Scope.PHONE) as opened:
        yield opened


def pages(wb: Desk) -> list[str]:
    run = load_study(wb, "saltmarsh").runs[0].run.id
    parts = ("bench", "bench/plan", "bench/sheet", "bench/watch", "runs", "runs?show=all", f"runs/{run}")
    more = ("compare", "compare/left-out", "compare/cards", "strip?page=runs&at=/")
    return ["/", *(f"{STUDY}/{part}" for part in (*parts, *more))]


def led_to(text: str) -> set[str]:
    """Every address of this site that a page leads to or asks for by itself."""
    told = re.findall(r'(?:href|src|hx-get|action)="(/[^"#]*)', text)
    return {address.replace("&amp;", "&") for address in told}


def test_no_page_leads_a_phone_to_a_refusal(wb: Desk, phone_client: TestClient) -> None:
    ends = set()
    for page in pages(wb):
        answer = phone_client.get(page)
        assert answer.status_code == 200, page
        plain = re.sub(r"<form.*?</form>", "", answer.text, flags=re.DOTALL)
        ends |= {
            (page, address)
            for address in led_to(plain)
            if phone_client.head(address, follow_redirects=False).status_code == 403
        }
        ends |= {
            (page, action)
            for action in re.findall(r'<form method="post" action="([^"]*)"', answer.text)
            if not re.match(rf"{STUDY}/(bench|runs)", action)
        }
    assert ends == set()


def test_a_phone_is_told_what_its_owner_can_do_about_the_inbox_and_rigs(
    wb: Desk, phone_client: TestClient, client: TestClient
) -> None:
    arrive(wb, b"at,odd\n1,2\n", name="odd.csv", by="left bench", about={}, now=NOW)
    told, here = phone_client.get(f"{STUDY}/bench").text, client.get(f"{STUDY}/bench").text
    for words in ("Look at the inbox", "Let one in"):
        assert words in here
        assert words not in told
    assert "Nothing of it is lost. Tell whoever sits at the workbench’s own computer" in told
    assert "Rigs are let in at the workbench’s own computer" in told


def test_a_phones_list_of_pages_holds_what_it_may_open(phone_client: TestClient) -> None:
    steps = re.findall(r'<li[^>]*><a href="/studies/saltmarsh/(\w+)"', phone_client.get(f"{STUDY}/runs").text)
    assert set(steps) == {"bench", "runs", "compare"}


def test_a_phones_link_leads_to_the_bench(wb: Desk) -> None:
    with device_on(wb, Scope.PHONE) as phone:
        token = phone.headers["authorization"].removeprefix("Bearer ")
        answer = phone.get(f"/join?token={token}", follow_redirects=False)
        assert answer.headers["location"] == f"{STUDY}/bench"


@pytest.mark.parametrize(
    ("asked", "way"), [(f"{STUDY}/brief", f"{STUDY}/bench"), ("/inbox", "/"), ("/devices", "/")]
)
def test_a_refusal_says_what_the_device_may_do_and_leads_there(
    phone_client: TestClient, asked: str, way: str
) -> None:
    answer = phone_client.get(asked)
    assert answer.status_code == 403
    assert "left phone is not let in for this: it may use the bench page: note, decide" in answer.text
    assert f'class="btn main" href="{way}"' in answer.text


def test_a_program_is_told_in_its_own_form(phone_client: TestClient) -> None:
    error = phone_client.get("/api/studies").json()["error"]
    assert "it may use the bench page" in error["found"]


def test_a_phone_of_an_empty_workbench_is_told_where_to_begin(empty: Desk) -> None:
    with device_on(empty, Scope.PHONE) as phone:
        home = phone.get("/").text
    assert "begun at the workbench’s own computer" in home
    assert not led_to(home) & {"/studies/new", "/devices", "/inbox", "/drop", "/example"}


def test_a_device_that_may_do_all_is_not_led_to_letting_others_in(wb: Desk) -> None:
    with device_on(wb, Scope.FULL) as full:
        home = full.get("/").text
    assert "/devices" not in led_to(home)
    assert {"/inbox", "/studies/new"} <= led_to(home)


def test_this_computer_is_led_everywhere(client: TestClient) -> None:
    assert "/devices" in led_to(client.get(f"{STUDY}/bench").text)
    assert {"/inbox", "/devices", "/studies/new"} <= led_to(client.get("/").text)
