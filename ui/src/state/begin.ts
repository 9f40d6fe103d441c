/** What the letters on the sheet begin, and the buttons beside a chosen thing. */
import { Beside } from '../lib/gestures/beside';
import { Dimension } from '../lib/gestures/dimension';
import { Mirror } from '../lib/gestures/mirror';
import { Move } from '../lib/gestures/move';
import { SetOut } from '../lib/gestures/set-out';
import { Split, lineField } from '../lib/gestures/split';
import { Tape } from '../lib/gestures/tape';
import { Turn } from '../lib/gestures/turn';
import type { FeatureDoc } from '../lib/api/types';
import type { SheetState } from './sheet.svelte';

/** Begin what a letter stands for; false when it stands for nothing now. */
export function begin(sheet: SheetState, key: string): boolean {
  const ids = sheet.selected();
  switch (key) {
    case 'p': sheet.choosing = true; return true;
    case 'a': sheet.again(); return true;
    case 't': sheet.start(new Tape(sheet)); return true;
    case 'd': sheet.start(new Dimension(sheet)); return true;
    case 'n': return next(sheet, 1);
    case 'b': return next(sheet, -1);
    default:
  }
  if (ids.length === 0) return false;
  switch (key) {
    case 'm': sheet.start(new Move(sheet, ids)); return true;
    case 'c': sheet.start(new Move(sheet, ids, true)); return true;
    case 'r': sheet.start(new Turn(sheet, ids)); return true;
    case 'i': sheet.start(new Mirror(sheet, ids)); return true;
    case 'o': sheet.start(new SetOut(sheet, ids)); return true;
    case 'e':
      if (ids.length !== 1 || !Beside.fits(sheet, ids[0]!)) return false;
      sheet.start(new Beside(sheet, ids[0]!));
      return true;
    case 's':
      if (ids.length !== 1 || !lineField(sheet, sheet.doc(ids[0]!) as FeatureDoc | null)) return false;
      sheet.start(new Split(sheet, ids[0]!));
      return true;
    default: return false;
  }
}

function next(sheet: SheetState, by: number): boolean {
  const ids = sheet.scene().features.map((f) => f.id);
  if (ids.length === 0) return false;
  const now = ids.indexOf(sheet.selected()[0] ?? '');
  sheet.select([ids[(now + by + ids.length) % ids.length]!]);
  return true;
}
