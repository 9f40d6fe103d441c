import type { Kind } from '../api/types';

/** How large a thing is that is put in with nothing said [m]: its usual size, or that of its example where one must be given. */
export function begunWith(kind: Kind, name: string | null): number | null {
  const spec = kind.fields.find((f) => f.name === name);
  const value = spec?.default ?? (spec?.required && name ? kind.example[name] : null);
  return typeof value === 'number' ? value : null;
}
