/** Asks the program on this machine, and nobody else. */
import { readable } from '../words/together';
import type { Json } from './types';

/** An answer that says no: one clear sentence, and which fields are at fault. */
export class Refusal extends Error {
  constructor(readonly status: number, sentence: string, readonly faults: { path: string; sentence: string }[] = []) {
    super(sentence);
    this.name = 'Refusal';
  }
}

export const AWAY = 'The program does not answer. Is it still running? Nothing you saved is lost.';

/** Ask for something and read it whole; a sentence where the program is away, before it answers or half-way through. */
export async function reached<T>(path: string, init: RequestInit, read: (reply: Response) => Promise<T>): Promise<[Response, T]> {
  try {
    const reply = await fetch(path, { credentials: 'same-origin', ...init });
    return [reply, await read(reply)];
  } catch (error) {
    if (error instanceof DOMException && error.name === 'AbortError') throw error;
    throw new Refusal(0, AWAY);
  }
}

async function answer<T>(path: string, init: RequestInit): Promise<T> {
  const [reply, text] = await reached(path, init, (r) => r.text());
  const body: unknown = text ? readJson(text) : null;
  if (reply.ok) return body as T;
  const said = body as { error?: string; faults?: { path: string; sentence: string }[] } | null;
  throw new Refusal(reply.status, said?.error ?? `The program answered ${reply.status}.`, said?.faults ?? []);
}

function readJson(text: string): unknown {
  try {
    return readable(JSON.parse(text) as unknown);
  } catch {
    throw new Refusal(0, 'The program sent something that is not readable.');
  }
}

export type Query = Record<string, string | number | boolean | null | undefined>;

/** Put a query behind a path, leaving out what is not said. */
export function withQuery(path: string, query: Query = {}): string {
  const parts = Object.entries(query).filter(([, value]) => value !== null && value !== undefined && value !== '');
  if (parts.length === 0) return path;
  return `${path}?${parts.map(([name, value]) => `${name}=${encodeURIComponent(String(value))}`).join('&')}`;
}

export function get<T>(path: string, query: Query = {}, signal?: AbortSignal): Promise<T> {
  return answer<T>(withQuery(path, query), { method: 'GET', headers: { Accept: 'application/json' }, signal: signal ?? null });
}

export function post<T>(path: string, body: unknown = {}, signal?: AbortSignal): Promise<T> {
  return answer<T>(path, {
    method: 'POST',
    headers: { 'Content-Type': 'application/json', 'X-Quincunx': '1' },
    body: typeof body === 'string' ? body : JSON.stringify(body),
    signal: signal ?? null,
  });
}

/** Say what went wrong as one sentence. */
export function sentence(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}

/** A value as the document holds a length: a number, or an object that keeps what was typed. */
export function metresOf(value: Json | undefined): number | null {
  if (typeof value === 'number') return value;
  if (value && typeof value === 'object' && !Array.isArray(value) && typeof value['m'] === 'number') return value['m'];
  return null;
}
