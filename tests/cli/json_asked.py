"""Every command asked once, about a small study that has something of everything: for `test_json_page`."""

from __future__ import annotations

import hashlib
import os
import zipfile
from collections.abc import Callable, Mapping
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from tests.cli.conftest import Command
from tests.cli.test_verdict_command import with_a_third
from tests.desk.money.small_market import lay_market
from tests.desk.small_folder import NOW, Folder, small_folder, weighed
from tests.desk.tuning.tuned_pair import measured, pair
from tests.desk.tuning.warm_log import LOG
from tests.images.drawn import png

from evenhand.desk.parts.told_by_rigs import take_in
from evenhand.desk.tuning.under_way import Heard, hear
from evenhand.editions.bundle import SUMS, sums, zip_into
from evenhand.store.workbench import open_workbench

Answers = Mapping[str, Any]


def answered(evenhand: Command, folder: Folder, tmp_path: Path) -> Answers:
    """What every command says about a study with a fault, decisions, an unsettled pair and a refused log."""
    weighed(folder)
    log = folder.files["logs/wren-causeway-2.csv"].replace(b"\n", b"\n# a note\n", 2)
    folder.files["copy.csv"] = folder.files["logs/wren-causeway-2.csv"] = log
    folder.files["logs/wren-tramlines-1.csv"] = b""
    order = folder.run("wren causeway 2")["order"]
    folder.runs.append(
        {"test": "causeway", "setup": "wren", "label": "copy", "log": "copy.csv", "order": order}
    )
    for number, score in ((1, 10.35), (2, 9.85), (3, 10.2)):
        folder.run(f"wren render {number}")["score"] = score
    said: dict[str, Any] = {}

    def ask(name: str, *arguments: object) -> None:
        said[name] = evenhand(*arguments, "--json").json

    ask("import", "import", folder.write(tmp_path / "study"))
    ask_about_photos(ask, tmp_path / "side.png")
    ask("columns", "columns", tmp_path / "study" / "copy.csv")
    ask("studies", "studies")
    ask("runs", "runs", "quay")
    ask("masked", "runs", "quay", "--masked")
    ask("set-aside", "set-aside", "copy", "--reason", "duplicate")
    ask("reopen", "reopen", "copy")
    ask("replace", "replace", "copy", "--by", "wren causeway 2")
    ask("keep", "keep", "wren render 1")
    ask("cut", "cut", "wren causeway 1", "--from", "0.5")
    ask("run", "run", "copy")
    folder.document["study"]["weights"] = {"render": 2.0}
    folder.run("copy")["boot"] = "wren-9"
    two_machines(folder)
    evenhand("import", folder.write(tmp_path / "study"))
    ask("compare", "compare", "quay")
    ask("causes", "causes", "quay")
    ask("verdict", "verdict", "quay", "--two")
    ask_about_scripts(ask, tmp_path / "narration.md")
    ask("audience", "audience", "quay", "play", "--group", "games=4", "--test", "render=1")
    ask("price", "price", "wren", "700")
    ask("prices", "prices", "quay")
    ask("sound", "sound", "quay", "wren", "--level", "39", "--background", "27", "--test", "causeway")
    ask_what_goes_out(ask, tmp_path)
    ask("results", "results", "quay")
    ask("result", "results", "quay", "1")
    for asked in (("history", "quay"), ("learned",)):
        ask(asked[0], *asked)
    ask("plan", "plan", "quay", "--looks", "12")
    ask("show-names", "show-names", "quay")
    for verb in ("put-away", "bring-back"):
        ask(verb, verb, "quay")
    ask_about_pictures(ask, tmp_path)
    with_supply(folder)
    ask_about_parts(evenhand, ask, folder.write(tmp_path / "study"))
    ask_about_money(evenhand, ask, tmp_path)
    ask("export", "export", "quay", tmp_path / "out")
    ask_last(evenhand, ask, tmp_path)
    return said


def ask_last(evenhand: Command, ask: Callable[..., None], tmp_path: Path) -> None:
    ask("backup", "backup", tmp_path / "copy.evenhand")
    ask("check", "check")
    ask("error", "compare", "quai")
    evenhand("import", measured(pair()).write(tmp_path / "tuned"))
    ask("gain", "gain", "mole", "tuned")


