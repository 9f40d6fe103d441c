/** A note with an id nobody else makes, of this moment. */
import type { Note } from '../../outdoors/types';

/** A name nobody else makes: also where the page's address is not a secure one. */
export function freshId(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(12));
  return `n${[...bytes].map((b) => b.toString(16).padStart(2, '0')).join('')}`;
}
export function today(now = new Date()): string {
  return `${now.getFullYear()}-${String(now.getMonth() + 1).padStart(2, '0')}-${String(now.getDate()).padStart(2, '0')}`;
}
export function freshNote(entry: Omit<Note, 'id' | 'made' | 'day'>): Note {
  const now = new Date();
  return { id: freshId(), made: now.toISOString(), day: today(now), ...entry };
}
