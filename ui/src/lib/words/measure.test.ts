import { describe, expect, test } from 'vitest';
import type { FieldSpec, Writing } from '../api/types';
import { fromTyped, toTyped } from './fields';
import { ownUnit, readMeasure, writeBare, writeMeasure } from './measure';

const metric: Writing = { units: 'metric', decimal_mark: '.', currency: 'EUR', paper: 'A4' };
const feet: Writing = { ...metric, units: 'feet', currency: 'USD', paper: 'Letter' };
const comma: Writing = { ...metric, decimal_mark: ',' };

// NIST Special Publication 811 (2008), appendix B.8: factors for units listed alphabetically.
const PUBLISHED: [string, string, string, number][] = [
  ['deg C', '32', '°F', 0],
  ['deg C', '212', '°F', 100],
  ['deg C', '-40', '°F', -40],
  ['mm a month', '1', 'in', 25.4],
  ['m/s', '1', 'mph', 0.44704],
  ['kg', '1', 'lb', 0.453592],
  ['litre', '1', 'gal', 3.785412],
  ['m2', '1', 'ft²', 0.092903],
  ['kN/m2', '1', 'psf', 0.047880],
  ['m', '1', 'in', 0.0254],
];

describe('in the units of a garden in feet', () => {
  test.each(PUBLISHED)('%s: %s %s is %d', (unit, typed, words, value) => {
    expect(readMeasure(typed, unit, feet)).toBeCloseTo(value, 6);
    expect(ownUnit(unit, feet)).toBe(words);
    expect(readMeasure(`${typed} ${words}`, unit, metric)).toBeCloseTo(value, 6);
  });
  test.each([['deg C', '54.3'], ['deg C', '-13'], ['mm a month', '3.27'], ['m/s', '8.5'], ['kg', '44.1'], ['litre', '60'], ['l/min', '5.25']])('%s: %s is shown as it was typed', (unit, typed) => {
    expect(writeBare(Number(readMeasure(typed, unit, feet)), unit, feet)).toBe(typed);
  });
});

test('a unit that is written counts, whatever the garden is measured in', () => {
  expect(readMeasure('10 °C', 'deg C', feet)).toBe(10);
  expect(readMeasure('50F', 'deg C', metric)).toBe(10);
  expect(readMeasure('2 in a month', 'mm a month', metric)).toBeCloseTo(50.8);
  expect(readMeasure('5 cm', 'mm a month', metric)).toBe(50);
  expect(readMeasure('36 km/h', 'm/s', metric)).toBe(10);
  expect(readMeasure('42"', 'm', metric)).toBeCloseTo(1.0668);
  expect(readMeasure('1/2 in', 'mm a month', metric)).toBeCloseTo(12.7);
});
test('decimal marks and faults', () => {
  expect(readMeasure('−2,5', 'deg C', comma)).toBe(-2.5);
  expect(writeMeasure(-2.5, 'deg C', comma)).toBe('-2,5 °C');
  expect(readMeasure('4 psf', 'deg C', metric)).toBe('“4 psf” is not in °C, °F.');
  expect(readMeasure('1,234', 'kg', metric)).toContain('is it 1.234, or 1234?');
  expect(readMeasure('', 'kg', metric)).toContain('is not a number');
  expect(readMeasure('12', 'ratio', metric)).toBe(12);
});
test('boxes of a form', () => {
  const lowest: FieldSpec = { name: 'low', words: 'Lowest', type: 'number', unit: 'deg C', min: -70, max: 30 };
  expect(toTyped(lowest, -26.1, feet)).toBe('-15 °F');
  expect(toTyped(lowest, -26.1, metric)).toBe('-26.1 °C');
  expect(fromTyped(lowest, '-15', feet)).toEqual({ ok: true, value: -26.111111 });
  expect(fromTyped(lowest, '-15 C', feet)).toEqual({ ok: true, value: -15 });
  const deep: FieldSpec = { name: 'deep', words: 'Deep', type: 'number', unit: 'm', min: 0, max: 4 };
  expect(fromTyped(deep, `3' 6"`, feet)).toEqual({ ok: true, value: 1.0668 });
  expect(toTyped(deep, 1.0668, feet)).toBe(`3' 6"`);
  expect(fromTyped(deep, '110 cm', feet)).toEqual({ ok: true, value: 1.1 });
  expect(fromTyped(deep, '14', feet)).toEqual({ ok: false, why: `At most 13' 1 1/2".` });
  expect(fromTyped(lowest, '90', feet)).toEqual({ ok: false, why: 'At most 86 °F.' });
});
