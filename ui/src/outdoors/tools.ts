/** How levels are taken with each tool, in words; common practice, no source. */
import type { Tool } from './rising';

export interface ToolWords { id: string; tool: Tool; name: string; short: string; begin: string[]; near: (at: string) => string; far: (at: string) => string; far_short: string; rest: boolean; care: string }

export const TOOLS: readonly ToolWords[] = [
  {
    id: 'hose', tool: 'water level', name: 'Hose and water', short: 'a clear hose filled with water',
    begin: ['Fill the hose until no bubble is left in it. Hold both ends side by side: the water must stand alike in both.', 'Take the stoppers off before you read, and wait until the water stands still.'],
    near: (at) => `How high over the ground at ${at} does the water stand?`, far: (at) => `And how high over the ground at ${at}?`,
    far_short: 'The hose is too short: go on from a peg between', rest: false,
    care: 'A hose across a way trips people; in frost the water stands wrong.',
  },
  {
    id: 'string', tool: 'line level', name: 'String and line level', short: 'a taut string with a small level hung on it',
    begin: ['Pull the string as taut as it will go, the level hung in its middle, and shift one end until the bubble rests in the middle.', 'Turn the level round end for end: it must read the same. Over more than about 10 m a string sags too far: set a peg between.'],
    near: (at) => `How high over the ground at ${at} is the string?`, far: (at) => `And how high over the ground at ${at}?`,
    far_short: 'Too far for one string: go on from a peg between', rest: false,
    care: 'A taut string at the height of a neck or a shin: hang rags on it, and take it down before anybody runs.',
  },
  {
    id: 'board', tool: 'A-frame', name: 'Board or A-frame', short: 'a straight board with a spirit level, or an A-frame, step by step',
    begin: ['Lay the board from the stake towards the next, and lift its lower end until the bubble rests in the middle (the plumb line on its mark).', 'Turn the level round end for end once: it must read the same. Mark where the far end stands: the next step begins there.'],
    near: (at) => `How far is its near end off the ground, at ${at}?`, far: (at) => `And its far end, towards ${at}?`,
    far_short: 'One more step before it is reached', rest: true,
    care: 'Wedge the board; fingers out from under it.',
  },
];
