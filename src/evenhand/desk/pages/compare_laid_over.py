"""One scene laid over itself: the runs of both setups along it, and the places where one loses time."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.desk.comparison.findings_now import findings_now
from evenhand.desk.logs.measuring import window_of
from evenhand.desk.names import names_of
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.pages.compare_choice import Asked, Choice, choose
from evenhand.desk.pages.frame import Frame, frame_of
from evenhand.errors import NotFound
from evenhand.findings.laid_over import Axis, LaidOver, lay_over
from evenhand.publish.direction import isolated
from evenhand.publish.figures.laid_over import laid_over_figure, spot_words, whole_words
from evenhand.publish.figures.thinning import Floats
from evenhand.publish.numbers import capital, counted
from evenhand.publish.picture import Picture
from evenhand.records.tests import Measures
from evenhand.store import traces
from evenhand.store.workbench import Workbench
from evenhand.traces.codec import unpack
from evenhand.traces.cutting import cut

MOST_RUNS = 8  # of each setup, the first in the order made: more would only thicken the lines


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidOverPage:
    """The picture, the places in words, and what was laid over what, or why nothing could be."""

    frame: Frame
    heading: str
    about: str
    figure: Picture | None
    spots: tuple[str, ...]
    whole: str
    back: str


def laid_over_page(wb: Workbench, study: str, asked: Asked) -> LaidOverPage:
    """The scene of the test that is asked for, in its pair."""
    record = load_study(wb, study)
    choice = choose(record, findings_now(record), asked)
    if choice is None or not choice.test:
        raise NotFound("no test of two setups to lay over itself", where=study, todo="see the comparison")
    return wb.lately(("laid over", choice), lambda: page_of(wb, record, choice))


def page_of(wb: Workbench, record: StudyOnRecord, choice: Choice) -> LaidOverPage:
    """The page of one choice."""
    names, test = names_of(record), record.tests[choice.test]
    sides = [frames_of(wb, record, choice.test, setup) for setup in choice.pair]
    laid = lay_over(*sides, margin=record.study.margin) if all(sides) else None
    heading = f"{isolated(test.name)}, laid over itself"
    shown = LaidOverPage(
        frame=frame_of(record, "compare"),
        heading=heading,
        about=why_not(record, choice, sides),
        figure=None,
        spots=(),
        whole="",
        back=f"{choice.address}#laid-over",
    )
    if laid is None:
        return shown
    spots = spot_words(laid, choice.pair, names)
    return LaidOverPage(
        frame=shown.frame,
        heading=heading,
        about=about_of(laid, sides),
        figure=laid_over_figure(laid, choice.pair, names, margin=record.study.margin),
        spots=spots,
        whole="" if spots else whole_words(laid, choice.pair, names),
        back=shown.back,
    )


def frames_of(wb: Workbench, record: StudyOnRecord, test: str, setup: str) -> list[Floats]:
    """Frame times of the runs that count, in ms, as far as they are measured."""
    counting = [each for each in record.cell(test, setup) if each.state.counts and each.run.log]
    if record.tests[test].measures is not Measures.FRAMES:
        return []
    packed = traces.packed_traces(wb, [each.run.id for each in counting[:MOST_RUNS]])
    windows = {each.run.id: window_of(record.tests[test], each.run) for each in counting}
    return [cut(unpack(data), windows[run]).frame_times_ms for run, data in packed.items()]


def why_not(record: StudyOnRecord, choice: Choice, sides: list[list[Floats]]) -> str:
    """Why there is nothing to be laid over each other."""
    if record.tests[choice.test].measures is not Measures.FRAMES:
        return "This test leaves a score behind, and no frames that could be laid over each other."
    if not all(sides):
        return "Both setups need a run that counts before the scene can be laid over itself."
    return (
        "The runs neither last alike nor hold as many frames: no second of one answers to one of the other."
    )


def about_of(laid: LaidOver, sides: list[list[Floats]]) -> str:
    """What was laid over what, and by what it is aligned."""
    runs = " and ".join(counted(len(side), "run") for side in sides)
    by = "second, as the clock plays it" if laid.axis is Axis.TIME else "frame, as it plays frame by frame"
    return f"{capital(runs)}, each moved onto the others so that every place is the same {by}."
