"""The program as the system runs it: all that was said arrives, and the exit code is the command's."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SMALL = ROOT / "docs" / "gardens" / "washing-green.json"
FULL = Path("/dev/full")


def program(
    *words: object, stdout: int | None = subprocess.PIPE, alphabet: str = "utf-8"
) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "quincunx", *map(str, words)]
    env = {**os.environ, "PYTHONIOENCODING": alphabet}
    return subprocess.run(command, stdout=stdout, stderr=subprocess.PIPE, encoding=alphabet, check=False, env=env)


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


@pytest.mark.parametrize("alphabet", ["ascii", "cp1252", "cp437"])
def test_marks_that_a_terminal_can_not_write_are_written_plainly(alphabet):
    done = program("check", SMALL, alphabet=alphabet)
    modern = program("check", SMALL, alphabet="utf-8")
    assert "✓" in modern.stdout
    assert (done.returncode, done.stderr) == (modern.returncode, "")
    assert "+ holds   x fails" in done.stdout
    assert len(done.stdout.splitlines()) == len(modern.stdout.splitlines())


@pytest.mark.parametrize("words", [["export"], ["check", "--json"]])
def test_a_document_for_other_programs_is_utf8_everywhere(tmp_path, words):
    """As JSON must be (RFC 8259, 8.1), and no letter of a name is lost on the way."""
    text = SMALL.read_text(encoding="utf-8")
    named = tmp_path / "named.json"
    named.write_text(text.replace("Side gate", "Žofie’s låge ✓"), encoding="utf-8")
    whole = {
        alphabet: subprocess.run(
            [sys.executable, "-m", "quincunx", words[0], named, *words[1:]],
            capture_output=True, check=False, env={**os.environ, "PYTHONIOENCODING": alphabet},
        ).stdout
        for alphabet in ("cp1252", "utf-8")
    }  # fmt: skip
    assert whole["cp1252"] == whole["utf-8"]
    assert "Žofie’s låge ✓" in whole["cp1252"].decode()
