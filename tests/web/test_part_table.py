"""A table of parts on the site: pasted, its columns said, kept and undone."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page
from starlette.testclient import TestClient
from tests.web.looking import Served, axe_violations, too_wide

PLACE = "/studies/saltmarsh/tables/parts"
PARTS = "/studies/saltmarsh/builds/parts"
TABLE = "Model,Way,Height (mm)\nBrellow Breeze,air,157\nBrellow Gale,liquid,unknown\nBrellow Mist,air,tall\n"
SAID = {
    "text": TABLE, "columns": "3", "column-0": "name", "column-1": "way", "column-2": "height_mm",
    "kind": "cooler", "was": "cooler", "source": "a data sheet",
}  # fmt: skip


def test_a_table_is_read_before_anything_is_kept_and_undone_as_a_whole(client: TestClient) -> None:
    page = client.post(PLACE, data={"text": TABLE})
    assert "One new part and three new facts in three rows, one of which cannot be read." in page.text
    assert '<option value="cooler" selected>' in page.text
    assert "Brellow Breeze: height 157\u00a0mm" in page.text
    assert "height: ‘tall’ cannot be read" in page.text
    for unsaid in (page, client.post(f"{PLACE}/keep", data=SAID | {"source": " "})):
        assert "Say where the facts of this table are from" in unsaid.text
        assert "Keep what is new" not in unsaid.text
    assert "157\u00a0mm" not in client.get(f"{PARTS}/brellow-breeze").text
    kept = client.post(f"{PLACE}/keep", data=SAID)
    assert "One part and three facts of the table are on record now." in kept.text
    assert "157\u00a0mm" in client.get(f"{PARTS}/brellow-breeze").text
    assert "Looked for, not known" in client.get(f"{PARTS}/brellow-gale").text
    numbers = kept.text.partition('name="numbers" value="')[2].partition('"')[0]
    undone = client.post(f"{PLACE}/undo", data={"numbers": numbers})
    assert "3 facts stand as before the table." in undone.text
    assert '<span class="value">155\u00a0mm</span>' in client.get(f"{PARTS}/brellow-breeze").text
    back = undone.text.partition('name="numbers" value="')[2].partition('"')[0]
    again = client.post(f"{PLACE}/undo", data={"numbers": back, "again": "yes"})
    assert "3 facts stand as in the table." in again.text
    assert '<span class="value">157\u00a0mm</span>' in client.get(f"{PARTS}/brellow-breeze").text


def test_the_next_table_of_the_same_header_needs_no_question(client: TestClient) -> None:
    own = TABLE.replace("Way", "Kind").replace("Height (mm)", "Up to the top")
    asked = client.post(PLACE, data={"text": own})
    assert "Known already" not in asked.text
    client.post(f"{PLACE}/keep", data=SAID | {"text": own, "source": "a list"})
    known = client.post(PLACE, data={"text": own.replace("157", "158")})
    assert "A table with this header was kept on" in known.text
    assert "height 158\u00a0mm" in known.text
    assert '<input id="all-source" name="source" value="a list"' in known.text
    assert "Keep what is new in one row" in known.text
    assert '<option value="height_mm" selected>' in known.text.partition('id="columns-said"')[2]
    changed = client.post(PLACE, data=SAID | {"text": own, "column-2": ""})
    assert "Known already" not in changed.text, "what is said otherwise is not what was said before"


def test_rows_that_cannot_be_are_given_back_with_the_reason(client: TestClient) -> None:
    for sent in (SAID, SAID | {"was": "cooler", "column-1": ""}):
        answer = client.post(f"{PLACE}/refused.csv", data=sent)
        assert answer.text.splitlines()[0] == "line,why not,Model,Way,Height (mm)"
        assert answer.text.splitlines()[1].startswith("4,")
    kept = client.post(f"{PLACE}/keep", data=SAID).text
    form = kept.partition("refused.csv")[2].partition("</form>")[0]
    assert '<input type="hidden" name="was" value="cooler">' in form


def test_of_another_kind_the_columns_are_proposed_anew(client: TestClient) -> None:
    page = client.post(f"{PLACE}/keep", data=SAID | {"kind": "memory"})
    assert "What each column is" in page.text
    assert '<option value="height_mm" selected>Height with its heat spreader, mm</option>' in page.text
    assert "way of cooling" not in page.text.casefold()


def test_nothing_pasted_is_told(client: TestClient) -> None:
    page = client.post(PLACE, data={"text": " "})
    assert page.status_code == 422
    assert "Nothing was pasted or chosen" in page.text


@pytest.mark.parametrize("pasted", [False, True])
def test_it_is_in_nobodys_way(served: Served, page: Page, pasted: bool) -> None:
    page.set_viewport_size({"width": 360, "height": 780})
    page.goto(served.url + PLACE)
    if pasted:
        page.get_by_label("Paste it").fill(TABLE)
        page.get_by_role("button", name="Read what was pasted").click()
        page.get_by_text("The first rows, as read").wait_for()
    assert axe_violations(page) == []
    assert not too_wide(page)
