/** Where a point of the ground is, for whoever moves it by keys. */
import type { Writing, XY } from '../api/types';
import { writeLength } from './length';

/** Such as `3.40 m east, 12.00 m north` of where all is measured from. */
export function placeWords([x, y]: XY, writing: Writing): string {
  return `${writeLength(Math.abs(x), writing)} ${x < 0 ? 'west' : 'east'}, ${writeLength(Math.abs(y), writing)} ${y < 0 ? 'south' : 'north'}`;
}
