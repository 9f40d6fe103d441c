/** All that the pointer can do on the sheet, by keys. Letters act only while the sheet has the focus. */
import type { XY } from '../lib/api/types';
import { askBuilt } from '../lib/gestures/built';
import { gridStep } from '../lib/sheet/scale';
import { beginsTyping } from '../lib/words/typed';
import { shiftEach } from './arrange';
import { begin } from './begin';
import type { SheetState } from './sheet.svelte';

const ARROWS: Record<string, XY> = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
const FINE_M = 0.01;
const NUDGE_M = 0.1;

/** What begins at once while the last thing is still being kept: it needs nothing of it. */
const AT_ONCE = ['p', 'a', 't', 'd'];
interface Key { key: string; shiftKey: boolean; altKey: boolean }

export class SheetKeys {
  /** Keys that came while a thing was being kept: they are about it, and wait until it is there. */
  private early: Key[] = [];
  constructor(private readonly sheet: SheetState) {}

  down(e: KeyboardEvent): void {
    if (e.target !== e.currentTarget || e.ctrlKey || e.metaKey) return;
    if (this.waits(e) || this.take(e)) e.preventDefault();
  }

  /** Keep a key for later while what was made last is being kept. Held keys, and a step back come too late, do nothing. */
  private waits(e: KeyboardEvent): boolean {
    const { current } = this.sheet.runner;
    const about = e.key === 'Delete' || e.key.length === 1 || e.key in ARROWS || (e.key === 'Enter' && this.early.length > 0);
    if (e.key === 'Escape') this.early = [];
    if (!current?.ending || !about) return false;
    if (e.repeat) return true;
    if (this.early.length === 0 && AT_ONCE.includes(e.key.toLowerCase())) return begin(this.sheet, e.key.toLowerCase());
    const after = (): void => this.catchUp(); // kept or not: no key waits for good
    if (this.early.push({ key: e.key, shiftKey: e.shiftKey, altKey: e.altKey }) === 1) void current.ending.then(after, after);
    return true;
  }
  private catchUp(): void {
    const keys = this.early;
    this.early = [];
    while (keys.length && !this.sheet.runner.current?.ending) {
      const key = keys.shift()!;
      if (!this.sheet.busy || !beginsTyping(key.key) || !this.sheet.said.typing) {
        this.take(key);
        continue;
      }
      // What was typed goes on in the line under the sheet, as it would have.
      const entered = keys.findIndex((k) => k.key.length > 1);
      const text = key.key + keys.splice(0, entered < 0 ? keys.length : entered).map((k) => k.key).join('');
      if (keys[0]?.key === 'Enter' && keys.shift() && this.sheet.typed(text)) continue;
      this.sheet.typing = { text };
    }
  }

  private take(e: Key): boolean {
    const { sheet } = this;
    const arrow = ARROWS[e.key];
    if (arrow) return this.arrow(arrow, e);
    if (e.key === 'Escape') return this.escape();
    if (sheet.busy) return this.busy(e);
    switch (e.key) {
      case '+': case '=': sheet.zoom(1.25); return true;
      case '-': sheet.zoom(0.8); return true;
      case '0': sheet.fitAll(); return true;
      case 'Delete': case 'Backspace': void this.remove(); return true;
      case 'Enter': return false;
      default: return begin(sheet, e.key.toLowerCase());
    }
  }

  private escape(): boolean {
    const { sheet } = this;
    if (sheet.busy) sheet.cancel();
    else if (sheet.board.looking) void sheet.board.look(null);
    else sheet.chooseNone();
    return true;
  }

  private busy(e: Key): boolean {
    const { sheet } = this;
    const gesture = sheet.runner.current;
    if (e.key === 'Enter') {
      if (sheet.cross) {
        const p = sheet.crossPoint();
        gesture?.onPointerDown(p);
        gesture?.onPointerUp(p);
      } else gesture?.onComplete();
      return true;
    }
    const button = sheet.said.buttons?.find((b) => b.key === e.key);
    if (button) {
      button.run();
      return true;
    }
    if (e.key === 'Backspace') return gesture?.onBack() ?? false;
    if (e.key === '+' && !e.shiftKey) return false;
    if (!beginsTyping(e.key) || !sheet.said.typing) return false;
    sheet.typing = { text: e.key };
    return true;
  }

  private arrow([dx, dy]: XY, e: Key): boolean {
    const { sheet } = this;
    const step = gridStep(sheet.camera.scale, sheet.board.writing).metres;
    if (sheet.busy) {
      const by = e.altKey ? FINE_M : e.shiftKey ? step : step / 5;
      sheet.stepCross(dx * by, dy * by);
    } else if (sheet.selected().length) {
      const by = e.altKey ? FINE_M : e.shiftKey ? NUDGE_M * 10 : NUDGE_M;
      const ids = sheet.selected();
      void shiftEach(sheet, ids, ids.map((): XY => [dx * by, dy * by]), 'Nudge');
    } else sheet.pan(-dx * 60, dy * 60);
    return true;
  }

  private async remove(): Promise<void> {
    const ids = this.sheet.selected();
    if (ids.length && (await askBuilt(this.sheet, ids)) && (await this.sheet.board.remove(ids))) this.sheet.chooseNoLonger(ids);
  }
}