def ask_about_photos(ask: Callable[..., None], photo: Path) -> None:
    photo.write_bytes(png())
    ask("photo-add", "photo-add", "wren", photo, "--alt", "The open side")
    ask("photos", "photos", "wren")
    ask("photo-remove", "photo-remove", "wren", "1")


def ask_about_parts(evenhand: Command, ask: Callable[..., None], study: Path) -> None:
    evenhand("import", study)
    evenhand("parts", "--kind", "supply", "--add", "Osk 450")
    evenhand("part", "k6", "--source", "the box", "--fact", "socket=Q5", "--fact", "power_w=65")
    table = study / "coolers.csv"
    table.write_text("Model;Height (mm)\nBrellow Gale;155\n;120\n")
    ask("part table", "parts", "--file", table)
    ask("parts", "parts")
    ask("part", "part", "k6")
    ask("fit", "fit", "quay")
    with open_workbench(study.parent / "bench.evenhand") as wb:
        disc = {"kind": "storage", "name": "Slate", "source": "/sys/block", "facts": {"capacity_gb": 1000}}
        take_in(wb, "a", "left bench", None, parts=[disc], untold=[{"what": "a", "why": "b"}], now=NOW)
    ask("told", "told")
    ask_about_tuning(ask)
    ask_about_heat(ask, study.parent / "warm.csv")


def ask_about_heat(ask: Callable[..., None], log: Path) -> None:
    log.write_bytes(LOG)
    ask("warm columns", "columns", log, "--confirm")
    ask("heat", "heat", "wren", "--log", log, "--cooler", "0.15±0.02")


def ask_about_tuning(ask: Callable[..., None]) -> None:
    stock = ("--clock", "4400", "--voltage", "1175", "--clock-step", "50", "--voltage-step", "5")
    ask("tuned", "tuned", "wren", "processor", *stock, "--limit", "voltage=1400", "--source", "data sheet")
    for voltage, hours, outcome in (
        (1175, 1, "passed"), (1160, 0.2, "passed"), (1170, 0.1, "crash"), (1155, 0.1, "crash"),
        (1150, 0.03, "crash"), (1145, 0.01, "crash"),
    ):  # fmt: skip
        said = ("--load", "integers", "--hours", hours, "--outcome", outcome)
        ask("trial", "trial", "wren", "processor", "--clock", "4400", "--voltage", voltage, *said)
    with open_workbench(Path(os.environ["EVENHAND_WORKBENCH"])) as wb:
        word = {"key": "a", "setup": "wren", "part": "processor", "clock_mhz": 4400.0, "voltage_mv": 1175.0}
        told = {**word, "load": "integers", "hours": 0.1, "planned_h": 1.0}
        hear(wb, told, rig="a", by="left bench", heard=Heard(), now=NOW)
    ask("trials", "trials", "wren")
    ask("tuning", "tuning", "wren", "--points")
    ask_about_watts(ask)


def ask_about_watts(ask: Callable[..., None]) -> None:
    for clock, voltage, watts in ((3000, 1000, 52), (3600, 1050, 66), (4400, 1175, 97), (4450, 1200, 102)):
        said = ("--clock", clock, "--voltage", voltage, "--load", "integers", "--hours", 1)
        ask("weighed", "trial", "wren", "processor", *said, "--watts", watts, "--watts-at", "wall")
    ask("watts", "watts", "wren")


def ask_about_money(evenhand: Command, ask: Callable[..., None], tmp_path: Path) -> None:
    ask_about_offers(ask, tmp_path)
    with open_workbench(tmp_path / "bench.evenhand") as wb:
        lay_market(wb)
    ask("better", "better", "quay", "--budget", "1200")
    given = ("--repairs", "20", "--cash", "150", "--saved", "15", "--budget", "1000", "--years", "4")
    ask("assume", "assume", "quay", *given)
    ask("money", "money", "quay", "--hours", "900..1500", "--tariff", "0.3")
    ask("paths", "paths", "quay")
    ask_of_three(evenhand, ask, tmp_path)


