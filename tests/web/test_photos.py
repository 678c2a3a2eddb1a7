"""Photos of builds in the browser and for programs: added, described, looked at, taken away, closed."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Page, expect
from starlette.testclient import TestClient
from tests.images.drawn import JPEG, NOTES, noted_jpeg, noted_png, noted_webp, png
from tests.web.conftest import NOW
from tests.web.looking import Served, axe_violations, sound, too_wide

from evenhand.desk.bench.hiding import hide_names
from evenhand.desk.bench.plan_needs import Terms
from evenhand.desk.bench.planning import make_plan
from evenhand.desk.logs.exporting import export_study
from evenhand.desk.opening import Desk
from evenhand.desk.study.photos import GivenPhoto, Told, add_photo, photo_words

BUILDS = "/studies/saltmarsh/builds"
WREN = f"{BUILDS}/wren/photos"
API = "/api/builds/wren/photos"
SIDE = {"alt": "The open side: <one> fan in front", "caption": "As measured", "taken_on": "2031-05-04"}


def send(client: TestClient, data: bytes = b"", *, name: str = "side.jpg", **typed: str) -> int:
    """Sends a photo by the page's form; the status."""
    answer = client.post(WREN, data=typed, files={"photo": (name, data)}, follow_redirects=False)
    return answer.status_code


@pytest.fixture
def kept(client: TestClient) -> TestClient:
    """With two photos of Wren, one of them described."""
    assert send(client, noted_jpeg(6), **SIDE) == 303
    assert send(client, noted_png(), name="back.png") == 303
    return client


def test_a_photo_stands_on_the_builds_page_with_what_is_said_of_it(kept: TestClient) -> None:
    text = kept.get(BUILDS).text
    assert 'alt="The open side: &lt;one&gt; fan in front"' in text
    assert "As measured · Taken on 4 May 2031" in text
    assert 'alt="Photo 2 of Wren, not described yet"' in text
    assert text.count("Not described yet.") == 1
    assert "Two photos of Wren; one is not described yet." in kept.get(WREN).text


def test_the_form_on_the_builds_page_leads_back_there(client: TestClient) -> None:
    answer = client.post(
        WREN, data={"back": "builds"}, files={"photo": ("a.png", png())}, follow_redirects=False
    )
    assert answer.headers["location"] == f"{BUILDS}#photos-wren"


def test_several_at_once_are_kept_each_and_the_words_are_the_first_ones(client: TestClient) -> None:
    client.post(WREN, data=SIDE, files=[("photo", ("a.jpg", JPEG)), ("photo", ("b.png", png()))])
    found = client.get(API).json()["photos"]
    assert [each["alt"] for each in found] == [SIDE["alt"], ""]


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "No photo was chosen"),
        (b"frame [ms]\n16.7\n", "this is no picture that browsers show"),
        (b"<svg xmlns='http://www.w3.org/2000/svg' onload='x'/>", "this is no picture"),
        (JPEG[:300], "the picture is cut off or damaged"),
        (png(30_000, 30_000), "30,000 × 30,000 pixels are too many"),
        (JPEG.ljust(26 * 2**20, b"\0"), "the picture is too large: 26 MB"),
    ],
    ids=["nothing", "a table", "svg", "half", "a bomb", "too large"],
)
def test_what_is_no_photo_is_told_where_it_was_sent_and_the_words_stay(
    client: TestClient, data: bytes, words: str
) -> None:
    answer = client.post(WREN, data=SIDE, files={"photo": ("side.png", data)})
    assert answer.status_code == 422
    assert words in answer.text
    assert 'value="As measured"' in answer.text
    assert client.get(API).json()["photos"] == []


def test_a_photo_is_described_later(kept: TestClient) -> None:
    kept.post(f"{WREN}/2/words", data={"alt": "The back", "taken_on": ""})
    assert 'alt="The back"' in kept.get(BUILDS).text
    wrong = kept.post(f"{WREN}/2/words", data={"alt": "Back", "taken_on": "some day"})
    assert wrong.status_code == 422
    assert "&#39;some day&#39; is no day" in wrong.text


def test_one_taken_away_can_be_put_back_and_nothing_is_deleted(kept: TestClient, wb: Desk) -> None:
    page = kept.post(f"{WREN}/1/away").text
    assert "The photo is off the page; it stays on record." in page
    assert f'action="{WREN}/1/back"' in page
    assert SIDE["caption"] not in kept.get(BUILDS).text
    assert "was taken off the page" in kept.get(f"{WREN}/1").text
    kept.post(f"{WREN}/1/back")
    assert SIDE["caption"] in kept.get(BUILDS).text
    with wb.reading() as conn:
        assert conn.execute("SELECT count(*) FROM build_photos").fetchone()[0] == 2
        assert conn.execute("SELECT count(*) FROM build_photo_words").fetchone()[0] == 4


