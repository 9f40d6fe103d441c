/** Lists of small documents inside a thing. */
import type { Doc, FieldSpec, Json } from '../api/types';

/** What an entry is called: its own words, its first choice, or its id. */
export function entryWords(entry: Doc, field: FieldSpec): string {
  const named = entry['words'] ?? entry['name'];
  if (typeof named === 'string' && named) return named;
  const choice = field.fields?.find((f) => f.type === 'choice');
  const chosen = choice ? entry[choice.name] : undefined;
  if (choice && typeof chosen === 'string') return choice.choices?.find(([id]) => id === chosen)?.[1] ?? chosen;
  return String(entry['id'] ?? '…').replaceAll('-', ' ');
}

/** A new entry: an id that is not taken; what must be given takes its first choice, its least value or the year shown; all else by default. */
export function freshEntry(field: FieldSpec, entries: readonly Doc[], year = 2000): Doc {
  const taken = new Set(entries.map((e) => e['id']));
  let n = entries.length + 1;
  while (taken.has(`n${n}`)) n += 1;
  const entry: Doc = {};
  for (const f of field.fields ?? []) {
    if (f.name === 'id') entry['id'] = `n${n}`;
    else if (f.required) entry[f.name] = firstOf(f, year);
  }
  return entry;
}

function firstOf(f: FieldSpec, year: number): Json {
  if (f.choices?.[0]) return f.choices[0][0];
  if (f.type === 'year_month') return `${year}-03`;
  if (f.type === 'numbers') return Array.from({ length: f.min ?? 1 }, () => 0);
  if (f.type === 'text') return '–';
  if (f.type === 'bool') return false;
  return Math.max(f.min ?? 0, f.max && f.max > year && (f.min ?? 0) > 1000 ? year : (f.min ?? 0));
}

/** Whether a document inside a thing says anything: more than nothing, none, and what is there by default. */
export function saysAnything(doc: Doc, fields: readonly FieldSpec[]): boolean {
  const usual = new Map(fields.map((f) => [f.name, f.default]));
  return Object.entries(doc).some(([name, value]) => !empty(value) && JSON.stringify(value) !== JSON.stringify(usual.get(name)));
}

function empty(value: Json | undefined): boolean {
  if (value && typeof value === 'object') return Object.values(value).every((v) => empty(v as Json));
  return value === null || value === undefined || value === '' || value === false;
}

export function without(doc: Doc, names: readonly string[]): Doc {
  return Object.fromEntries(Object.entries(doc).filter(([name]) => !names.includes(name))) as Record<string, Json>;
}
