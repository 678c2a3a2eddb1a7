"""The faults that were planted in the Saltmarsh folder, so that a demo can tell whether all were found."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Planted:
    """One planted fault: the run it sits in, the file that shows it, the kind to be found, the story.

    `label` is the run's label in the study; `file` is relative to the folder.
    """

    label: str
    file: str
    kind: str
    story: str


PLANTED = (
    Planted(
        label="Plover, Hollow Regatta 3",
        file="logs/plover/regatta-3.csv",
        kind="rate-cap",
        story="a limiter was left on: held at 143.9 fps, where its siblings reach 165",
    ),
    Planted(
        label="Dunlin, Night render, hot room",
        file="sensors/dunlin/render-hot.csv",
        kind="throttling",
        story="in a room of 29.6 °C the processor falls from 4.70 to 4.15 GHz at minute 9",
    ),
    Planted(
        label="Wren, Salt Causeway 2, first go",
        file="logs/wren/causeway-2-first.csv",
        kind="other-settings",
        story="recorded at 1600 × 900 instead of 1920 × 1080, and 9.5 % quicker for it",
    ),
    Planted(
        label="tramlines-final-2",
        file="logs/plover/tramlines-final-2.txt",
        kind="twin",
        story="a copy of Plover's fourth Tramlines log, cut by two seconds and renamed",
    ),
    Planted(
        label="Dunlin, Ember Parish 2",
        file="logs/dunlin/ember-2.jsonl",
        kind="mixed-stamps",
        story="made on driver 31.6, its siblings on 31.4; its rate looks like theirs",
    ),
)
"""Five faults: the first and the last take a good run's place, the other three come on top."""
