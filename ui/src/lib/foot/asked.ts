/** The garden as it stands in a month, asked for while the page that shows it still loads. */
import { get, reached, Refusal, withQuery } from '../api/client';
import type { FootGround } from './types';

const LOST = 'The garden can’t be stood up now.';
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
  // What failed before anybody looked is asked for once more.
  return known?.key === keyOf(year, month, revision) ? known.asked.catch(() => ask(year, month)) : ask(year, month);
}

async function glb(path: string): Promise<ArrayBuffer> {
  const [reply, data] = await reached(path, {}, (r) => r.arrayBuffer());
  if (!reply.ok) throw new Refusal(reply.status, said(data));
  return data;
}

/** The sentence of an answer that says no. */
function said(data: ArrayBuffer): string {
  try {
    return (JSON.parse(new TextDecoder().decode(data)) as { error?: string }).error ?? LOST;
  } catch {
    return LOST;
  }
}
