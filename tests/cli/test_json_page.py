"""docs/formats-json.md explains and shows every key of every answer, and none that is never there."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest
from tests.cli.conftest import Command
from tests.cli.json_asked import Answers, answered
from tests.cli.json_page import SECTIONS, explained, shown
from tests.desk.small_folder import Folder

from evenhand.cli import main


@pytest.fixture
def answers(evenhand: Command, folder: Folder, tmp_path: Path) -> Answers:
    return answered(evenhand, folder, tmp_path)


DECIDED = ("keep", "set-aside", "replace", "reopen")


def parts_that_go_out(answers: Answers) -> Iterator[tuple[str, list[Mapping[str, Any]]]]:
    yield "`publish`", [{k: answers["publish"][k] for k in ("again", "moved", "untold", "undrawn")}]
    yield "An edition", [answers["moved"]["since"], *answers["editions"]["editions"]]
    yield "A move", answers["moved"]["moved"]
    yield "A sentence of an answer", answers["ask"]["answers"]
    yield "A touched figure", answers["touched"]["script"]
    yield "A touched sentence", answers["touched"]["sentences"]
    yield "A touched card", answers["touched"]["cards"]
    yield "`imprint`, `link`", [answers["imprint"], answers["link"]]
    yield "A link", answers["link"]["links"]
    yield "What comes out otherwise", answers["doctored"]["differing"]
    yield "Something due", answers["due"]["due"]
    yield "A disclosure", answers["disclosures"]["disclosures"]


def parts_of_verdicts(told: Any) -> Iterator[tuple[str, list[Mapping[str, Any]]]]:
    """What `verdict` holds."""
    audiences = told["audiences"]
    yield "An audience", audiences
    yield "A verdict", [verdict for each in audiences for verdict in each["verdicts"]]
    yield "A verdict's claims", told["claims"]
    yield "A flip", [flip for each in audiences for flip in (*each["flips"], *each["two_changes"])]


def parts_of_comparisons(told: Any) -> Iterator[tuple[str, list[Mapping[str, Any]]]]:
    """What `compare` holds."""
    yield "A finding", told["findings"]
    yield "What would settle it", [f["settle"] for f in told["findings"] if f["settle"]]
    yield "An index", told["index"]
    yield "An index with one test left out", [o for i in told["index"] for o in i["leave_one_out"]]
    yield "An exclusion", told["exclusions"]
    yield "A frozen result", [told["frozen"]]
    yield "A changed term", told["changed_terms"]


def parts_of_causes(told: Any) -> Iterator[tuple[str, list[Mapping[str, Any]]]]:
    """What `causes` holds."""
    yield "A difference between setups", told["differences"]
    yield "A cause", told["causes"]
    yield "A plan of swaps", told["swaps"]
    yield "What limits a test", told["limits"]


BY_NAME = (
    "import", "columns", "studies", "runs", "photos", "photo-add", "photo-remove", "compare", "causes",
    "verdict", "audience", "price", "prices", "sound", "offer", "offers", "rate", "rates",
    "tuned", "trial", "trials", "tuning", "watts", "heat", "gain",
    "parts", "told", "part", "fit", "money", "assume", "better", "paths",
    "editions", "moved", "due", "ask", "bundle", "verify", "article", "texts", "report", "disclose",
    "disclosures", "results", "history", "learned", "plan", "show-names", "put-away", "bring-back",
    "chart", "cards", "shots", "cut", "export", "backup", "check",
)  # fmt: skip
"""Verbs whose answer is one object, with a section of its own."""


def parts(answers: Answers) -> Iterator[tuple[str, list[Mapping[str, Any]]]]:
    """Each section of the page with the objects it is about."""
    runs = answers["runs"]["runs"]
    for verb in BY_NAME:
        yield f"`{verb}`", [answers[verb]]
    yield "`keep`, `set-aside`, `replace`, `reopen`", [answers[verb] for verb in DECIDED]
    yield "A refused file", answers["import"]["refused"]
    yield "A shared order", answers["import"]["shared_orders"]
    yield "What came of tuned parts", [answers["import"]["tuned"]]
    yield "A guess", answers["columns"]["columns"]
    yield "A study", answers["studies"]["studies"]
    yield "A run", [*runs, answers["keep"]["run"]]
    yield "A photo", answers["photos"]["photos"]
    yield "A masked run", answers["masked"]["runs"]
    yield "A fault", [fault for run in runs for fault in run["faults"]]
    yield "`run`", [{k: v for k, v in answers["run"].items() if k not in runs[0]}]
    yield "A flaw of a log", answers["run"]["flaws"]
    yield "A decision", answers["run"]["decisions"]
    yield "A ground of a decision", [g for d in answers["run"]["decisions"] for g in d["grounds"]]
    yield from parts_of_comparisons(answers["compare"])
    yield from parts_of_causes(answers["causes"])
    yield from parts_that_go_out(answers)
    yield from parts_of_verdicts(answers["verdict"])
    yield "What an audience says", [answers["audience"]["audience"]]
    yield "A price", [answers["price"]["price"], *answers["prices"]["prices"]]
    yield "A sound reading", answers["sound"]["readings"]
    yield from parts_of_parts(answers)
    yield from parts_of_offers(answers)
    yield from parts_of_tuning(answers)
    yield from parts_of_scripts(answers)
    yield "`compare`", [answers["result"]]
    yield "A recalled result", [answers["result"]["frozen"], *answers["results"]["results"]]
    yield "A change", answers["history"]["changes"]
    told = answers["history"]["decisions"]
    assert all(decision.pop("run") for decision in told)
    yield "A decision", told
    yield "What is learned of a test", answers["learned"]["learned"]
    yield "A planned test", answers["plan"]["tests"]
    yield "A slot", answers["plan"]["slots"]
    yield "Evidence left out", answers["chart"]["not_drawn"]
    yield "A card", answers["cards"]["cards"]
    yield "An error", [answers["error"]]
    yield "What went wrong", [answers["error"]["error"]]


def parts_of_offers(answers: Answers) -> Iterator[tuple[str, list[Mapping[str, Any]]]]:
    yield "An offer", [answers["offer"]["offer"], *answers["offers"]["offers"]]
    never_there = ("without_rate", "to_come", "used_beside_new")
    pasts = answers["offers"]["parts"].values()
    yield "A price over time", [{k: v for k, v in past.items() if k not in never_there} for past in pasts]
    yield "A table of offers", [answers["offers"]["table"]]
    yield "An exchange rate", [answers["rate"]["rate"], *answers["rates"]["rates"]]


def parts_of_tuning(answers: Answers) -> Iterator[tuple[str, list[Mapping[str, Any]]]]:
    series = answers["tuning"]["series"]
    points = [point for each in series for point in each["points"]]
    yield "A limit", answers["tuned"]["limits"]
    yield "A trial that runs", answers["trials"]["under_way"]
    yield "A trial", [answers["trial"]["trial"], *answers["trials"]["trials"]]
    yield "A series of trials", series
    yield "What comes next", [each["next"] for each in series]
    yield "Advice for a clock", [advice for each in series for advice in each["advice"]]
    yield "A point that was tried", points
    yield "A claim of hours", [point["claim"] for point in points]
    meters = answers["watts"]["meters"]
    yield "Watts of one meter", meters
    yield "A law of watts", [meter["law"] for meter in meters]
    yield "Watts at a point", [point for meter in meters for point in meter["at"]]
    best = [meter["most_per_joule"] for meter in meters]
    yield "The most work for a joule", best
    yield "A point of the law of watts", [point for each in best for point in each["line"]]
    gain = answers["gain"]
    yield "A gain by test", gain["tests"]
    yield "Watts of a tuned setup", [gain["watts"]]
    yield "Decibels and kelvins of a tuned setup", gain["gaps"]
    yield "An outlook", [outlook for each in series for outlook in each["outlooks"]]
    heat = answers["heat"]
    yield "A temperature log", heat["logs"]
    yield "What a temperature log tells", [heat["heat"]]
    yield "A heat outlook", [heat["heat"]["outlook"]]
    yield "A clock that heat allows", [heat["heat"]["clock"]]


def parts_of_parts(answers: Answers) -> Iterator[tuple[str, list[Mapping[str, Any]]]]:
    builds = answers["fit"]["builds"]
    yield "A part", answers["parts"]["parts"]
    yield "A table of parts", [answers["part table"]["table"]]
    yield "A fact of a part", answers["part"]["facts"]
    yield "What a rig told", answers["told"]["rigs"]
    yield "A told part", [part for rig in answers["told"]["rigs"] for part in rig["parts"]]
    yield "Whether a build fits", builds
    yield "An answer of a rule", [rule for build in builds for rule in build["rules"]]
    yield "A power budget", [build["power"] for build in builds if build["power"]]
    yield "What each gives for the money", [answers["money"]["value"]]
    yield "The days of a pair", answers["money"]["days"]
    yield "The days of all at once", [answers["money of three"]["led"]]
    yield "What each costs to own", [answers["money"]["owning"]]
    yield "A choice of parts", answers["better"]["choices"]
    yield "A course", [*answers["paths"]["unbeaten"], *answers["paths"]["furthest"]]


def parts_of_scripts(answers: Answers) -> Iterator[tuple[str, list[Mapping[str, Any]]]]:
    yield "`script`", [answers["script"]]
    yield "An objection", answers["script"]["objections"]
    yield "A chapter", answers["script"]["chapters"]
    yield "A cue", answers["script"]["cards"]
    yield "A shot", answers["shots"]["shots"]


def test_every_key_of_every_answer_is_explained_and_shown(answers: Answers) -> None:
    seen = set()
    for title, objects in parts(answers):
        seen.add(title)
        assert objects, f"nothing was answered for {title}"
        for answer in objects:
            assert set(answer) == explained(title), f"docs/formats-json.md, {title}"
        assert shown(title) == explained(title), f"the example of {title} in docs/formats-json.md"
    # The demo's answer is looked at beside the demo, and that of open beside open: both take their time.
    assert set(SECTIONS) - seen == {"`demo`", "A planted fault", "`open`"}


def test_every_command_has_its_place_on_the_page() -> None:
    told = " ".join(title for title in SECTIONS)
    assert all(f"`{name}`" in told for name in main.evenhand.commands)
