/** A must is a sentence with blanks. */
import type { Blank, Json, MustKind, Walker } from '../api/types';

const STAND_IN: Record<string, string> = {
  place: 'a place', room: 'a room', spot: 'a spot', feature: 'a thing', opening: 'an opening', walker: 'someone', length: '…', number: '…', money: '…',
  hours: '… hours', year: 'a year',
};
/** What some places must be, so that the open sentence makes sense: nobody eats a place. */
const BY_FIELD: Record<string, string> = { plantings: 'a planting', plants: 'a plant', tank: 'a tank', drive: 'a drive', target: 'something' };
/** What stands in a sentence for a blank that is still open. */
export function standIn(blank: Blank, kind: MustKind): string {
  const words = kind.fields.find((f) => f.name === blank.field)?.words.toLowerCase();
  if (blank.pick === 'feature' && words) return `a ${words}`;
  return (blank.pick === 'place' ? BY_FIELD[blank.field] : undefined) ?? STAND_IN[blank.pick] ?? words ?? '…';
}

export const blanks = (kind: MustKind): Blank[] => kind.sentence.filter((part): part is Blank => typeof part !== 'string');

/** What is filled in at first: what the sentence says, defaults of the fields, the first walker, the plan's last year. */
export function fillDefaults(kind: MustKind, walkers: readonly Walker[], lastYear: number | null = null): Record<string, Json> {
  const out: Record<string, Json> = { ...kind.fills };
  for (const blank of blanks(kind)) {
    const spec = kind.fields.find((f) => f.name === blank.field);
    const begun = kind.begins?.[blank.field];
    if (begun !== undefined) out[blank.field] = begun;
    else if (spec?.default !== undefined && spec.default !== null && spec.default !== '') out[blank.field] = spec.default;
    else if (blank.pick === 'walker' && walkers[0]) out[blank.field] = walkers[0].id;
    else if (blank.pick === 'year' && lastYear !== null) out[blank.field] = lastYear;
  }
  return out;
}

const FROM = 'start';
const OUTSIDE = 'outside';
/** What makes a sentence one about a single thing: the thing itself, or the way to it from outside; null if it asks for more. */
export function aboutOne(kind: MustKind, thing: string): Record<string, string> | null {
  const out: Record<string, string> = {};
  for (const blank of blanks(kind)) {
    if (blank.pick === 'room' || blank.pick === 'spot' || blank.pick === 'feature' || blank.pick === 'opening' || blank.many) return null;
    if (blank.pick !== 'place') continue;
    if (blank.field !== FROM && blank.field !== 'end' && blank.field !== 'place') return null;
    out[blank.field] = blank.field === FROM ? OUTSIDE : thing;
  }
  return Object.values(out).includes(thing) ? out : null;
}

/** The words of the blanks that still have to be filled. */
export function missing(kind: MustKind, values: Readonly<Record<string, Json>>): string[] {
  return blanks(kind)
    .filter((b) => {
      return !b.optional && !b.many && (values[b.field] === undefined || values[b.field] === null || values[b.field] === '');
    })
    .map((b) => (kind.fields.find((f) => f.name === b.field)?.words ?? b.field).toLowerCase());
}

/** A readable id that is not taken. */
export function idFor(kind: string, taken: ReadonlySet<string>): string {
  const base = kind.toLowerCase().replace(/[^a-z0-9]+/g, '-').replace(/^-|-$/g, '') || 'must';
  let n = 1;
  while (taken.has(n === 1 ? base : `${base}-${n}`)) n += 1;
  return n === 1 ? base : `${base}-${n}`;
}
