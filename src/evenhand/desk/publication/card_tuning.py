"""What cards show of tuned parts: the map, the hours behind claims, watts, warmth, the gain over stock."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from evenhand.desk.comparison.charting import Set
from evenhand.desk.publication.card_ground import CardGround
from evenhand.desk.tuning.asking_watts import watts_of_study
from evenhand.desk.tuning.gain_pictures import gain_pictures
from evenhand.desk.tuning.gained import Gained, gained_of
from evenhand.desk.tuning.heat import last_told
from evenhand.desk.tuning.heat_scene import heat_foot, heat_scene
from evenhand.desk.tuning.of_study import now_of, tuned_of
from evenhand.desk.tuning.scenes import claim_scene, map_for_readers
from evenhand.desk.tuning.series import series_of
from evenhand.desk.tuning.watts_scene import watts_scenes
from evenhand.publish.figures.tuning.claim_bar import claim_bar
from evenhand.publish.figures.tuning.heat_curve import heat_curve
from evenhand.publish.figures.tuning.map import tuning_map
from evenhand.publish.figures.tuning.watts_curve import watts_curve
from evenhand.publish.style import Style
from evenhand.records.trials import Tuned


def tuning_sets(ground: CardGround, style: Style) -> Iterator[Set]:
    """The cards of each tuned part of a setup that is compared: under its last load, and of its last log."""
    compared = set(ground.record.study.setups)
    tuned = [each for each in tuned_of(ground.wb, ground.record) if each.setup in compared]
    for part in tuned:
        name = _word(part, tuned)
        yield from _trial_cards(ground, part, name, style)
        yield from _heat_card(ground, part, name, style)
    yield from _gains(ground, list(dict.fromkeys(part.setup for part in tuned)), style)


def _trial_cards(ground: CardGround, part: Tuned, name: str, style: Style) -> Iterator[Set]:
    now = now_of(ground.record, series_of(ground.wb, part.setup, part.part)[0])
    if not now.series.trials:
        return
    yield Set(f"tuning-{name}", (tuning_map(map_for_readers(now), ground.names, style=style),))
    scene = claim_scene(now)
    if scene is not None:
        yield Set(f"hours-{name}", (claim_bar(scene, ground.names, style=style),))
    drawn = next(watts_scenes(now, watts_of_study(ground.wb, ground.record, now)), None)
    if drawn is not None:
        yield Set(f"watts-{name}", (watts_curve(drawn, ground.names, style=style),))


def _heat_card(ground: CardGround, part: Tuned, name: str, style: Style) -> Iterator[Set]:
    """How warm it gets, by the temperature log that tells most."""
    now = last_told(ground.wb, part)
    scene = None if now is None or now.fit is None else heat_scene(now, settles=True, foot=heat_foot(now))
    if scene is not None:
        yield Set(f"heat-{name}", (heat_curve(scene, ground.names, style=style),))


def _gains(ground: CardGround, setups: Sequence[str], style: Style) -> Iterator[Set]:
    """What each tuned setup gained over stock of its build, where runs tell it."""
    for setup in setups:
        found = gained_of(ground.wb, ground.record, setup)
        if isinstance(found, Gained):
            pictures = gain_pictures(found, ground.record, ground.names, style=style)
            if pictures:
                yield Set(f"gain-{setup}", pictures)


def _word(part: Tuned, every: list[Tuned]) -> str:
    """The part in a file's name: its setup, and which of its tuned parts where it has several."""
    own = [each.part for each in every if each.setup == part.setup]
    return part.setup if len(own) == 1 else f"{part.setup}-{own.index(part.part) + 1}"
