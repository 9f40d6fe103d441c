/** What is typed in the middle of a gesture: a length, `<` and an angle, both, or `@` and a distance along. */
import type { Writing } from '../api/types';
import { norm } from '../geometry/points';
import { readLength, readNumber } from './length';

export interface Typed {
  length_m?: number;
  /** Bearing clockwise from north, or clockwise from the side before when `relative`. */
  angle_deg?: number;
  relative?: boolean;
  along_m?: number;
  /** A second size (depth), written after `x`. */
  second_m?: number;
}
export type TypedRead = { ok: true; typed: Typed } | { ok: false; why: string };

const WINDS: Record<string, number> = { n: 0, ne: 45, e: 90, se: 135, s: 180, sw: 225, w: 270, nw: 315 };

/** Keys that begin typing in the middle of a gesture. */
export const beginsTyping = (key: string): boolean => /^[0-9.,<@'"+-]$/.test(key);

export function readTyped(text: string, writing: Writing): TypedRead {
  const plain = text.trim();
  if (!plain) return { ok: false, why: 'Write a length, such as 3.4, or an angle, such as <45.' };
  if (plain.startsWith('@')) return one('along_m', plain.slice(1), writing);
  const [size = '', angle] = split(plain, '<');
  const typed: Typed = {};
  if (size.trim()) {
    const [first = '', second] = split(size, /\s*[x×]\s*/i);
    const read = readLength(first, writing);
    if (!read.ok) return read;
    typed.length_m = read.metres;
    if (second !== undefined) {
      const depth = readLength(second, writing);
      if (!depth.ok) return depth;
      typed.second_m = depth.metres;
    }
  }
  if (angle !== undefined) {
    const read = readAngle(angle, writing);
    if (typeof read === 'string') return { ok: false, why: read };
    Object.assign(typed, read);
  }
  return { ok: true, typed };
}

function split(text: string, at: string | RegExp): [string, string | undefined] {
  const [first = '', ...rest] = text.split(at);
  return [first, rest.length ? rest.join('') : undefined];
}

function one(name: 'along_m', text: string, writing: Writing): TypedRead {
  const read = readLength(text, writing);
  return read.ok ? { ok: true, typed: { [name]: read.metres } } : read;
}

function readAngle(text: string, writing: Writing): { angle_deg: number; relative?: boolean } | string {
  const plain = text.trim().toLowerCase().replace(/°$/, '');
  const wind = WINDS[plain];
  if (wind !== undefined) return { angle_deg: wind };
  const sign = /^[+−-]/.exec(plain)?.[0];
  const value = readNumber(plain.replace(/^[+−-]\s*/, ''), writing);
  if (typeof value === 'string') return `“<${text.trim()}” is not an angle. Write <45, <NE, or <+90 to turn from the last side.`;
  if (sign) return { angle_deg: sign === '+' ? value : -value, relative: true };
  return { angle_deg: norm(value) };
}
