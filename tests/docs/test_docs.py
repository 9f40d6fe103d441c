"""The documents say what is so: the tour runs, the reference is what its generator writes, nothing is left out."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from quincunx.cli import COMMANDS
from quincunx.features import KINDS, Feature, kind_id
from quincunx.intents import INTENTS, Intent, intent_kind
from quincunx.sheets import SHEETS

ROOT = Path(__file__).resolve().parents[2]
DOCS = ROOT / "docs"
BLOCK = re.compile(r"^```(\w+)([^\n]*)\n(.*?)^```$", re.DOTALL | re.MULTILINE)


def run(words: list[str], folder: Path, data: Path) -> subprocess.CompletedProcess[str]:
    import os

    env = {
        **os.environ,
        "QUINCUNX_DATA": str(data),
        "COLUMNS": "80",
        "PYTHONPATH": str(ROOT / "src"),
        "PYTHONUTF8": "1",
    }
    return subprocess.run(
        words, cwd=folder, env=env, capture_output=True, text=True, check=False, timeout=110, encoding="utf-8"
    )


def squeezed(text: str) -> str:
    return re.sub(r"\s+", " ", text).strip()


def test_every_block_of_the_tour_runs_and_says_what_is_printed(tmp_path: Path) -> None:
    shutil.copy(DOCS / "gardens" / "washing-green.json", tmp_path)
    said = ""
    blocks = BLOCK.findall((DOCS / "tour.md").read_text(encoding="utf-8"))
    assert len(blocks) >= 12
    for language, how, body in blocks:
        if language == "text":
            assert squeezed(body) in squeezed(said), f"the tour says\n{body}\nbut the program\n{said}"
            continue
        if language == "python":
            done = run([sys.executable, "-c", body], tmp_path, tmp_path / "data")
        else:
            words = body.split()
            assert words[0] == "quincunx"
            done = run([sys.executable, "-m", "quincunx", *words[1:]], tmp_path, tmp_path / "data")
        said = done.stdout + done.stderr
        assert done.returncode == {"": 0, "fails": 1, "wrong": 2}[how.strip()], said


def test_the_reference_is_what_its_generator_writes() -> None:
    sys.path.insert(0, str(ROOT / "tools"))
    try:
        import reference  # type: ignore[import-not-found]
    finally:
        sys.path.pop(0)
    for name, text in reference.pages().items():
        assert (DOCS / "reference" / name).read_text(encoding="utf-8") == text, (
            f"run python tools/reference.py: {name} is old"
        )


@pytest.mark.parametrize("kind", KINDS, ids=kind_id)
def test_every_kind_is_documented(kind: type[Feature]) -> None:
    text = (DOCS / "reference" / "kinds.md").read_text(encoding="utf-8")
    assert f"(`{kind_id(kind)}`)" in text
    assert kind.about in text
    assert len(kind.about) > 20


@pytest.mark.parametrize("must", INTENTS, ids=intent_kind)
def test_every_must_is_documented(must: type[Intent]) -> None:
    text = (DOCS / "reference" / "musts.md").read_text(encoding="utf-8")
    assert f"(`{intent_kind(must)}`)" in text
    assert must.about in text


def test_every_command_and_sheet_is_documented() -> None:
    text = (DOCS / "reference" / "commands.md").read_text(encoding="utf-8")
    for name in COMMANDS:
        assert f"`quincunx {name}`" in text
    for sheet in SHEETS:
        assert f"`{sheet.ID}`: {sheet.WORDS}" in text


def test_links_in_the_documents_lead_somewhere() -> None:
    for page in [ROOT / "README.md", *DOCS.rglob("*.md")]:
        for target in re.findall(r"\]\(([^)#]+)", page.read_text(encoding="utf-8")):
            assert (page.parent / target).exists(), f"{page.name}: {target}"
