"""``import quincunx`` and the command line load nothing heavy."""

import subprocess
import sys

import pytest

HEAVY = ["ezdxf", "networkx", "numba", "numpy", "ortools", "pandas", "scipy", "shapely", "typst"]


def loaded(statement: str) -> list[str]:
    """Return which heavy libraries a new process has loaded after a statement."""
    code = f"import sys\n{statement}\nprint(*[name for name in {HEAVY} if name in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    return done.stdout.split()


@pytest.mark.parametrize("statement", ["import quincunx", "import quincunx.cli", "import quincunx.kernels"])
def test_importing_loads_nothing_heavy(statement):
    assert loaded(statement) == []


def test_a_heavy_import_is_seen():
    assert loaded("import numpy, segno") == ["numpy"]
