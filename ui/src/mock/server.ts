/** Stands in for the program while the page is worked on: the same questions, made-up answers, no file. */
import type { Doc, Edit, FeatureDoc, Figure, GardenDoc, Json, Op, Scene, SnapEdge, SnapPoint, Table, XY } from '../lib/api/types';
import { today } from '../lib/saturday/note';
import { between, step, turned, bearing, distance, onGrid } from '../lib/geometry/points';
import { boundsOf, box } from '../lib/geometry/shapes';
import { evidence, findings, musts, touched } from './answers';
import { draw, KINDS } from './kinds';
import { extra, mustKinds, papers, parts, plants, question, questionAt, questions, towns, walkers } from './rest';
import { asides, found, taken, tried, years } from './years';
import { BOUNDARY, FIRST, garden as ropewalk, YEARS } from './ropewalk';

interface Step { label: string; before: GardenDoc; after: GardenDoc; when: string }
type Body = Record<string, Json>;
export interface Reply { status: number; body: unknown }
const ok = (body: unknown): Reply => ({ status: 200, body });
const no = (status: number, error: string): Reply => ({ status, body: { error, faults: [] } });
const writing = { units: 'metric', decimal_mark: '.', currency: 'EUR', paper: 'A4', currency_sign: '€', minor: 100 } as const;

export class MockServer {
  garden: GardenDoc | null = null;
  revision = 1;
  done: Step[] = [];
  undone: Step[] = [];
  versions: { name: string; when: string; garden: GardenDoc }[] = [];
  file = '';
  asked = false;
  boundary: XY[] = BOUNDARY;
  private told: (() => void)[] = [];

  onChange(tell: () => void): void {
    this.told.push(tell);
  }

  open(demo: string): void {
    this.garden = ropewalk();
    if (demo === 'many') this.garden.features.push(...extra(2000));
    this.boundary = demo === 'many' ? box([100, 100], 230, 230, 0) : BOUNDARY;
    this.file = 'ropewalk.quincunx';
    this.done = [];
    this.undone = [];
    this.revision = 1;
  }

  answer(method: string, path: string, query: URLSearchParams, body: Body): Reply {
    const route = `${method} ${path}`;
    const free = this.free(route, query, body);
    if (free) return free;
    if (!this.garden) return no(409, 'No garden is open.');
    return this.withGarden(this.garden, route, query, body);
  }

  private free(route: string, query: URLSearchParams, body: Body): Reply | null {
    switch (route) {
      case 'GET /api/state': return ok({ version: '0.1.0', garden: this.garden && { name: this.garden.name, file: this.file, revision: this.revision, head: 'main', saved: true }, recent: [{ name: 'Ropewalk Cottage', file: 'gardens/ropewalk.quincunx', when: '2027-02-11T18:20:00Z' }], demos: [{ id: 'ropewalk', name: 'Ropewalk Cottage', words: 'A long plot that falls to a stream: old walls, a meadow with roe beyond, six years, 2 400 a year.' }, { id: 'kettle', name: 'Kettle Hill', words: 'A half-acre corner with a painted barn, deep snow and white-tailed deer: eight years, 3,500 a year.' }], style: writing });
      case 'GET /api/year-page': return ok({ year: null, made: '', due: false, unwanted: false });
      case 'GET /api/towns': return ok(towns(query.get('q') ?? ''));
      case 'GET /api/kinds': return ok(KINDS);
      case 'GET /api/musts/kinds': return ok(mustKinds);
      case 'GET /api/walkers': return ok(walkers);
      case 'GET /api/parts': return ok(parts);
      case 'GET /api/plants': return ok(plants(query.get('q') ?? ''));
      case 'GET /api/questions': return ok(questions);
      case 'GET /api/copies': return ok([{ copy: 'a', when: '2027-02-10T18:20:00Z' }]);
      case 'POST /api/open': if (body['file'] === 'gone') return no(404, 'There is no file called “gone”.'); this.open(String(body['demo'] ?? 'ropewalk')); return ok({ file: this.file });
      case 'POST /api/new': this.open('ropewalk'); this.garden!.name = String(body['name'] || 'My garden'); return ok({ file: this.file });
      case 'POST /api/close': this.garden = null; return ok({});
      case 'POST /api/import': this.open('ropewalk'); return ok({ file: this.file });
      default: return null;
    }
  }

