/** A word kept in the browser; where it keeps none, it does for this visit. */
export function kept(key: string): string {
  try {
    return localStorage.getItem(key) ?? '';
  } catch {
    return '';
  }
}
export function keepWord(key: string, word: string): void {
  try {
    localStorage.setItem(key, word);
  } catch {
    // it does for this visit
  }
}

/** As on the drawing board, under whose address the page opens too: what is chosen there holds here, and the other way. */
const THEME = 'quincunx-theme';
export const evening = (): boolean => document.documentElement.dataset['theme'] === 'evening';
export function setEvening(on: boolean): void {
  document.documentElement.dataset['theme'] = on ? 'evening' : 'day';
  keepWord(THEME, on ? 'evening' : 'day');
}
/** Outdoors it is day, unless evening was chosen: a phone's own dark mode can't be read in the sun. */
export function lit(): void {
  if (kept(THEME) === 'evening') document.documentElement.dataset['theme'] = 'evening';
}
