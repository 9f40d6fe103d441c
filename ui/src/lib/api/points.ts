/** What a file of corners or points would bring in. */
import type { Doc, Edit, XY } from './types';

export interface PointsWay { order: 'east' | 'north'; at: XY[] }
export interface PointsLooked {
  said: string[]; faults: string[];
  unit: string; units: [string, string][];
  order: 'east' | 'north'; order_known: boolean;
  /** How the points would lie with either number running east. */
  ways: PointsWay[];
  names: string[]; closed: boolean; parts: string[];
  /** Name, east, north and height of each point, in words; and how many more there are. */
  rows: string[][]; more: number;
  lay: string; lays: [string, string][];
  /** What they can become: id, words, whether it is of the ground itself. */
  becomes: [string, string, boolean][];
  /** The corners of the ring, each once; none while something is wrong. */
  corners: XY[];
  datum: Doc | null; edit: Edit | null;
}
/** What the person says of the file; what is left out is as the file says, or as is likely. */
export interface PointsAsked { unit?: string; order?: string; group?: number; become?: string; lay?: string; only?: string }
