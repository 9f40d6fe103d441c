"""The files of the board import in one direction, counting what is loaded late and what is needed for types only."""

from __future__ import annotations

import ast
from pathlib import Path

import networkx as nx

import quincunx.board
from quincunx.board.app import ROUTES

BOARD = Path(quincunx.board.__file__).parent
NAMES = {path.stem for path in BOARD.glob("*.py")} - {"__init__"}
TIED = {("trier", "session")}
"""The thread that judges tries names the session that began it, for types only."""


def imported(path: Path) -> set[str]:
    """The modules of the board that a file names in an import, wherever it stands."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("quincunx.board"):
            last = (node.module or "").split(".")[2:3]
            found |= set(last) or {alias.name for alias in node.names}
        elif isinstance(node, ast.Import):
            found |= {a.name.split(".")[2] for a in node.names if a.name.startswith("quincunx.board.")}
    return found & NAMES


def test_no_file_of_the_board_leads_back_to_itself() -> None:
    graph = nx.DiGraph(
        (path.stem, other) for path in BOARD.glob("*.py") for other in imported(path) if (path.stem, other) not in TIED
    )
    graph.add_edges_from(("app", name.partition(":")[0]) for _, _, name in ROUTES)
    circles = sorted(sorted(c) for c in nx.strongly_connected_components(graph) if len(c) > 1)
    assert circles == []
    assert graph.number_of_nodes() > 60
    assert "desk" in nx.descendants(graph, "ask")
