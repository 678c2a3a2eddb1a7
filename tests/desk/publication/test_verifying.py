"""A bundle is worked out again from its logs; whatever was altered is found and named."""

from __future__ import annotations

import hashlib
import io
import json
import random
import shutil
import zipfile
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from tests.desk.small_folder import LATER, NOW, small_folder, weighed
from tests.once import once

from evenhand.cli.bundles import answer, tell
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.publication import verifying
from evenhand.desk.publication.article_files import texts_of, write_article
from evenhand.desk.publication.bundling import write_bundle
from evenhand.desk.publication.publishing import publish
from evenhand.desk.publication.verifying import Verified, files_below, verify
from evenhand.editions.bundle import sums, zip_into
from evenhand.editions.snapshot import from_text
from evenhand.errors import BadRecord, EvenhandError, NotFound
from evenhand.store.workbench import Workbench, open_workbench


@pytest.fixture
def wb(tmp_path: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workbench]:
    shutil.copy(once(tmp_path_factory, "published-signed", signed) / "bench.evenhand", tmp_path)
    with open_workbench(tmp_path / "bench.evenhand") as opened:
        yield opened


def signed(place: Path) -> None:
    """An edition whose first log names who made it, and its bundle."""
    folder = weighed(small_folder())
    log = folder.files["logs/wren-causeway-1.csv"]
    folder.files["logs/wren-causeway-1.csv"] = b"# user: mira.tern\n" + log
    with open_workbench(place / "bench.evenhand") as wb:
        import_folder(wb, folder.write(place / "study"), now=NOW)
        publish(wb, "quay", now=NOW)
        write_bundle(wb, "quay", place / "quay.zip")


