import { describe, expect, it } from 'vitest';
import type { Writing } from '../api/types';
import { numberWords, spoken } from './spoken';

const METRIC: Writing = { units: 'metric', decimal_mark: '.', currency: 'EUR', paper: 'A4' };
const COMMA: Writing = { ...METRIC, decimal_mark: ',' };
const FEET: Writing = { units: 'feet', decimal_mark: '.', currency: 'USD', paper: 'Letter' };

describe('what is written, as people say it', () => {
  it.each([
    ['3.40 m', 'three metres forty'], ['3.4 m', 'three metres forty'], ['3.405 m', 'three metres forty, and five millimetres'],
    ['3.04 m', 'three metres oh four'], ['3.005 m', 'three metres and five millimetres'], ['3.000 m', 'three metres'], ['1.00 m', 'one metre'],
    ['0.405 m', 'forty centimetres and five millimetres'], ['0.40 m', 'forty centimetres'], ['0.001 m', 'one millimetre'], ['0 m', 'zero'],
    ['112.35 m', 'one hundred and twelve metres thirty-five'], ['−0.20 m', 'minus twenty centimetres'], ['-3.4\u00a0m', 'minus three metres forty'],
    ['± 3 cm', 'give or take three centimetres'], ['2.5 cm', 'two and a half centimetres'], ['1 cm', 'one centimetre'], ['0.5 m²', 'half a square metre'],
    ['12.41 m³', 'twelve point four one cubic metres'], ['25 kg', 'twenty-five kilograms'], ['10 h', 'ten hours'], ['1 h 30', 'one hour thirty'], ['0.5 h', 'half an hour'],
    ['95 × 45 mm', '95 by forty-five millimetres'], ['3–5 cm deep', 'three to five centimetres deep'], ['3-5 cm', 'three to five centimetres'], ['3.40–3.60 m', 'three metres forty to three metres sixty'], ['20 l/m²', 'twenty litres a square metre'], ['3 m³/h', 'three cubic metres an hour'], ['15–20 l/m² each week', 'fifteen to twenty litres a square metre each week'], ['0.5–1 kg', 'half to one kilogram'], ['in 2027–2030', 'in 2027 to 2030'], ['≥ 3 cm', 'at least three centimetres'], ['≈ 5 kg', 'about five kilograms'], ['stakes A-B 3 m', 'stakes A-B three metres'], ['2027-06-01', '2027-06-01'], ['and/or', 'and/or'], ['5 × apple', '5 of apple'], ['2 °C', 'two degrees Celsius'],
    ['4 × 3.60\u00a0m', '4 of three metres sixty'], ['1.22 m × 2.44 m', 'one metre twenty-two by two metres forty-four'],
    ['screw M12, MM.106', 'screw M12, MM.106'], ['It isn’t chosen', 'It isn’t chosen'], ['sum 1,650', 'sum 1,650'],
    ['from A, NE corner of the house', 'from A, north-east corner of the house'], ['from E to N', 'from E to N'], ['the S side', 'the south side'],
  ])('metric: %s', (written, said) => expect(spoken(written, METRIC)).toBe(said));

  it.each([
    ['3,40 m', 'three metres forty'], ['3,405 m', 'three metres forty, and five millimetres'], ['1.066 m²', '1066 square metres'], ['4 × 3,60 m', '4 of three metres sixty'], ['3,5 and 1.650', '3.5 and 1650'],
  ])('with a comma: %s', (written, said) => expect(spoken(written, COMMA)).toBe(said));

  it.each([
    ['12\' 6"', 'twelve foot six'], ['12\' 6 1/2"', 'twelve foot six and a half'], ['12\' 0"', 'twelve foot'], ['12\'', 'twelve foot'], ['61\' 0 5/8"', 'sixty-one foot and five eighths of an inch'],
    ['47\'\u00a00\u00a07/8"', 'forty-seven foot and seven eighths of an inch'], ['6"', 'six inches'], ['1"', 'one inch'], ['0"', 'zero'], ['6 1/2"', 'six and a half inches'],
    ['1/2"', 'half an inch'], ['1/8"', 'an eighth of an inch'], ['3/4" × 4 7/8"', 'three quarters of an inch by four and seven eighths inches'], ['9 7/16"', 'nine and seven sixteenths inches'],
    ['−3\' 2"', 'minus three foot two'], ['± 2 1/2"', 'give or take two and a half inches'], ['117\' 2 1/2"', 'one hundred and seventeen foot two and a half'],
    ['4 × 12\' 0"', '4 of twelve foot'], ['2" × 6"', 'two inches by six inches'], ['post 4 × 4', 'post 4 by 4'], ['12.41 yd³', 'twelve point four one cubic yards'], ['1,066 ft²', '1066 square feet'],
    ['80 lb', 'eighty pounds'], ['25 psf', 'twenty-five pounds a square foot'], ['stand at 4\' 0", 8\' 0" along it', 'stand at four foot, eight foot along it'], ['12′ 6″', 'twelve foot six'],
    ['up to 7 ft', 'up to seven feet'], ['1 yd³', 'one cubic yard'],
  ])('feet: %s', (written, said) => expect(spoken(written, FEET)).toBe(said));

  it('says every length of a tape otherwise, so that none is heard for another', () => {
    const metres = Array.from({ length: 12_000 }, (_, n) => spoken(`${(n / 1000).toFixed(3)} m`, METRIC));
    expect(new Set(metres).size).toBe(12_000);
    const eighths = ['', ' 1/8', ' 1/4', ' 3/8', ' 1/2', ' 5/8', ' 3/4', ' 7/8'];
    const feet = Array.from({ length: 40 * 96 }, (_, n) => spoken(`${Math.floor(n / 96) + 1}' ${Math.floor((n % 96) / 8)}${eighths[n % 8]}"`, FEET));
    expect(new Set(feet).size).toBe(40 * 96);
    expect([...metres, ...feet].join(' ')).not.toMatch(/\d|undefined|NaN/);
  });
  it('counts in words', () => expect([0, 19, 20, 42, 100, 101, 999, 1000].map(numberWords)).toEqual(['zero', 'nineteen', 'twenty', 'forty-two', 'one hundred', 'one hundred and one', 'nine hundred and ninety-nine', '1000']));
});
