/** What the program says of the measured ground. */
import type { Bounds, Figure, XY } from './types';

export interface GroundStake { id: string; name: string; held: boolean; at: XY | null; sure: string; sure_m: number | null; level: string | null; lost: string }
export interface GroundReading { id: string; line: string; stakes: string[]; fits: boolean; words: string }
export interface GroundSuspect { reading: string; words: string; takes: { text: string; why: string }[]; takings?: Taking[] }
export interface HandQuestion { start: string; end: string; point: string; words: string }
export interface GroundLevels { agrees: boolean | null; fault: string; book: string[]; falls: { start: string; end: string; words: string }[] }
/** A length that began the garden, beside what was taped of it since. */
export interface FirstLength { id: string; names: [string, string]; first: string; since: string; words: string; agrees: boolean }
/** The lengths that began the garden, what is made of them, and what to do where they differ. */
export interface Begun { rows: FirstLength[]; to_do: string[]; words: string; left?: string; other_points: boolean }
/** A way walked by compass and tape: sentences, and a row a leg. */
export interface Walked { words: string[]; rows: string[][] }
export interface Ground {
  walked: Walked | null;
  /** The lengths that began the garden. */
  begun?: Begun;
  /** Stakes whose heights the plan's ground could take. */
  heights_to_take: number;
  /** Where a compass needle points, while bearings are not put right for it; else empty. */
  needle: string;
  /** Ways for the stakes to lie on the boundary drawn before, in words; empty once they do. */
  lie?: string[];
  /** That the stakes fit the boundary as drawn only turned over, and what decides it; else nothing. */
  turned_over?: string;
  /** What stakes can draw: kind, words, how many it needs, whether one on each stake. */
  drawn: [string, string, number, boolean][];
  /** Taped readings that name no instrument. */
  untold?: number;
  /** Whether the search for misreadings was stopped before its end. */
  halted?: boolean;
  measured: boolean; words: string; rings: string;
  /** Lines taped more than once whose tapings are too far apart, where no suspect says so already. */
  twice?: { words: string; takings: Taking[] }[];
  stakes: GroundStake[]; readings: GroundReading[]; suspects: GroundSuspect[]; questions: HandQuestion[];
  swings: { stake: string; words: string }[]; next: { start: string; end: string; words: string }[]; levels: GroundLevels | null; level_slips: string[]; warmth: string[];
  figures: Figure[]; bounds: Bounds | null;
  /** Ways to write a reading, each with what it means. */
  writing: [string, string][];
}
export interface Taking { reading: string; text: string }
export interface LineProblem { line: number; text: string; because: string }
export interface ReadingsReply { revision: number; added: number; problems: LineProblem[] }
