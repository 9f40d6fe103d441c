"""Lists on the page aren't keyed by words that may come twice: a key that does stops the whole page."""

from __future__ import annotations

import re

from tests.house.source import UI

SENTENCES = {"words", "line", "way", "note", "said", "step", "message"}
"""What sentences and names that people gave are called in the page's lists."""
KEYED = re.compile(r"\{#each (?P<list>[^\n]*?) as (?P<item>\w+|\[[^\]]*\])(?:, (?P<nth>\w+))? \((?P<key>[^\n]*?)\)\}")
OWN = re.compile(r"^(\[|[A-Z_]+$)")
"""Lists the page itself wrote: none of their words come twice."""


def by_words(text: str) -> list[str]:
    """Return each list of a part of the page that is keyed by a sentence or by the ``words`` of its items."""
    return [
        m[0]
        for m in KEYED.finditer(text)
        if not OWN.match(m["list"])
        and m["key"] != m["nth"]
        and (m["key"].endswith(".words") or (m["key"] == m["item"] and m["item"] in SENTENCES))
    ]


def test_the_rule_tells_them_apart() -> None:
    assert by_words("{#each reply.breaks as words (words)}")
    assert by_words("{#each part.tasks as task (task.words)}")
    assert by_words("{#each a.map((x) => x) as line (line)}")
    for kept in ("{#each reply.breaks as words}", "{#each jobs as job (job.id)}", "{#each STEPS as words, i (words)}"):
        assert not by_words(kept)
    assert not by_words("{#each ground.lie as words, way (way)}")


def test_no_list_of_the_page_is_keyed_by_sentences() -> None:
    parts = sorted(UI.rglob("*.svelte"))
    assert len(parts) > 50
    found = [f"{p.relative_to(UI)}: {each}" for p in parts for each in by_words(p.read_text("utf-8"))]
    assert found == []
