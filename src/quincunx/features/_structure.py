"""What built structures say of themselves beyond their pieces: joints and fixings, weight of coverings, order of work.

Weights and fixings: common practice, no source; what bears on them is screened, never designed.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from quincunx.features._plan import posts_along
from quincunx.features._slopes import Edge
from quincunx.shapes import XY, Joint, Member

DEAD_KPA = {
    "shingles": 0.22,
    "boards and felt": 0.25,
    "slates": 0.45,
    "tiles": 0.65,
    "metal sheet": 0.16,
    "clear sheet": 0.14,
    "slats": 0.1,
    "glass": 0.3,
}
"""Weight of coverings with battens and rafters, up the slope [kN/m2]."""
SLIPPERY = frozenset({"metal sheet", "clear sheet", "glass"})
LONGEST_M = 4.8
"""No plate is made longer than this in one piece [m]."""


def plates_round(
    sides: Sequence[Edge],
    corners: Sequence[XY],
    bay_m: float,
    bottoms_m: Sequence[float],
    section_m: tuple[float, float],
    strips_m: Sequence[float],
    verge_m: Sequence[float] = (),
) -> tuple[Member, ...]:
    """Return the plates on the posts of each side, outer face to outer face, in one piece where boards are long enough.

    ``bottoms_m`` is the height of the plate's underside at each corner, ``strips_m`` the strip of roof that bears on
    each side (0: none) and ``verge_m`` how far each plate reaches past the posts to carry the outermost rafters [m].
    """
    out = []
    for n, side in enumerate(sides):
        a, b = corners[n], corners[(n + 1) % len(corners)]
        za, zb = bottoms_m[n], bottoms_m[(n + 1) % len(corners)]
        run, past = math.dist(a, b), verge_m[n] if verge_m else 0.0
        more = max(side.length_m - run, 0.0)
        bays = len(posts_along([a, b], bay_m)) - 1
        out_by = past + more / 2 if past else 0.0
        pieces = 1 if side.length_m + 2 * past <= LONGEST_M else bays
        for k in range(pieces):
            s, e = k / pieces, (k + 1) / pieces
            s -= out_by / run if k == 0 else 0.0
            e += out_by / run if k == pieces - 1 else 0.0
            start = (a[0] + (b[0] - a[0]) * s, a[1] + (b[1] - a[1]) * s, za + (zb - za) * s)
            end = (a[0] + (b[0] - a[0]) * e, a[1] + (b[1] - a[1]) * e, za + (zb - za) * e)
            out.append(
                Member(
                    "plate", start, end, section_m, "timber", carries="roof" if strips_m[n] else "none",
                    strip_m=strips_m[n], span_m=run / bays, past_m=out_by, more_m=0.0 if past else more / pieces,
                )
            )  # fmt: skip
    return tuple(out)


def roof_joints(
    members: Sequence[Member], posts: int, corners: int, *, square: bool, plates: int = 1
) -> tuple[Joint, ...]:
    """Return the joints of a roof on posts: feet, plates, rafters (on one plate or two), ridge, hips and braces."""
    count = {n: sum(m.count for m in members if m.name == n) for n in ("rafter", "ridge", "hip", "tie", "brace")}
    corner = "half-lapped over the post" if square else "mitred over the post"
    out = [
        Joint(
            "post on its base", "base bolted to the pad, post 5 cm clear of the ground", posts, (("coach bolt M12", 2),)
        ),
        Joint(
            "plate on the posts",
            f"{corner}, strapped down",
            max(corners, posts),
            (("steel strap", 2), ("coach screw 8 × 120", 2)),
        ),
        Joint(
            "rafter on the plate",
            "notched a third of its depth at most, tied down",
            count["rafter"] * plates,
            (("framing anchor", 2),),
        ),
    ]
    if count["hip"]:
        out.append(
            Joint(
                "hip on the corner of the plates",
                "notched over both, a third of its depth at most, strapped down",
                count["hip"],
                (("steel strap", 1),),
            )
        )
    if count["ridge"] or count["hip"]:
        out.append(
            Joint(
                "rafter to ridge or hip",
                "sawn to fit, screwed from both sides",
                count["rafter"],
                (("structural screw 6 × 150", 2),),
            )
        )
    if count["hip"]:
        out.append(
            Joint(
                "hips at the top",
                "meeting on a turned or sawn block, screwed",
                count["hip"],
                (("structural screw 6 × 150", 2),),
            )
        )
    if count["tie"]:
        out.append(
            Joint("tie to the plates", "lapped beside the rafter, bolted", 2 * count["tie"], (("coach bolt M10", 1),))
        )
    if count["brace"]:
        out.append(
            Joint(
                "brace to post and plate",
                "sawn at 45 degrees, screwed",
                2 * count["brace"],
                (("structural screw 6 × 150", 2),),
            )
        )
    return tuple(out)


def braces(
    posts: Sequence[XY], under_m: Sequence[float], arm_m: float, section_m: tuple[float, float]
) -> tuple[Member, ...]:
    """Return two knee braces at each corner post, one along either neighbour, ``arm_m`` out and down [m]."""
    out, n = [], len(posts)
    for i, at in enumerate(posts):
        for other in (posts[i - 1], posts[(i + 1) % n]):
            far = math.dist(at, other)
            if far < 2.2 * arm_m:
                continue
            ux, uy = (other[0] - at[0]) / far, (other[1] - at[1]) / far
            top = (at[0] + ux * arm_m, at[1] + uy * arm_m, under_m[i])
            out.append(Member("brace", (*at, under_m[i] - arm_m), top, section_m, "timber", more_m=section_m[1]))
    return tuple(out)
