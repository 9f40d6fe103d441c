/** Turns pointer events into what gestures understand; two fingers and the wheel move the view. */
import type { Pointed } from '../lib/gestures/gesture';
import { panBy, toGround, zoomAbout, type ScreenPoint } from '../lib/sheet/camera';
import type { SheetState } from './sheet.svelte';

/** Two touches so soon after each other and so near count as one made twice; two corners put in quickly do not. */
const TWICE_MS = 320;
const TWICE_PX = 24;

interface Early { id: number; down: Pointed; up: Pointed | null }

export class SheetPointer {
  private readonly fingers = new Map<number, ScreenPoint>();
  private pinched = false;
  private sliding: ScreenPoint | null = null;
  private last: { at: ScreenPoint; ms: number } | null = null;
  private box: HTMLElement | null = null;
  /** A click, or a press still held, that came while a thing was being kept: it waits until that is there. */
  private early: Early | null = null;

  constructor(private readonly sheet: SheetState) {}

  attach(box: HTMLElement): () => void {
    this.box = box;
    const stop = new AbortController();
    const { signal } = stop;
    box.addEventListener('pointerdown', (e) => this.down(e), { signal });
    box.addEventListener('pointermove', (e) => this.move(e), { signal });
    box.addEventListener('pointerup', (e) => this.up(e), { signal });
    box.addEventListener('pointercancel', (e) => this.gone(e), { signal });
    box.addEventListener('pointerleave', () => this.leave(), { signal });
    box.addEventListener('wheel', (e) => this.wheel(e), { signal, passive: false });
    return () => stop.abort();
  }

  /** Whether a finger or a button is down on the sheet. */
  get held(): boolean {
    return this.fingers.size > 0;
  }
  /** While what was let go of is being kept nothing more is done to it. */
  private get ending(): boolean {
    return Boolean(this.sheet.runner.current?.ending);
  }
  private at(e: MouseEvent): ScreenPoint {
    const r = this.box!.getBoundingClientRect();
    return { px: e.clientX - r.left, py: e.clientY - r.top };
  }
  private pointed(e: PointerEvent): Pointed {
    const screen = this.at(e);
    return { ground: toGround(this.sheet.camera, screen), screen, shift: e.shiftKey, alt: e.altKey, touch: e.pointerType === 'touch' };
  }
  private skip(e: Event): boolean {
    return e.target instanceof Element && e.target.closest('[data-apart]') !== null;
  }

  private down(e: PointerEvent): void {
    if (this.skip(e) || !this.sheet.board.scene) return;
    if (this.ending && e.button === 0) return this.wait(e);
    this.sheet.coarse = e.pointerType === 'touch';
    this.fingers.set(e.pointerId, this.at(e));
    try {
      this.box!.setPointerCapture(e.pointerId);
    } catch {
      // A pointer that is gone already can't be held.
    }
    if (this.fingers.size === 2) {
      this.pinched = true;
      if (!this.sheet.busy) this.sheet.rest();
      return;
    }
    if (e.button === 1 || e.button === 2) {
      this.sliding = this.at(e);
      return;
    }
    this.sheet.cross = null;
    this.sheet.runner.current?.onPointerDown(this.pointed(e));
  }

  /** Keep a click for when what was made last is there; the second half of a double click, and a second finger, are none. */
  private wait(e: PointerEvent): void {
    const apart = this.early !== null && this.early.up === null;
    if (apart || this.again(e)) return void (this.early = null);
    this.sheet.coarse = e.pointerType === 'touch';
    const early: Early = { id: e.pointerId, down: this.pointed(e), up: null };
    this.early = early;
    const after = (): void => this.catchUp(early);
    void this.sheet.runner.current?.ending?.then(after, after);
    return undefined;
  }
  private catchUp(early: Early): void {
    if (this.early !== early) return;
    this.early = null;
    if (this.sheet.busy) return; // something else was begun after it
    this.sheet.cross = null;
    if (!early.up) this.fingers.set(early.id, early.down.screen);
    this.sheet.runner.current?.onPointerDown(early.down);
    if (early.up) this.sheet.runner.current?.onPointerUp(early.up);
  }
  /** Whether a touch comes so soon after the last one, and so near, that both are one made twice. */
  private again(e: PointerEvent): boolean {
    const { last } = this;
    const at = this.at(e);
    return last !== null && e.timeStamp - last.ms < TWICE_MS && Math.hypot(at.px - last.at.px, at.py - last.at.py) < TWICE_PX;
  }

