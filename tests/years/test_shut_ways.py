"""The order of works knows which job shuts which way, from the ground itself."""

from quincunx.garden import garden_from, timeline
from quincunx.years.checker import check
from quincunx.years.from_garden import problem_of
from quincunx.years.shut_ways import shuts_of


def plot(**more):
    """A walled plot 10 m wide with one way in; a bed at the far end and a wall across the middle."""
    features = [
        {"kind": "wall", "id": "shell", "there_from": "start", "line": [[1.5, 0], [0, 0], [0, 20], [10, 20], [10, 0], [3, 0]]},
        {"kind": "bed", "id": "bed", "outline": [[3, 15], [7, 15], [7, 18], [3, 18]]},
        {"kind": "wall", "id": "across", "line": [[0, 8], [10, 8]]},
    ]  # fmt: skip
    jobs = [
        {"id": "beds", "name": "Dig the bed", "does": ["bed"], "reach": "barrow", "months": 1, "start": more.get("beds")},
        {"id": "walling", "name": "Build the wall", "does": ["across"], "months": 1, "start": more.get("walling"),
         "after": [{"job": "beds"}] if more.get("after") else []},
    ]  # fmt: skip
    if more.get("beds_after"):
        jobs[0]["after"] = [{"job": "walling"}]
    return garden_from(
        {
            "format": "quincunx/1", "name": "A plot", "boundary": [[0, 0], [10, 0], [10, 20], [0, 20]],
            "spots": [{"id": "road", "name": "Road", "at": [2.2, -1]}], "features": features, "jobs": jobs,
            "intents": [{"kind": "works-reached", "id": "works", "start": "road"}],
            "means": {"first_year": 2027, "years": 3},
        }
    )  # fmt: skip


def shuts(garden):
    return {k: [s.project for s in v] for k, v in shuts_of(garden, timeline(garden)).items()}


def test_the_wall_shuts_the_way_to_the_bed_with_or_without_months():
    assert shuts(plot()) == {"walling": ["beds"]}
    assert shuts(plot(beds="2028-03", walling="2027-03")) == {"walling": ["beds"]}


def test_a_job_that_must_come_after_its_closer_is_left_out():
    assert not shuts(plot(beds_after=True))
    assert shuts(plot(after=True)) == {"walling": ["beds"]}


def test_the_checker_names_the_shut_way():
    garden = plot(beds="2028-03", walling="2027-03")
    problem = problem_of(garden, timeline(garden))
    assert [s.project for s in problem["walling"].shuts] == ["beds"]
    broken = check(problem, {"walling": 2, "beds": 14})
    assert [b.rule for b in broken.breaches] == ["access"]
    assert not check(problem, {"walling": 14, "beds": 2}).breaches
