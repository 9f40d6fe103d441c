import type { XY } from '../api/types';
import type { Heights, Rings } from './walking';

export interface FootSpot { id: string; name: string; at: XY; bearing_deg: number; seated: boolean }
export interface PegPhoto { picture: string; day: string; hour?: number; at?: string }
export interface Peg { id: string; name: string; at: XY; bearing_deg: number; words: string; years: { year: number; drawn: string; photos: PegPhoto[] }[] }
export interface Pegs { pegs: Peg[]; free: { picture: string; words: string; day: string }[]; covers: string }
export interface FootGround {
  date: string; words: string; month: number; free: Rings[]; heights: Heights; sun: [number, number, number, number][]; spots: FootSpot[];
  postures: { id: string; words: string; eye_m: number }[]; middle: XY; boundary: XY[]; on_earth: boolean; flowering: string[];
}
