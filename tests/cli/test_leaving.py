"""The program as the system runs it: all that was said arrives, and the exit code is the command's."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SMALL = ROOT / "docs" / "gardens" / "washing-green.json"
FULL = Path("/dev/full")


def program(*words: object, stdout: int | None = subprocess.PIPE) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "quincunx", *map(str, words)]
    return subprocess.run(command, stdout=stdout, stderr=subprocess.PIPE, text=True, check=False)


def test_all_that_is_written_arrives_and_the_code_is_the_commands():
    done = program("check", SMALL, "--json")
    told = json.loads(done.stdout)
    fails = any(v["state"] == "fails" for must in told["intents"] for v in must["verdicts"])
    assert done.returncode == int(fails)
    assert done.stderr == ""


def test_what_a_person_did_wrong_leaves_with_2():
    done = program("check", "nowhere.json")
    assert (done.returncode, done.stdout) == (2, "")
    assert "nowhere.json" in done.stderr


@pytest.mark.skipif(not FULL.exists(), reason="this system has no device that is always full")
def test_what_can_not_be_written_is_said():
    with FULL.open("w") as full:
        done = program("check", SMALL, "--date", "2028-08-31", stdout=full.fileno())
    assert done.returncode == 2
    assert done.stderr.startswith("quincunx: ")


def test_a_reader_that_has_gone_is_no_fault():
    command = f"{sys.executable} -m quincunx schema | head -c 10"
    done = subprocess.run(["sh", "-c", command], capture_output=True, text=True, check=False)
    assert (len(done.stdout), done.stderr) == (10, "")