  private withGarden(garden: GardenDoc, route: string, query: URLSearchParams, body: Body): Reply {
    const year = Number(query.get('year') ?? body['year'] ?? FIRST);
    switch (route) {
      case 'GET /api/garden': return ok({ revision: this.revision, head: 'main', heads: ['main'], garden, years: YEARS, called: Object.fromEntries(garden.features.map((f) => [f.id, this.called(f)])), can_undo: this.done.at(-1)?.label ?? null, can_redo: this.undone.at(-1)?.label ?? null, built: garden.features.filter((f) => f['there_from'] === 'start').map((f) => f.id), writing, today: today() });
      case 'GET /api/scene': return ok(this.scene(garden, year, Number(query.get('month') ?? 8)));
      case 'GET /api/table': return ok(this.table(garden));
      case 'GET /api/evidence': { const row = musts(garden.features).find((m) => m.id === query.get('must')); const v = row?.verdicts.find((c) => c.year === year); return ok({ because: v?.because ?? '', figures: evidence(query.get('must') ?? '', garden.features), bounds: null, how: v?.how ?? [] }); }
      case 'GET /api/months': return ok({ months: this.months(garden, year) });
      case 'GET /api/take-out': { const ids = (query.get('ids') ?? '').split(','); return ok({ edit: { label: ids.length === 1 ? `Take out ${ids[0]}` : `Take out ${ids.length} things`, ops: ids.map((id) => ({ do: 'remove', part: 'features', id })) }, also: '' }); }
      case 'GET /api/years': return ok(years(garden, this.revision));
      case 'POST /api/years/try': return ok(tried(garden, body, this.revision));
      case 'POST /api/years/find': this.asked = true; return ok(found(garden, this.revision));
      case 'POST /api/years/stop': return ok(found(garden, this.revision));
      case 'GET /api/years/found': return ok(this.asked ? found(garden, this.revision) : { asked: false });
      case 'POST /api/years/take': { const ops = taken(garden, this.revision); this.edit({ label: 'Find the years', ops }); return ok({ revision: this.revision, changed: ops.length }); }
      case 'POST /api/edit': return this.edit(body['edit'] as unknown as Edit);
      case 'POST /api/drag': return ok(this.drag(garden, year, body));
      case 'POST /api/preview': { const feature = body['feature'] as unknown as FeatureDoc; const d = draw(feature, year); return ok({ fields: feature, figures: d.figures, owners: [feature.id], handles: d.handles, outline: d.outline, verdicts: touched([...garden.features, feature]) }); }
      case 'POST /api/undo': return this.swing(this.done, this.undone, 'before');
      case 'POST /api/redo': return this.swing(this.undone, this.done, 'after');
      case 'GET /api/history': return ok([...this.done.map((s, i) => ({ id: i, label: s.label, when: s.when, here: i === this.done.length - 1 }))].reverse());
      case 'POST /api/versions': this.versions.push({ name: String(body['name']), when: new Date().toISOString(), garden }); return ok({});
      case 'GET /api/versions': return ok(this.versions.map(({ name, when }) => ({ name, when })));
      case 'POST /api/versions/return': { const v = this.versions.find((x) => x.name === body['name']); if (!v) return no(404, 'No such version.'); this.keep(`Return to ${v.name}`, v.garden); return ok({ revision: this.revision }); }
      case 'GET /api/question': { const { name = '', fine = '', year: _y, month: _m, ...given } = Object.fromEntries(query); return ok(question(name, given, fine === '1', garden.features)); }
      case 'GET /api/question/at': return ok({ words: questionAt(Number(query.get('x')), Number(query.get('y'))) });
      case 'GET /api/papers': return ok(papers);
      case 'GET /api/papers/empty': return ok({});
      case 'GET /api/papers/sets': return ok([{ id: 'to-carry', words: 'To carry outdoors', about: 'what is of use on the day' }]);
      case 'POST /api/papers': return ok({ files: [] });
      default: { const aside = asides(garden, route, query, body, this.revision); return aside ? ok(aside) : no(404, `Nothing answers ${route}.`); }
    }
  }

  private called(f: FeatureDoc): string {
    return String(f['name'] || `${KINDS.find((k) => k.kind === f.kind)?.words ?? f.kind} ${f.id}`);
  }

