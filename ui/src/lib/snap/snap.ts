/**
 * The one snapping service. Every gesture asks it, none has its own.
 * Nearest wins within a rank; ranks: points, then crossings of two guides, then square and axis lines,
 * equal spacing, edges, and lines level with a stake or corner.
 */
import type { SnapEdge, SnapPoint, XY } from '../api/types';
import { bearing, crossing, distance, footOn, nearestOn, norm, onGrid, step, wind } from '../geometry/points';

export interface Ground { points: readonly SnapPoint[]; edges: readonly SnapEdge[] }
export interface Aim {
  /** The point the gesture draws from. */
  from?: XY | undefined;
  /** Bearing of the side before: square to it and straight on are guides. */
  side_deg?: number | undefined;
  /** Owners that are being dragged: they don't attract themselves. */
  without?: ReadonlySet<string> | undefined;
  /** Points of the gesture itself (the corners drawn so far). */
  own?: readonly XY[] | undefined;
  /** Reach of the pull [m]. */
  reach_m: number;
  /** Only along this bearing through this point (a handle that slides). */
  rail?: { at: XY; deg: number } | undefined;
  off?: boolean | undefined;
}
export interface Snapped {
  at: XY;
  words: string;
  guides: [XY, XY][];
  /** The edge it lies on, if it does. */
  edge?: { owner: string; deg: number; ends: [XY, XY] } | undefined;
}
interface Line { at: XY; deg: number; words: string; level?: boolean }

const POINT_WORDS: Record<string, string> = { stake: 'stake', spot: 'spot', corner: 'corner', end: 'end', middle: 'middle' };

export function snap(p: XY, ground: Ground, aim: Aim): Snapped {
  if (aim.rail) return onRail(p, ground, aim, aim.rail);
  if (aim.off) return free(p);
  const edge = nearestEdge(p, ground, aim);
  return nearestPoint(p, ground, aim, edge) ?? onLines(p, aim, ground, edge) ?? onEdge(p, aim, edge) ?? free(p);
}

const free = (p: XY): Snapped => ({ at: onGrid(p), words: '', guides: [] });
const takes = (owner: string, aim: Aim): boolean => !(owner && aim.without?.has(owner));

function nearestPoint(p: XY, ground: Ground, aim: Aim, edge: SnapEdge | null): Snapped | null {
  let best: { at: XY; words: string; away: number } | null = null;
  const consider = (at: XY, words: string, worth: number): void => {
    const away = distance(p, at);
    if (away <= aim.reach_m && (!best || away * worth < best.away)) best = { at, words, away: away * worth };
  };
  for (const [x, y, sort, owner, name] of ground.points) {
    if (Math.abs(x - p[0]) > aim.reach_m || Math.abs(y - p[1]) > aim.reach_m || !takes(owner, aim)) continue;
    const words = POINT_WORDS[sort] ?? sort;
    consider([x, y], name ? `${words} ${name}` : words, sort === 'stake' || sort === 'end' ? 0.6 : sort === 'middle' ? 1.3 : 1);
  }
  for (const own of aim.own ?? []) consider(own, own === aim.own?.[0] ? 'first corner' : 'own corner', 1);
  const found = best as { at: XY; words: string; away: number } | null;
  if (!found) return null;
  const on = edge && nearestOn(found.at, edge[0], edge[1]).away < 1e-3 ? edge : null;
  return { at: found.at, words: found.words, guides: [], edge: on ? edgeOf(on) : undefined };
}

const edgeOf = (edge: SnapEdge): NonNullable<Snapped['edge']> => ({ owner: edge[2], deg: bearing(edge[0], edge[1]), ends: [edge[0], edge[1]] });

function nearestEdge(p: XY, ground: Ground, aim: Aim): SnapEdge | null {
  let best: SnapEdge | null = null;
  let least = aim.reach_m;
  for (const edge of ground.edges) {
    const [a, b, owner] = edge;
    const r = aim.reach_m;
    if (Math.min(a[0], b[0]) - r > p[0] || Math.max(a[0], b[0]) + r < p[0] || Math.min(a[1], b[1]) - r > p[1] || Math.max(a[1], b[1]) + r < p[1]) continue;
    if (!takes(owner, aim)) continue;
    const { away } = nearestOn(p, a, b);
    if (away < least) [best, least] = [edge, away];
  }
  return best;
}

/** Lines through the last point: square, straight on, the four winds; lines level with a stake or corner. */
function guideLines(p: XY, aim: Aim, ground: Ground): Line[] {
  const lines: Line[] = [];
  const { from, side_deg } = aim;
  if (from && side_deg !== undefined) {
    lines.push({ at: from, deg: norm(side_deg + 90), words: 'square' }, { at: from, deg: norm(side_deg), words: 'straight on' });
  }
  if (from) lines.push({ at: from, deg: 0, words: 'north–south' }, { at: from, deg: 90, words: 'east–west' });
  const first = aim.own?.[0];
  if (first && aim.own && aim.own.length > 2 && aim.own[1]) {
    lines.push({ at: first, deg: norm(bearing(first, aim.own[1]) + 90), words: 'square to the first side' });
  }
  for (const [x, y, sort, owner, name] of ground.points) {
    if (sort === 'middle' || !takes(owner, aim)) continue;
    const what = name ?? POINT_WORDS[sort] ?? sort;
    if (Math.abs(x - p[0]) < aim.reach_m / 2) lines.push({ at: [x, y], deg: 0, words: `in line with ${what}`, level: true });
    if (Math.abs(y - p[1]) < aim.reach_m / 2) lines.push({ at: [x, y], deg: 90, words: `level with ${what}`, level: true });
    if (lines.length > 24) break;
  }
  return lines;
}

