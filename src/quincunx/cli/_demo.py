"""``quincunx demo``: a demonstration garden, checked, printed and shown."""

from __future__ import annotations

from pathlib import Path

import click

from quincunx.cli._files import FILE
from quincunx.cli._print import write
from quincunx.cli._say import say
from quincunx.units.words import counted


@click.command("demo")
@click.argument("name", default="ropewalk")
@click.option("--out", type=FILE, help="Folder to write into, and no more than that; else out/demo.")
@click.option(
    "--open/--no-open", "show", default=None,
    help="Open the drawing board in the browser afterwards; as usual only where no --out is given.",
)  # fmt: skip
def command(name: str, out: Path | None, show: bool | None) -> None:
    """Make the demonstration garden NAME (ropewalk or kettle-hill), check it, print it and show it."""
    from quincunx.demos import DEMOS, demo_garden
    from quincunx.review import Verdicts, review
    from quincunx.store import Store

    if name not in {d.id for d in DEMOS}:
        raise click.ClickException(
            f"There is no demonstration garden {name!r}. There are: {', '.join(d.id for d in DEMOS)}."
        )
    garden = demo_garden(name)
    show = out is None if show is None else show
    out = out or Path("out/demo")
    out.mkdir(parents=True, exist_ok=True)
    file = out / f"{name}.quincunx"
    Store.create(file, garden, replace=True).close()
    say(f"{garden.name}: {counted(len(garden.features), 'thing')}, {counted(len(garden.jobs), 'job')}, in {file}")
    known = Verdicts.of_user()
    judged = review(garden, known=known)
    known.close()
    years = [v.year for v in judged.musts[0].verdicts]
    for year in (years[0], years[-1]):
        states = [v.state.value for m in judged.musts for v in m.verdicts if v.year == year]
        say(
            f"{year}: {states.count('holds')} of {counted(len(states), 'must holds', 'musts hold')}, {states.count('fails')} fail"
        )
    for path in write(file, out, judged=judged):
        say(f"Wrote {path}")
    if show:
        from quincunx.cli._open import show_file

        show_file(file)
