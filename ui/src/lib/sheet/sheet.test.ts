import { describe, expect, test } from 'vitest';
import type { Figure, Scene, SceneFeature, Writing, XY } from '../api/types';
import { fit, panBy, resized, toGround, toScreen, zoomAbout, type Camera } from './camera';
import { drawFigures, inOrder, type Pens } from './draw';
import { handleAt, under, within } from './hit';
import { rankOf, ROLES, type Palette } from './palette';
import { TILES, tileTimes } from './patterns';
import { gridStep, scaleBar } from './scale';

const metric: Writing = { units: 'metric', decimal_mark: '.', currency: 'EUR', paper: 'A4' };
const feet: Writing = { ...metric, units: 'feet' };
const camera: Camera = { at: [10, 20], scale: 25, wide: 800, high: 600 };

describe('the view', () => {
  test('screen and ground are inverse; north is up', () => {
    expect(toScreen(camera, [10, 20])).toEqual({ px: 400, py: 300 });
    expect(toScreen(camera, [10, 24]).py).toBe(200);
    expect(toGround(camera, toScreen(camera, [3.3, 4.4]))[0]).toBeCloseTo(3.3, 9);
  });
  test('zooming keeps the ground under the pointer', () => {
    const s = { px: 123, py: 456 };
    const before = toGround(camera, s);
    const after = toGround(zoomAbout(camera, s, 1.7), s);
    expect(after[0]).toBeCloseTo(before[0], 9);
    expect(after[1]).toBeCloseTo(before[1], 9);
  });
  test('zooming stops at sane scales', () => expect(zoomAbout(camera, { px: 0, py: 0 }, 1e9).scale).toBe(2000));
  test('sliding', () => expect(panBy(camera, 25, 50).at).toEqual([9, 22]));
  test('all fits with its margin', () => {
    const c = fit([0, 0, 18, 46], 600, 780, 40);
    const [a, b] = [toScreen(c, [0, 0]), toScreen(c, [18, 46])];
    expect(a.py).toBeCloseTo(740, 6);
    expect(b.py).toBeCloseTo(40, 6);
    expect(a.px).toBeGreaterThan(40);
  });
  test('a smaller view keeps its top left', () => {
    const smaller = resized(camera, 700, 500);
    expect(toGround(smaller, { px: 0, py: 0 })).toEqual(toGround(camera, { px: 0, py: 0 }));
  });
});

describe('scale bar and grid', () => {
  test('the bar is true and round', () => {
    for (const scale of [0.7, 3, 11, 25, 140, 900]) {
      for (const writing of [metric, feet]) {
        const bar = scaleBar(scale, writing, 160);
        expect(bar.px).toBeCloseTo(bar.metres * scale, 9);
        if (scale * 0.3 < 160 && scale > 1) expect(bar.px).toBeLessThanOrEqual(160);
      }
    }
    expect(scaleBar(25, metric, 160).words).toBe('5 m');
    expect(scaleBar(25, feet, 160).words).toBe('20 ft');
  });
  test('the grid names its step and is never crowded', () => {
    expect(gridStep(25, metric)).toEqual({ metres: 2, words: '2 m' });
    expect(gridStep(25, feet).words).toBe('5 ft');
    expect(gridStep(400, metric).words).toBe('0.1 m');
    expect(gridStep(400, { ...metric, decimal_mark: ',' }).words).toBe('0,1 m');
  });
});

test('tiles are doubled until they can be read, and never for a near view', () => {
  expect(tileTimes(0.5, 100)).toBe(1);
  expect(tileTimes(0.5, 10)).toBe(4);
  for (const tile of Object.values(TILES)) for (const scale of [1, 8, 30, 200]) expect(tile.size_m * tileTimes(tile.size_m, scale) * scale).toBeGreaterThanOrEqual(13);
});

const area = (role: Figure['role'], owner: string, ring: XY[] = [[8, 18], [12, 18], [12, 22]]): Figure => ({ t: 'area', rings: [ring], role, owner });

test('painting order: the ground first, walls above what grows, words last', () => {
  const words: Figure = { t: 'text', at: [0, 0], text: 'Pond', role: 'note', owner: 'p' };
  const ordered = inOrder([words, area('wall', 'w'), area('grown', 'g'), area('lawn', 'l'), { t: 'path', points: [[0, 0], [1, 1]], role: 'lawn', owner: 'l2' }]);
  expect(ordered.map((f) => f.owner)).toEqual(['l', 'l2', 'g', 'w', 'p']);
  expect(new Set(ROLES.map(rankOf)).size).toBe(16);
});

