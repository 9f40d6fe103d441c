/** The garden as it stands in a month, asked for while the page that shows it still loads. */
import { get, Refusal, withQuery } from '../api/client';
import type { FootGround } from './types';

export type Asked = Promise<[ArrayBuffer, FootGround]>;
let early: { key: string; asked: Asked } | null = null;
const keyOf = (year: number, month: number, revision: unknown): string => `${year}-${month}-${String(revision)}`;

function ask(year: number, month: number): Asked {
  const when = { year, month };
  return Promise.all([glb(withQuery('/api/foot/garden.glb', when)), get<FootGround>('/api/foot/ground', when)]);
}

/** Ask before anybody can look: the answer waits for the first who asks for the same. */
export function askEarly(year: number, month: number, revision: unknown): void {
  const asked = ask(year, month);
  asked.catch(() => undefined);
  early = { key: keyOf(year, month, revision), asked };
}

/** What stands in a month, and where one can walk. */
export function standing(year: number, month: number, revision: unknown): Asked {
  const known = early;
  early = null;
  return known?.key === keyOf(year, month, revision) ? known.asked : ask(year, month);
}

async function glb(path: string): Promise<ArrayBuffer> {
  const reply = await fetch(path, { credentials: 'same-origin' });
  if (!reply.ok) throw new Refusal(reply.status, ((await reply.json()) as { error?: string }).error ?? 'The garden can’t be stood up now.');
  return reply.arrayBuffer();
}
