/** Stakes as a line of readings can name them: also those whose name holds a space, such as gate post. */
import type { PackStake } from './types';

const NEW = /^[A-Za-z][A-Za-z0-9.]*$/;
const slug = (name: string): string => name.toLowerCase().replace(/[^a-z0-9]+/g, '-').replace(/^-+|-+$/g, '');
const escaped = (name: string): string => name.replace(/[.*+?^${}()|[\]\\]/g, '\\$&').replace(/\s+/g, '\\s+');

/** What a line may call a stake: its name, or its id where the name can't stand in a line. */
export function written(stake: Pick<PackStake, 'id' | 'name'>): string {
  return slug(stake.name) === stake.id && !/[#[\]\n>:;]/.test(stake.name) ? stake.name : stake.id;
}
export function namesOf(stakes: readonly PackStake[]): string[] {
  return stakes.map(written);
}
/** Whether a line may name this: a stake that is there, or a new one, which begins with a letter. */
export function nameable(name: string, stakes: readonly PackStake[]): boolean {
  return NEW.test(name) || namesOf(stakes).includes(name);
}
/** The pattern of one name in a line: those that are there, the longest first, or one word. */
export function pattern(names: readonly string[]): string {
  const known = [...names].sort((a, b) => b.length - a.length).map((n) => `${escaped(n)}(?![\\w.])`);
  return `(?:${[...known, '\\S+'].join('|')})`;
}
/** The two stakes a line begins with, and the rest of it; null where it begins otherwise. */
export function twoNames(text: string, names: readonly string[]): [string, string, string] | null {
  const one = pattern(names);
  const found = new RegExp(`^(${one})(?:\\s*[->]\\s*|\\s+)(${one})\\s+(.+)$`, 'i').exec(text.trim());
  return found ? [found[1]!, found[2]!, found[3]!] : null;
}
/** Whether a line names a stake. */
export function names(text: string, name: string): boolean {
  return new RegExp(`(?:^|[\\s>:;-])${escaped(name)}(?:$|[\\s>:;-])`, 'i').test(text);
}
