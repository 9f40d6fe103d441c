/** What is carried outdoors and what comes back. Lengths are metres. */
import type { BothViews } from '../lib/api/both';
import type { Handed } from '../lib/api/handed';
import type { Worth } from './rising';
import type { Bounds, Figure, Writing, XY } from '../lib/api/types';

export const FORMAT = 'quincunx-outdoors/1';
export interface Tie { from: string; name: string; about: string; m: number; text: string; at: XY }
/** By how much a check grows for each metre that one tape was too long. */
export interface Cause { point: string; tape: string; share: number }
export interface Proof { m: number; text: string; within_m: number; within: string; tape_m: number; causes: Cause[]; wants?: { m: number; text: string } | null }
export interface TieProof extends Tie, Proof {}
export interface SetPoint { id: string; n: number; words: string; at: XY; ties: [TieProof, TieProof]; hand: string; check: TieProof | null; sure: string; two?: string; how: string[] }
/** `key` is under which it is a step that somebody can take. */
export interface Check extends Proof { key?: string; two?: string; ends: [string, string]; names: [string, string] }
/** `care` is what the line may be dangerous by; what a person wrote in own words may be anything the job asks care for. */
/** `how` it is done, what to `bring` for it, about how `long` one person takes; a list has how long all of it takes. */
export interface ListItem { id: string; words: string; care?: Danger[]; two?: string; how?: string[]; bring?: string[]; long?: string }
export interface JobList { id: string; words: string; items: ListItem[]; long?: string }
export interface Measured { points: string[]; m: number; text: string; by?: string; phone?: string }
/** What makes a step dangerous by itself: digging, high up, glass, a saw. */
export type Danger = 'dig' | 'high' | 'glass' | 'saw' | 'cement' | 'dust' | 'engine' | 'treated' | 'lift';
/** `parts` are the first and the last number of each part of the points, where there are more than anyone sets in a day. */
export interface PackJob {
  id: string; name: string; month: string; makes: string[]; hours: string; first: string; through: boolean; now: boolean;
  points: SetPoint[]; parts?: [number, number][]; checks: Check[]; missing: string[]; lists: JobList[]; two?: string[]; bring?: string[]; set_long?: string; cautions: string[]; hurts?: number; care_at?: Partial<Record<Danger, string>>; shaping: string[];
  figures: Figure[]; bounds: Bounds | null; ticked: string[]; measured: Measured[];
}
/** `level` is a height that is known and held, `height` what was read of it so far [m]. */
export interface PackStake { id: string; name: string; about: string; at: XY; lost: string[]; level?: number | null; height?: number | null }
/** A peg of the same-spot book: where to stand and how, and the day of its last photo. */
export interface PackPeg { id: string; name: string; at: XY; bearing_deg: number; words: string; last: string }
export interface Thing { id: string; name: string; bears?: boolean }
/** A line to tape on ground that was never measured: what the plan says it is, and how near a good tape comes. */
export interface FirstTape { start: string; end: string; m: number; text: string; within_m: number; within: string; what: string; tape_m?: number }
/** `to_tape` is what is taped, in a few words, `shows` what of it shows a misread side. */
export interface First { to_tape?: string; shows?: string; how: string[]; care: string; covers: string; corners: Record<string, string>; tapes: FirstTape[] }
export interface StakesRead { start: string; end: string; m: number; text: string; by: string }
export interface Pack {
  /** `today` is the day at the garden as it was handed out, by the board's clock. */
  format: string; mark: string; garden: string; revision: number; today?: string; writing: Writing; covers: string;
  first?: First | null;
  /** What was read between stakes so far by whomever, and where two read otherwise, in words. */
  read?: StakesRead[]; look?: string[];
  /** What a difference in level is worth, by what it is taken with. */
  rises?: Worth;
  /** Whether prices are in it; without, there is none in it at all. */
  money?: boolean;
  /** Whether the stakes were measured; else they are corners of the drawing. */
  measured?: boolean;
  plan: { figures: Figure[]; bounds: Bounds | null; names?: { words: string; at: XY }[] }; boundary: XY[];
  jobs: PackJob[]; views?: Record<string, BothViews>; stakes: PackStake[]; pegs?: PackPeg[]; things: Thing[];
}

export type What = 'ticked' | 'reading' | 'unread' | 'measured' | 'done' | 'begun' | 'spent' | 'hours' | 'harvest' | 'browsed' | 'died-back' | 'lost' | 'note' | 'has' | 'here';
/** One thing entered; its id is made here, so that it is taken once however often it is handed back. */
export interface Note {
  id: string; made: string; day: string; by?: string; phone?: string; what: What; about?: string; points?: string[]; on?: boolean; saw?: boolean; people?: number; nth?: number; length?: string; instead?: true;
  sum?: number; hours?: number; amount?: number; unit?: string; text?: string; picture?: string; hour?: number;
  /** The stakes it names, and where the plan that was carried had them. */
  stakes?: Record<string, XY>;
}
/** A note as it is kept on this phone, with what became of it. */
/** `since` is when the program said that it has the note. */
export interface KeptNote { note: Note; mark: string; state: 'waiting' | 'taken'; since?: string; because: string; words: string; filed?: string; told?: string; sent?: true; unread?: true }
/** `sent` is the moment it goes over the line by this phone's clock, by which the board sets right what the phone dates; a file has none. */
export interface Back { format: string; mark: string; garden: string; notes: Note[]; sent?: string }
/** `clock` says where this phone's clock is not the board's. */
export type BackReply = Handed & { revision: number; clock?: string };