function onLines(p: XY, aim: Aim, ground: Ground, edge: SnapEdge | null): Snapped | null {
  const near = guideLines(p, aim, ground)
    .map((line, rank) => ({ line, rank, away: distance(p, footOn(p, line.at, line.deg)) }))
    .filter(({ line, away }) => away <= aim.reach_m * 0.7 && !(line.level && along(line, edge)))
    .sort((a, b) => a.rank - b.rank);
  const even = aim.from ? evenAlong(p, aim) : null;
  const first = near[0];
  if (!first) return even;
  if (edge) {
    const at = crossing(first.line.at, first.line.deg, edge[0], bearing(edge[0], edge[1]));
    if (at && distance(at, p) <= aim.reach_m && nearestOn(at, edge[0], edge[1]).away < 1e-6) {
      return { at: onGrid(at), words: `${first.line.words}, on the edge`, guides: [[first.line.at, at]], edge: edgeOf(edge) };
    }
  }
  if (edge && first.line.level) return null; // an edge counts more than being in line with something far off
  for (const second of near.slice(1)) {
    const at = crossing(first.line.at, first.line.deg, second.line.at, second.line.deg);
    if (!at || distance(at, p) > aim.reach_m) continue;
    return { at: onGrid(at), words: `${first.line.words}, ${second.line.words}`, guides: [[first.line.at, at], [second.line.at, at]] };
  }
  const foot = footOn(p, first.line.at, first.line.deg);
  if (even && distance(even.at, foot) <= aim.reach_m) {
    return { at: onGrid(footOn(even.at, first.line.at, first.line.deg)), words: `${first.line.words}, ${even.words}`, guides: [[first.line.at, foot], ...even.guides] };
  }
  const on = along(first.line, edge);
  return { at: onGrid(foot), words: on ? `${first.line.words}, on the edge` : first.line.words, guides: [[first.line.at, foot]], edge: on ? edgeOf(edge!) : undefined };
}

/** Whether a line runs along an edge: then the edge says it, and a distance can be typed along it. */
function along(line: Line, edge: SnapEdge | null): boolean {
  if (!edge) return false;
  const turn = Math.sin(((line.deg - bearing(edge[0], edge[1])) * Math.PI) / 180);
  return Math.abs(turn) < 1e-3 && distance(edge[0], footOn(edge[0], line.at, line.deg)) < 2e-3;
}

/** The same length as a side already drawn. */
function evenAlong(p: XY, aim: Aim): Snapped | null {
  const { from, own } = aim;
  if (!from || !own || own.length < 2) return null;
  const length = distance(from, p);
  for (let i = 1; i < own.length; i += 1) {
    const [a, b] = [own[i - 1]!, own[i]!];
    const side = distance(a, b);
    if (side > 0.05 && Math.abs(side - length) <= aim.reach_m * 0.7) {
      return { at: onGrid(step(from, bearing(from, p), side)), words: 'equal sides', guides: [[a, b]] };
    }
  }
  return null;
}

function onEdge(p: XY, aim: Aim, edge: SnapEdge | null): Snapped | null {
  if (!edge) return null;
  const { from } = aim;
  const deg = bearing(edge[0], edge[1]);
  if (from) {
    const foot = footOn(from, edge[0], deg);
    if (distance(foot, p) <= aim.reach_m && distance(foot, from) > aim.reach_m && nearestOn(foot, edge[0], edge[1]).away < 1e-6) {
      return { at: onGrid(foot), words: 'square to the edge', guides: [[from, foot]], edge: edgeOf(edge) };
    }
  }
  return { at: onGrid(nearestOn(p, edge[0], edge[1]).at), words: 'on the edge', guides: [], edge: edgeOf(edge) };
}

function onRail(p: XY, ground: Ground, aim: Aim, rail: { at: XY; deg: number }): Snapped {
  const foot = footOn(p, rail.at, rail.deg);
  if (aim.off) return free(foot);
  for (const [x, y, sort, owner, name] of ground.points) {
    if (!takes(owner, aim)) continue;
    const level = footOn([x, y], rail.at, rail.deg);
    if (distance(level, foot) <= aim.reach_m * 0.6 && distance([x, y], level) < 12) {
      return { at: onGrid(level), words: `level with ${name ?? POINT_WORDS[sort] ?? sort}`, guides: [[[x, y], level]] };
    }
  }
  return free(foot);
}

/** Where a thing moved to `at` would leave equal gaps between its neighbours, along x and along y. */
export function evenGap(at: XY, neighbours: readonly XY[], reach_m: number): Snapped | null {
  for (const axis of [0, 1] as const) {
    const other = axis === 0 ? 1 : 0;
    const line = neighbours.filter((n) => Math.abs(n[other] - at[other]) < reach_m).sort((a, b) => a[axis] - b[axis]);
    for (let i = 1; i < line.length; i += 1) {
      const [a, b] = [line[i - 1]!, line[i]!];
      const gap = b[axis] - a[axis];
      for (const want of [a[axis] + gap / 2, b[axis] + gap, a[axis] - gap]) {
        if (gap < 0.2 || Math.abs(want - at[axis]) > reach_m) continue;
        const spot: XY = axis === 0 ? [want, at[1]] : [at[0], want];
        return { at: onGrid(spot), words: 'evenly spaced', guides: [[a, b], [b, spot]] };
      }
    }
  }
  return null;
}

/** How a side lies, in words for the line under the sheet. */
export const sideWords = (from: XY, to: XY): string => `${Math.round(bearing(from, to) * 10) / 10}° ${wind(bearing(from, to))}`;