@pytest.fixture
def bundle(tmp_path: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return Path(shutil.copy(once(tmp_path_factory, "published-signed", signed) / "quay.zip", tmp_path))


def verified(bundle: Path, *, published: str = "") -> Verified:
    return verify(bundle, now=LATER, watch=lambda *_: None, published=published)


def is_sound(bundle: Path) -> bool:
    """Whether it is as it went out; one that cannot be opened at all is not."""
    try:
        return verified(bundle).sound
    except BadRecord:
        return False


def repacked(bundle: Path, change: Callable[[dict[str, bytes]], None], *, summed: bool = False) -> Path:
    with zipfile.ZipFile(bundle) as archive:
        files = {name: archive.read(name) for name in archive.namelist()}
    change(files)
    if summed:
        files["checksums.sha256"] = sums(
            {n: hashlib.sha256(d).hexdigest() for n, d in files.items() if n != "checksums.sha256"}
        )
    other = bundle.with_name("other.zip")
    with zipfile.ZipFile(other, "w") as archive:
        for name, data in files.items():
            archive.writestr(name, data)
    return other


def test_everything_that_was_published_comes_out_of_the_logs_again(bundle: Path) -> None:
    found = verified(bundle)
    assert found.sound
    assert found.again is not None
    assert found.again.matching["figures"] > 30
    assert found.again.matching["sentences"] > 5
    assert found.again.matching["numbers of runs"] > 100


def test_names_do_not_go_out_and_the_masked_logs_still_give_the_numbers(bundle: Path) -> None:
    with zipfile.ZipFile(bundle) as archive:
        assert not any(b"mira.tern" in archive.read(name) for name in archive.namelist())
        (told,) = json.loads(archive.read("masked.json"))
    assert told["path"] == "study/logs/wren-causeway-1.csv"
    assert verified(bundle).sound


def test_the_same_edition_is_the_same_bundle_to_the_byte(wb: Workbench, bundle: Path, tmp_path: Path) -> None:
    again = write_bundle(wb, "quay", tmp_path / "again.zip").path
    assert again.read_bytes() == bundle.read_bytes()


def test_a_file_that_is_there_is_not_overwritten(wb: Workbench, bundle: Path) -> None:
    before = bundle.read_bytes()
    with pytest.raises(BadRecord, match="there is a file already"):
        write_bundle(wb, "quay", bundle)
    assert bundle.read_bytes() == before


def test_an_edition_that_is_not_there_is_told(wb: Workbench, bundle: Path, tmp_path: Path) -> None:
    with pytest.raises(NotFound, match="has no edition 7"):
        write_bundle(wb, "quay", tmp_path / "seven.zip", number=7)


@pytest.mark.parametrize("part", range(3, 100, 8))
def test_one_altered_byte_anywhere_is_found(bundle: Path, part: int) -> None:
    whole = bytearray(bundle.read_bytes())
    whole[len(whole) * part // 100] ^= 1
    bundle.write_bytes(whole)
    assert not is_sound(bundle)


def test_an_altered_file_is_named_and_nothing_worked_out(bundle: Path) -> None:
    def change(files: dict[str, bytes]) -> None:
        files["study/logs/wren-causeway-2.csv"] = files["study/logs/wren-causeway-2.csv"].replace(
            b"1", b"2", 1
        )

    found = verified(repacked(bundle, change))
    (told,) = found.damage
    assert told.startswith("study/logs/wren-causeway-2.csv and its checksum in checksums.sha256 disagree")
    assert found.again is None
    assert not found.digest


def test_a_spoilt_list_is_blamed_itself_and_not_the_file_that_it_told_of(bundle: Path) -> None:
    def change(files: dict[str, bytes]) -> None:
        files["checksums.sha256"] = b"x" + files["checksums.sha256"][1:]

    damage = verified(repacked(bundle, change)).damage
    assert damage == ("checksums.sha256, line 1, is no checksum: the list itself was altered",)


def unpacked(bundle: Path) -> Path:
    folder = bundle.with_name("unpacked")
    with zipfile.ZipFile(bundle) as archive:
        archive.extractall(folder)
    return folder


def test_the_digest_of_the_whole_is_one_that_was_told_elsewhere(wb: Workbench, bundle: Path) -> None:
    """It is in the description of the video and on the page, and the usual tool gives it as well."""
    found = verified(bundle)
    _, told = texts_of(wb, "quay")
    assert f"Digest of its data: {found.digest}" in told["description.txt"]
    page = write_article(wb, "quay", bundle.parent / "out").folder / "index.html"
    assert found.digest in page.read_text("utf-8")
    assert found.digest == hashlib.sha256((unpacked(bundle) / "checksums.sha256").read_bytes()).hexdigest()
    assert verified(bundle, published=f"sha256:{found.digest.upper()} ").sound


def test_a_folder_is_verified_as_well_and_one_mended_with_its_list_is_another_bundle(bundle: Path) -> None:
    published, folder = verified(bundle).digest, unpacked(bundle)
    assert verified(folder, published=published).sound
    (folder / "CITATION.cff").write_bytes((folder / "CITATION.cff").read_bytes().replace(b"quay", b"mole"))
    assert "CITATION.cff and its checksum" in verified(folder).damage[0]
    files = {name: (folder / name).read_bytes() for name in files_below(folder) if name != "checksums.sha256"}
    (folder / "checksums.sha256").write_bytes(
        sums({name: hashlib.sha256(data).hexdigest() for name, data in files.items()})
    )
    mended = verified(folder, published=published)
    assert not mended.damage
    assert mended.another
    assert not mended.sound
    assert mended.digest != published


def test_a_folder_with_a_link_in_it_and_a_digest_that_is_none_are_refused(bundle: Path) -> None:
    with pytest.raises(BadRecord, match="no digest"):
        verified(bundle, published="abc")
    folder = unpacked(bundle)
    (folder / "study" / "more.csv").symlink_to("/etc/hostname")
    with pytest.raises(BadRecord, match="is a link to another file"):
        verified(folder)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('"type": "number"', '"type": "integer"', "is told as integer, and holds"),
        ('"name": "setup"', '"name": "machine"', "tells the columns"),
        ('"hash": "sha256:', '"hash": "sha256:0', "tells another hash than it has"),
        ('"path": "tables/prices.csv"', '"path": "tables/costs.csv"', "says nothing of tables/prices.csv"),
        ('"form": 1', '"form": 7', "tells form 7"),
    ],
)
def test_a_descriptor_that_says_other_than_its_tables_is_told(
    bundle: Path, old: str, new: str, said: str
) -> None:
    def change(files: dict[str, bytes]) -> None:
        told = files["datapackage.json"].decode()
        assert old in told
        files["datapackage.json"] = told.replace(old, new).encode()

    other = repacked(bundle, change, summed=True)
    seal_again(other)
    found = verified(other)
    assert any(said in each for each in found.tables)
    assert not found.sound


