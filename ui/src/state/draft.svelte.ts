/** The answers of the first ten minutes, and the plan they already make. */
import type { Doc, Figure, Json, Kind, MustKind, Town, Writing, XY } from '../lib/api/types';
import { begunWith } from '../lib/geometry/begun';
import { between, distance } from '../lib/geometry/points';
import { cornersOf, houseOn, insideSide, threeCornersOf } from '../lib/geometry/taped';
import { boundsOf, box } from '../lib/geometry/shapes';
import { decimalMark } from '../lib/words/decimal-mark';
import { readLatitude } from '../lib/words/latitude';
import { readLength, readNumber, writeLength } from '../lib/words/length';
import type { Usual } from '../lib/words/usual';

/** Stands for the thing wanted in a must, until it has its id. */
export const WANTED = '(wanted)';
export const MOST_YEARS = 30;
/** How far inside its side the name of one stands, as a share of the ground's extent: further beside an upright one, as words are wider than high. */
const INSET = { level: 0.05, upright: 0.1 };
/** Ground narrower than this share of its length has its long sides named not abreast but farther on, by this share of each. */
const NARROW = 0.35;
const STAGGER = 0.15;
const NTH = ['first', 'second', 'third', 'fourth'];
/** What is wanted is drawn this large at first, and so long a line [m]. */
const WANTED_M = 3;
const WANTED_LINE_M = 4;
const WANTED_MARK_M = 1.2;

export class Draft {
  name = $state('');
  town = $state.raw<Town | null>(null);
  /** What is written where the town belongs, chosen or not. */
  sought = $state('');
  latitude = $state('');
  units = $state<'metric' | 'feet'>('metric');
  /** As the browser's language writes numbers; everybody may choose the other. */
  mark = $state<'.' | ','>(decimalMark(navigator.language));
  currency = $state('EUR');
  paper = $state('A4');
  /** What of it the person chose: it stays so whatever town is touched. */
  readonly chosen = new Set<keyof Usual>();
  way = $state<'tape' | 'draw' | 'file'>('tape');
  sides = $state(['', '', '', '']);
  diagonal = $state('');
  /** Whether the ground has three corners only, and what was taped across it to check them. */
  three = $state(false);
  check = $state('');
  firstDeg = $state(90);
  /** What was written into the must and can't be read, by its field: why. */
  mustWhy = $state<Record<string, string>>({});
  outline = $state.raw<XY[]>([]);
  /** Where the first corner lies by the file the corners came from. */
  datum = $state.raw<Doc | null>(null);
  picture = $state.raw<{ file: File; url: string; wide_px: number; high_px: number; m_per_px: number } | null>(null);
  /** Whether the sides are called by their names on the plan: while they, and the house along one, are asked for. */
  sidesNamed = $state(true);
  hasHouse = $state(true);
  house = $state({ side: 3, along: '', back: '', width: '', depth: '' });
  wanted = $state.raw<Kind | null>(null);
  wantedAt = $state.raw<XY | null>(null);
  must = $state.raw<MustKind | null>(null);
  mustValues = $state.raw<Record<string, Json>>({});
  sum = $state('');
  hours = $state('8');
  years = $state('6');
  /** From October on the plan begins with the coming year. */
  firstYear = $state(new Date().getFullYear() + (new Date().getMonth() >= 9 ? 1 : 0));

