"""``quincunx new``: the first ten minutes, in the terminal."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from quincunx.cli._files import FILE

CURRENCIES = {"metric": "EUR", "feet": "USD"}


@click.command("new")
@click.argument("file", type=FILE)
def command(file: Path) -> None:
    """Make the garden file FILE, asking six short questions.

    Nothing but the ground is compulsory: press Enter to leave a question for later.
    """
    from quincunx.garden import GardenError
    from quincunx.garden.starting import Answers, begin
    from quincunx.store import Store, StoreError

    if file.exists():
        raise StoreError(f"There is already a file {file.name}. Choose another name, or open that one.")
    while True:
        try:
            garden = begin(Answers.model_validate(_ask(file.stem)))
            break
        except GardenError as error:
            for fault in error.faults:
                click.echo(f"  {fault.sentence}", err=True)
            click.echo("Let's take that again.\n", err=True)
    Store.create(file, garden).close()
    click.echo(f"\n{garden.name} is in {file}. See it with: quincunx open {file}")
    click.echo(f"What it must do, by year: quincunx check {file}")


def _ask(stem: str) -> dict[str, Any]:
    from quincunx.site.towns import find_town
    from quincunx.units.style import Style

    out: dict[str, Any] = {
        "name": click.prompt("1. What is the garden called?", default=stem.replace("-", " ").title())
    }
    town = click.prompt("2. The nearest town (for sun and seasons)", default="", show_default=False)
    if town:
        hits = find_town(town, 1)
        if hits:
            out |= {"town": hits[0].name, "latitude_deg": hits[0].latitude_deg, "longitude_deg": hits[0].longitude_deg}
            click.echo(f"   {hits[0].name}, latitude {hits[0].latitude_deg:.1f}")
        else:
            out |= {
                "town": town,
                "latitude_deg": click.prompt("   Not in the list. Its latitude, south negative", type=float),
            }
    units = click.prompt("   Metres, or feet and inches?", type=click.Choice(["metric", "feet"]), default="metric")
    currency = click.prompt("   Currency", default=CURRENCIES[units])
    out["writing"] = {"units": units, "currency": currency.upper()}
    style = Style("feet" if units == "feet" else "metric", ".", currency.upper())
    click.echo("3. The ground: four sides in order, then the diagonal from the first corner to the third.")
    out["sides"] = [_length(f"   Side {i}", style) for i in (1, 2, 3, 4)]
    out["diagonal"] = _length("   Diagonal", style)
    if click.confirm("4. Is there a house on it?", default=True):
        out["house"] = {
            "width": _length("   Its length along the side it stands at", style),
            "depth": _length("   Its depth", style),
            "side": click.prompt("   Which side (1 to 4)", type=click.IntRange(1, 4), default=3),
            "along": _length("   How far along that side it begins", style),
            "set_back": _length("   How far in from that side", style),
        }
    out["sum_a_year"] = _sum("5. What can you spend a year?", style)
    out["hours_a_month"] = click.prompt("6. Hours you can give in a month", type=click.FloatRange(0, 400), default=8.0)
    return out


def _length(question: str, style: Any) -> Any:
    from quincunx.units import UnitsError, parse_length
    from quincunx.units.fields import Length

    while True:
        text = click.prompt(question)
        try:
            return Length(parse_length(text, style), typed=text.strip())
        except UnitsError as error:
            click.echo(f"   {error}", err=True)


def _sum(question: str, style: Any) -> int:
    from quincunx.units import UnitsError, parse_money

    while True:
        try:
            return parse_money(click.prompt(question, default="0"), style)
        except UnitsError as error:
            click.echo(f"   {error}", err=True)
