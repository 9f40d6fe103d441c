/** The page is loaded anew and comes back to the screen that was wanted: some browsers never again fetch a script that failed once. */
import type { Screen } from './desk.svelte';
import { loadAnew } from './unsaved';

const KEPT = 'quincunx-wanted';

export function anewTo(screen: Screen, load: () => void = loadAnew): void {
  try {
    sessionStorage.setItem(KEPT, screen);
  } catch {
    /* a browser that keeps nothing opens as it always does */
  }
  load();
}
/** The screen that was wanted before the page was loaded anew, told once. */
export function wantedBefore(): Screen | null {
  try {
    const kept = sessionStorage.getItem(KEPT);
    sessionStorage.removeItem(KEPT);
    return kept as Screen | null;
  } catch {
    return null;
  }
}
