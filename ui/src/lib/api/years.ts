/** What the program says of the years month by month. Months count from the plan's first. */
import type { Edit, TouchedVerdicts } from './types';

export interface Sums {
  money: { in: number[]; spent: number[]; left: number[] };
  hours: { given: number[]; upkeep: number[]; worked: number[] };
}
export type JobState = 'done' | 'begun' | 'booked' | 'planned' | 'unplanned';
export interface PlannedJob {
  id: string; name: string; state: JobState; large: boolean; months: number; start: number | null; end: number | null;
  /** Months in which it could begin by its season. */
  fits: number[];
  cost: number; hours: number; worth: string; points: number; compared: boolean; of_use_after: number; of_use_words: string; after: string[]; does: string[];
  /** The months of the year it fits in, 1 to 12: typed, or by its works and the climate (`why`). */
  season: { months: number[]; span: string; why: string; typed: boolean };
}
export interface YearsReply extends Sums {
  revision: number; first_year: number; years: number[]; reserve: number; large_a_year: number; jobs: PlannedJob[]; breaks: string[]; nonsense: boolean;
  /** Musts with a date that can't be kept, each with what to do. */
  too_late: string[];
  /** What a wise neighbour would say of the plan: up to three sentences. */
  neighbour: string[];
  /** What is still to pay for what is begun, where its year has not the money or may not cost so much. */
  owed: string[];
  /** Months before this one are past: the journal says what happened in them. */
  happened_until: number;
}
export interface TryReply extends Sums {
  job: string; start: number | null; words: string; share: number; breaks: string[]; mends: string[]; verdicts: TouchedVerdicts[]; left: number; revision: number;
}
export interface PlanMove { id: string; was: number | null; now: number | null; words: string }
export interface Found {
  asked?: boolean; revision: number; over: boolean; kept: boolean; no_plan: string; ways: string[]; how_sure: string; proven?: boolean; seconds: number;
  solver?: string; starts: Record<string, number> | null; moves: PlanMove[]; gain: number; words: string; breaks_now?: boolean;
  /** That jobs would begin in months gone by; empty where none would. */
  gone_by?: string;
}
export interface MustChange { id: string; breaks: boolean; words: string }
export interface WhatIfReply {
  ask: string; what_if: string; words: string; possible: boolean; share: number; now: Record<string, number> | null; then: Record<string, number> | null;
  moves: string[]; curve: [number, number, number][]; musts: MustChange[];
}
export interface SafeReply { words: string; how: string[]; years: { year: number; words: string; money: number; hours: number }[] }
export interface SaferReply { words: string; reached: boolean; starts: Record<string, number> | null; moves: string[]; edit: Edit | null; revision: number }
export interface SoonReply {
  months: { month: string; words: string; tasks: { kind: string; job: string; words: string; late: boolean; things: string[] }[] }[];
  wet: { job: string; possible: boolean; words: string }[];
  too_late: string[];
}
export interface AgainReply {
  words: string; possible: boolean; notes: string[]; rows: { id: string; name: string; was: string; now: string; why: string }[]; edit: Edit | null;
  revision: number;
  /** Jobs of which the journal says nothing though they were to have begun, and the edit that writes them as planned. */
  unsaid?: { words: string; edit: Edit } | null;
}
/** Two ways to go on, side by side in words, and the wider one whole; only words where there is no second way. */
export interface WaysReply { words: string; both: { name: string; words: string }[]; wide: AgainReply | null }
export interface AllWishes { possible: boolean; sentence: string; ways: string[]; note: string }
/** How much jobs matter: points a year, what has been compared two at a time, and the two to compare next. */
export interface MattersReply { points: Record<string, number>; pairs: { more: string; less: string; words: string }[]; next: [string, string] | null; revision: number }
