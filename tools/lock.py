"""Write the lock files anew: ``./run lock``.

The locks hold versions and hashes and no addresses: what they name comes from wherever the reader's own uv and npm
are set to fetch from. ``uv.lock`` would name hosts, so it stays out of the repository.
"""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
PYTHON_LOCKS = {
    "requirements.lock": ["--no-default-groups", "--group", "build"],
    "requirements-dev.lock": ["--only-group", "dev"],
    "requirements-node.lock": ["--only-group", "node"],
}
PLAIN = ["--no-header", "--no-annotate"]


def lock_python(uv: str) -> None:
    """Lock the program, its tests, and the libraries it is measured against."""
    subprocess.run([uv, "lock", "-q", "--upgrade"], cwd=ROOT, check=True)
    export = [uv, "export", "-q", "--frozen", "--no-emit-project", "--format", "requirements.txt", *PLAIN]
    for name, groups in PYTHON_LOCKS.items():
        subprocess.run([*export, *groups, "-o", name], cwd=ROOT, check=True, stdout=subprocess.DEVNULL)
    compile_ = [uv, "pip", "compile", "-q", "--universal", "--python-version", "3.11", "--upgrade"]
    hashes = ["--generate-hashes", "--no-emit-index-url"]
    subprocess.run([*compile_, *hashes, *PLAIN, "peers.in", "-o", "peers.lock"], cwd=ROOT, check=True)


def lock_ui() -> None:
    """Lock what the browser's side is built from; the addresses of sponsors are left out too."""
    npm = [sys.executable, "hatch_build.py", "npm", "install", "--package-lock-only", "--loglevel=error"]
    subprocess.run(npm, cwd=ROOT, check=True)
    path = ROOT / "ui/package-lock.json"
    lock = json.loads(path.read_text(encoding="utf-8"))
    for package in lock["packages"].values():
        package.pop("funding", None)
    path.write_text(json.dumps(lock, indent=2, ensure_ascii=False) + "\n", encoding="utf-8")


if __name__ == "__main__":
    lock_python(sys.argv[1])
    lock_ui()
