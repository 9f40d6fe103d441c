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

export class SheetKeys {
  constructor(private readonly sheet: SheetState) {}

  down(e: KeyboardEvent): void {
    if (e.target !== e.currentTarget || e.ctrlKey || e.metaKey) return;
    if (this.take(e)) e.preventDefault();
  }

  private take(e: KeyboardEvent): boolean {
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

  private busy(e: KeyboardEvent): boolean {
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

  private arrow([dx, dy]: XY, e: KeyboardEvent): boolean {
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