def test_what_was_packed_anew_says_that_its_list_may_have_been_mended(bundle: Path) -> None:
    found = verified(repacked(bundle, lambda files: files.update({"README.md": b"x"}), summed=True))
    (told,) = found.damage
    assert told.startswith("the archive was altered, or packed anew")
    assert "may have been mended" in told


def test_what_is_missing_or_was_added_is_named(bundle: Path) -> None:
    def change(files: dict[str, bytes]) -> None:
        del files["README.md"]
        files["more.txt"] = b"more"

    damage = verified(repacked(bundle, change)).damage
    assert "README.md is missing" in damage
    assert any(each.startswith("more.txt is not in") for each in damage)


def test_a_number_that_was_doctored_with_its_checksums_comes_out_otherwise(bundle: Path) -> None:
    def change(files: dict[str, bytes]) -> None:
        told = json.loads(files["snapshot.json"])
        told["figures"]["rate of wren in causeway"]["value"] *= 1.01
        files["snapshot.json"] = json.dumps(told).encode()

    other = repacked(bundle, change, summed=True)
    seal_again(other)
    found = verified(other)
    assert not found.damage
    assert "tables/figures.csv does not say what the snapshot says" in found.tables
    assert found.again is not None
    assert [d.name for d in found.again.differing] == ["rate of wren in causeway"]


def seal_again(path: Path) -> None:
    with zipfile.ZipFile(path) as archive:
        files = [(name, archive.read(name)) for name in archive.namelist()]
    written = io.BytesIO()
    zip_into(written, files, at=datetime(2031, 5, 4, tzinfo=UTC))
    path.write_bytes(written.getvalue())


@pytest.mark.parametrize("name", ["../evil.txt", "/evil.txt", "a/../../evil.txt", "C:evil.txt"])
def test_what_leads_out_of_the_folder_is_refused_before_anything_is_unpacked(bundle: Path, name: str) -> None:
    other = repacked(bundle, lambda files: files.update({name: b"x"}))
    with pytest.raises(BadRecord, match=r"(?s)member.*fetch it again"):
        verified(other)
    assert not (bundle.parent / "evil.txt").exists()


def test_a_newer_bundle_is_refused_in_words(bundle: Path) -> None:
    def change(files: dict[str, bytes]) -> None:
        files["snapshot.json"] = files["snapshot.json"].replace(b'"form": 1', b'"form": 9')

    other = repacked(bundle, change, summed=True)
    seal_again(other)
    with pytest.raises(BadRecord, match="newer than this Evenhand"):
        verified(other)


def test_what_is_no_bundle_is_refused(tmp_path: Path) -> None:
    with pytest.raises(BadRecord, match="no such file"):
        verified(tmp_path / "nowhere.zip")
    for name, data in (("a.zip", b"PK\x03\x04 nonsense"), ("b.zip", b"")):
        (tmp_path / name).write_bytes(data)
        with pytest.raises(BadRecord):
            verified(tmp_path / name)
    with zipfile.ZipFile(tmp_path / "c.zip", "w") as archive:
        archive.writestr("a.txt", "a")
    with pytest.raises(BadRecord, match=r"holds no snapshot\.json"):
        verified(tmp_path / "c.zip")


def spoilt(told: Any, rng: random.Random) -> None:
    """Takes away one entry, wherever it lies in a JSON document, or puts something else in its place."""
    within = told
    while True:
        key = rng.choice(list(within) if isinstance(within, dict) else range(len(within)))
        inner = within[key]
        if not isinstance(inner, dict | list) or not inner or rng.random() < 0.3:
            break
        within = inner
    if rng.random() < 0.4:
        del within[key]
    else:
        within[key] = rng.choice([None, True, -1, 3.5, 10**30, "", "x", [], [1], {}, {"a": 1}, [[]]])