  private move(e: PointerEvent): void {
    if (!this.sheet.board.scene || (this.skip(e) && this.fingers.size === 0)) return;
    const now = this.at(e);
    if (this.fingers.has(e.pointerId) && this.fingers.size === 2) {
      this.pinch(e.pointerId, now);
      return;
    }
    if (this.sliding) {
      this.sheet.camera = panBy(this.sheet.camera, now.px - this.sliding.px, now.py - this.sliding.py);
      this.sliding = now;
      return;
    }
    if (this.fingers.has(e.pointerId)) this.fingers.set(e.pointerId, now);
    if (this.sheet.board.asking) this.sheet.hover = toGround(this.sheet.camera, now);
    if (!this.pinched && !this.ending) this.sheet.runner.current?.onPointerMove(this.pointed(e));
  }

  private pinch(id: number, now: ScreenPoint): void {
    const other = [...this.fingers].find(([key]) => key !== id)?.[1];
    const before = this.fingers.get(id);
    if (!other || !before) return;
    const gap = (a: ScreenPoint): number => Math.hypot(a.px - other.px, a.py - other.py);
    const middle = { px: (now.px + other.px) / 2, py: (now.py + other.py) / 2 };
    const moved = panBy(this.sheet.camera, (now.px - before.px) / 2, (now.py - before.py) / 2);
    this.sheet.camera = gap(before) > 4 ? zoomAbout(moved, middle, gap(now) / gap(before)) : moved;
    this.fingers.set(id, now);
  }

  private up(e: PointerEvent): void {
    if (this.early?.id === e.pointerId && !this.early.up) {
      const p = this.pointed(e);
      const { px, py } = this.early.down.screen;
      if (Math.hypot(p.screen.px - px, p.screen.py - py) < TWICE_PX) this.early.up = p;
      else this.early = null; // drawn, not clicked: nothing was there to take hold of
      return;
    }
    if (!this.fingers.delete(e.pointerId)) return;
    if (this.sliding) {
      this.sliding = null;
      return;
    }
    if (this.pinched) {
      if (this.fingers.size === 0) this.pinched = false;
      return;
    }
    const p = this.pointed(e);
    const again = this.again(e);
    this.last = { at: p.screen, ms: e.timeStamp };
    const gesture = this.sheet.runner.current;
    gesture?.onPointerUp(p);
    if (again && this.sheet.runner.current === gesture) gesture?.onDouble(p);
  }
  private gone(e: PointerEvent): void {
    this.fingers.delete(e.pointerId);
    if (this.early?.id === e.pointerId) this.early = null;
    this.sliding = null;
    if (this.fingers.size === 0) this.pinched = false;
    if (this.sheet.gestureName === 'pull' || this.sheet.gestureName === 'band') this.sheet.cancel();
  }
  private leave(): void {
    if (!this.sheet.busy && this.fingers.size === 0) this.sheet.show({ mark: null });
  }
  private wheel(e: WheelEvent): void {
    if (this.skip(e)) return;
    e.preventDefault();
    const size = e.deltaMode === 1 ? 24 : 1;
    if (e.shiftKey) this.sheet.camera = panBy(this.sheet.camera, -(e.deltaY + e.deltaX) * size, 0);
    else this.sheet.zoom(Math.exp(-e.deltaY * size * (e.ctrlKey ? 0.01 : 0.0016)), this.at(e));
  }
}
