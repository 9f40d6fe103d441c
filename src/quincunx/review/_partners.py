"""Fruit that lacks another variety to pollinate it, or whose varieties nobody has named."""

from __future__ import annotations

from collections.abc import Iterator

from quincunx.review._view import View
from quincunx.shapes import Finding, Severity
from quincunx.units import capital

SOURCE = "pollination of the catalogue's plants; distances of 15 to 30 m for bees and 60 m for the wind are from memory"


def check(view: View) -> Iterator[Finding]:
    """Yield one finding for each group of plants that waits for a partner, as the garden stands in its last year."""
    from quincunx.grow.partners import Partner, partners
    from quincunx.grow.plantings import plantings

    standing = {p.owner: p for p in plantings(view.timeline, view.timeline.years[-1])}
    groups: dict[tuple[str, str], list[tuple[str, Partner]]] = {}
    for owner, partner in partners(list(standing.values())).items():
        if partner.needed and not partner.sure:
            groups.setdefault((standing[owner].plant.kin, partner.state), []).append((owner, partner))
    for (kin, state), those in sorted(groups.items()):
        owners = tuple(owner for owner, _ in those)
        plant = standing[owners[0]].plant
        one = len(owners) == 1
        who = f"{capital(view.words.both(owners))} ({plant.name})"
        if state == "none":
            words = f"{who} {'sets' if one else 'set'} no fruit alone: {those[0][1].why}."
            remedy = "Plant another variety of the group nearby, unless one stands at a neighbour's."
            grave = Severity.FAULT
        else:
            words = f"Whether {who} {'sets' if one else 'set'} fruit can't be told: {those[0][1].why}."
            remedy = "Write each one's variety, and choose at least two that flower together."
            grave = Severity.HINT
        yield Finding(
            f"partner-{kin or plant.id}-{state}",
            grave,
            words,
            remedy,
            SOURCE,
            owners,
            standing[owners[0]].standing.at[0],
        )
