"""Documents made by hypothesis: every kind's example, then broken in the ways people and programs break JSON."""

from __future__ import annotations

import copy
from typing import Any

from hypothesis import strategies as st

from quincunx.demos import demo_garden
from quincunx.features import KINDS, kind_id
from quincunx.garden import plain

SCALARS = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-(10**20), 10**20),
    st.floats(allow_nan=False),
    st.text(max_size=12),
    st.sampled_from(
        ["1,234", "12' 6\"", "3,4 m", "-1", "1e999", "2027-13", "", "outside", "\x00", "🌳", "start", "9" * 400]
    ),
)
JSON_VALUES = st.recursive(
    SCALARS, lambda v: st.lists(v, max_size=3) | st.dictionaries(st.text(max_size=6), v, max_size=3), max_leaves=6
)


@st.composite
def valid(draw: st.DrawFn) -> dict[str, Any]:
    """Return a garden of up to eight features of any kinds, a job for some, and a money must."""
    kinds = draw(st.lists(st.sampled_from(KINDS), max_size=8))
    features = []
    for i, kind in enumerate(kinds):
        example = {
            k: v for k, v in copy.deepcopy(dict(kind.example)).items() if k not in ("support", "target", "sheds_to")
        }
        features.append({**example, "kind": kind_id(kind), "id": f"thing-{i}"})
    jobs = []
    for i, feature in enumerate(features):
        if draw(st.booleans()):
            feature.pop("there_from", None)
            jobs.append(
                {
                    "id": f"job-{i}",
                    "name": f"Job {i}",
                    "does": [feature["id"]],
                    "start": draw(st.sampled_from(["2027-03", "2029-11"])),
                }
            )
    return {
        "format": "quincunx/1",
        "name": draw(st.text(max_size=20)),
        "writing": {
            "units": draw(st.sampled_from(["metric", "feet"])),
            "decimal_mark": draw(st.sampled_from([".", ","])),
        },
        "boundary": [[-5, -5], [40, -5], [40, 40], [-5, 40]],
        "features": features,
        "jobs": jobs,
        "means": {"first_year": 2027, "years": draw(st.integers(1, 8)), "sum_a_year": draw(st.integers(0, 10**7))},
        "intents": [{"kind": "spend-no-more", "id": "money", "sum": 240000}],
    }


def places(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Return the path of every value inside a JSON value."""
    out = [path] if path else []
    if isinstance(value, dict):
        for key in value:
            out += places(value[key], (*path, key))
    elif isinstance(value, list):
        for i, item in enumerate(value):
            out += places(item, (*path, i))
    return out


@st.composite
def broken(draw: st.DrawFn) -> dict[str, Any]:
    """Return a garden (a small one, or a demonstration) with one to three things wrong, or by luck still right."""
    data: dict[str, Any] = draw(valid()) if draw(st.integers(0, 4)) else copy.deepcopy(plain(demo_garden("ropewalk")))
    for _ in range(draw(st.integers(1, 3))):
        paths = places(data)
        if not paths:
            break
        *parents, last = draw(st.sampled_from(paths))
        here: Any = data
        for step in parents:
            here = here[step]
        how = draw(st.sampled_from(["replace", "delete", "twin", "rename", "extra"]))
        if how == "replace":
            here[last] = draw(JSON_VALUES)
        elif how == "delete":
            del here[last]
        elif how == "twin" and isinstance(here, list):
            here.append(copy.deepcopy(here[last]))
        elif how == "rename" and isinstance(here, dict):
            here[draw(st.text(max_size=8))] = here.pop(last)
        elif isinstance(here, dict):
            here[draw(st.text(min_size=1, max_size=8))] = draw(JSON_VALUES)
    return data
