"""Below floor 7 there is no clock, file, network or unseeded chance; nowhere is there code for one system only."""

import ast
from collections.abc import Iterator

import pytest

from tests.house.source import FLOORS, Module, chain, imports, modules

PURE_BELOW = 7
EXEMPT = {"kernels"}  # owns the compiled kernels: it reads settings and keeps files


def _words(text: str) -> set[str]:
    return set(text.split())


IMPURE = _words("""
    asyncio ftplib getpass glob http httpx io logging mmap multiprocessing os pathlib platform platformdirs random
    requests secrets select selectors shelve shutil signal smtplib socket socketserver sqlite3 ssl subprocess tempfile
    time urllib uuid webbrowser
""")
CLOCK = {"now", "utcnow", "today"}
FILES = _words("""
    load save savez savez_compressed loadtxt savetxt genfromtxt fromfile tofile memmap read_csv to_csv read_json
""")
SEEDED = {"Generator", "SeedSequence", "BitGenerator"}  # made from a seed, or only named as a type
FROM_SEED = {"default_rng", "PCG64", "PCG64DXSM", "Philox", "SFC64", "MT19937"}
ONE_SYSTEM = _words("fcntl grp msvcrt nt posix pty pwd resource termios tty winreg")
ONE_SYSTEM_CALLS = {"os.fork", "os.getuid", "os.geteuid", "os.mkfifo", "os.killpg", "os.setsid", "os.startfile"}


def impure(module: Module) -> Iterator[str]:
    """Yield each clock, file, network or unseeded chance in a module."""
    for node, name in imports(module):
        top = name.split(".")[0]
        if top in IMPURE or (top == "importlib" and not name.startswith("importlib.resources")):
            yield f"{module.at(node)} imports {name}"
    for node in module.nodes:
        if isinstance(node, ast.Call):
            yield from (f"{module.at(node)} {what}" for what in _calls(node))
        elif isinstance(node, ast.Attribute) and ".random." in f".{chain(node)}":
            last = chain(node).split(".")[-1]
            if last not in SEEDED | FROM_SEED | {"random"}:
                yield f"{module.at(node)} uses the shared generator: {chain(node)}"


def _calls(node: ast.Call) -> Iterator[str]:
    name = chain(node.func)
    last = name.split(".")[-1]
    unseeded = not node.args and not node.keywords
    none = bool(node.args) and isinstance(node.args[0], ast.Constant) and node.args[0].value is None
    if name in {"open", "input", "print", "__import__"}:
        yield f"calls {name}"
    elif isinstance(node.func, ast.Attribute) and last in CLOCK:
        yield f"asks the clock: {name}"
    elif name.split(".")[0] in {"np", "numpy", "pd", "pandas"} and last in FILES:
        yield f"reads or writes a file: {name}"
    elif last in FROM_SEED and (unseeded or none):
        yield f"has chance without a seed: {name}"


def one_system(module: Module) -> Iterator[str]:
    """Yield what runs on one operating system only, unless it stands under a look at which system this is."""
    guarded = {
        inner
        for node in module.nodes
        if isinstance(node, ast.If) and ("platform" in ast.unparse(node.test) or "os.name" in ast.unparse(node.test))
        for inner in ast.walk(node)
    }
    for node, name in imports(module):
        if name.split(".")[0] in ONE_SYSTEM and node not in guarded:
            yield f"{module.at(node)} imports {name}"
    for node in module.nodes:
        if node in guarded:
            continue
        if isinstance(node, ast.Call) and chain(node.func) in ONE_SYSTEM_CALLS:
            yield f"{module.at(node)} calls {chain(node.func)}"
        elif isinstance(node, ast.Attribute) and chain(node) == "signal.SIGKILL":
            yield f"{module.at(node)} uses signal.SIGKILL"
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            if node.value.startswith(("/tmp/", "/dev/", "/usr/")):
                yield f"{module.at(node)} names the path {node.value}"
            elif any(f"%-{letter}" in node.value for letter in "dmHIMSjy"):
                yield f"{module.at(node)} writes a date in a way that Windows refuses: {node.value}"


def test_below_floor_7_no_clock_file_network_or_unseeded_chance():
    rooms = {room for room, floor in FLOORS.items() if floor < PURE_BELOW} - EXEMPT
    assert [line for m in modules() if m.room in rooms for line in impure(m)] == []


def test_no_code_for_one_system_only():
    assert [line for m in modules() for line in one_system(m)] == []


@pytest.mark.parametrize(
    "text",
    [
        "import time",
        "import os.path",
        "def f():\n    from random import choice",
        "from pathlib import Path",
        "import urllib.request",
        "import importlib",
        "from importlib import metadata",
        "from datetime import datetime\nx = datetime.now(tz=None)",
        "import datetime as dt\nx = dt.date.today()",
        "with open('a') as f: pass",
        "import numpy as np\nx = np.loadtxt('a')",
        "import numpy as np\nx = np.random.normal()",
        "import numpy as np\nx = np.random.default_rng()",
        "from numpy.random import default_rng\nx = default_rng(None)",
        "print(1)",
    ],
)
def test_what_is_not_pure_is_seen(text):
    assert len(list(impure(Module("quincunx.walk.made", text)))) == 1


@pytest.mark.parametrize(
    "text",
    [
        "from importlib.resources import files\nx = files('quincunx').joinpath('a.csv').read_text()",
        "import numpy as np\nx = np.random.default_rng(7)",
        "import numpy as np\ndef f(rng: np.random.Generator): return rng.normal()",
        "from datetime import date\nx = date(2031, 6, 21)",
        "from quincunx.features.path import Path",
    ],
)
def test_what_is_pure_is_not_seen(text):
    assert list(impure(Module("quincunx.walk.made", text))) == []


@pytest.mark.parametrize(
    "text",
    [
        "import fcntl",
        "import os\nos.fork()",
        "import signal\nx = signal.SIGKILL",
        "x = '/tmp/quincunx'",
        "x = f'{day:%-d %B}'",
        "x = day.strftime('%-d %B')",
    ],
)
def test_code_for_one_system_is_seen(text):
    assert len(list(one_system(Module("quincunx.store.made", text)))) == 1


def test_code_under_a_look_at_the_system_is_not_seen():
    text = "import os, sys\nif os.name == 'nt':\n    import msvcrt\nif sys.platform != 'win32':\n    import fcntl"
    assert list(one_system(Module("quincunx.store.made", text))) == []
