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

/** A new entry: an id that is not taken; all else by default. Required choices take their first. */
export function freshEntry(field: FieldSpec, entries: readonly Doc[]): Doc {
  const taken = new Set(entries.map((e) => e['id']));
  let n = entries.length + 1;
  while (taken.has(`n${n}`)) n += 1;
  const entry: Doc = {};
  for (const f of field.fields ?? []) {
    if (f.name === 'id') entry['id'] = `n${n}`;
    else if (f.required && f.choices?.[0]) entry[f.name] = f.choices[0][0];
  }
  return entry;
}

export function without(doc: Doc, names: readonly string[]): Doc {
  return Object.fromEntries(Object.entries(doc).filter(([name]) => !names.includes(name))) as Record<string, Json>;
}
