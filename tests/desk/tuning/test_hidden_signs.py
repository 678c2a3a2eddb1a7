"""Words of a person's own: a sign that nobody sees is refused, one that turns the writing is shown apart."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from tests.desk.small_folder import LATER, NOW
from tests.desk.tuning.small_chip import TRIAL, lay_limit, tried
from tests.desk.tuning.warm_log import brought

from evenhand.desk.logs.exporting import export_study
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.names import names_of
from evenhand.desk.on_record import load_study
from evenhand.desk.publication.article_tuning import tuned_shown
from evenhand.desk.tuning import noting
from evenhand.desk.tuning.heat_noting import take_back_heat
from evenhand.errors import BadRecord
from evenhand.publish.tuning.claims import claim_words, may_words
from evenhand.publish.tuning.trials import trial_words, turn_words
from evenhand.publish.tuning.words import limit_words, series_words
from evenhand.records.turns import Turn
from evenhand.store import heat as heat_store
from evenhand.store import trials as trial_store
from evenhand.store.workbench import Workbench, open_workbench
from evenhand.tuning.claims import claim

HIDDEN = ["\x00", "\x1b[2K", "\x07", "\x7f", "\x9b31m", "\ud800"]
TURNS = "\u202efasted\u2066 \u05d0\u05d1"
APART = "\u2068\u202efasted \u05d0\u05d1\u2069"
OF = ("wren", "processor")


@pytest.mark.parametrize("sign", HIDDEN)
@pytest.mark.parametrize(
    ("field", "given"),
    [
        ("load", lambda word: {"load": word}),
        ("note", lambda word: {"note": word}),
        ("key", lambda word: {"key": word}),
        ("settings", lambda word: {"settings": {"fan": word}}),
        ("settings", lambda word: {"settings": {word: "fixed"}}),
    ],
)
def test_a_trial_with_a_hidden_sign_is_refused_at_its_field(
    bench: Workbench, sign: str, field: str, given: Any
) -> None:
    with pytest.raises(BadRecord) as refused:
        noting.note_trial(bench, {**TRIAL, **given(f"held{sign} on")}, now=NOW)
    assert refused.value.where == field
    assert "has a sign in it that nobody sees" in refused.value.found
    assert str(refused.value).isprintable()
    assert trial_store.trials_of(bench, ["wren"], ever=True) == ()


@pytest.mark.parametrize("sign", HIDDEN)
def test_a_limit_a_log_and_a_reason_with_a_hidden_sign_are_refused(bench: Workbench, sign: str) -> None:
    (trial,) = tried(bench, [TRIAL])
    with pytest.raises(BadRecord, match="source"):
        lay_limit(bench, source=f"page{sign} 14")
    with pytest.raises(BadRecord, match="note"):
        brought(bench, note=f"panel{sign} on")
    with pytest.raises(BadRecord, match="nobody sees"):
        noting.take_back_trial(bench, *OF, trial.id, f"a{sign} slip", now=NOW)
    assert heat_store.heat_of(bench, ["wren"], ever=True) == ()
    assert len(noting.tuned_part(bench, *OF).limits) == 1
    assert trial_store.turns(bench) == {}


@pytest.mark.parametrize("field", ["load", "note", "by", "source", "reason"])
def test_a_folder_with_a_hidden_sign_is_refused_with_its_line(
    bench: Workbench, tmp_path: Path, field: str
) -> None:
    (trial,) = tried(bench, [{**TRIAL, "note": "a note"}])
    noting.take_back_trial(bench, *OF, trial.id, "a slip", now=NOW)
    export_study(bench, "quay", tmp_path / "out")
    file = tmp_path / "out" / "study.toml"
    text = file.read_text(encoding="utf-8")
    if field == "by":
        text = text.replace('load = "', 'by = "the rig"\nload = "')
    at = text.index(f'{field} = "', text.index("[[tuned]]")) + len(field) + 4
    file.write_text(f"{text[:at]}\\u0000{text[at:]}", encoding="utf-8")
    with pytest.raises(BadRecord, match=rf"line \d+.*'{field}' has a sign in it that nobody sees, U\+0000"):
        import_folder(bench, tmp_path / "out", now=LATER)


def test_a_folder_that_names_a_setting_so_is_refused_without_repeating_it(
    bench: Workbench, tmp_path: Path
) -> None:
    tried(bench, [{**TRIAL, "settings": {"fan": "fixed"}}])
    export_study(bench, "quay", tmp_path / "out")
    file = tmp_path / "out" / "study.toml"
    text = file.read_text(encoding="utf-8").replace('fan = "fixed"', '"fa\\u001bn" = "fixed"')
    file.write_text(text, encoding="utf-8")
    with pytest.raises(BadRecord, match=r"'settings' has a sign in it that nobody sees, U\+001B") as refused:
        import_folder(bench, tmp_path / "out", now=LATER)
    assert str(refused.value).isprintable()


def test_a_note_may_have_lines_and_a_load_has_one(bench: Workbench) -> None:
    tried(bench, [{**TRIAL, "note": "panel on\nfan fixed"}])
    with pytest.raises(BadRecord, match="the end of a line"):
        noting.note_trial(bench, {**TRIAL, "load": "integers\nhidden"}, now=NOW)


def test_what_turns_the_writing_is_kept_as_typed_and_comes_back(bench: Workbench, tmp_path: Path) -> None:
    (trial,) = tried(bench, [{**TRIAL, "load": TURNS, "note": TURNS}])
    noting.take_back_trial(bench, *OF, trial.id, TURNS, now=NOW)
    lay_limit(bench, source=TURNS)
    export_study(bench, "quay", tmp_path / "out")
    with open_workbench(tmp_path / "other.evenhand") as other:
        import_folder(other, tmp_path / "out", now=LATER)
        assert trial_store.trials_of(other, ["wren"], ever=True) == (trial,)
        assert trial_store.reasons(other) == {1: TURNS}


def test_in_every_sentence_it_stands_apart(bench: Workbench) -> None:
    (trial,) = tried(bench, [{**TRIAL, "load": TURNS, "settings": {TURNS: TURNS}}])
    limit = lay_limit(bench, source=TURNS)
    found = claim([trial])
    turns = (Turn(counts=False, reason=TURNS, at=NOW),)
    said = (
        trial_words(trial, offset=False), limit_words(limit), claim_words(found, TURNS),
        may_words(found, TURNS)[0], may_words(found, TURNS)[1][-1], *turn_words(turns),
        series_words(TURNS, {TURNS: TURNS}, 1),
    )  # fmt: skip
    for sentence in said:
        assert APART in sentence
        assert "\u202e" not in sentence.replace(APART, "")


def test_in_an_article_it_stands_apart(bench: Workbench) -> None:
    trials = tried(bench, [{**TRIAL, "load": TURNS}, {**TRIAL, "load": TURNS, "hours": 1.0}])
    noting.take_back_trial(bench, *OF, trials[0].id, TURNS, now=NOW)
    log = brought(bench).heat
    take_back_heat(bench, *OF, log.id, TURNS, now=NOW)
    record = load_study(bench, "quay")
    (part,) = tuned_shown(bench, record, names_of(record))
    told = [*(each.load for each in part.series), *(each.load for each in part.trials), part.trials[0].back]
    assert told == [APART] * 4
