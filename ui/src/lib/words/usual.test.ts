import { describe, expect, it } from 'vitest';
import { following, usual } from './usual';
import cldr from '../../../../tests/published/cldr/territories.csv?raw';
import towns from '../../../../src/quincunx/site/data/towns.csv?raw';

const rows = towns.split('\n').filter((row) => row && !row.startsWith('#')).slice(1);
const countries = [...new Set(rows.map((row) => row.split(',')[0]!))].sort();

describe('what follows from the country of a town', () => {
  it('is the way of writing usual there', () => {
    expect(usual('US')).toEqual({ units: 'feet', currency: 'USD', paper: 'Letter', mark: '.' });
    expect(usual('CA')).toEqual({ units: 'metric', currency: 'CAD', paper: 'Letter' });
    expect(usual('CL')).toEqual({ units: 'metric', currency: 'CLP', paper: 'Letter', mark: ',' });
    expect(usual('FR')).toEqual({ units: 'metric', currency: 'EUR', paper: 'A4', mark: ',' });
  });

  it('is the money of every country with a town in the list, euros where those are used', () => {
    expect(['PY', 'EC', 'KZ', 'SN'].map((c) => usual(c).currency)).toEqual(['PYG', 'USD', 'KZT', 'XOF']);
    const euros = ['AT', 'BE', 'BG', 'DE', 'EE', 'ES', 'FI', 'FR', 'GR', 'HR', 'IE', 'IT', 'LT', 'LU', 'LV', 'NL', 'PT', 'SI', 'SK', 'XK'];
    expect(countries.filter((c) => usual(c).currency === 'EUR')).toEqual(euros);
  });

  it('is what CLDR has of the country: its money, its decimal mark where it has but one, its paper', () => {
    const published = cldr.split('\n').filter((row) => row && !row.startsWith('#')).slice(1).map((row) => row.split(','));
    expect(published.map(([country]) => country)).toEqual(countries);
    for (const [country, currencies, marks] of published) {
      const ours = usual(country!);
      expect(currencies!.split(' '), country).toContain(ours.currency);
      const named = marks!.split(' ').map((m) => ({ comma: ',', point: '.' })[m]);
      expect(named, country).toContain(ours.mark ?? named[0]);
      expect(ours.mark !== undefined || named.length !== 1, country).toBe(true);
    }
    const letter = cldr.match(/US-Letter in ([A-Z ]+),/)![1]!.split(' ');
    expect(countries.filter((c) => usual(c).paper === 'Letter')).toEqual(countries.filter((c) => letter.includes(c)));
    expect(countries.filter((c) => usual(c).units === 'feet')).toEqual(['LR', 'MM', 'US']);
  });

  it('takes nothing back of what the person has chosen', () => {
    expect(following('CA', ['units', 'currency'])).toEqual({ paper: 'Letter' });
    expect(following('US', [])).toEqual(usual('US'));
    expect(following('DE', ['mark', 'currency', 'paper'])).toEqual({ units: 'metric' });
  });
});
