"""What lies so low that it needs many pads, where a little higher it would need far fewer."""

from __future__ import annotations

from collections.abc import Iterator

from quincunx.build.frames import frame_take_off
from quincunx.garden.safety import ground_of
from quincunx.review._view import View
from quincunx.scene import Stands
from quincunx.shapes import Finding, FrameWork, Severity
from quincunx.units import format_length, format_volume

FAR_FEWER = 0.5
"""Fewer pads than this part of those now are worth a word (our own choice)."""
SOURCE = "both reckoned from what is drawn: pads as large and deep as now, posts and beams as far apart as typed for it"


def check(view: View) -> Iterator[Finding]:
    """Yield one hint for each planned thing that would stand on far fewer pads if it were a little higher."""
    made, first, style = view.made(), view.timeline.years[0], view.garden.style
    for feature in view.garden.features:
        other = feature.on_fewer_pads() if made.get(feature.id, -1) >= first else None
        if other is None:
            continue
        words, length_m, higher = other
        (pads, now_m3), (fewer, then_m3) = (_pads(view, one) for one in (feature, higher))
        if not fewer or fewer > FAR_FEWER * pads:
            continue
        high, now, then = (
            format_length(length_m, style),
            format_volume(now_m3, style),
            format_volume(then_m3, style),
        )
        yield Finding(
            f"many-pads-{feature.id}",
            Severity.HINT,
            f"{view.called(feature.id)} lies so low that there is no room for beams under its joists: it takes {pads} pads"
            f" and {now} of concrete. With “{words}” at {high} or more it would stand on {fewer}, with {then}.",
            "Raise it if a step up suits you; steps and a guard may then be asked for, and beams and posts are looked up"
            " anew. Nothing here says what the ground carries: your local code and a licensed person decide the footings.",
            SOURCE,
            (feature.id,),
            None,
            made[feature.id],
        )


def _pads(view: View, one: Stands) -> tuple[int, float]:
    """Return the pads that a thing stands on when it has been made, and the concrete to buy for them [m3]."""
    frames = [w for w in view.timeline.as_made(one).work if isinstance(w, FrameWork)]
    ground = ground_of(view.garden)
    lines = (line for frame in frames for line in frame_take_off(frame, ground).lines if line.item == "concrete")
    return sum(len(f.footings) for f in frames), sum(line.gross for line in lines)
