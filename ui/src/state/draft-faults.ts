/** What is wrong in the answers of the first ten minutes: one sentence for a step, nothing when it may go on. */
import { Refusal } from '../lib/api/client';
import { houseBeyond } from '../lib/geometry/taped';
import { readLength, readNumber, writeLength } from '../lib/words/length';
import { missing } from '../lib/words/musts';
import { MOST_YEARS, type Draft } from './draft.svelte';

/** How far a house may reach beyond the ground and still count as standing on it: what taping leaves open [m]. */
const OVER_M = 0.3;

const STEPS: readonly ((draft: Draft) => string)[] = [town, ground, house, () => '', must, sum];

/** The step in which something the program refuses was answered; the last for what comes of all of them. */
const ASKED: Record<string, number> = { name: 0, town: 0, latitude_deg: 0, writing: 0, sides: 1, diagonal: 1, check: 1, outline: 1, first_side_deg: 1, house: 2, wanted: 3, must: 4 };
export function refused(error: unknown): { step: number; words: string } | null {
  if (!(error instanceof Refusal) || error.status !== 422) return null;
  const [first] = error.faults;
  const step = first && ASKED[first.path.split(' → ')[0]!];
  return { step: step ?? STEPS.length - 1, words: first?.sentence ?? error.message };
}

export const faultOfStep = (draft: Draft, step: number): string => STEPS[step]?.(draft) ?? '';

function town(draft: Draft): string {
  const typed = draft.latitude.trim();
  if (!draft.town && typed && draft.latitudeDeg === null) return `“${typed}” is no latitude: write degrees from 0 to 90, south of the equator with S or a minus: 52.1, 45.0 S or −45.0.`;
  if (draft.sought.trim() && !draft.town && !typed) return 'Touch your town in the list; if it is not there, write the latitude, or leave the town empty for now.';
  if (!/^[A-Z]{3}$/.test(draft.writing.currency)) return `“${draft.currency.trim()}” is no currency: write its three letters, such as EUR, GBP or USD.`;
  return '';
}

function ground(draft: Draft): string {
  if (typeof draft.ring === 'string') return draft.ring || (draft.three ? 'Write the three sides.' : 'Write the four sides and the diagonal.');
  const read = draft.way === 'tape' && draft.three && draft.check.trim() ? readLength(draft.check, draft.writing) : null;
  return read && !read.ok ? read.why : '';
}

function house(draft: Draft): string {
  if (!draft.hasHouse) return '';
  const { width, depth, along, back } = draft.house;
  if (!width.trim() || !depth.trim()) return 'Write the house’s length along the side and its depth, or say there is none.';
  for (const text of [width, depth, along || '0', back || '0']) {
    const read = readLength(text, draft.writing);
    if (!read.ok) return read.why;
  }
  if (draft.houseRing.length === 0) return 'The house’s length and depth must be more than nothing.';
  const over = houseBeyond(draft.corners, draft.houseRing);
  return over > OVER_M ? `The house reaches ${writeLength(over, draft.writing)} beyond the ground. Write its length, its depth or where it begins again; if it stands outside, say there is none on the ground.` : '';
}

function must(draft: Draft): string {
  if (!draft.must) return '';
  const why = Object.values(draft.mustWhy).find(Boolean);
  if (why) return why;
  const open = missing(draft.must, draft.mustValues);
  return open.length ? `Still to fill in: ${open.join(', ')}.` : '';
}

/** The sum itself is read by the program, which knows how money is written. */
function sum(draft: Draft): string {
  if (draft.sum.trim() && !/\d/.test(draft.sum)) return `“${draft.sum.trim()}” is not a sum of money.`;
  const hours = readNumber(draft.hours.trim() || '0', draft.writing);
  if (typeof hours === 'string') return hours;
  if (!draft.yearsRead) return `“${draft.years.trim()}” is not a number of years: write 1 to ${MOST_YEARS}.`;
  return '';
}