describe('drawing', () => {
  const calls: string[] = [];
  const noted = (name: string) => (...args: unknown[]) => void calls.push(`${name} ${args.filter((a) => typeof a !== 'object').join(' ')}`);
  const pen = new Proxy({ globalAlpha: 1 } as Record<string, unknown>, { get: (own, name: string) => (name in own ? own[name] : noted(name)), set: (own, name: string, value) => { own[name] = value; return true; } });
  const roles = Object.fromEntries(ROLES.map((r) => [r, { wash: `wash-${r}`, line: `line-${r}` }])) as Palette['roles'];
  const palette = { roles, shades: ['s0', 's1', 's2', 's3', 's4', 's5', 's6'], paper: 'paper', ink: 'ink' } as unknown as Palette;
  const pens: Pens = { pen: pen as unknown as CanvasRenderingContext2D, camera, palette, dpr: 2, writing: metric };
  class Path { moveTo(): void {} lineTo(): void {} closePath(): void {} }
  Object.assign(globalThis, { Path2D: Path });
  const drawn = (figures: Figure[], without?: Set<string>): string[] => {
    calls.length = 0;
    drawFigures(pens, figures, without);
    return calls;
  };

  test('the pen works in metres with north up, sharp on a dense screen', () => expect(drawn([area('lawn', 'a')])[0]).toBe('setTransform 50 0 0 -50 300 1600'));
  test('an area is filled and edged', () => expect(drawn([area('lawn', 'a')]).map((c) => c.split(' ')[0])).toEqual(expect.arrayContaining(['fill', 'stroke'])));
  test('out of view and hidden things are left out', () => {
    expect(drawn([area('lawn', 'far', [[900, 900], [901, 900], [901, 901]])]).some((c) => c.startsWith('fill'))).toBe(false);
    expect(drawn([area('lawn', 'a')], new Set(['a'])).some((c) => c.startsWith('fill'))).toBe(false);
  });
  test('a dimension is written in the person’s units', () => {
    const figure: Figure = { t: 'dimension', start: [8, 20], end: [12, 20], value_m: 4, role: 'datum', owner: '' };
    expect(drawn([figure]).some((c) => c.startsWith('fillText 4.00 m'))).toBe(true);
  });
});

describe('what lies under the pointer', () => {
  const feature = (id: string, ring: XY[]): SceneFeature => ({ id, kind: 'bed', called: id, handles: [], outline: [ring], built: false, stands: true });
  const square = (x: number, y: number, s: number): XY[] => [[x, y], [x + s, y], [x + s, y + s], [x, y + s]];
  const scene = { features: [feature('lawn', square(0, 0, 20)), feature('bed', square(4, 4, 3)), feature('post', square(5, 5, 0.2)), feature('far', square(40, 40, 2))], snaps: { points: [], edges: [] } } as unknown as Scene;
  test('the smallest first', () => expect(under(scene, [5.1, 5.1], 0.2).map((f) => f.id)).toEqual(['post', 'bed', 'lawn']));
  test('near a thin thing counts', () => expect(under(scene, [5.3, 5.1], 0.2)[0]?.id).toBe('bed'));
  test('nothing', () => expect(under(scene, [30, 30], 0.2)).toEqual([]));
  test('wholly inside a box', () => expect(within(scene, [3, 3, 8, 8]).map((f) => f.id).sort()).toEqual(['bed', 'post']));
  test('a thing in parts is met at each of them, and boxed with all', () => {
    const arch: SceneFeature = { ...feature('rose', square(0, 0, 0.3)), outline: [square(0, 0, 0.3), square(2, 0, 0.3)] };
    const both = { features: [arch], snaps: { points: [], edges: [] } } as unknown as Scene;
    expect([[0.1, 0.1], [2.1, 0.1], [2.4, 0.1]].map((p) => under(both, p as unknown as XY, 0.2).length)).toEqual([1, 1, 1]);
    expect(under(both, [1.2, 0.1], 0.2)).toEqual([]);
    expect(within(both, [-1, -1, 1, 1])).toEqual([]);
    expect(within(both, [-1, -1, 3, 1])).toEqual([arch]);
  });
  test('a handle', () => {
    const handles = [{ id: 'a', at: [0, 0] as XY, words: '' }, { id: 'b', at: [0.3, 0] as XY, words: '' }];
    expect(handleAt(handles, [0.25, 0], 0.4)?.id).toBe('b');
    expect(handleAt(handles, [5, 0], 0.4)).toBeNull();
  });
});
