"""The wheel holds the browser's side and runs where nothing but its own requirements is installed."""

import os
import shutil
import subprocess
import sys
import sysconfig
import zipfile
from pathlib import Path

import pytest

from tests.house.source import ROOT

BIN = "Scripts" if os.name == "nt" else "bin"
SITE = "import sysconfig; print(sysconfig.get_path('purelib'))"


def run(*words: str | Path, **more) -> subprocess.CompletedProcess[str]:
    done = subprocess.run([str(word) for word in words], capture_output=True, text=True, check=False, **more)
    assert done.returncode == 0, f"{words}\n{done.stdout}\n{done.stderr}"
    return done


@pytest.fixture(scope="module")
def wheel(tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    run(sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", folder, cwd=ROOT)
    (made,) = Path(folder).glob("*.whl")
    return made


@pytest.fixture(scope="module")
def clean(wheel, tmp_path_factory) -> Path:
    """A new environment with the wheel and what requirements.lock names."""
    uv = os.environ.get("UV") or shutil.which("uv") or str(ROOT / ".uv" / "bin" / "uv")
    folder = Path(tmp_path_factory.mktemp("clean")) / "env"
    run(uv, "venv", "-q", "--python", sys.executable, folder)
    python = folder / BIN / "python"
    run(uv, "pip", "install", "-q", "--python", python, "--require-hashes", "-r", ROOT / "requirements.lock", cwd=ROOT)
    lend_bytecode(Path(run(python, "-c", SITE).stdout.strip()))
    run(uv, "pip", "install", "-q", "--python", python, "--no-deps", wheel, cwd=ROOT)
    return folder


def lend_bytecode(site: Path) -> None:
    """Lay what Python made here of the same files beside those there, or it would make it anew for ten seconds.

    Python takes it only for a file of the same date and size.
    """
    ours = Path(sysconfig.get_path("purelib"))
    for made in ours.rglob("__pycache__"):
        there = site / made.relative_to(ours)
        if there.parent.is_dir():
            shutil.copytree(made, there, dirs_exist_ok=True)


@pytest.fixture
def elsewhere(tmp_path) -> dict:
    """A folder and settings that know nothing of the source tree."""
    settings = {k: v for k, v in os.environ.items() if k not in {"PYTHONPATH", "VIRTUAL_ENV"}}
    return {"cwd": tmp_path, "env": settings}


def test_the_wheel_holds_page_typeface_and_licences(wheel):
    names = zipfile.ZipFile(wheel).namelist()
    for wanted in (
        "quincunx/py.typed",
        "quincunx/_ui/index.html",
        "quincunx/_ui/fonts/SourceSans3-Regular.ttf",
        "quincunx/_ui/fonts/LICENSE.md",
        "quincunx-0.1.0.dist-info/licenses/LICENSE",
    ):
        assert wanted in names
    assert [n for n in names if n.startswith("quincunx/_ui/assets/") and n.endswith(".js")]
    assert [n for n in names if not n.startswith(("quincunx/", "quincunx-0.1.0.dist-info/"))] == []
    assert [n for n in names if "node_modules" in n or "__pycache__" in n] == []


def test_its_program_says_its_version(clean, elsewhere):
    program = clean / BIN / "quincunx"
    assert run(program, "--version", **elsewhere).stdout == "quincunx 0.1.0\n"


def test_it_is_the_wheel_that_runs(clean, elsewhere):
    where = run(clean / BIN / "python", "-c", "import quincunx; print(quincunx.__file__)", **elsewhere).stdout
    assert Path(where.strip()).is_relative_to(clean)


@pytest.mark.timeout(280)
def test_its_program_makes_the_demo_garden(clean, elsewhere, tmp_path):
    run(clean / BIN / "quincunx", "demo", "--no-open", "--out", tmp_path / "demo", **elsewhere)
    made = {path.name: path.stat().st_size for path in (tmp_path / "demo").iterdir()}
    assert {"ropewalk.quincunx", "ropewalk.pdf", "ropewalk-2032.svg", "ropewalk-2032.dxf"} <= set(made)
    assert min(made.values()) > 5000
