/** What a change makes better or worse: one sentence for each must that is judged otherwise now. */
import type { MustRow, VerdictCell } from '../api/types';

export interface Turn { id: string; better: boolean; words: string; year: number }

const judged = (v: VerdictCell): boolean => !v.waiting && (v.state === 'holds' || v.state === 'fails');

/** The musts that hold in other years than before, the worse first; what is still being judged counts for nothing. */
export function turns(before: readonly MustRow[], now: (id: string) => readonly VerdictCell[]): Turn[] {
  const out: Turn[] = [];
  for (const must of before) {
    if (must.muted) continue;
    const after = new Map(now(must.id).filter(judged).map((v) => [v.year, v]));
    const was = must.verdicts.filter((v) => judged(v) && after.has(v.year));
    const lost = was.filter((v) => v.state === 'holds' && after.get(v.year)!.state === 'fails').map((v) => v.year);
    const won = was.filter((v) => v.state === 'fails' && after.get(v.year)!.state === 'holds').map((v) => v.year);
    const year = lost[0] ?? won[0];
    if (year === undefined) continue;
    const holds = (at: (v: VerdictCell) => string): number[] => was.filter((v) => at(v) === 'holds').map((v) => v.year);
    const [old, fresh] = [holds((v) => v.state), holds((v) => after.get(v.year)!.state)];
    const last = was.at(-1)!.year;
    out.push({ id: must.id, better: lost.length === 0, year, words: `${bare(must.text)}: ${said(old, fresh, lost, won, last)}` });
  }
  return out.sort((a, b) => Number(a.better) - Number(b.better));
}

function said(old: number[], now: number[], lost: number[], won: number[], last: number): string {
  const [from, was] = [through(now, last), through(old, last)];
  if (lost.length && won.length) return `holds in ${spans(now)}, was ${spans(old)}`;
  if (now.length === 0) return 'no longer in any year';
  if (from !== null && was !== null) return `from ${from}, was ${was}`;
  if (from !== null && old.length === 0) return `from ${from}, never before`;
  return lost.length ? `no longer in ${spans(lost)}` : `now in ${spans(won)} too`;
}

/** The year from which it holds to the end without a break; null if there is none. */
function through(years: number[], last: number): number | null {
  return years.length && years.at(-1) === last && last - years[0]! === years.length - 1 ? years[0]! : null;
}

function spans(years: number[]): string {
  const [first, end] = [years[0]!, years.at(-1)!];
  return years.length > 2 && end - first === years.length - 1 ? `${first} to ${end}` : years.join(', ');
}

const bare = (text: string): string => text.replace(/\.$/, '');
