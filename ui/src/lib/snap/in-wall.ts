/** Where an opening sits in a wall, fence or hedge: in the middle of its thickness, whole between two of its corners. */
import { metresOf } from '../api/client';
import type { Json, Kind, Scene, Writing, XY } from '../api/types';
import { bearing, distance, nearestOn, norm, onGrid, step } from '../geometry/points';
import { writeLength } from '../words/length';

export interface Seat {
  at: XY;
  /** The bearing of the wall there, the way round that turns the opening least. */
  deg: number;
  words: string;
  /** The corners between which it sits. */
  ends: [XY, XY];
}
/** What is looked at: the drawing, what its things are made of, and how lengths are written. */
export interface Walls {
  scene(): Scene;
  kinds(): readonly Kind[];
  doc(id: string): Record<string, unknown> | null;
  writing(): Writing;
  reach_m(): number;
}
/** How far along is a round figure, where the drawing is not so large that less is seen [m]. */
const ROUND_M = { metric: 0.05, feet: 0.0254 * 2 };
/** So much farther than other things a wall draws an opening to itself. */
const FARTHER = 2.5;
/** Whoever points so near its middle line points at a thick hedge, however large it is drawn [m]. */
const THICK_M = 0.5;

/** The seat nearest to a point for an opening `width_m` wide that runs `along_deg`; null where no wall is near that holds it. */
export function seatNear(walls: Walls, p: XY, width_m: number, along_deg: number): Seat | null {
  const reach = walls.reach_m();
  let best: { a: XY; b: XY; id: string } | null = null;
  let least = Math.max(reach * FARTHER, THICK_M);
  for (const { a, b, id } of pieces(walls)) {
    const { away } = nearestOn(p, a, b);
    if (away < least && distance(a, b) >= width_m) [best, least] = [{ a, b, id }, away];
  }
  if (!best) return null;
  const { a, b, id } = best;
  const [long, deg, half] = [distance(a, b), bearing(a, b), width_m / 2];
  const far = distance(a, nearestOn(p, a, b).at);
  const round = ROUND_M[walls.writing().units];
  const along = reach < 2 * round ? far : Math.round(far / round) * round;
  const called = walls.scene().features.find((f) => f.id === id)?.called ?? '';
  const kept = Math.min(Math.max(along, half), long - half);
  const middle = Math.abs(along - long / 2) < reach * 0.6;
  const at = middle ? step(a, deg, long / 2) : step(a, deg, kept);
  const where = middle ? 'in its middle' : kept !== along ? 'at its end' : `${writeLength(along, walls.writing())} along`;
  return { at: onGrid(at), deg: wayRound(deg, along_deg), words: `in ${called}, ${where}`, ends: [a, b] };
}

/** Where the middle of an opening comes that far along between two corners, or why it can't be there: it is whole between them. */
export function seatAlong([a, b]: Seat['ends'], far_m: number, width_m: number, writing: Writing): XY | string {
  const [least, most] = [width_m / 2, distance(a, b) - width_m / 2];
  if (far_m >= least && far_m <= most) return onGrid(step(a, bearing(a, b), far_m));
  if (most < least) return 'That wall is too short.';
  return `Its middle can be from ${writeLength(least, writing)} to ${writeLength(most, writing)} along there.`;
}

/** The straight pieces of all that openings sit in. */
function* pieces(walls: Walls): Generator<{ a: XY; b: XY; id: string }> {
  const kinds = new Map(walls.kinds().filter((k) => k.place.holds).map((k) => [k.kind, k.place]));
  for (const feature of walls.scene().features) {
    const place = kinds.get(feature.kind);
    const doc = place ? walls.doc(feature.id) : null;
    const line = place?.points ? points(doc?.[place.points]) : [];
    if (!line.length) continue;
    const ring = place?.closes && doc?.[place.closes] === true ? [...line, line[0]!] : line;
    for (let i = 1; i < ring.length; i += 1) yield { a: ring[i - 1]!, b: ring[i]!, id: feature.id };
  }
}

/** A bearing or its opposite, whichever is nearer to another: what hangs on the left stays there. */
function wayRound(deg: number, near_deg: number): number {
  const turn = norm(deg - near_deg);
  return turn > 90 && turn < 270 ? norm(deg + 180) : norm(deg);
}

/** An opening that is there already: its middle, width and bearing; null for what is none. */
export function openingOf(walls: Walls, id: string): { at: XY; width_m: number; deg: number; kind: Kind } | null {
  const kind = walls.kinds().find((k) => k.kind === walls.scene().features.find((f) => f.id === id)?.kind);
  const doc = kind?.place.in_wall ? walls.doc(id) : null;
  if (!kind || !doc) return null;
  const { at, turn, width } = kind.place;
  const size = (name: string | null): number => metresOf((name ? (doc[name] ?? kind.fields.find((f) => f.name === name)?.default) : 0) as Json) ?? 0;
  const [middle] = points([doc[at ?? 'at']]);
  return middle ? { at: middle, width_m: size(width), deg: size(turn), kind } : null;
}

/** Points of a document, of which each length may be kept as it was typed. */
function points(value: unknown): XY[] {
  const all = Array.isArray(value) ? (value as Json[][]) : [];
  return all.map((p): XY => [metresOf(p?.[0]) ?? NaN, metresOf(p?.[1]) ?? NaN]).filter((p) => p.every(Number.isFinite));
}
