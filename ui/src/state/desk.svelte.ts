/** What the page itself remembers: which screen, the theme, notices, and the one question it may ask. */
import type { YearPage } from '../lib/api/year-page';

export type Screen = 'start' | 'new' | 'board' | 'papers' | 'jobs' | 'ground' | 'years' | 'outdoors' | 'foot' | 'beside';
export interface Act { words: string; run: () => void }
export interface Notice { id: number; words: string; fault: boolean; act: Act | null }
interface Asked { question: string; yes: string; done: (yes: boolean) => void }

const THEME = 'quincunx-theme';

export class Desk {
  screen = $state<Screen>('start');
  /** The screen that was gone to by the strip at the top: its name there has the focus on, once the screen is shown. */
  went: Screen | null = null;
  /** The alternative laid beside the present one; the first other if empty. */
  beside = $state('');
  /** The sheet the papers open on; the first one if empty. */
  paper = $state('');
  /** What the margin shows beside the notes. */
  margin = $state<'notes' | 'must' | 'things' | 'given' | 'history'>('notes');
  /** An entry of a list of the garden to be opened in the margin, such as a pin that was touched. */
  opened = $state.raw<{ part: string; id: string } | null>(null);
  theme = $state<'day' | 'evening'>('day');
  /** The page of the year that was just made by itself. */
  yearPage = $state.raw<YearPage | null>(null);
  notices = $state.raw<Notice[]>([]);
  asked = $state.raw<Asked | null>(null);
  progress = $state.raw<{ what: string; share: number } | null>(null);
  /** The program has not answered for some seconds. */
  away = $state(false);
  /** The program was replaced by one with a newer page. */
  renewed = $state(false);
  private next = 1;

  constructor() {
    const kept = readKept(THEME);
    const dark = typeof matchMedia === 'function' && matchMedia('(prefers-color-scheme: dark)').matches;
    this.setTheme(kept === 'evening' || (kept === null && dark) ? 'evening' : 'day', false);
  }

  setTheme(theme: 'day' | 'evening', keep = true): void {
    this.theme = theme;
    document.documentElement.dataset['theme'] = theme;
    if (keep) writeKept(THEME, theme);
  }

  /** Say something; with something to do beside it, it stays until it is put away. */
  note(words: string, fault = false, act: Act | null = null): void {
    const id = this.next++;
    this.notices = [...this.notices.filter((n) => n.words !== words), { id, words, fault, act }].slice(-3);
    if (!act) setTimeout(() => this.dismiss(id), fault ? 12_000 : 6_000);
  }
  /** Who goes on with something else has read what was offered. */
  goOn(): void {
    this.notices = this.notices.filter((n) => !n.act);
  }
  dismiss(id: number): void {
    this.notices = this.notices.filter((n) => n.id !== id);
  }

  sure(question: string, yes: string): Promise<boolean> {
    this.asked?.done(false);
    return new Promise((done) => {
      this.asked = { question, yes, done };
    });
  }
  reply(yes: boolean): void {
    const { asked } = this;
    this.asked = null;
    asked?.done(yes);
  }
}

function readKept(name: string): string | null {
  try {
    return localStorage.getItem(name);
  } catch {
    return null;
  }
}
function writeKept(name: string, value: string): void {
  try {
    localStorage.setItem(name, value);
  } catch {
    // A browser that keeps nothing still works.
  }
}