  readonly writing: Writing = $derived({ units: this.units, decimal_mark: this.mark, currency: this.currency.trim().toUpperCase(), paper: this.paper });
  readonly ring = $derived.by((): XY[] | string => {
    if (this.way === 'file') return this.outline.length >= 3 ? this.outline : 'Bring a file with three corners or more, and mend what is said of it.';
    if (this.way === 'draw') return this.outline.length >= 3 ? this.outline : 'Touch at least three corners.';
    const written = this.three ? this.sides.slice(0, 3) : [...this.sides, this.diagonal];
    const read = written.map((text) => this.metres(text));
    const wrong = read.findIndex((m) => typeof m === 'string');
    if (wrong >= 0) return written[wrong] ? String(read[wrong]) : '';
    const [a, b, c, d, across] = read as number[];
    if (this.three) return [a, b, c].some((m) => m! <= 0) ? 'Each side must be longer than nothing.' : threeCornersOf([a!, b!, c!], this.firstDeg);
    if ([a, b, c, d, across].some((m) => m! <= 0)) return 'Each side and the diagonal must be longer than nothing.';
    return cornersOf([a!, b!, c!, d!], across!, this.firstDeg);
  });
  /** How long the check across three corners is by their sides, once something is written there. */
  readonly toMiddle = $derived.by((): string => {
    const [a, b, c] = this.ring;
    if (!Array.isArray(this.ring) || !a || !b || !c || !this.check.trim()) return '';
    return writeLength(distance(c as XY, between(a as XY, b as XY, 0.5)), this.writing, this.units === 'feet');
  });
  readonly corners = $derived(Array.isArray(this.ring) ? this.ring : []);
  readonly houseRing = $derived.by((): XY[] => {
    const { side, along, back, width, depth } = this.house;
    const [w, d] = [this.metres(width), this.metres(depth)];
    if (!this.hasHouse || this.corners.length < 3 || typeof w !== 'number' || typeof d !== 'number') return [];
    const s = this.metres(along || '0');
    const t = this.metres(back || '0');
    return houseOn(this.corners, side, typeof s === 'number' ? s : 0, typeof t === 'number' ? t : 0, w, d);
  });

  private metres(text: string): number | string {
    const read = readLength(text, this.writing);
    return read.ok ? read.metres : read.why;
  }

  /** The words of a taped side in feet: to a sixteenth, so that 19' 2 3/4" is shown as it was written, not to half an inch. */
  private asTaped(p: XY, q: XY): { text?: string } {
    return this.way === 'tape' && this.units === 'feet' ? { text: writeLength(distance(p, q), this.writing, true) } : {};
  }

  /** The plan as far as it is answered. */
  readonly figures = $derived.by((): Figure[] => {
    const out: Figure[] = [];
    const ring = this.corners;
    const [x0, y0, x1, y1] = boundsOf(ring);
    const aside = 0.03 * Math.max(x1 - x0, y1 - y0);
    if (ring.length >= 3) out.push({ t: 'area', rings: [ring], role: 'lawn', owner: '', outline: true });
    ring.forEach((p, i) => {
      const q = ring[(i + 1) % ring.length]!;
      if (ring.length >= 3) out.push({ t: 'dimension', start: p, end: q, value_m: distance(p, q), offset_m: -aside, role: 'datum', owner: '', ...this.asTaped(p, q) });
    });
    if (ring.length >= 3 && this.sidesNamed) out.push(...this.sideNames(ring));
    if (this.sidesNamed && this.way === 'tape' && ring.length === 4) out.push({ t: 'path', points: [ring[0]!, ring[2]!], dash: true, weight: 'fine', role: 'datum', owner: '' });
    if (this.houseRing.length) out.push({ t: 'area', rings: [this.houseRing], role: 'wall', owner: '', pattern: 'hatch', weight: 'normal' });
    if (this.wantedAt && this.wanted) {
      const points = this.wantedPoints(this.wanted, this.wantedAt);
      out.push(this.wanted.placing === 'line' ? { t: 'path', points, role: 'held', owner: '', weight: 'thick' } : { t: 'area', rings: [points], role: 'held', owner: '', pattern: 'hatch' });
      out.push({ t: 'text', at: this.wantedAt, text: this.wanted.words, role: 'note', owner: '', size: 'normal' });
    }
    return out;
  });

  /** Which side is the first, the second, …: written inside the ground, where the house will ask for them; on a narrow one not abreast. */
  private sideNames(ring: readonly XY[]): Figure[] {
    const [x0, y0, x1, y1] = boundsOf(ring);
    const extent = Math.max(x1 - x0, y1 - y0);
    const narrow = Math.min(x1 - x0, y1 - y0) < NARROW * extent;
    return ring.map((p, i): Figure => {
      const q = ring[(i + 1) % ring.length]!;
      const upright = Math.abs(q[1] - p[1]) > Math.abs(q[0] - p[0]);
      const inside = insideSide(ring, i, extent * (upright ? INSET.upright : INSET.level));
      const on = narrow && distance(p, q) > extent / 2 ? STAGGER : 0;
      const at: XY = [inside[0] + on * (q[0] - p[0]), inside[1] + on * (q[1] - p[1])];
      return { t: 'text', at, text: `${this.way === 'tape' ? NTH[i] : `${i + 1}.`} side`, role: 'note', owner: '', size: 'small' };
    });
  }

