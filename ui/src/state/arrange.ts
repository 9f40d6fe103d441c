/** Move several chosen things at once by known amounts: in line, evenly, nudged. */
import { post } from '../lib/api/client';
import type { Bounds, Doc, Op, Preview, XY } from '../lib/api/types';
import { askBuilt } from '../lib/gestures/built';
import { byId, changes } from '../lib/gestures/move';
import { boundsOf } from '../lib/geometry/shapes';
import type { SheetState } from './sheet.svelte';

export function boxesOf(sheet: SheetState, ids: readonly string[]): Bounds[] {
  const { features } = sheet.scene();
  return ids.map((id) => boundsOf(features.find((f) => f.id === id)?.outline.flat() ?? []));
}

/** Shift each thing by its own amount, as one edit. */
export async function shiftEach(sheet: SheetState, ids: readonly string[], shifts: readonly XY[], verb: string): Promise<void> {
  const { year, month } = sheet.board;
  const moving = ids.map((id, i) => ({ id, by: shifts[i] ?? ([0, 0] as XY) })).filter(({ by }) => Math.hypot(by[0], by[1]) > 1e-4);
  if (moving.length === 0) return sheet.board.desk.note('They lie like that already.');
  const all = moving.map(({ id }) => id);
  if (!(await askBuilt(sheet, all))) return undefined;
  await sheet.board.try(async () => {
    const fields: Record<string, Doc> = {};
    const along: Op[] = [];
    const words: string[] = [];
    for (const { id, by } of moving) {
      const reply = await post<Preview>('/api/drag', { year, month, id, move: { dx: by[0], dy: by[1], turn_deg: 0, about: [0, 0] } });
      Object.assign(fields, byId(reply, [id]));
      // What stands in it goes along, unless it is moved by itself.
      const with_it = (reply.along ?? []).filter((op) => !all.includes(op.id ?? ''));
      along.push(...with_it);
      if (with_it.length && reply.along_words) words.push(reply.along_words);
    }
    const kept = await sheet.commit(changes(sheet, all, fields, verb, { along, along_words: words.join(', ') }));
    if (kept && words.length) sheet.board.desk.note(`${words.join(', ')} went along.`);
  });
  return undefined;
}
