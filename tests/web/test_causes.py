"""The causes page: the answer, effects of parts, swaps with their caution, and honest empty states."""

from __future__ import annotations

import math
import re
import shutil
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from playwright.sync_api import Page
from starlette.testclient import TestClient
from tests.cli.test_causes_command import CORNERS
from tests.desk.swapped_folder import Made, swapped
from tests.web.conftest import NOW, client_of, serving
from tests.web.looking import Served, sound

from evenhand.demo.truth import true_effects
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.opening import Desk, open_desk
from evenhand.desk.pages.causes import OWN_SPREAD

PAGE = "/studies/mole/causes"


def brought(empty: Desk, tmp_path: Path, *setups: Made, compared: tuple[str, ...] = ()) -> Desk:
    import_folder(empty, swapped(*setups, compared=compared).write(tmp_path / "study"), now=NOW)
    return empty


@pytest.fixture
def swaps(empty: Desk, tmp_path: Path) -> Desk:
    """Two machines, their graphics cards exchanged in one test of two."""
    return brought(empty, tmp_path, *CORNERS, compared=("tern", "gull"))


@pytest.fixture
def site(swaps: Desk) -> Iterator[TestClient]:
    with client_of(swaps) as opened:
        yield opened


def words(answer: str) -> str:
    return " ".join(answer.replace("\u00a0", " ").split())


def test_it_opens_with_the_part_that_is_told_apart(site: TestClient) -> None:
    said = words(site.get(PAGE).text)
    assert (
        '<h1 class="answer">Graphics makes the difference in Quay; in Mole processor, board and graphics '
        "changed together, and no setup tells them apart.</h1>"
    ) in said
    assert "Puts Tern ahead" in said
    assert "What depends on what" in said


def test_bundles_are_outlined_and_causes_filled(site: TestClient) -> None:
    said = site.get(PAGE).text
    assert said.count('class="bar hol joint b') == 1
    assert 'class="bar b' in said


def test_swaps_come_with_their_time_and_a_caution(site: TestClient) -> None:
    said = words(site.get(PAGE).text)
    assert "To tell processor and board apart in Quay" in said
    assert "at the bench for the one new setup" in said
    assert "Before you open a machine" in said
    assert "wear an ESD strap" in said


def test_the_least_to_begin_with_stands_before_the_effort_for_all(saltmarsh: TestClient) -> None:
    said = words(saltmarsh.get("/studies/saltmarsh/causes").text)
    assert said.index("The least to begin with: Quarry Choir by itself, seven runs") < said.index(
        "About 29 h"
    )


def test_what_depends_on_what_has_its_own_axis_and_ends(site: TestClient) -> None:
    said = words(site.get(PAGE).text)
    depends = said[said.index("What depends on what") : said.index('id="differs"')]
    assert 'class="head"' in depends
    assert "less together" in depends
    assert "more together" in depends
    assert "level: within" in depends


def test_every_number_tells_of_whoever_its_words_put_ahead(saltmarsh: TestClient) -> None:
    said = words(saltmarsh.get("/studies/saltmarsh/causes").text)
    ahead = re.findall(r"[Pp]uts? (\w+) ahead</button> <small>(\w+) ([+−])", said)
    assert len(ahead) >= 6
    for leader, named, sign in ahead:
        assert (leader, sign) == (named, "+")


def test_any_two_setups_may_be_asked_for(site: TestClient) -> None:
    said = words(site.get(f"{PAGE}?pair=tern~tern-g0").text)
    assert (
        '<h1 class="answer">Graphics makes the difference in Quay; in Mole no run of both counts.</h1>'
        in said
    )
    assert site.get(f"{PAGE}?pair=tern~nobody").status_code == 404


def test_one_setup_alone_says_what_to_do(empty: Desk, tmp_path: Path) -> None:
    with client_of(brought(empty, tmp_path, CORNERS[0])) as site:
        said = site.get(PAGE)
    assert said.status_code == 200
    assert "One setup alone" in said.text
    assert "Add a second setup" in said.text


def test_programs_have_the_same(site: TestClient) -> None:
    told = site.get("/api/studies/mole/causes?pair=tern~gull").json()
    assert told["words"].startswith("Graphics makes the difference in Quay")
    assert {cause["test"] for cause in told["causes"]} == {"quay", "mole"}


def test_a_study_without_a_run_names_nothing_and_says_what_differs(empty: Desk, tmp_path: Path) -> None:
    folder = swapped(*CORNERS[:2])
    folder.runs.clear()
    import_folder(empty, folder.write(tmp_path / "study"), now=NOW)
    with client_of(empty) as site:
        said = words(site.get(PAGE).text)
    assert "Nothing has been measured yet, so nothing can be said of any part." in said
    assert "Part G1" in said
    assert "Once runs of both setups count" in said


