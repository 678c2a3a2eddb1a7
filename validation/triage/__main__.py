"""Print how many good runs triage holds, and how many planted faults it finds.

python -m validation.triage --good 2000 --faulty 300 --n 2 3 5 --workers 2 --seed 1

The page in the documents is drawn anew, what is written there by hand left as it is, by:
python -m validation.triage --fresh --workers 16 --into docs/methods-triage-measured.md
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator, Mapping
from datetime import UTC, datetime
from pathlib import Path

from validation.triage.keeping import Kept
from validation.triage.plants import PLANTS
from validation.triage.redraw import redrawn
from validation.triage.report import report
from validation.triage.showing import progress
from validation.triage.table import FIRST_FRESH, Line, Tally, fresh_seed, lines, run_lines
from validation.triage.tables import text
from validation.triage.warm import warm_up_table

ROOT = Path(__file__).resolve().parent.parent.parent


def main() -> None:
    """Judge what was asked for and print it."""
    asked = _words().parse_args()
    if asked.keep and not asked.fresh:
        raise SystemExit(
            "--keep needs --fresh: another seed would not tell that the sources have changed since."
        )
    seed = fresh_seed(ROOT) if asked.fresh else asked.seed
    wanted = lines(asked.good, asked.faulty, asked.n, asked.only)
    if not wanted:
        raise SystemExit(f"Nothing to do: kinds are {', '.join(sorted({p.kind for p in PLANTS}))}.")
    if asked.into and (asked.only or not asked.fresh):
        raise SystemExit("--into needs --fresh and no --only: the page shows every kind, on unseen seeds.")
    kept = Kept(asked.keep) if asked.keep else None
    with progress() as tell:
        tallies = run_lines(wanted, seed, workers=asked.workers, tell=tell, kept=kept)
    heading, tables = _heading(seed, markdown=_for_page(asked)), "\n\n".join(_tables(asked, seed, tallies))
    print(heading)
    print(tables)
    if asked.into:
        asked.into.write_text(redrawn(asked.into.read_text("utf-8"), heading, tables), "utf-8")
        print(f"Hold the goals at the top of {asked.into} against the tables: they are written by hand.")


def _for_page(asked: argparse.Namespace) -> bool:
    return bool(asked.markdown or asked.into)


def _tables(asked: argparse.Namespace, seed: int, tallies: Mapping[Line, Tally]) -> Iterator[str]:
    """Every table that was asked for."""
    markdown = _for_page(asked)
    yield report(tallies, markdown=markdown)
    if not asked.only and asked.studies:
        warm = warm_up_table(asked.studies, [n for n in asked.n if n > 2], seed)
        yield text("warm-up, told of a study of eight tests on two setups", warm, markdown=markdown)
    if asked.without_real or asked.only:
        yield "recorded frames: left out"
        return
    from validation.triage.real import real_frames  # needs more than numpy and scipy

    yield real_frames(ROOT / "examples" / "real-frames", markdown=markdown)


def _heading(seed: int, *, markdown: bool) -> str:
    """When and from which seed this was drawn, and whether that seed may be shown."""
    drawn = (
        "for tuning"
        if seed < FIRST_FRESH
        else "drawn from the sources"
        if seed == fresh_seed(ROOT)
        else "chosen"
    )
    words = f"{datetime.now(UTC):%Y-%m-%d}, seed {seed} ({drawn})"
    if not markdown:
        return words + "\n"
    command = "python -m validation.triage " + " ".join(sys.argv[1:])
    meaning = "What the columns mean: [methods-triage](methods-triage.md#measured)."
    return f"# Triage, measured\n\n`{command}`, {words}. {meaning}\n"


def _words() -> argparse.ArgumentParser:
    words = argparse.ArgumentParser(prog="python -m validation.triage", description=__doc__)
    words.add_argument("--good", type=int, default=2000, help="good runs for each n")
    words.add_argument("--faulty", type=int, default=300, help="spoilt cells for each kind, size and n")
    words.add_argument("--studies", type=int, default=500, help="studies for each line of the warm-up table")
    words.add_argument("--n", type=int, nargs="+", default=[2, 3, 5], help="runs in a cell")
    words.add_argument("--only", nargs="+", default=[], metavar="KIND", help='kinds, titles, or "good runs"')
    words.add_argument("--seed", type=int, default=1, help="1 to 999 while tuning")
    words.add_argument("--fresh", action="store_true", help="take the seed from the sources instead")
    words.add_argument("--workers", type=int, default=1)
    words.add_argument("--keep", type=Path, help="a file of what was judged; go on from it when called again")
    words.add_argument("--markdown", action="store_true", help="print tables for the documents")
    words.add_argument("--into", type=Path, help="a page of the documents whose tables are drawn anew")
    words.add_argument("--without-real", action="store_true", help="leave the recorded frames out")
    return words


if __name__ == "__main__":
    main()
