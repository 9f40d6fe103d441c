"""What is fetched is pinned by hash; no file that is committed names where from, or a path of one machine."""

import json
import re

import pytest

from tests.house.source import ROOT, committed

PYTHON_LOCKS = ["requirements.lock", "requirements-dev.lock", "requirements-node.lock", "peers.lock"]
PAGE_LOCK = "ui/package-lock.json"
ADDRESS = re.compile(r"://|\bwww\.|--(?:extra-)?index-url|--find-links|\"resolved\"|\b[\w-]+\.(?:org|com|net|io|dev)\b")
MACHINE = re.compile(r"(?<![A-Za-z0-9_.])/(?:work|farm|root|home/\w+|Users/\w+)/")
FETCH = re.compile(
    r"^ *--(?:extra-)?index-url|source = \{ registry|\"resolved\": *\"http|url = \"https?://\S+\.(?:whl|tar\.gz)"
)


def unpinned(text: str) -> list[str]:
    """Return the requirements of a lock that have no exact version and no hash."""
    joined = text.replace("\\\n", " ")
    lines = [line.strip() for line in joined.splitlines() if line.strip() and not line.strip().startswith("#")]
    return [line.split()[0] for line in lines if "==" not in line.split(";")[0] or "--hash=sha256:" not in line]


@pytest.mark.parametrize("name", [*PYTHON_LOCKS, PAGE_LOCK])
def test_locks_name_no_addresses(name):
    assert ADDRESS.findall((ROOT / name).read_text(encoding="utf-8")) == []


@pytest.mark.parametrize("name", PYTHON_LOCKS)
def test_python_locks_hold_hashes(name):
    text = (ROOT / name).read_text(encoding="utf-8")
    assert "--hash=sha256:" in text
    assert unpinned(text) == []


def test_the_page_lock_holds_hashes():
    packages = json.loads((ROOT / PAGE_LOCK).read_text(encoding="utf-8"))["packages"]
    assert len(packages) > 1
    assert [name for name, package in packages.items() if name and "integrity" not in package] == []


def test_the_locks_are_all_there_is():
    names = {path.relative_to(ROOT).as_posix() for path in committed()}
    assert {*PYTHON_LOCKS, PAGE_LOCK} <= names
    assert "uv.lock" not in names


def test_no_committed_file_names_a_machine_or_where_packages_come_from():
    found = []
    for path in committed():
        if path.suffix not in {".png", ".pdf", ".ttf", ".gz", ".zip"}:
            text = path.read_text(encoding="utf-8", errors="replace")
            found += [f"{path.relative_to(ROOT)}: {m[0]}" for p in (MACHINE, FETCH) for m in p.finditer(text)]
    assert found == []


def test_addresses_and_paths_are_seen():
    place = "example" + ".org"
    assert ADDRESS.search(f"https://{place}/a.whl")
    assert ADDRESS.search(f"# from {place}")
    assert ADDRESS.search("--index-url x")
    assert not ADDRESS.search("numpy==2.4.6 ; python_full_version < '3.12' \\")
    assert MACHINE.search("see " + "/" + "home/someone/notes")
    assert not MACHINE.search("src/" + "work/" + "jobs")
    assert FETCH.search("source = { " + 'registry = "x" }')
    assert unpinned("a==1 \\\n    --hash=sha256:00\nb==2\nc>=1 --hash=sha256:00\n") == ["b==2", "c>=1"]
