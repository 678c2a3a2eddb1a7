"""On pages too a name written from right to left turns no figure beside it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from tests.desk.small_folder import NOW, small_folder, weighed

from evenhand.desk.logs.importing import import_folder
from evenhand.desk.opening import Desk

BUILD, AUDIENCE, TEST = "طائر", "משחק", "גשר 3"


@pytest.mark.parametrize("page", ["compare", "verdict"])
def test_a_name_in_a_sentence_has_an_element_of_its_own(
    empty: Desk, empty_client: TestClient, tmp_path: Path, page: str
) -> None:
    folder = weighed(small_folder())
    folder.document["builds"][0]["name"] = BUILD
    folder.document["tests"][0]["name"] = TEST
    folder.document["study"]["audiences"][0]["name"] = AUDIENCE
    import_folder(empty, folder.write(tmp_path / "study"), now=NOW)
    text = empty_client.get(f"/studies/quay/{page}").text
    (answer,) = re.findall(r'(?s)<h1 class="answer">(.*?)</h1>', text)
    assert f"<bdi>{BUILD}</bdi>" in answer
    assert not re.search("[\u0590-\u06ff]", re.sub("<bdi>[^<]*</bdi>", "", answer))