def ask_of_three(evenhand: Command, ask: Callable[..., None], place: Path) -> None:
    """Who led of all is told of three builds and more: on a workbench of its own."""
    own = ("--workbench", place / "three.evenhand")
    evenhand(*own, "import", with_a_third(weighed(small_folder("three"))).write(place / "three"))
    ask("money of three", *own, "money", "three")


def ask_about_offers(ask: Callable[..., None], tmp_path: Path) -> None:
    table = tmp_path / "list.csv"
    table.write_text("part,price,day\nk6,310,2026-05-04\nk7,310,2026-05-04\n", encoding="utf-8")
    ask("rate", "rate", "mk", "2.45", "--of-decimals", "2")
    ask("rates", "rates")
    ask("offer", "offer", "k6", "310", "--shipping", "9")
    ask("offers", "offers", "quay", "--file", table, "--confirm")


def ask_about_scripts(ask: Callable[..., None], narration: Path) -> None:
    narration.write_text("## Power\n\n[card: headline]\n\nPlover is future-proof.\n", encoding="utf-8")
    ask("script", "script", "quay", narration)
    ask("shots", "shots", "quay", narration)


def ask_about_pictures(ask: Callable[..., None], place: Path) -> None:
    ask("chart", "chart", "quay", place / "pictures")
    ask("cards", "cards", "quay", place / "cards")


def ask_what_goes_out(ask: Callable[..., None], place: Path) -> None:
    ask("imprint", "imprint", "--name", "The Harbour Bench")
    ask("link", "link", "The card", "https://shop.example/lantern", "--part", "l40")
    told = place / "narration.md"
    told.write_text(
        "## Prices\n\nOne costs {price of wren}, one {price of plover}. Wren has the Nimtal K6.\n"
    )
    ask("said", "script", "quay", told, "--save")
    ask("publish", "publish", "quay", "--as-it-is", "prices stand in the description")
    ask("bundle", "bundle", "quay", place / "quay.zip")
    ask("verify", "verify", place / "quay.zip")
    ask("doctored", "verify", doctored(place / "quay.zip"))
    ask("texts", "texts", "quay")
    ask("report", "report", "quay", place / "quay.pdf")
    ask("article", "article", "quay", place / "article")
    ask("disclose", "disclose", "k6", "loan", "--by", "Nimtal")
    ask("disclosures", "disclosures", "quay")
    ask("moved", "moved", "quay")
    ask("editions", "editions", "quay")
    ask("unpriced", "prices", "quay", "--take-back", "2")
    ask("due", "due", "quay")
    ask("ask", "ask", "quay", "Is Plover ahead of Wren?")
    ask("touched", "moved", "quay")
    ask("priced", "prices", "quay", "--put-back", "2")


def doctored(bundle: Path) -> Path:
    """A bundle that claims another number than its logs give, checksums and all."""
    with zipfile.ZipFile(bundle) as archive:
        files = {name: archive.read(name) for name in archive.namelist()}
    files["snapshot.json"] = files["snapshot.json"].replace(b'"state": "landed"', b'"state": "kept"', 1)
    del files[SUMS]
    files[SUMS] = sums({name: hashlib.sha256(data).hexdigest() for name, data in files.items()})
    other = bundle.with_name("doctored.zip")
    with other.open("w+b") as target:
        zip_into(target, files.items(), at=datetime(2031, 5, 4, tzinfo=UTC))
    return other


def two_machines(folder: Folder) -> None:
    """Both builds with a processor and a graphics card of their own, under one system."""
    kinds = {"k6": "processor", "k8": "processor", "l20": "graphics", "l40": "graphics"}
    folder.document["parts"] = [{"key": key, "kind": kind, "name": key} for key, kind in kinds.items()]
    for build, own in zip(folder.document["builds"], (["k6", "l20"], ["k8", "l40"]), strict=True):
        build["parts"] = own
    for setup in folder.document["setups"]:
        setup["stamps"] = {"os": "Tern 9"}


def with_supply(folder: Folder) -> None:
    """The first build with a supply, too."""
    folder.document["parts"].append({"key": "osk-450", "kind": "supply", "name": "Osk 450"})
    folder.document["builds"][0]["parts"].append("osk-450")