  private scene(garden: GardenDoc, year: number, month: number): Scene {
    const stands = (f: FeatureDoc): boolean => f['there_from'] === 'start' || !f['there_from'] || String(f['there_from']) <= `${year}-${String(month).padStart(2, '0')}`;
    const figures: Figure[] = [];
    const ghosts: Figure[] = [];
    const points: SnapPoint[] = this.boundary.map(([x, y], i) => [x, y, 'stake', '', 'ABCD'[i] ?? '']);
    const edges: SnapEdge[] = this.boundary.map((p, i) => [p, this.boundary[(i + 1) % this.boundary.length]!, '']);
    const features = garden.features.map((f) => {
      const d = draw(f, year);
      (stands(f) ? figures : ghosts).push(...d.figures);
      for (const ring of d.outline) {
        if (ring.length > 12) continue;
        ring.forEach((p, i) => {
          const q = ring[(i + 1) % ring.length]!;
          points.push([p[0], p[1], 'corner', f.id], [...between(p, q), 'middle', f.id]);
          edges.push([p, q, f.id]);
        });
      }
      for (const h of d.handles) points.push([h.at[0], h.at[1], 'end', f.id]);
      return { id: f.id, kind: f.kind, called: this.called(f), handles: d.handles, outline: d.outline, built: f['there_from'] === 'start', stands: stands(f) };
    });
    const b = boundsOf(this.boundary);
    const named = (list: Doc[]): { id: string; name: string; at: XY }[] => list.map((s) => ({ id: String(s['id']), name: String(s['name']), at: s['at'] as unknown as XY }));
    return {
      year, month, date: `${year}-${month}-28`, key: `${year}-${month}-${this.revision}`, bounds: b, north_deg: 0, boundary: this.boundary, figures, ghosts, features,
      spots: named(garden.spots), rooms: garden.rooms.map((r) => ({ id: String(r['id']), name: String(r['name']), inside: r['inside'] as unknown as XY, outline: null })),
      stakes: this.boundary.map((at, i) => ({ id: 'abcd'[i]!, name: 'ABCD'[i]!, at })), snaps: { points, edges },
    };
  }

  private table(garden: GardenDoc): Table {
    const many = garden.features.length > 500;
    let carried = 0;
    const years = YEARS.map((year) => {
      const jobs = garden.jobs.filter((j) => String(j['start']).startsWith(String(year)));
      const spent = jobs.reduce((s, j) => s + (j['costs'] as Doc[]).reduce((t, c) => t + Number(c['sum']), 0), 0);
      const worked = jobs.reduce((s, j) => s + Number(j['hours']), 0);
      const upkeep = 40 + (year - FIRST) * 7;
      carried += 240000 - spent;
      const left = carried;
      return {
        year, figures: many ? [] : this.scene(garden, year, 12).figures.filter((f) => f.t !== 'text'), bounds: boundsOf(this.boundary), money: { income: 240000, spent, left, text: {} },
        hours: { given: 112, upkeep, worked, spare: 112 - upkeep - worked }, harvest: year < 2029 ? null : { text: `${(year - 2028) * 3} kg nuts` },
        built: jobs.map((j) => ({ job: String(j['id']), name: String(j['name']), month: String(j['start']), large: Boolean(j['large']) })),
        planted: garden.features.filter((f) => f['plant'] && String(f['there_from']).startsWith(String(year))).map((f) => ({ id: f.id, name: this.called(f) })), short: left < 0,
      };
    });
    const rows = musts(garden.features).map((m) => ({ ...m, muted: Boolean(garden.intents.find((i) => i['id'] === m.id)?.['muted']) })).filter((m) => garden.intents.some((i) => i['id'] === m.id));
    const more = garden.intents.filter((i) => !rows.some((r) => r.id === i['id'])).map((i, n) => ({ id: String(i['id']), text: String(i['name'] || mustKinds.find((k) => k.kind === i['kind'])?.words || i['kind']), kind: String(i['kind']), from_year: null, muted: Boolean(i['muted']), order: 20 + n, verdicts: YEARS.map((y) => ({ year: y, state: 'holds' as const, figure: '', because: 'It holds.', how: [] })) }));
    return { revision: this.revision, stale: false, years, musts: [...rows, ...more], findings };
  }

