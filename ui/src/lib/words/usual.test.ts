import { describe, expect, it } from 'vitest';
import { following, usual } from './usual';

describe('what follows from the country of a town', () => {
  it('is the way of writing usual there', () => {
    expect(usual('US')).toEqual({ units: 'feet', currency: 'USD', paper: 'Letter' });
    expect(usual('CA')).toEqual({ units: 'metric', currency: 'CAD', paper: 'Letter' });
    expect(usual('CL')).toEqual({ units: 'metric', currency: 'CLP', paper: 'Letter' });
    expect(usual('FR')).toEqual({ units: 'metric', currency: 'EUR', paper: 'A4' });
  });

  it('takes nothing back of what the person has chosen', () => {
    expect(following('CA', ['units', 'currency'])).toEqual({ paper: 'Letter' });
    expect(following('US', [])).toEqual(usual('US'));
  });
});
