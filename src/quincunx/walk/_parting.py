"""Which points lie in one piece of ground, told without drawing a piece.

Convex pieces of barriers that touch, the links too narrow for a body and the edge of the world make a net of lines
that the body can't cross.  Two points lie in one piece just if every closed line of the net goes round both or round
neither (the Jordan curve theorem, counted modulo two).  A ray from a point crosses a closed line an odd number of
times if the line goes round it; the closed lines of a net are sums of those that one line makes with a spanning tree
(common practice in graph theory, no source), so that one look at the lines left over tells all.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon, STRtree

from quincunx.kernels import helper, kernel
from quincunx.shapes import XY
from quincunx.walk._kept import Kept

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

AT_ONCE = 62
"""So many points fit into the bits of one number."""


@dataclass(frozen=True, slots=True)
class Rim:
    """The edge of the ``world`` in straight ``parts`` (m,), their ``middle`` (m, 2) [m], and the lines that chain them.

    ``tree`` searches the parts.
    """

    world: Polygon
    parts: NDArray[np.object_]
    tree: STRtree
    middle: Floats
    paths: Floats
    start: Ints
    end: Ints


def rim_of(world: Polygon) -> Rim:
    """Return the edge of the world, kept for other grounds in it."""
    return _RIM.get((world,), None, lambda: _rim(world))


def _rim(world: Polygon) -> Rim:
    parts, middle, paths, start, end = [], [], [], [], []
    first = 0
    for ring in (world.exterior, *world.interiors):
        at = np.asarray(ring.coords)
        corners = np.stack([at[:-1], at[1:]], 1)
        half = corners.mean(axis=1)
        parts.append(shapely.linestrings(corners))
        middle.append(half)
        paths.append(np.stack([half, at[1:], at[1:], np.roll(half, -1, axis=0)], 1))
        start.append(np.arange(first, first + len(half)))
        end.append(np.roll(start[-1], -1))
        first += len(half)
    shapely.prepare(world)
    chained = (np.concatenate(a) for a in (middle, paths, start, end))
    every = np.concatenate(parts)
    return Rim(world, every, STRtree(every), *chained)


@dataclass(frozen=True, slots=True)
class Net:
    """Lines no body crosses: ``paths`` (e, 4, 2) [m] from node ``start`` to node ``end`` (e,), of ``nodes`` in all.

    A body no wider than ``leave_m`` (e,) crosses a line after all.  ``line`` (e,) is which of the lines between pieces
    each goes along, -1 for what holds pieces and the edge of the world together.
    """

    paths: Floats
    start: Ints
    end: Ints
    nodes: int
    leave_m: Floats
    line: Ints


def net_of(rim: Rim, tree: STRtree, middle: Floats, lines: Floats, i: Ints, j: Ints) -> Net:
    """Return the net of convex pieces with the ``lines`` (k, 2, 2) [m] between pieces ``i`` and ``j``.

    ``middle`` (n, 2) [m] is a point inside each piece, ``tree`` searches them.  Where pieces stand on the edge of the
    world, and where lines leave it, the net is made fast to it.
    """
    n, long = len(middle), np.hypot(*(lines[:, 1] - lines[:, 0]).T)
    part, piece = tree.query(rim.parts, predicate="intersects")
    paths = [
        np.stack([middle[i], lines[:, 0], lines[:, 1], middle[j]], 1),
        made_fast(rim, part, tree.geometries[piece], middle[piece]),
        rim.paths,
    ]
    start, end = [i, piece, rim.start + n], [j, part + n, rim.end + n]
    fast = len(piece) + len(rim.start)
    leave, along = [long, np.zeros(fast)], [np.arange(len(long)), np.full(fast, -1)]
    by, part, more = out_of_world(rim, lines, middle[i])
    if len(by):
        paths.append(more)
        start.append(i[by])
        end.append(part + n)
        leave.append(long[by])
        along.append(by)
    nodes = n + len(rim.middle)
    ends = np.concatenate(start), np.concatenate(end)
    return Net(np.concatenate(paths), *ends, nodes, np.concatenate(leave), np.concatenate(along))


def made_fast(rim: Rim, part: Ints, piece: NDArray[np.object_], middle: Floats) -> Floats:
    """Return the paths (k, 4, 2) from pieces that stand on parts of the edge of the world to the middles of those [m]."""
    held = shapely.shortest_line(piece, rim.parts[part])
    at = shapely.get_coordinates(held).reshape(-1, 2, 2)[:, 0]
    return np.stack([middle, at, at, rim.middle[part]], 1)


def out_of_world(rim: Rim, lines: Floats, middle: Floats) -> tuple[Ints, Ints, Floats]:
    """Return which lines leave the world, over which part of its edge, and their paths (k, 4, 2) to there [m]."""
    out = np.flatnonzero(~shapely.intersects_xy(rim.world, lines.reshape(-1, 2)).reshape(-1, 2).all(axis=1))
    if not len(out):
        return out, out, np.empty((0, 4, 2))
    leaving = shapely.linestrings(lines[out])
    line, part = rim.tree.query(leaving, predicate="intersects")
    by = out[line]
    at = shapely.get_coordinates(shapely.shortest_line(leaving[line], rim.parts[part])).reshape(-1, 2, 2)[:, 0]
    return by, part, np.stack([middle[by], lines[by, 0], at, rim.middle[part]], 1)


def crossed(paths: Floats, points: Floats) -> Ints:
    """Return, for each path (e,), the bits of those ``points`` (p, 2) whose ray to the east crosses it oddly often."""
    y = points[:, 1]
    out = np.zeros(len(paths), np.int64)
    bits = np.int64(1) << np.arange(len(points), dtype=np.int64)
    for k in range(paths.shape[1] - 1):
        across = (paths[:, k, 1, None] > y) != (paths[:, k + 1, 1, None] > y)
        line, who = across.nonzero()
        a, b = paths[line, k], paths[line, k + 1]
        east = points[who, 0] < a[:, 0] + (points[who, 1] - a[:, 1]) * (b[:, 0] - a[:, 0]) / (b[:, 1] - a[:, 1])
        np.bitwise_xor.at(out, line[east], bits[who[east]])
    return out


class Parting:
    """A net, and for any point the closed lines of it that go round the point."""

    def __init__(self, net: Net, *, quick: bool = False) -> None:
        """Hold the net; its tree is grown when a point is asked for.  ``quick`` asks kernels, where those are at work."""
        self.net = net
        self.quick = quick

    @cached_property
    def _tree(self) -> tuple[list[tuple[int, int, int]], Ints]:
        """Return the tree as (node, next node, line) from the roots outward, and the lines left over."""
        n, count = self.net.nodes, len(self.net.start)
        ends = np.concatenate([self.net.start, self.net.end])
        order = np.argsort(ends, kind="stable")
        first = np.searchsorted(ends[order], np.arange(n + 1)).tolist()
        to = np.concatenate([self.net.end, self.net.start])[order].tolist()
        by = (order % count if count else order).tolist()
        seen, grown, left = [False] * n, [], np.ones(count, bool)
        for root in range(n):
            if seen[root]:
                continue
            seen[root] = True
            todo = [root]
            while todo:
                node = todo.pop()
                for k in range(first[node], first[node + 1]):
                    if not seen[to[k]]:
                        seen[to[k]] = True
                        grown.append((node, to[k], by[k]))
                        todo.append(to[k])
        left[[line for _, _, line in grown]] = False
        return grown, np.flatnonzero(left)

    @cached_property
    def grown(self) -> Ints:
        """Return a spanning tree of the net, as :func:`grow` makes it."""
        return grow(self.net.start, self.net.end, self.net.nodes)

    @cached_property
    def parts(self) -> Ints:
        """Return which part of the net, of those that hang together, each node is in (n,)."""
        out = np.full(self.net.nodes, -1, np.int64)
        count = 0
        for node, other, _ in self.grown.tolist():
            if node >= 0:
                if out[node] < 0:
                    out[node] = count
                    count += 1
                out[other] = out[node]
        alone = np.flatnonzero(out < 0)
        out[alone] = np.arange(count, count + len(alone))
        return out

    def round(self, points: Sequence[XY]) -> Iterator[bytes]:
        """Yield, for each point, which closed lines go round it: equal for points of one piece."""
        at = np.asarray(points, np.float64).reshape(-1, 2)
        if self.quick:
            sums = np.empty((len(at), self.net.nodes), np.bool_)
            for row in loops_round(at, self.net.paths, self.net.start, self.net.end, self.grown, sums):
                yield row.tobytes()
            return
        for k in range(0, len(at), AT_ONCE):
            yield from self._round(at[k : k + AT_ONCE])

    def _round(self, points: Floats) -> Iterator[bytes]:
        grown, left = self._tree
        by = crossed(self.net.paths, points)
        bits, sums = by.tolist(), [0] * self.net.nodes
        for node, other, line in grown:
            sums[other] = sums[node] ^ bits[line]
        total = np.array(sums, np.int64)
        loops = by[left] ^ total[self.net.start[left]] ^ total[self.net.end[left]]
        for p in range(len(points)):
            yield np.packbits((loops >> p) & 1 == 1).tobytes()


@kernel("int64[::1], int64[::1], int64")
def grow(start: Ints, end: Ints, nodes: int) -> Ints:
    """Return a spanning tree of a net: (node, next node, line) from the roots outward; lines left over come last.

    Rows of those are (-1, -1, line).
    """
    count = len(start)
    first = np.zeros(nodes + 1, np.int64)
    for e in range(count):
        first[start[e] + 1] += 1
        first[end[e] + 1] += 1
    for i in range(nodes):
        first[i + 1] += first[i]
    place, by = first[:-1].copy(), np.empty(2 * count, np.int64)
    for e in range(count):
        by[place[start[e]]] = e
        place[start[e]] += 1
        by[place[end[e]]] = e
        place[end[e]] += 1
    out, made = np.full((count, 3), -1, np.int64), 0
    seen, used, todo = np.zeros(nodes, np.bool_), np.zeros(count, np.bool_), np.empty(nodes, np.int64)
    for root in range(nodes):
        if seen[root]:
            continue
        seen[root] = True
        todo[0], size = root, 1
        while size > 0:
            size -= 1
            node = todo[size]
            for k in range(first[node], first[node + 1]):
                e = by[k]
                other = end[e] if start[e] == node else start[e]
                if not seen[other]:
                    seen[other] = True
                    used[e] = True
                    out[made, 0], out[made, 1], out[made, 2] = node, other, e
                    made += 1
                    todo[size] = other
                    size += 1
    for e in range(count):
        if not used[e]:
            out[made, 2] = e
            made += 1
    return out


@helper
def crosses(path: Floats, x: float, y: float) -> bool:
    """Return whether a point's ray to the east crosses a path (4, 2) [m] oddly often."""
    is_odd = False
    for k in range(3):
        ax, ay, bx, by = path[k, 0], path[k, 1], path[k + 1, 0], path[k + 1, 1]
        if (ay > y) != (by > y) and x < ax + (y - ay) * (bx - ax) / (by - ay):
            is_odd = not is_odd
    return is_odd


