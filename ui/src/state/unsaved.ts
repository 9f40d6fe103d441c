/** What was typed and may not be kept yet, carried over while the page is loaded anew, so that it can be copied back. */

export interface Typed { label: string; text: string }
const KEPT = 'quincunx-typed';
const touched = new Set<HTMLInputElement | HTMLTextAreaElement>();
const PLAIN = new Set(['text', 'search', 'number', 'url', 'tel', 'email', '']);

/** Notice which fields somebody writes in; returns the end of it. */
export function watch(root: Document = document): () => void {
  const heard = (event: Event): void => {
    const field = event.target;
    if (field instanceof HTMLTextAreaElement || (field instanceof HTMLInputElement && PLAIN.has(field.type))) touched.add(field);
  };
  root.addEventListener('input', heard, true);
  return () => root.removeEventListener('input', heard, true);
}
/** What stands in the fields that were written in and are still on the page. */
export function typedNow(): Typed[] {
  for (const field of touched) if (!field.isConnected) touched.delete(field);
  return [...touched].flatMap((field) => (field.value.trim() ? [{ label: labelOf(field), text: field.value }] : []));
}
function labelOf(field: HTMLInputElement | HTMLTextAreaElement): string {
  const label = field.getAttribute('aria-label') ?? [...(field.labels ?? [])].map((l) => l.textContent ?? '').join(' ');
  return label.replace(/\s+/g, ' ').trim() || field.placeholder || 'Typed';
}
/** Load the page anew; what was typed is there afterwards, also what was typed before another time and not put away. */
export function loadAnew(): void {
  keepTyped([...typedBefore(), ...typedNow()]);
  location.reload();
}
export function keepTyped(typed: readonly Typed[]): void {
  try {
    if (typed.length) sessionStorage.setItem(KEPT, JSON.stringify(typed));
    else sessionStorage.removeItem(KEPT);
  } catch {
    /* a browser that keeps nothing */
  }
}
/** What was typed before the page was loaded anew; it stays until it is put away. */
export function typedBefore(): Typed[] {
  try {
    const kept = JSON.parse(sessionStorage.getItem(KEPT) ?? '[]') as Typed[];
    return Array.isArray(kept) ? kept.filter((t) => typeof t.label === 'string' && typeof t.text === 'string') : [];
  } catch {
    return [];
  }
}
