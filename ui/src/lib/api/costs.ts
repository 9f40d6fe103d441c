/** What the jobs come to, worked out from their parts. */
import type { Doc } from './types';

export interface CostLine { words: string; much: string; sum: string; shop: string; how: string; item: string; per: string[] }
export interface CostOption { words: string; money: string; hours: string; kg: string }
export interface LookedUp { what: string; answer: 'within' | 'beyond' | 'unknown'; words: string; because: string; source: string }
export interface JobCost {
  id: string; money: string; range: string; hours: string; hours_range: string; kg: string; loads: number; missing: string; demo: boolean; taken: boolean; stale: boolean;
  bill: CostLine[]; cuts: { words: string; least: boolean; boards: string[] }[]; sheets: { words: string; sure: string; ways: string[]; kept: string }[]; options: CostOption[]; notes: string[]; weighable: string[]; looked_up: LookedUp[]; label: string; ops: Doc[];
  /** What is said where the plan has far fewer hours than are counted, and the edit that takes the counted. */
  apart: { words: string; label: string; ops: Doc[] } | null;
}
/** `of_hours` is said once where far more hours are counted for any job than are planned. */
export interface Costs { revision: number; caution: string; of_hours: string; jobs: JobCost[] }
