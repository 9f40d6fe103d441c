/**
 * A gesture is a small state machine, one file each: it is entered, told of the pointer and of what is typed,
 * and ends by completing or by being cancelled. One gesture runs at a time; Escape always cancels.
 * A new gesture needs a file here and a way to start it; nothing else knows of it.
 */
import type { Edit, Figure, Handle, Kind, Preview, Scene, Shift, SnapEdge, Writing, XY } from '../api/types';
import type { ScreenPoint } from '../sheet/camera';
import type { Aim, Snapped } from '../snap/snap';
import type { Typed } from '../words/typed';

export interface Pointed { ground: XY; screen: ScreenPoint; shift: boolean; alt: boolean; touch: boolean; keys?: boolean }

/** What a gesture shows on the sheet while it runs. */
export interface Live {
  figures: Figure[];
  guides: [XY, XY][];
  hidden: ReadonlySet<string>;
  mark: { at: XY; words: string } | null;
  handles: Handle[];
  band: readonly [XY, XY] | null;
}
export const NOTHING: Live = { figures: [], guides: [], hidden: new Set(), mark: null, handles: [], band: null };

/** What the line under the sheet says. */
export interface Said { words: string; typing: string; size?: string; fields?: Field[]; buttons?: { words: string; key: string; run: () => void }[] }
/** What is filled in while a gesture runs: one of some choices, or a line of text (`empty` says what none means). */
export interface Field { name: string; words: string; value: string; choices?: [string, string][]; empty?: string }
/** What the program answers to a hand: the edit that makes it, how it would look, and what it comes to in words. */
export interface Handed { edit: Edit; figures: Figure[]; owners: string[]; said: string; key: string }

export type Ask =
  | { to: 'handle'; id: string; handle: string; at: XY; turn?: Record<string, number> | undefined }
  | { to: 'move'; moves: ({ id: string } & Shift)[]; copy?: boolean }
  | { to: 'put'; feature: Record<string, unknown> };

/** What a gesture may use. */
export interface Bench {
  scene(): Scene;
  writing(): Writing;
  reach_m(): number;
  edges(): readonly SnapEdge[];
  snap(p: XY, aim?: Partial<Aim>): Snapped;
  show(live: Partial<Live>): void;
  say(said: Said): void;
  /** Ask the program how it would be; the newest answer comes back by `onPreview`. */
  ask(ask: Ask): void;
  /** Ask one of the program's hands for a look; the newest answer comes back by `onHanded` with the key given. */
  hand(name: string, body: Record<string, unknown>, key: string): void;
  /** Open what is pinned to a place. */
  openPin(id: string): void;
  commit(edit: Edit): Promise<boolean>;
  select(ids: readonly string[]): void;
  selected(): readonly string[];
  /** Whether what is touched now joins what is chosen, as with shift. */
  adding(): boolean;
  built(ids: readonly string[]): readonly string[];
  /** Ask the person; true when they agree. */
  sure(question: string, yes: string): Promise<boolean>;
  note(words: string): void;
  start(gesture: Gesture): void;
  /** Rest. Given a gesture, only if that one still runs: what was begun meanwhile goes on; false then. */
  rest(of?: Gesture): boolean;
  kinds(): readonly Kind[];
  freshId(kind: string): string;
  doc(id: string): Record<string, unknown> | null;
  /** The jobs that make a thing, with all that each of them makes. */
  making(id: string): { id: string; does: string[] }[];
  pan(dx: number, dy: number): void;
  since(): string;
}

export abstract class Gesture {
  abstract readonly name: string;
  /** The cursor over the sheet. */
  readonly cursor: string = 'crosshair';
  constructor(protected readonly bench: Bench) {}
  onEnter(): void {}
  onPointerDown(_p: Pointed): void {}
  onPointerMove(_p: Pointed): void {}
  onPointerUp(_p: Pointed): void {}
  onDouble(_p: Pointed): void {}
  /** What was typed; a sentence back when it can't be done. */
  onTyped(_typed: Typed): string | null {
    return 'Nothing is measured in this step.';
  }
  /** The program's answer to `ask`, which may not be the last that was asked. */
  onPreview(_preview: Preview, _ask: Ask): void {}
  onHanded(_handed: Handed, _key: string): void {}
  /** The program would not answer, or says why it can't be done. */
  onRefused(_words: string): void {}
  /** Who let go of what can't be done holds it no longer: it is as it was, and why is said. */
  protected letGo(words: string): void {
    this.bench.rest();
    this.bench.note(words);
  }
  /** One of its fields was filled in; a sentence back when it can't be. */
  onField(_name: string, _value: string): string | null {
    return null;
  }
  /** Finish with what there is (Enter on an empty line). */
  onComplete(): void {}
  onCancel(): void {}
  private keeping: Promise<void> | null = null;
  /** What it is waited for while it is being kept; null before and after. */
  get ending(): Promise<void> | null {
    return this.keeping;
  }
  /** Do what ends a gesture, once: a double click, or Enter while it is being kept, makes no second one. */
  protected once(work: () => Promise<void>): void {
    if (this.keeping) return;
    this.keeping = work().finally(() => (this.keeping = null));
  }
  /** It is kept, or can't be: rest and choose what came of it, unless the person went on with something else meanwhile. */
  protected ended(chosen: readonly string[] = []): void {
    if (this.bench.rest(this) && chosen.length) this.bench.select(chosen);
  }
  /** Where it has got to: the cross of the keys goes on from there. */
  here(): XY | null {
    return null;
  }
  /** Take back the last step; false when there is none. */
  onBack(): boolean {
    return false;
  }
}

/** Runs one gesture at a time over a resting one. */
export class Runner {
  current: Gesture | null = null;
  constructor(private readonly resting: () => Gesture, private readonly changed: (gesture: Gesture) => void) {}

  get busy(): boolean {
    return this.current !== null && this.current.name !== 'resting';
  }
  start(gesture: Gesture): void {
    this.current?.onCancel();
    this.current = gesture;
    gesture.onEnter();
    if (this.current === gesture) this.changed(gesture);
  }
  rest(): void {
    const gesture = this.resting();
    this.current = gesture;
    gesture.onEnter();
    this.changed(gesture);
  }
  cancel(): void {
    this.current?.onCancel();
    this.rest();
  }
}