def test_no_damage_of_a_snapshot_or_descriptor_ends_otherwise_than_in_words(
    bundle: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """What it was altered to need not be found, where no number rests on it: only, it is told in words."""
    folder = unpacked(bundle)
    whole = from_text((folder / "snapshot.json").read_text("utf-8"), where="here")
    monkeypatch.setattr(verifying, "worked_out", lambda *_, **__: (whole, ()))
    rng, refused, told_of = random.Random(20310504), 0, 0
    before = {name: (folder / name).read_text("utf-8") for name in ("snapshot.json", "datapackage.json")}
    for i in range(32):
        name = ("snapshot.json", "datapackage.json")[i % 4 == 3]
        told = json.loads(before[name])
        spoilt(told, rng)
        (folder / name).write_text(json.dumps(told), "utf-8")
        mend_list(folder)
        try:
            found = verified(folder)
            tell(found, folder)
            json.dumps(answer(found, folder), allow_nan=False)
            told_of += not found.sound
        except EvenhandError as error:
            refused += bool(str(error))
        (folder / name).write_text(before[name], "utf-8")
    capsys.readouterr()
    assert refused > 3
    assert told_of > 0


def test_a_log_that_was_exchanged_with_its_checksum_is_named_though_no_number_rests_on_it(
    bundle: Path,
) -> None:
    folder = unpacked(bundle)
    log = folder / "study" / "logs" / "wren-causeway-1.csv"
    log.write_bytes(log.read_bytes().replace(b"# user: xxxx.xxxx", b"# user: else.body", 1))
    mend_list(folder)
    found = verified(folder)
    called = "wren causeway 1 (causeway, wren)"
    assert found.logs == (f"study/logs/wren-causeway-1.csv is not the log with which {called} went out",)
    assert not found.sound


def test_where_every_log_is_right_the_study_or_the_snapshot_is_named(bundle: Path) -> None:
    folder = unpacked(bundle)
    place = folder / "study" / "study.toml"
    told = place.read_text("utf-8")
    assert "score = 10.041" in told
    place.write_text(told.replace("score = 10.041", "score = 10.441"), "utf-8")
    mend_list(folder)
    (said,) = verified(folder).logs
    assert "study/study.toml" in said


def test_a_study_that_cannot_be_brought_in_is_named_by_where_it_lies_in_the_bundle(bundle: Path) -> None:
    folder = unpacked(bundle)
    (folder / "study" / "study.toml").write_text("[study]\nkey = 3\n", "utf-8")
    mend_list(folder)
    with pytest.raises(BadRecord, match=r"(?s)^study/study\.toml.*from where it was published"):
        verified(folder)


def mend_list(folder: Path) -> None:
    files = {name: folder / name for name in files_below(folder) if name != "checksums.sha256"}
    listed = {name: hashlib.sha256(path.read_bytes()).hexdigest() for name, path in files.items()}
    (folder / "checksums.sha256").write_bytes(sums(listed))


@pytest.mark.parametrize("row", ["a\n", "a,b,c,d,e,f,g,h\n", ""])
def test_a_table_of_uneven_rows_is_told_in_words(bundle: Path, row: str) -> None:
    folder = unpacked(bundle)
    table = folder / "tables" / "prices.csv"
    table.write_bytes((table.read_bytes() if row else b"") + row.encode())
    mend_list(folder)
    found = verified(folder)
    assert "tables/prices.csv does not say what the snapshot says" in found.tables


def test_that_it_agrees_with_itself_is_said_only_where_nothing_differs(
    bundle: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = unpacked(bundle)
    tell(verified(folder), folder)
    assert "Shown: the bundle agrees with itself." in capsys.readouterr().out
    told = json.loads((folder / "snapshot.json").read_text("utf-8"))
    told["refusals"] = []
    (folder / "snapshot.json").write_text(json.dumps(told), "utf-8")
    mend_list(folder)
    tell(verified(folder), folder)
    said = capsys.readouterr().out
    assert "tables/refusals.csv does not say what the snapshot says" in said
    assert "Shown: the bundle agrees" not in said
    assert "The bundle does NOT agree with itself" in said