@helper
def closed_lines(odd: Flags, start: Ints, end: Ints, grown: Ints, sums: Flags, out: NDArray[np.uint8]) -> None:
    """Say in ``out`` (e / 8,), eight to a number, which closed lines go round a point whose ray crosses ``odd`` (e,) ones.

    ``sums`` (nodes,) takes whether it crosses the lines of the tree from the root to each node oddly often.
    """
    sums[:] = False
    for row in range(len(grown)):
        node, other, line = grown[row, 0], grown[row, 1], grown[row, 2]
        if node >= 0:
            sums[other] = sums[node] != odd[line]
        elif odd[line] != (sums[start[line]] != sums[end[line]]):
            out[row // 8] |= np.uint8(1 << (row % 8))


@kernel("float64[:,::1], float64[:,:,::1], int64[::1], int64[::1], int64[:,::1], boolean[:,::1]")
def loops_round(points: Floats, paths: Floats, start: Ints, end: Ints, grown: Ints, sums: Flags) -> NDArray[np.uint8]:
    """Return, for each point [m], which closed lines of a net go round it, eight to a number (p, e / 8).

    ``sums`` (p, nodes) takes whether its ray crosses the lines of the tree from the root to each node oddly often.
    """
    out = np.zeros((len(points), len(paths) // 8 + 1), np.uint8)
    odd = np.empty(len(paths), np.bool_)
    for p in range(len(points)):
        for e in range(len(paths)):
            odd[e] = crosses(paths[e], points[p, 0], points[p, 1])
        closed_lines(odd, start, end, grown, sums[p], out[p])
    return out


@kernel
def to_root(node: int, parent: Ints, sums: Flags, over: Flags) -> int:
    """Return the root above a node, and in ``over`` (p,) which points the lines up to it go round; shortens the way."""
    root, up = node, parent[node]
    over[:] = False
    while root != up:
        over ^= sums[root]
        root, up = up, parent[up]
    rest, node_sum = node, over.copy()
    while parent[rest] != root and rest != root:
        up = parent[rest]
        own = sums[rest].copy()
        sums[rest] = node_sum
        node_sum ^= own
        parent[rest] = root
        rest = up
    return root


@helper
def goes_round(path: Floats, points: Floats, inside: Flags) -> None:
    """Say in ``inside`` (p,) which points' rays to the east cross a path (4, 2) [m] oddly often."""
    for p in range(len(points)):
        inside[p] = crosses(path, points[p, 0], points[p, 1])


@kernel
def closes(
    path: Floats, points: Floats, start: int, end: int, parent: Ints, sums: NDArray[np.bool_], loop: Flags, over: Flags
) -> bool:
    """Lay one more line between two nodes of a forest; return whether it closes a line.

    ``loop`` (p,) then says which points that goes round; ``over`` (p,) is room to reckon in.
    """
    goes_round(path, points, loop)
    a = to_root(start, parent, sums, over)
    loop ^= over
    b = to_root(end, parent, sums, over)
    loop ^= over
    if a == b:
        return True
    parent[a] = b
    sums[a] = loop
    return False


@kernel
def part(inside: Flags, leave_m: float, group: Ints, groups: int, out: Floats) -> int:
    """Part the groups in which some points are ``inside`` and some not; return how many groups there are then.

    ``out`` (p, p) takes ``leave_m`` for each pair that is parted.
    """
    n, fresh = len(inside), np.full(groups, -1, np.int64)
    for p in range(n):
        g = group[p]
        for q in range(n):
            if inside[p] and group[q] == g and not inside[q]:
                out[p, q] = out[q, p] = leave_m
                if fresh[g] < 0:
                    fresh[g] = groups
                    groups += 1
    for p in range(n):
        if inside[p] and fresh[group[p]] >= 0:
            group[p] = fresh[group[p]]
    return groups


@kernel("float64[:,::1], float64[:,:,::1], int64[::1], int64[::1], float64[::1], int64, float64")
def widest_pairs(
    points: Floats, paths: Floats, start: Ints, end: Ints, leave_m: Floats, nodes: int, up_to_m: float
) -> Floats:
    """Return the widest body (p, p) that passes between points [m] over the lines of a net, narrowest line first.

    A closed line that goes round one of two points and not the other parts them for whatever does not pass the widest
    line in it; the narrowest such closed line says how wide a body may be.
    """
    n, groups = len(points), 1
    out, group = np.full((n, n), up_to_m), np.zeros(n, np.int64)
    parent, sums = np.arange(nodes), np.zeros((nodes, n), np.bool_)
    loop, over = np.empty(n, np.bool_), np.empty(n, np.bool_)
    for e in range(len(paths)):
        if closes(paths[e], points, start[e], end[e], parent, sums, loop, over):
            groups = part(loop, leave_m[e], group, groups, out)
    return out


_RIM: Kept[Rim] = Kept(64)
