import { describe, expect, test } from 'vitest';
import type { Writing } from '../api/types';
import { readLength, readNumber, writeArea, writeLength } from './length';

const metric: Writing = { units: 'metric', decimal_mark: '.', currency: 'EUR', paper: 'A4' };
const comma: Writing = { ...metric, decimal_mark: ',' };
const feet: Writing = { ...metric, units: 'feet' };
const metres = (text: string, writing = metric): number => {
  const read = readLength(text, writing);
  if (!read.ok) throw new Error(read.why);
  return read.metres;
};

describe('reading', () => {
  // 1 in = 25.4 mm exactly (international yard and pound agreement, 1959).
  test.each([
    ['3.4', 3.4], ['3.4 m', 3.4], ['340 cm', 3.4], ['3400mm', 3.4], ['3 m 40', 3.4], ['3 m 405', 3.405], ['0.5', 0.5], ['-1.2', -1.2],
    [`12' 6"`, 3.81], [`12'6`, 3.81], [`12' 6 1/2"`, 3.8227], ['4 yd', 3.6576], ['6"', 0.1524], ['12 ft', 3.6576], ['12’ 6″', 3.81], ['1 ½ m', 1.5],
  ])('%s is %f m', (text, wanted) => expect(metres(text)).toBeCloseTo(wanted, 9));

  test('a bare number is in the person’s own unit', () => {
    expect(metres('10', feet)).toBeCloseTo(3.048, 9);
    expect(metres('3,4', comma)).toBeCloseTo(3.4, 9);
  });
  test.each([['1,234', metric], ['1.234', comma], ['3 m 4', metric], ['', metric], ['three', metric], [`12" 6'`, metric], [`2' 14"`, feet], ['3.4 kg', metric]])(
    '%s is refused',
    (text, writing) => expect(readLength(text, writing).ok).toBe(false),
  );
  // As units/length.py reads them: a dash joins inches to feet that are said, and a fraction to its whole number.
  test.each([[`12'-6 1/2"`, 3.8227], [`12'-6-1/2"`, 3.8227], ['6-1/2', 1.9812], ['12 400 mm', 12.4]])('%s is %f m', (text, wanted) => expect(metres(text, feet)).toBeCloseTo(wanted, 9));
  test.each([['101-8.5', feet, /say the unit of “101”, such as 101' 8\.5/], ['101 8', feet, /say the unit of “101”/], ['3-40', metric, /say the unit of “3”\.$/], ['6 3/2', feet, /smaller than its bottom/]] as const)('%s is asked about', (text, writing, why) => {
    const read = readLength(text, writing);
    expect(read.ok ? '' : read.why).toMatch(why);
  });
  test.each([['3 40', feet, '3.40 ft'], ['3-40', feet, '3.40 m'], ['101-8.5', feet, `101' 8.5"`], ['6 11"', feet, `6' 11"`]] as const)('what %s is answered with can be typed as it stands', (text, writing, offered) => {
    const read = readLength(text, writing);
    expect(read.ok ? '' : read.why).toContain(offered);
    expect(readLength(offered, writing).ok).toBe(true);
  });
  // The program's own rule (units/_numbers.py): what can't be thousands is a decimal, whichever its mark.
  test.each([
    ['4,50', metric, 4.5], ['4.50', comma, 4.5], ['0,125', metric, 0.125], ['1,234.5', metric, 1234.5], ['1.234.567', comma, 1234567], ['1.234,5', comma, 1234.5], ['3,4', comma, 3.4],
    ['-4,5', comma, -4.5], ['−8,50', metric, -8.5], ['+ 2.5', comma, 2.5], ['-1.234,5', comma, -1234.5], ['1 234,5', comma, 1234.5], ['12\u00a0400', metric, 12400], ['-1/2', metric, -0.5], ['.5', metric, 0.5],
  ])('%s is %j', (text, writing, wanted) => expect(readNumber(text, writing)).toBe(wanted));
  test.each([['1,23.4', metric], ['12,34,5', metric], ['1.2.3', metric], ['1,2,3', comma], ['1e3', metric], ['0x10', metric], ['1 23', metric], ['--4', metric], ['-', metric], ['.', metric], ['', metric]])('%s is no number', (text, writing) => expect(readNumber(text, writing)).toMatch(/is not a number/));
  test('what is below nothing is asked about too where it has two readings', () => expect(readNumber('-1,234', metric)).toMatch(/1\.234.*1234/));
  test('nothing has no sign', () => {
    expect(writeLength(-0.001, metric)).toBe('0.00 m');
    expect(writeLength(-0.0004, comma, true)).toBe('0,000 m');
    expect(writeLength(-0.3, metric)).toBe('-0.30 m');
  });
  test('an ambiguous number is refused with both readings', () => {
    expect(readNumber('1,234', metric)).toMatch(/1\.234.*1234/);
    const read = readLength('3 m 4', metric);
    expect(read.ok ? '' : read.why).toMatch(/3 m 04 or 3 m 40/);
  });
  test('a fraction of nothing is no number', () => expect(readNumber('3/0', metric)).toMatch(/nothing/));
});

describe('writing', () => {
  test.each([[3.4, '3.40 m'], [0, '0.00 m'], [12.3456, '12.35 m']])('%f m in metres', (m, text) => expect(writeLength(m, metric)).toBe(text));
  test('with a comma', () => expect(writeLength(3.4, comma)).toBe('3,40 m'));
  test('to the millimetre', () => expect(writeLength(3.4056, metric, true)).toBe('3.406 m'));
  test.each([[3.81, `12' 6"`], [3.6576, `12' 0"`], [0.1524, '6"'], [3.8227, `12' 6 1/2"`], [0.0127, '1/2"'], [0.3175, `1' 0 1/2"`], [3.6449, `11' 11 1/2"`]])('%f m in feet', (m, text) => expect(writeLength(m, feet)).toBe(text));
  test('sixteenths are in lowest terms', () => expect(writeLength(0.0254 * 2.25, feet, true)).toBe('2 1/4"'));
  test('what is written is read back', () => {
    for (let mm = 0; mm < 4000; mm += 37) expect(Math.abs(metres(writeLength(mm / 1000, feet, true), feet) - mm / 1000)).toBeLessThanOrEqual(0.0254 / 32 + 1e-9);
  });
  test('areas', () => {
    expect(writeArea(10, metric)).toBe('10.0 m²');
    expect(writeArea(10, feet)).toBe('108 ft²'); // 10 m² / 0.3048² = 107.64
    expect(writeArea(100, feet)).toBe('1,076 ft²'); // 1076.39
    expect(writeArea(100, { ...feet, decimal_mark: ',' })).toBe('1.076 ft²');
  });
});