  /** A modest size round the touched place; what stands at a point as large as it will be put in, or a mark. */
  private wantedPoints(wanted: Kind, at: XY): XY[] {
    const half = WANTED_LINE_M / 2;
    if (wanted.placing === 'line') return [[at[0] - half, at[1]], [at[0] + half, at[1]]];
    if (wanted.place.points) return box(at, WANTED_M, WANTED_M, 0);
    const { width, depth } = wanted.place;
    return box(at, begunWith(wanted, width) ?? WANTED_MARK_M, begunWith(wanted, depth) ?? begunWith(wanted, width) ?? WANTED_MARK_M, 0);
  }
  /** The thing wanted, as a document. */
  private wantedDoc(): Doc | null {
    const { wanted, wantedAt: at } = this;
    if (!wanted || !at) return null;
    const { place } = wanted;
    const points = this.wantedPoints(wanted, at).map((p) => [...p]);
    const where: Doc = place.points ? { [place.points]: points as Json } : { [place.at ?? 'at']: [...at] };
    const required: Doc = Object.fromEntries(wanted.fields.filter((f) => f.required && f.name !== 'id' && wanted.example[f.name] !== undefined).map((f) => [f.name, wanted.example[f.name] ?? null]));
    return { ...required, kind: wanted.kind, id: `${wanted.kind}-1`, ...where };
  }

  private mustDoc(): Doc | null {
    const { must, mustValues } = this;
    const thing = this.wantedDoc()?.['id'] ?? null;
    if (!must || (thing === null && Object.values(mustValues).includes(WANTED))) return null;
    const values = Object.entries(mustValues).map(([field, value]): [string, Json] => [field, value === WANTED ? thing : value]);
    return { kind: must.kind, id: 'first-must', ...Object.fromEntries(values) };
  }

  /** Where the garden lies, as far as it is known [degrees, south negative]. */
  get latitudeDeg(): number | null {
    return this.town?.latitude_deg ?? readLatitude(this.latitude);
  }
  /** How many years were written; null if that can't be read. */
  get yearsRead(): number | null {
    const years = Number(this.years.trim());
    return Number.isInteger(years) && years >= 1 && years <= MOST_YEARS ? years : null;
  }
  get lastYear(): number {
    return this.firstYear + (this.yearsRead ?? 6) - 1;
  }

  private taped(): Record<string, unknown> {
    if (!this.three) return { sides: this.sides, diagonal: this.diagonal };
    return { sides: this.sides.slice(0, 3), ...(this.check.trim() ? { check: this.check } : {}) };
  }

  answers(): Record<string, unknown> {
    const { house, latitudeDeg } = this;
    const town = this.town ?? (latitudeDeg === null ? null : { name: '', latitude_deg: latitudeDeg, longitude_deg: 0 });
    return {
      name: this.name.trim() || 'My garden',
      town: town && { name: town.name, ...(this.town ? { country: this.town.country } : {}), latitude_deg: town.latitude_deg, longitude_deg: town.longitude_deg },
      writing: { ...this.writing },
      ground: this.way === 'tape' ? { ...this.taped(), first_side_deg: this.firstDeg } : { outline: this.outline.map((p) => [...p]), ...(this.way === 'file' && this.datum ? { datum: this.datum } : {}) },
      house: this.hasHouse ? { width: house.width, depth: house.depth, side: house.side + 1, along: house.along || '0', set_back: house.back || '0' } : null,
      wanted: this.wantedDoc(),
      must: this.mustDoc(),
      sum_a_year: this.sum.trim() || '0',
      first_year: this.firstYear,
      years: this.yearsRead,
      hours_a_month: readNumber(this.hours.trim() || '0', this.writing),
    };
  }
}
