/** What is written, as people say it aloud: lengths, amounts, signs, sides of the compass. The page's language is English. */
import type { Writing } from '../api/types';

const ONES = ['zero', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine', 'ten', 'eleven', 'twelve', 'thirteen', 'fourteen', 'fifteen', 'sixteen', 'seventeen', 'eighteen', 'nineteen'];
const TENS = ['', '', 'twenty', 'thirty', 'forty', 'fifty', 'sixty', 'seventy', 'eighty', 'ninety'];
const PARTS: Record<number, [string, string]> = { 2: ['half', 'halves'], 3: ['third', 'thirds'], 4: ['quarter', 'quarters'], 8: ['eighth', 'eighths'], 16: ['sixteenth', 'sixteenths'], 32: ['thirty-second', 'thirty-seconds'] };
/** Units other than those of length, one of it and more of it. */
const UNITS: Record<string, [string, string]> = {
  'm²': ['square metre', 'square metres'], 'm³': ['cubic metre', 'cubic metres'], 'ft²': ['square foot', 'square feet'], 'ft³': ['cubic foot', 'cubic feet'], 'yd²': ['square yard', 'square yards'],
  'yd³': ['cubic yard', 'cubic yards'], ft: ['foot', 'feet'], yd: ['yard', 'yards'], in: ['inch', 'inches'], kg: ['kilogram', 'kilograms'], g: ['gram', 'grams'], lb: ['pound', 'pounds'], l: ['litre', 'litres'],
  mm: ['millimetre', 'millimetres'], cm: ['centimetre', 'centimetres'], m: ['metre', 'metres'], km: ['kilometre', 'kilometres'], h: ['hour', 'hours'], psf: ['pound a square foot', 'pounds a square foot'], kPa: ['kilopascal', 'kilopascals'], '°C': ['degree Celsius', 'degrees Celsius'], '°F': ['degree Fahrenheit', 'degrees Fahrenheit'],
};
const SIDES: Record<string, string> = { N: 'north', E: 'east', S: 'south', W: 'west', NE: 'north-east', SE: 'south-east', SW: 'south-west', NW: 'north-west' };

const NUMBER = String.raw`\d[\d.,]*`;
const FRACTION = String.raw`\d+\s?\/\s?\d+`;
const INCHES = String.raw`(?:(?:(\d+)\s)?(${FRACTION})|(\d+))"`;
const FEET_INCHES = new RegExp(String.raw`(${NUMBER})'(?:\s?${INCHES})?(?![\w'"])`, 'g');
const ONLY_INCHES = new RegExp(String.raw`(?<![\w.,'/])${INCHES}`, 'g');
/** Units that follow a number; *in* is a word as well, and is a unit only before a stroke. */
const UNIT = Object.keys(UNITS).filter((unit) => unit !== 'in').sort((a, b) => b.length - a.length).join('|');
const ENDS = String.raw`(?![\w²³'’])`;
const MEASURE = new RegExp(String.raw`(?<![\w.,])(${NUMBER})\s?(${UNIT})${ENDS}`, 'g');
/** What a unit is counted by, after a stroke: *20 l/m²*, *3 m³/h*. */
const PER = new RegExp(String.raw`(?<=\d\s?(?:${UNIT}|in))\s?/\s?(m²|m³|ft²|ft³|yd²|yd³|ft|yd|kg|m|l|h)${ENDS}`, 'g');
/** A span with its unit: *3–5 cm*, *3-5 cm*; a date or a code with a hyphen has none. */
const SPAN = new RegExp(String.raw`(?<![\w.,/–-])(${NUMBER})\s?[–−-]\s?(${NUMBER})\s?(${UNIT})${ENDS}`, 'g');
const HOURS = /(?<![\w.,])(\d+)\sh\s(\d\d)(?!\d)/g;

/** A whole number in words up to 999; above it stays in figures, which every voice reads. */
export function numberWords(n: number): string {
  if (n < 20) return ONES[n]!;
  if (n < 100) return n % 10 ? `${TENS[Math.floor(n / 10)]}-${ONES[n % 10]}` : TENS[n / 10]!;
  if (n < 1000) return `${ONES[Math.floor(n / 100)]} hundred${n % 100 ? ` and ${numberWords(n % 100)}` : ''}`;
  return String(n);
}
/** A number as it is written in the person's style; undefined where it is none. */
function valueOf(text: string, writing: Writing): number | undefined {
  const other = writing.decimal_mark === '.' ? ',' : '.';
  const value = Number(text.replaceAll(other, '').replace(writing.decimal_mark, '.'));
  return Number.isFinite(value) ? value : undefined;
}
function decimalWords(value: number): string {
  const [whole, part] = String(Math.round(value * 1e6) / 1e6).split('.');
  if (part === '5') return value < 1 ? 'half' : `${numberWords(Number(whole))} and a half`;
  return `${numberWords(Number(whole))}${part ? ` point ${[...part].map((d) => ONES[Number(d)]).join(' ')}` : ''}`;
}
const a = (thing: string): string => `${/^(h|[aeiou])/.test(thing) ? 'an' : 'a'} ${thing}`;
function counted(value: number, [one, more]: readonly [string, string]): string {
  if (value === 0.5) return `half ${a(one)}`;
  return `${decimalWords(value)} ${value === 1 ? one : more}`;
}

/** Metres as one calls them out: *three metres forty*, *three metres oh four*, *forty centimetres and five millimetres*. */
function metreWords(metres: number): string {
  const mm = Math.round(metres * 1000);
  const [whole, cm, fine] = [Math.floor(mm / 1000), Math.floor((mm % 1000) / 10), mm % 10];
  if (mm === 0) return 'zero';
  const rest = fine ? `${numberWords(fine)} ${fine === 1 ? 'millimetre' : 'millimetres'}` : '';
  if (whole === 0) return [cm ? counted(cm, UNITS['cm']!) : '', rest].filter(Boolean).join(' and ');
  const large = `${numberWords(whole)} ${whole === 1 ? 'metre' : 'metres'}`;
  const middle = cm === 0 ? large : `${large} ${cm < 10 ? `oh ${ONES[cm]}` : numberWords(cm)}`;
  return rest ? `${middle}${cm ? ',' : ''} and ${rest}` : middle;
}

/** A fraction and whether it is one part of something: *a half*, *three eighths*. */
function fractionWords(text: string): string {
  const [over, below] = text.split('/').map((t) => Number(t.trim())) as [number, number];
  const part = PARTS[below];
  if (!part) return `${numberWords(over)} over ${numberWords(below)}`;
  return over === 1 ? `${below === 8 ? 'an' : 'a'} ${part[0]}` : `${numberWords(over)} ${part[1]}`;
}
function inchWords(whole: string | undefined, fraction: string | undefined, plain: string | undefined): string {
  if (plain !== undefined) return plain === '0' ? 'zero' : counted(Number(plain), UNITS['in']!);
  if (!whole || whole === '0') return fraction!.replace(/\s/g, '') === '1/2' ? 'half an inch' : `${fractionWords(fraction!)} of an inch`;
  return `${numberWords(Number(whole))} and ${fractionWords(fraction!)} inches`;
}
/** Feet and inches as one calls them out: *twelve foot six*, *twelve foot six and a half*, *one foot*. */
function footWords(feet: number, whole: string | undefined, fraction: string | undefined, plain: string | undefined): string {
  const large = `${decimalWords(feet)} foot`;
  const inches = Number(plain ?? whole ?? 0);
  if (!fraction) return inches ? `${large} ${numberWords(inches)}` : large;
  return inches ? `${large} ${numberWords(inches)} and ${fractionWords(fraction)}` : `${large} and ${inchWords(undefined, fraction, undefined)}`;
}

/** What is written, as it is said; `writing` says which mark parts the decimals. */
export function spoken(text: string, writing: Writing): string {
  let said = text.replace(/[\u00a0\u202f]/g, ' ').replace(/[′’](?=[\s\d]|$)/g, (m, at: number, all: string) => (/\d/.test(all[at - 1] ?? '') ? "'" : m)).replace(/″/g, '"');
  said = said.replace(PER, (_, unit: string) => ` ${a(UNITS[unit]![0])}`).replace(SPAN, (all, low: string, high: string, unit: string) => {
    const [from, to] = [valueOf(low, writing), valueOf(high, writing)];
    if (from === undefined || to === undefined) return all;
    return unit === 'm' ? `${metreWords(from)} to ${metreWords(to)}` : `${decimalWords(from)} to ${counted(to, UNITS[unit]!)}`;
  });
  said = said.replace(/≥\s?/g, 'at least ').replace(/≤\s?/g, 'at most ').replace(/[≈~]\s?(?=\d)/g, 'about ');
  said = said.replace(/(?<![\w)])[-−](?=\d)/g, 'minus ').replace(/±\s?/g, 'give or take ').replace(/(\d["']?)\s?[–]\s?(?=\d)/g, '$1 to ');
  // "4 × 12'" and "4 × 3.60 m" are four of them, "4 × 4", "95 × 45 mm" and "2" × 6"" are a size.
  said = said.replace(/(?<!['"/.,])\b(\d+) × (?=\d+'|\d+[.,]\d\d+ m\b|[^\d\s])/g, '$1 of ').replace(/\s?×\s?/g, ' by ');
  said = said.replace(FEET_INCHES, (all, feet: string, whole?: string, fraction?: string, plain?: string) => {
    const value = valueOf(feet, writing);
    return value === undefined ? all : footWords(value, whole, fraction, plain);
  });
  said = said.replace(ONLY_INCHES, (_, whole?: string, fraction?: string, plain?: string) => inchWords(whole, fraction, plain));
  said = said.replace(HOURS, (_, hours: string, minutes: string) => `${counted(Number(hours), UNITS['h']!)} ${numberWords(Number(minutes))}`);
  said = said.replace(MEASURE, (all, number: string, unit: string) => {
    const value = valueOf(number, writing);
    if (value === undefined) return all;
    return unit === 'm' ? metreWords(value) : counted(value, UNITS[unit]!);
  });
  said = said.replace(/\b(NE|NW|SE|SW)\b/g, (_, side: string) => SIDES[side]!).replace(/\b([NESW])(?= (?:corner|side|end)\b)/g, (_, side: string) => SIDES[side]!);
  if (writing.decimal_mark === ',') said = said.replace(/(\d)\.(?=\d{3}\b)/g, '$1').replace(/(\d),(?=\d)/g, '$1.');
  return said.replace(/\s*→\s*/g, ' to ').replace(/\s*·\s*/g, ', ').replace(/\s+/g, ' ').trim();
}
