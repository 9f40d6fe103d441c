import type { XY } from '../api/types';
import type { Heights, Rings } from './walking';

export interface FootSpot { id: string; name: string; at: XY; bearing_deg: number; seated: boolean }
export interface FootGround {
  date: string; words: string; month: number; free: Rings[]; heights: Heights; sun: [number, number, number, number][]; spots: FootSpot[];
  postures: { id: string; words: string; eye_m: number }[]; middle: XY; boundary: XY[]; flowering: string[];
}
