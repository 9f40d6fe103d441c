/** Measures other than lengths and money, in the person's units: warmth, rain, wind, weight, water, areas, loads. */
import type { Writing } from '../api/types';
import { readNumber } from './length';

/** A scale: a value in the document's unit is (typed - zero) x per; written to so many decimals. */
interface Scale { words: string; names: string[]; per: number; zero?: number; digits: number }
interface Quantity { metric: Scale; feet: Scale; also?: Scale[] }

const INCH = 25.4;
const GALLON = 3.785411784;
const FOOT2 = 0.09290304;
const C: Scale = { words: '°C', names: ['°c', 'c', 'celsius'], per: 1, digits: 2 };
const F: Scale = { words: '°F', names: ['°f', 'f', 'fahrenheit'], per: 5 / 9, zero: 32, digits: 1 };
const MM: Scale = { words: 'mm', names: ['mm', 'millimetres', 'millimeters'], per: 1, digits: 2 };
const IN: Scale = { words: 'in', names: ['in', 'inch', 'inches', '"', '″', '”'], per: INCH, digits: 2 };
const METRES: Scale = { words: 'm', names: ['m', 'metres', 'meters'], per: 1, digits: 3 };
const each = (scale: Scale, per: number, digits = scale.digits): Scale => ({ ...scale, per, digits });
const flow = (time: string): Quantity => ({
  metric: { words: `l/${time}`, names: [`l/${time}`, 'l'], per: 1, digits: 2 },
  feet: { words: `gal/${time}`, names: [`gal/${time}`, 'gal'], per: GALLON, digits: 2 },
});

/** By the unit a field declares. Sizes are exact: international yard and pound (1959), US gallon of 231 cubic inches. */
const QUANTITIES: Record<string, Quantity> = {
  'deg C': { metric: C, feet: F },
  'mm a month': { metric: MM, feet: IN, also: [each(MM, 10)].map((cm) => ({ ...cm, words: 'cm', names: ['cm'] })) },
  m: { metric: METRES, feet: each(IN, INCH / 1000, 1), also: [{ words: 'cm', names: ['cm'], per: 0.01, digits: 1 }, { words: 'ft', names: ['ft', 'feet', "'"], per: 0.3048, digits: 2 }] },
  'm/s': {
    metric: { words: 'm/s', names: ['m/s'], per: 1, digits: 2 },
    feet: { words: 'mph', names: ['mph', 'miles an hour'], per: 0.44704, digits: 1 },
    also: [{ words: 'km/h', names: ['km/h', 'kmh', 'kph'], per: 1 / 3.6, digits: 1 }, { words: 'knots', names: ['kn', 'knots', 'kt'], per: 1852 / 3600, digits: 1 }],
  },
  kg: { metric: { words: 'kg', names: ['kg', 'kilos', 'kilograms'], per: 1, digits: 2 }, feet: { words: 'lb', names: ['lb', 'lbs', 'pounds'], per: 0.45359237, digits: 1 } },
  litre: { metric: { words: 'l', names: ['l', 'litres', 'liters'], per: 1, digits: 1 }, feet: { words: 'gal', names: ['gal', 'gallons', 'us gal', 'us gallons'], per: GALLON, digits: 1 } },
  m2: { metric: { words: 'm²', names: ['m2', 'm²', 'sq m'], per: 1, digits: 2 }, feet: { words: 'ft²', names: ['sq ft', 'ft2', 'ft²', 'sqft'], per: FOOT2, digits: 1 } },
  'kN/m2': {
    metric: { words: 'kN/m²', names: ['kn/m2', 'kn/m²', 'kpa'], per: 1, digits: 3 },
    feet: { words: 'psf', names: ['lb/sq ft', 'psf', 'lb/ft2', 'lb/ft²'], per: (0.45359237 * 9.80665) / FOOT2 / 1000, digits: 1 },
  },
  'l/min': flow('min'),
  'l/h': flow('h'),
};

function own(unit: string | null | undefined, writing: Writing): Scale | null {
  const found = unit ? QUANTITIES[unit] : undefined;
  return found ? (writing.units === 'feet' ? found.feet : found.metric) : null;
}
/** Whether values of a unit are written in the person's own. */
export function measured(unit: string | null | undefined): boolean {
  return Boolean(unit && QUANTITIES[unit]);
}
/** The unit in which the person writes what is kept in `unit`; null where it is none of these. */
export function ownUnit(unit: string | null | undefined, writing: Writing): string | null {
  return own(unit, writing)?.words ?? null;
}
/** Write a value without its unit. */
export function writeBare(value: number, unit: string | null | undefined, writing: Writing): string {
  const scale = own(unit, writing);
  if (!scale) return String(value).replace('.', writing.decimal_mark);
  const shown = Number((value / scale.per + (scale.zero ?? 0)).toFixed(scale.digits));
  return String(shown === 0 ? 0 : shown).replace('.', writing.decimal_mark);
}
/** Write a value with its unit. */
export function writeMeasure(value: number, unit: string, writing: Writing): string {
  const words = ownUnit(unit, writing);
  return `${writeBare(value, unit, writing)}${words ? ` ${words}` : ''}`;
}
/** Read what was typed as a value in `unit`: without a unit in the person's own, with one in that. Or say why not. */
export function readMeasure(text: string, unit: string | null | undefined, writing: Writing): number | string {
  const scale = own(unit, writing);
  const plain = text.trim().replace('−', '-');
  if (!unit || !scale) return readNumber(plain, writing);
  const [, figure = '', after = ''] = /^([-+]?[\d.,\s/]*)(.*)$/.exec(plain) ?? [];
  const said = after.trim().toLowerCase().replace(/\s+(a|per) month$/, '');
  const { metric, feet, also = [] } = QUANTITIES[unit]!;
  const known = [metric, feet, ...also];
  const meant = said === '' ? scale : known.find((one) => one.names.includes(said));
  if (!meant) return `“${plain}” is not in ${known.map((one) => one.words).join(', ')}.`;
  const number = readNumber(figure, writing);
  if (typeof number === 'string') return number;
  return Number(((number - (meant.zero ?? 0)) * meant.per).toFixed(6));
}
