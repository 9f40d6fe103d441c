/** What lies under the pointer. */
import type { Bounds, Handle, Scene, SceneFeature, XY } from '../api/types';
import { distance } from '../geometry/points';
import { awayFromRing, boundsOf, grown, insideRing, overlap, ringArea } from '../geometry/shapes';

interface Shape { feature: SceneFeature; box: Bounds; area: number }
const shapes = new WeakMap<Scene, Shape[]>();

function shapesOf(scene: Scene): Shape[] {
  let list = shapes.get(scene);
  if (!list) {
    list = scene.features
      .filter((feature) => feature.outline.length > 0)
      .map((feature) => ({ feature, box: boundsOf(feature.outline.flat()), area: feature.outline.reduce((sum, ring) => sum + ringArea(ring), 0) }))
      .sort((a, b) => a.area - b.area || (a.feature.id < b.feature.id ? -1 : 1));
    shapes.set(scene, list);
  }
  return list;
}

/** All features under a point, the smallest first. */
export function under(scene: Scene, p: XY, reach_m: number): SceneFeature[] {
  const inside: Shape[] = [];
  const near: { feature: SceneFeature; away: number }[] = [];
  for (const shape of shapesOf(scene)) {
    const { feature, box } = shape;
    if (!overlap(grown(box, reach_m), [p[0], p[1], p[0], p[1]])) continue;
    if (feature.outline.some((ring) => insideRing(p, ring))) inside.push(shape);
    else {
      const away = Math.min(...feature.outline.map((ring) => awayFromRing(p, ring)));
      if (away <= reach_m) near.push({ feature, away });
    }
  }
  const slim = near.sort((a, b) => a.away - b.away).map((n) => n.feature);
  const whole = inside.map(({ feature }) => feature);
  return inside.length && inside[0]!.area < 25 ? [...whole, ...slim] : [...slim, ...whole];
}

/** All features that lie wholly inside a box. */
export function within(scene: Scene, box: Bounds): SceneFeature[] {
  return shapesOf(scene)
    .filter(({ box: b }) => b[0] >= box[0] && b[1] >= box[1] && b[2] <= box[2] && b[3] <= box[3])
    .map(({ feature }) => feature);
}

export function handleAt(handles: readonly Handle[], p: XY, reach_m: number): Handle | null {
  let best: Handle | null = null;
  let least = reach_m;
  for (const handle of handles) {
    const away = distance(handle.at, p);
    if (away < least) [best, least] = [handle, away];
  }
  return best;
}
