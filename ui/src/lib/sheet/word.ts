/** A word on the sheet: where it is wanted, how it looks, and how much it counts beside others (0 most). */
import type { XY } from '../api/types';

export interface Word { text: string; at: XY; colour: string; px: number; anchor: 'start' | 'middle' | 'end'; rotate_deg: number; rank: number }