  private months(garden: GardenDoc, year: number): unknown[] {
    return Array.from({ length: 12 }, (_, i) => {
      const month = i + 1;
      const at = year * 12 + i;
      const jobs = garden.jobs.filter((j) => { const [y, m] = String(j['start']).split('-').map(Number); const from = y! * 12 + m! - 1; return at >= from && at < from + Number(j['months']); });
      const share = jobs.reduce((s, j) => s + Number(j['hours']) / Number(j['months']), 0);
      const money = jobs.filter((j) => String(j['start']) === `${year}-${String(month).padStart(2, '0')}`).reduce((s, j) => s + (j['costs'] as Doc[]).reduce((t, c) => t + Number(c['sum']), 0), 0);
      return { month, jobs: jobs.map((j) => ({ id: j['id'], name: j['name'], share: 1 / Number(j['months']) })), money, hours: { given: month > 2 && month < 11 ? 14 : 0, upkeep: month > 3 && month < 10 ? 5 : 0, worked: share } };
    });
  }

  private edit(edit: Edit): Reply {
    const next = structuredClone(this.garden!);
    for (const op of edit.ops) apply(next, op);
    this.keep(edit.label, next);
    return ok({ revision: this.revision, merged: false });
  }
  private keep(label: string, after: GardenDoc): void {
    this.done.push({ label, before: this.garden!, after, when: new Date().toISOString() });
    this.undone = [];
    this.garden = after;
    this.revision += 1;
    this.told.forEach((tell) => tell());
  }
  private swing(from: Step[], to: Step[], side: 'before' | 'after'): Reply {
    const one = from.pop();
    if (!one) return no(409, 'There is nothing to take back.');
    to.push(one);
    this.garden = one[side];
    this.revision += 1;
    return ok({ revision: this.revision, label: one.label });
  }

  private drag(garden: GardenDoc, year: number, body: Body): unknown {
    const moves = (body['moves'] as Body[] | undefined) ?? (body['move'] ? [{ ...(body['move'] as Body), id: body['id'] ?? '' }] : null);
    const changed: Record<string, Doc> = {};
    if (moves) for (const m of moves) changed[String(m['id'])] = shifted(garden.features.find((f) => f.id === m['id'])!, m);
    else changed[String(body['id'])] = pulled(garden.features.find((f) => f.id === body['id'])!, String(body['handle']), body['to'] as unknown as XY);
    const features = garden.features.map((f) => (changed[f.id] ? ({ ...f, ...changed[f.id] } as FeatureDoc) : f));
    const drawn = features.filter((f) => changed[f.id]).map((f) => draw(f, year));
    return { fields: body['moves'] ? changed : Object.values(changed)[0], owners: Object.keys(changed), figures: drawn.flatMap((d) => d.figures), handles: drawn[0]?.handles ?? [], outline: drawn[0]?.outline ?? [], verdicts: touched(features) };
  }
}

function apply(garden: GardenDoc, op: Op): void {
  const list = (garden[op.part] ??= []) as unknown as Doc[];
  const index = list.findIndex((x) => x['id'] === op.id);
  if (op.do === 'put') list.splice(op.index ?? list.length, 0, op.value as Doc);
  else if (op.do === 'remove') list.splice(index, 1);
  else if (index >= 0) list[index] = { ...list[index]!, ...(op.value as Doc) };
}
function shifted(f: FeatureDoc, m: Body): Doc {
  const about = (m['about'] as unknown as XY) ?? [0, 0];
  const move = (p: XY): XY => { const [x, y] = turned(p, Number(m['turn_deg'] ?? 0), about); return onGrid([x + Number(m['dx']), y + Number(m['dy'])]); };
  const out: Doc = {};
  for (const field of ['line', 'outline']) if (f[field]) out[field] = (f[field] as unknown as XY[]).map(move) as never;
  if (f['at']) out['at'] = move(f['at'] as unknown as XY) as never;
  for (const field of ['facing_deg', 'along_deg']) if (typeof f[field] === 'number') out[field] = (Number(f[field]) + Number(m['turn_deg'] ?? 0) + 360) % 360;
  return out;
}
function pulled(f: FeatureDoc, handle: string, to: XY): Doc {
  const [field = '', index] = handle.split('.');
  if (index !== undefined) return { [field]: (f[field] as unknown as XY[]).map((p, i) => (i === Number(index) ? to : p)) as never };
  const at = f['at'] as unknown as XY;
  if (handle === 'at') return { at: to as never };
  if (handle === 'end') return { along_deg: bearing(at, to), width: Math.round(2000 * distance(at, to)) / 1000 };
  if (handle === 'front') return { facing_deg: Math.round(bearing(at, to)) };
  return { [handle]: Math.round(2000 * Math.max(0.1, distance(at, to))) / 1000 };
}
export { step };
