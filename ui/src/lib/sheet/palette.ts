/** Colours come from the style sheet: each role has three variables, its wash, its line and what is written in it. */
import type { Role } from '../api/types';
import { textSize } from '../text-size';

export const ROLES: readonly Role[] = ['lawn', 'bed', 'room', 'way', 'water', 'below', 'held', 'built', 'grown', 'wall', 'roof', 'evidence', 'measure', 'datum', 'note', 'pin'];
export interface Ink { wash: string; line: string; word: string }
export interface Palette {
  roles: Record<Role, Ink>; paper: string; grid: string; gridBold: string; ink: string; chosen: string; snap: string; faint: string;
  shades: string[]; rooms: string[]; font: string; key: string;
  /** How many times as large as ordinarily words are written: as the person has it in their browser. */
  text: number;
}

/** Painting order, lowest first; figures of one role keep their own order. */
export const rankOf = (role: Role): number => ROLES.indexOf(role);

export function readPalette(element: Element): Palette {
  const style = getComputedStyle(element);
  const read = (name: string): string => style.getPropertyValue(name).trim() || '#888';
  const roles = {} as Record<Role, Ink>;
  for (const role of ROLES) roles[role] = { wash: read(`--wash-${role}`), line: read(`--line-${role}`), word: read(`--word-${role}`) };
  const shades = [0, 1, 2, 3, 4, 5, 6].map((n) => read(`--shade-${n}`));
  const rooms = [0, 1, 2, 3, 4, 5, 6].map((n) => read(`--room-${n}`));
  return {
    roles, shades, rooms, paper: read('--sheet'), grid: read('--grid'), gridBold: read('--grid-bold'), ink: read('--ink'),
    chosen: read('--chosen'), snap: read('--signal'), faint: read('--faint'), font: style.fontFamily || 'sans-serif',
    text: textSize(), key: `${read('--sheet')} ${read('--ink')} ${read('--wash-lawn')}`,
  };
}
