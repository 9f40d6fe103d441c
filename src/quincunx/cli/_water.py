"""``quincunx water``: what must be watered in a year, bed by bed, and how long the tanks last."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from quincunx.cli._files import FILE
from quincunx.cli._say import hand_on, say
from quincunx.units import own_units

if TYPE_CHECKING:
    from quincunx.water.watering import YearWater


@click.command("water")
@click.argument("file", type=FILE)
@click.option("--year", type=int, help="The year of the plan; the last one if left out.")
@click.option("--json", "as_json", is_flag=True, help="Write it all as JSON: litres by month for every bed and year.")
def command(file: Path, year: int | None, as_json: bool) -> None:
    """Say what must be watered in the garden of FILE: litres by bed, the months, tanks that last or run dry."""
    from quincunx.cli._files import load
    from quincunx.garden import timeline
    from quincunx.intents._watering import NO_CLIMATE
    from quincunx.review import drips_told
    from quincunx.review.read import words_for
    from quincunx.sheets.water import nearest_in
    from quincunx.water.watering import drying_of, watering

    garden = load(file)
    through = timeline(garden)
    found, dries = watering(through), drying_of(through.frame)
    if found is None or dries is None:
        raise click.ClickException(NO_CLIMATE)
    wanted = through.years[-1] if year is None else year
    if wanted not in found:
        raise click.ClickException(
            f"{wanted} is not in the plan, which runs from {through.years[0]} to {through.years[-1]}."
        )
    if as_json:
        _json(found)
        return
    words = words_for(garden, through)
    one = found[wanted]
    usual, dry = sum(one.by_month_l), sum(one.dry_by_month_l)
    say(f"{wanted}: {words.water(usual)} in a usual year, {words.water(dry)} in a dry one.")
    scene = through.at(through.leaf_date(wanted))
    watered = [n for n in sorted(one.needs, key=lambda n: (-n.litres, n.of.owner)) if n.litres > 0]
    sources = nearest_in(scene, words, watered)
    for need in watered:
        if need.litres > 0:
            often = "once" if round(need.times) == 1 else f"{need.times:.0f} times"
            much = f"{words.water(need.litres)}, a dry year {words.water(need.dry_year_l)}, {often}"
            source = f"; from {sources[need.of.owner]}" if need.of.owner in sources else ""
            say(f"  {words.name(need.of.owner)}, {words.area(need.of.area_m2)}: {much} ({need.of.why}){source}")
    for tank in one.tanks:
        much = f"gives {words.water(tank.given_l)} of {words.water(tank.wanted_l)} wanted, on {tank.met_days:.0f} of {tank.wanted_days:.0f} days"
        say(f"  {words.name(tank.supply.owner)}: {much}; {words.water(tank.spilled_l)} run over.")
    for row in drips_told.rows(scene, words):
        name, tube, drippers, hourly, hangs, asked, longest, may = row
        say(
            f"  {name}: {tube} of drip tube, {drippers} drippers, {hourly} in an hour, from {hangs} (asked of it an hour: {asked});"
        )
        say(f"    its longest run is {longest}, it may be {may}.")
    say(
        f"By {dries.method}{own_units('; assumed: ' + ', '.join(dries.assumed), garden.style) if dries.assumed else ''}."
    )


def _json(found: dict[int, YearWater]) -> None:
    import json

    out = {}
    for year, one in found.items():
        beds = {
            n.of.owner: {
                "area_m2": n.of.area_m2,
                "months_l": n.by_month_l,
                "dry_year_l": n.dry_year_l,
                "times": n.times,
            }
            for n in one.needs
        }
        tanks = {
            t.supply.owner: {"holds_l": t.supply.litres, "wanted_l": t.wanted_l, "given_l": t.given_l, "lasts": t.lasts}
            for t in one.tanks
        }
        out[year] = {"months_l": one.by_month_l, "dry_months_l": one.dry_by_month_l, "beds": beds, "tanks": tanks}
    hand_on(json.dumps(out))
