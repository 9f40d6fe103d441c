import { expect, it } from 'vitest';
import { readLatitude } from './latitude';

it.each([
  ['52.1', 52.1], ['52,1', 52.1], ['-45', -45], ['−45.03', -45.03], ['45.0 S', -45], ['45° S', -45], ['S 45.5', -45.5], ['45,5 south', -45.5],
  ['45°30\' S', -45.5], ['45°30’36" N', 45.51], ['33 north', 33], ['0', 0], ['90 S', -90],
])('%s', (text, deg) => expect(readLatitude(text)).toBeCloseTo(deg, 9));

it.each(['', 'S', 'forty', '91', '45 E', 'S 45 N', '45°60\' S', '45.0 S 170 E', '--45'])('%s is no latitude', (text) => expect(readLatitude(text)).toBeNull());
