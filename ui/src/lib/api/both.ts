import { withQuery } from './client';

/** A picture as SVG, and its size [mm]. */
export interface Card { card: string; wide_mm: number; high_mm: number }
/** A view with something and without it: each place one card, whose drawings can be looked at one by one. */
export interface BothPlace extends Card {
  id: string; name: string; words: string; caption: string; missing: string; foot?: string;
  rows: { words: string; alts: [string, string] }[];
}
/** A day of the year (05-15) and an hour (17:30) at which pictures are drawn; empty is left to the program. */
export interface When { day: string; hour: string }
/** A moment that can be asked for in plain words. */
export interface Moment extends When { id: string; words: string }
export interface BothViews { about: string; places: BothPlace[]; none: string; revision?: number; moments?: Moment[]; usual?: string }
export const USUAL: When = { day: '', hour: '' };

/** Where the pictures of a job or thing are asked for, as seen at a moment, from a point of the plan if one is given. */
export function viewsAddress(about: string, when: When, point = '', at?: number): string {
  const moment = when.day ? `/${when.day}-${when.hour.replace(':', '-')}` : '';
  // No query but the revision: a garden shared at home answers none.
  return withQuery(`/api/outdoors/views/${encodeURIComponent(about)}${point || moment ? `/${point || 'best'}` : ''}${moment}`, { at });
}

const PIXELS_PER_MM = 6;
const SVG = 'http://www.w3.org/2000/svg';

export function svgAddress(text: string): string {
  return `data:image/svg+xml;charset=utf-8,${encodeURIComponent(text)}`;
}

/** The drawings on a card, each as the address of a picture: without and with, row by row. */
export function panelsOf(card: string): string[] {
  const found = [...new DOMParser().parseFromString(card, 'image/svg+xml').getElementsByTagNameNS(SVG, 'svg')].filter((one) => one.hasAttribute('data-panel'));
  return found.map((one) => {
    for (const name of ['x', 'y', 'data-panel']) one.removeAttribute(name);
    return svgAddress(new XMLSerializer().serializeToString(one));
  });
}

/** A card as a picture file; it is painted here, and goes nowhere by itself. */
export async function pngOf(place: Card, name: string): Promise<File> {
  const image = new Image();
  image.src = svgAddress(place.card);
  await image.decode();
  const canvas = document.createElement('canvas');
  canvas.width = Math.round(place.wide_mm * PIXELS_PER_MM);
  canvas.height = Math.round(place.high_mm * PIXELS_PER_MM);
  canvas.getContext('2d')?.drawImage(image, 0, 0, canvas.width, canvas.height);
  const blob = await new Promise<Blob | null>((done) => canvas.toBlob(done, 'image/png'));
  if (!blob) throw new Error('This browser can’t make a picture file of it.');
  return new File([blob], name, { type: 'image/png' });
}

/** A plain name for a picture file. */
export function fileName(...parts: string[]): string {
  const plain = parts.map((p) => p.normalize('NFKD').toLowerCase().replace(/[^a-z0-9]+/g, '-').replace(/^-|-$/g, '')).filter(Boolean);
  return `${plain.join('-').slice(0, 80) || 'picture'}.png`;
}
