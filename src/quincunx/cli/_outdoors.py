"""``quincunx outdoors``: a page to carry out, and what came back."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from quincunx.cli._called import id_of
from quincunx.cli._files import FILE, clean, looks_like_json, opened
from quincunx.cli._say import say

if TYPE_CHECKING:
    from quincunx.sheets import Set
    from quincunx.store import Store

MOST_BYTES = 200 * 1024 * 1024


@click.command("outdoors")
@click.argument("file", type=FILE)
@click.option(
    "--page",
    "jobs",
    metavar="JOBS",
    help="Write one page for these jobs (ids or names, a comma between) that works alone.",
)
@click.option("--out", type=click.Path(dir_okay=False, path_type=Path), help="Where the page is written.")
@click.option(
    "--take", "backs", type=click.Path(exists=True, dir_okay=False, path_type=Path), multiple=True,
    help="Take in a file that came back; each note in it is taken once.",
)  # fmt: skip
@click.option("--no-prices", is_flag=True, help="With --page: no price is in it, for friends who help.")
@click.option(
    "--day",
    metavar="DAY",
    help="Say what was done on a day (2027-11-06) and by whom; with --out as one picture, .png or .svg, too.",
)
@click.option("--who", is_flag=True, help="Say who has which step, where several of you share the work.")
def command(
    file: Path, jobs: str | None, out: Path | None, backs: tuple[Path, ...], no_prices: bool, day: str | None, who: bool
) -> None:
    """Carry jobs of FILE outdoors on a phone, and take in what was entered there.

    Without options the jobs that can be carried out are listed.
    """
    if looks_like_json(file):
        raise click.ClickException(
            f"{file.name} is JSON and keeps no history. Make a garden file of it: quincunx import."
        )
    if no_prices and jobs is None:
        raise click.ClickException("--no-prices is about the page that is written: say for which jobs with --page.")
    with opened(file, keep=bool(backs)) as store:
        for back in backs:
            _take(store, back)
        for words in _look(store) if backs else []:
            say(words)
        for words in clean(store) if backs else []:
            say(words, err=True)
        if jobs is not None:
            all_ = {j.id: j.name for j in store.garden().jobs}
            also = f"Jobs are: {', '.join(sorted(all_))}."
            names = [id_of(j.strip(), all_, "job", also) for j in jobs.split(",") if j.strip()]
            out = out or file.with_name(f"{'-'.join(names)[:60] or 'page'}.html")
            _write(store, names, out, money=not no_prices)
        elif day is not None:
            _day(store, day, out)
        elif who:
            _who(store)
        elif not backs:
            _list(store)


def _day(store: Store, text: str, out: Path | None) -> None:
    """Say what was done on a day, and write the picture of it."""
    from quincunx.board.day_done import day_json
    from quincunx.sheets._both_card import png
    from quincunx.units import parse_day

    if out is not None and out.suffix.lower() not in (".png", ".svg"):
        raise click.ClickException(f"{out.name} is no picture written here. End it in .png or .svg.")
    try:
        asked = parse_day(text)
    except ValueError as error:
        raise click.ClickException(str(error)) from None
    told = day_json(_set(store)[0], asked)
    say(f"{told['title']}{': ' + told['people'] if told['people'] else ''}")
    for one in told["jobs"]:
        say(one["name"])
        for line in one["lines"]:
            say(f"  {line}")
    if told["none"]:
        say(told["none"])
    elif out is not None:
        data = png(told["card"], told["high_mm"]) if out.suffix.lower() == ".png" else told["card"].encode()
        out.write_bytes(data)
        say(f"Written: {out}")


def _who(store: Store) -> None:
    from quincunx.board.outdoors import TOGETHER
    from quincunx.review.together import read_together, told

    lines = list(told(read_together(store.beside(TOGETHER)), store.garden()))
    for words in lines or ["Nobody has taken a step yet: that is done on the phones, or on the board under Outdoors."]:
        say(words)


def _take(store: Store, back: Path) -> None:
    from quincunx.board.outdoors import took
    from quincunx.board.replies import Refused

    if back.stat().st_size > MOST_BYTES:
        raise click.ClickException(f"{back.name} is too large for a day's notes.")
    try:
        body = json.loads(back.read_text(encoding="utf-8"))
    except ValueError:
        raise click.ClickException(f"{back.name} is not a file that came back from outdoors.") from None
    before = store.revision
    try:
        told = took(store, body if isinstance(body, dict) else {})
    except Refused as error:
        raise click.ClickException(f"{back.name}: {error.sentence}") from None
    count, new = len(told["taken"]), told["revision"] != before
    stored = "stored as one step that can be undone" if new else "all were here already"
    say(f"{back.name}: {count} note{'s' if count != 1 else ''} in the garden; {stored}.")
    for problem in told["problems"]:
        say(f"{back.name}: {problem['because']}", err=True)
    for met in told["told"]:
        say(f"{back.name}: {met['words']}", err=True)


def _look(store: Store) -> list[str]:
    """Return what two read otherwise of one line: of the ground, and of the jobs that were taped again."""
    from quincunx.board.outdoors_pack import to_read_again
    from quincunx.sheets._outdoors import base_of, planned_whole

    of, _ = _set(store)
    about = {e.about for e in of.garden.journal if e.what == "measured"}
    jobs = [j for j in of.garden.jobs if j.id in about]
    base = base_of(of) if jobs else None
    return to_read_again(of, [planned_whole(of, j, base) for j in jobs])


def _set(store: Store) -> tuple[Set, Any]:
    from quincunx.board.judging import found
    from quincunx.board.standing import Standing
    from quincunx.review import Review
    from quincunx.sheets import prepare

    at = Standing.of(store.garden(), {}, store.revision, store.head)
    return prepare(at.garden, through=at.timeline, judged=Review((), found(at))), at


def _write(store: Store, jobs: list[str], out: Path, *, money: bool) -> None:
    from quincunx.board.one_page import job_page
    from quincunx.board.outdoors_pack import pack_json
    from quincunx.board.replies import encoded

    of, at = _set(store)
    mark = store.mark()
    data = job_page(at.garden, lambda names: encoded(pack_json(of, at, mark, names, money=money)), jobs)
    out.write_bytes(data)
    without = "" if money else ", no prices in it"
    say(
        f"{out}: {len(data) // 1024} kB, works alone{without}. What comes back: quincunx outdoors {store.path.name} --take FILE"
    )


def _list(store: Store) -> None:
    from quincunx.board.outdoors_pack import choosable

    rows = choosable(_set(store)[0])
    for row in rows:
        say(f"{row['id']:<24} {row['name']}{', ' + row['month'] if row['month'] else ''}")
    if not rows:
        say("There are no jobs yet: a job is work done together. Put one in on the board.")