def test_a_picture_is_handed_out_as_one_in_which_nothing_runs(kept: TestClient) -> None:
    for address in (f"{WREN}/1/picture.jpg", f"{API}/1/picture"):
        answer = kept.get(address)
        told = answer.headers
        assert (told["content-type"], told["content-disposition"]) == ("image/jpeg", "inline")
        assert told["x-content-type-options"] == "nosniff"
        assert told["content-security-policy"] == "default-src 'none'; sandbox"
        again = kept.get(address, headers={"If-None-Match": told["etag"]})
        assert (again.status_code, again.content) == (304, b"")


def test_no_way_out_tells_the_place(client: TestClient, wb: Desk, tmp_path: Path) -> None:
    for name, data in (("a.jpg", noted_jpeg()), ("b.png", noted_png()), ("c.webp", noted_webp())):
        assert send(client, data, name=name) == 303
    handed = [client.get(f"{WREN}/{n}/picture.x").content for n in (1, 2, 3)]
    handed += [client.get(f"{API}/{n}/picture").content for n in (1, 2, 3)]
    out = export_study(wb, "saltmarsh", tmp_path / "out").folder / "photos"
    handed += [path.read_bytes() for path in sorted(out.iterdir())]
    assert len(handed) == 9
    assert not [data for data in handed if any(note in data for note in NOTES)]


def test_programs_add_describe_take_away_and_put_back(client: TestClient) -> None:
    made = client.post(API, data=SIDE, files={"file": ("side.jpg", noted_jpeg())}).json()
    own = made["photo"]
    assert (own["alt"], own["media"], made["again"]) == (SIDE["alt"], "image/jpeg", False)
    assert client.post(API, files={"file": ("other.jpg", JPEG)}).json()["again"]
    place = f"{API}/{own['number']}"
    assert client.put(place, json={"alt": "Side"}).json()["photo"]["caption"] == ""
    assert client.delete(place).json()["photo"]["away"]
    assert client.get(API).json()["photos"] == []
    assert not client.post(f"{place}/back").json()["photo"]["away"]
    assert client.post(API, files={"file": ("log.png", b"frame")}).status_code == 422
    assert client.get("/api/builds/nobody/photos").status_code == 404
    assert client.get("/api/builds/plover/photos/1/picture").status_code == 404


def test_photos_are_closed_while_names_are_hidden(kept: TestClient, wb: Desk) -> None:
    plan = make_plan(wb, "saltmarsh", Terms(looks=(20,)), seed=7, now=NOW)
    hide_names(wb, plan.id, by="this computer", now=NOW)
    page = kept.get(BUILDS).text
    assert "Photos are closed while names are hidden" in page
    assert "picture.jpg" not in page
    assert "so this page is closed" in kept.get(f"{WREN}/1").text
    for address in (f"{WREN}/1/picture.jpg", API, f"{API}/1/picture"):
        assert kept.get(address).status_code == 409
    assert kept.post(API, files={"file": ("side.jpg", png())}).status_code == 409


def test_it_is_sound_on_a_phone_and_by_keyboard(phone: Page, served: Served) -> None:
    told = Told(by="this computer", now=NOW)
    for data in (noted_jpeg(6), noted_webp()):
        add_photo(served.wb, "wren", GivenPhoto(data=data, name="a", words=photo_words()), told)
    phone.goto(f"{served.url}{WREN}")
    expect(phone.get_by_role("heading", level=1)).to_contain_text("Two photos of Wren")
    # Photos are fetched as one comes to them.
    for picture, width in zip(phone.locator(".album img").all(), (16, 24), strict=True):
        picture.scroll_into_view_if_needed()
        expect(picture).to_have_js_property("naturalWidth", width)
    sound(phone)
    phone.locator(".album a").first.focus()
    phone.keyboard.press("Enter")
    phone.get_by_label("What it shows").fill("The open side")
    phone.get_by_role("button", name="Save").press("Enter")
    expect(phone.get_by_role("img", name="The open side")).to_be_visible()
    assert axe_violations(phone) == []
    assert not too_wide(phone)


def test_a_photo_is_added_on_the_builds_page(page: Page, served: Served) -> None:
    page.goto(f"{served.url}{BUILDS}")
    page.get_by_text("Add photos of Wren").click()
    card = page.locator("#photos-wren")
    card.get_by_label("Photos of Wren").set_input_files(
        {"name": "side.png", "mimeType": "image/png", "buffer": png()}
    )
    card.get_by_label("What it shows").fill("The open side")
    assert axe_violations(page) == []
    card.get_by_role("button", name="Keep the photos").click()
    expect(page.get_by_role("img", name="The open side")).to_be_visible()
    assert axe_violations(page) == []


def test_the_bench_leads_to_the_photos_of_each_build_while_names_are_shown(
    client: TestClient, wb: Desk
) -> None:
    bench = "/studies/saltmarsh/bench"
    assert f'<a href="{WREN}">Wren</a>' in client.get(bench).text
    plan = make_plan(wb, "saltmarsh", Terms(looks=(20,)), seed=7, now=NOW)
    hide_names(wb, plan.id, by="this computer", now=NOW)
    assert WREN not in client.get(bench).text
