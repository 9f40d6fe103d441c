/** What is said at the board about a Saturday's steps goes the way of a phone's notes: each once, and none an edit but a tick. */
import { FORMAT, type Note, type Pack } from '../../outdoors/types';
import { freshNote } from './note';
import { needs, type Live, type SatStep } from './steps';

/** The board's own tag among the phones. */
export const BOARD = 'board';

export const assigned = (step: SatStep, by: string, on: boolean, live: Live): Note => freshNote({ what: 'has', by, phone: BOARD, about: step.job, points: [step.key], on, people: needs(step), nth: (live.nth ?? 0) + 1, text: step.words });
/** Who did a step that is ticked at the board: whoever has it, where it is one alone. */
const doer = (step: SatStep): { by?: string } => (step.has.length === 1 ? { by: step.has[0]! } : {});
export const tickedAt = (step: SatStep, on: boolean): Note => freshNote({ what: 'ticked', phone: BOARD, about: step.job, points: [step.key], on, saw: step.done, text: step.words, ...(on ? doer(step) : {}) });
/** Said at the board: a length that proves it was taped and reads as it must. */
export const provedAt = (step: SatStep): Note => freshNote({ what: 'measured', phone: BOARD, about: step.job, points: [...step.proof!.ends], length: step.proof!.text.replace(/\u00a0/g, ' '), text: step.words, ...doer(step) });
/** The same of a length that somebody read otherwise: it was taped again, and what was read before counts no more. */
export const setRightAt = (step: SatStep): Note => ({ ...provedAt(step), instead: true });
export const bodyOf = (pack: Pack, notes: Note[]): object => ({ format: FORMAT, mark: pack.mark, garden: pack.garden, notes, sent: new Date().toISOString() });
