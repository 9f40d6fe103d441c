/** Words on the small plan of a phone: which stand where, none over another, in whatever size the person reads. Lengths are pixels. */
export interface Word { words: string; px: number; py: number; half: number }
export interface Ring { px: number; py: number; rx: number; ry: number }
export interface Sheet { wide: number; high: number }
type Box = readonly [number, number, number, number];

const AIR = 2;
export const meet = (a: Box, b: Box): boolean => a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3];
const boxOf = (w: Pick<Word, 'px' | 'py' | 'half'>, tall: number): Box => [w.px - w.half - AIR, w.py - tall / 2 - AIR, w.px + w.half + AIR, w.py + tall / 2 + AIR];
const inside = (b: Box, sheet: Sheet): boolean => b[0] >= 0 && b[1] >= 0 && b[2] <= sheet.wide && b[3] <= sheet.high;

/** Names within the sheet from left to right; who would stand above or below it has no place. */
export function within(names: readonly Word[], tall: number, sheet: Sheet): Word[] {
  return names.filter((n) => n.py >= tall / 2 && n.py <= sheet.high - tall / 2 && 2 * n.half <= sheet.wide).map((n) => ({ ...n, px: Math.min(sheet.wide - n.half, Math.max(n.half, n.px)) }));
}

/** Where the word of a ring stands: above it, below, or beside, where it hides the fewest of the `names` and none of what is `kept` free. */
export function besideRing(ring: Ring, half: number, tall: number, sheet: Sheet, names: readonly Word[], nameTall: number, kept: readonly Box[] = []): { px: number; py: number } {
  const [up, out] = [ring.ry + tall / 2 + 2 * AIR, ring.rx + half + 2 * AIR];
  const tries = [
    [0, -up], [0, up], [out, 0], [-out, 0],
    [out, -up], [-out, -up], [out, up], [-out, up], [half, -up], [-half, -up], [half, up], [-half, up],
  ].map(([dx, dy]) => ({ px: ring.px + dx!, py: ring.py + dy! }));
  const worth = (at: { px: number; py: number }): number => {
    const box = boxOf({ ...at, half }, tall);
    const off = inside(box, sheet) ? 0 : 100;
    return off + kept.filter((k) => meet(k, box)).length * 10 + names.filter((n) => meet(boxOf(n, nameTall), box)).length;
  };
  const best = tries.reduce((a, b) => (worth(b) < worth(a) ? b : a));
  return { px: Math.min(sheet.wide - half, Math.max(half, best.px)), py: Math.min(sheet.high - tall / 2, Math.max(tall / 2, best.py)) };
}

/** Those names, the first of them first, that stand on nothing that is taken and on no other. */
export function apart(names: readonly Word[], tall: number, taken: readonly Box[]): Word[] {
  const full = [...taken];
  return names.filter((n) => {
    const box = boxOf(n, tall);
    if (full.some((t) => meet(t, box))) return false;
    full.push(box);
    return true;
  });
}
export const takenBy = boxOf;
