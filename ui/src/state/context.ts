/** The board, the desk and the sheet, for whichever part of the page needs them. */
import { getContext, setContext } from 'svelte';
import type { Board } from './board.svelte';
import type { Plan } from './plan.svelte';
import type { Desk } from './desk.svelte';
import type { SheetState } from './sheet.svelte';

export interface Room { desk: Desk; board: Board; sheet: SheetState; plan: Plan }
const KEY = Symbol('room');

export const provide = (room: Room): Room => setContext(KEY, room);
export const room = (): Room => getContext<Room>(KEY);