@pytest.fixture
def saltmarsh(decided_file: Path, tmp_path: Path) -> Iterator[TestClient]:
    """The example with every decision made."""
    place = tmp_path / "bench.evenhand"
    shutil.copy(decided_file, place)
    with open_desk(place) as opened, client_of(opened) as site:
        yield site


def test_the_examples_true_effects_lie_inside_their_intervals(saltmarsh: TestClient) -> None:
    told = saltmarsh.get("/api/studies/saltmarsh/causes").json()
    assert told["words"] == (
        "Graphics makes the difference in Salt Causeway and Nine Tramlines; elsewhere processor, board and "
        "graphics changed together, and no setup tells them apart."
    )
    for test in ("causeway", "tramlines"):
        true = true_effects(test)
        found = {
            (cause["sort"], len(cause["changes"])): cause["effect"]
            for cause in told["causes"]
            if cause["test"] == test
        }
        expected = {("effect", 1): true.graphics, ("effect", 2): true.rest, ("interaction", 3): true.between}
        assert found.keys() == expected.keys()
        for key, effect in found.items():
            assert effect["low"] < math.exp(expected[key]) < effect["high"], (test, key)


def test_the_example_stands_on_rung_three_in_part(saltmarsh: TestClient) -> None:
    said = words(saltmarsh.get("/studies/saltmarsh/verdict").text)
    assert "Partly: for Salt Causeway and Nine Tramlines only, where a swap tells graphics apart" in said


def test_the_examples_noise_is_told_of_one_pair_and_refused_where_a_machine_idles_in_the_room(
    saltmarsh: TestClient,
) -> None:
    said = words(saltmarsh.get("/studies/saltmarsh/verdict").text)
    assert "In Salt Causeway, Dunlin is quieter than Plover by" in said
    other = words(saltmarsh.get("/studies/saltmarsh/verdict?pair=dunlin-mild~wren-mild").text)
    assert "too little to tell it from the room" in other


def test_the_swapped_machines_enter_no_comparison(saltmarsh: TestClient) -> None:
    found = saltmarsh.get("/api/studies/saltmarsh/findings").json()
    assert {f[side] for f in found["findings"] for side in ("a", "b")} == {
        "plover-mild", "dunlin-mild", "wren-mild",
    }  # fmt: skip


def test_it_has_no_barriers_and_fits_a_phone(swaps: Desk, phone: Page) -> None:
    with serving(swaps) as served:
        phone.goto(f"{served.url}{PAGE}")
        sound(phone)


NARROWEST = """() => {
  const names = [...document.querySelectorAll('.findings > li:not(.head) .t')];
  return Math.min(...names.map(name => name.offsetWidth / name.parentElement.offsetWidth));
}"""


def test_on_a_phone_no_name_is_pressed_into_a_narrow_column(served: Served, phone: Page) -> None:
    phone.goto(f"{served.url}/studies/saltmarsh/causes")
    assert phone.evaluate(NARROWEST) > 0.3


def test_marks_stand_on_the_axis_at_the_number_that_the_words_tell(saltmarsh: TestClient) -> None:
    said = words(saltmarsh.get("/studies/saltmarsh/causes").text)
    effects = said[said.index('id="effects"') : said.index("What depends on what")]
    ticks = re.findall(r'<text class="mut" x="([\d.]+)%" y="48"[^>]*>(\d+)', effects)
    reach = float(ticks[-1][1]) / (float(ticks[-1][0]) / 50 - 1)
    row = re.search(
        r"Nine Tramlines, graphics: Puts Dunlin ahead, Dunlin \+([\d.]+) %.*?<svg x=\"([\d.]+)%", effects
    )
    assert row is not None
    told, at = map(float, row.groups())
    assert (50 - at) / 50 * reach == pytest.approx(told, abs=0.1)
    assert [float(tick) for _, tick in ticks] == [float(tick) for _, tick in reversed(ticks)]


def test_what_is_settled_wears_no_ring_of_doubt(empty: Desk, tmp_path: Path) -> None:
    more = (*CORNERS[:3], replace(CORNERS[3], logs={"quay": 4.05}))  # 9 % less beside the other board
    with client_of(brought(empty, tmp_path, *more, compared=("tern", "gull"))) as site:
        said = words(site.get(PAGE).text)
    together = re.search(r"<button[^>]*>(<svg[^>]*>(?:(?!</button>).)*</svg>)Together they do more", said)
    assert together is not None
    assert "stroke-dasharray" not in together[1]


def test_it_says_why_compare_tells_another_interval_where_others_have_runs(site: TestClient) -> None:
    assert OWN_SPREAD in words(site.get(PAGE).text)


def test_where_only_the_two_have_runs_the_intervals_are_those_of_compare(empty: Desk, tmp_path: Path) -> None:
    with client_of(brought(empty, tmp_path, *CORNERS[:2])) as alone:
        said = words(alone.get(PAGE).text)
    assert "Outlined" in said
    assert OWN_SPREAD not in said
