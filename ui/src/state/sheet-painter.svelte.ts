/**
 * Two canvases: the garden below, what is under way above. While the view slides and the garden takes long to
 * draw, the drawing as it is gets shifted, and is drawn anew when the view rests.
 */
import { untrack } from 'svelte';
import type { Figure } from '../lib/api/types';
import type { Camera } from '../lib/sheet/camera';
import { clear, drawBoundary, drawFigures, drawGrid, drawUnderlay, inOrder, label, type Pens } from '../lib/sheet/draw';
import { drawField } from '../lib/sheet/field';
import { placeOf } from '../lib/words/given';
import { drawBand, drawChosen, drawCross, drawGuides, drawHandles, drawMark, drawNamed } from '../lib/sheet/overlay';
import { readPalette, type Palette } from '../lib/sheet/palette';
import { drawWords, forgetWidths } from '../lib/sheet/words';
import { gridStep } from '../lib/sheet/scale';
import type { Desk } from './desk.svelte';
import type { SheetState } from './sheet.svelte';

const SLOW_MS = 9;
const REST_MS = 110;

export class SheetPainter {
  private base: HTMLCanvasElement | null = null;
  private live: HTMLCanvasElement | null = null;
  private box: HTMLElement | null = null;
  private ready = $state(0);
  /** The picture to trace, and its name. */
  private under: HTMLImageElement | null = null;
  private underName = '';
  private palette: Palette | null = null;
  private paletteFor = '';
  private drawn: Camera | null = null;
  private content: unknown[] = [];
  private cost = 0;
  private baseFrame = 0;
  private liveFrame = 0;
  private timer: ReturnType<typeof setTimeout> | undefined;
  private readonly ordered = $derived.by(() => inOrder(this.sheet.board.scene?.figures ?? []));
  private readonly ghosts = $derived.by(() => inOrder((this.sheet.board.scene?.ghosts ?? []).filter((f) => f.t !== 'text')));
  private readonly answer = $derived.by(() => this.sheet.board.answer ?? null);
  /** The places that are asked about, by their own names. */
  private readonly places = $derived.by(() => this.placesAsked());

  constructor(private readonly sheet: SheetState, private readonly desk: Desk) {}

  attach(base: HTMLCanvasElement, live: HTMLCanvasElement, box: HTMLElement): void {
    [this.base, this.live, this.box] = [base, live, box];
    this.ready = untrack(() => this.ready) + 1;
    void this.lettered();
  }

  /** The canvas waits for no typeface: ask for it, and draw anew when it is there. */
  private async lettered(): Promise<void> {
    await document.fonts?.load('600 13px "Source Sans 3"');
    forgetWidths();
    this.paletteFor = '';
    this.content = [];
    this.ready += 1;
  }

  private pens(canvas: HTMLCanvasElement, camera: Camera): Pens | null {
    const pen = canvas.getContext('2d');
    if (!pen || !this.box) return null;
    const dpr = Math.max(1, devicePixelRatio || 1);
    const [wide, high] = [Math.round(camera.wide * dpr), Math.round(camera.high * dpr)];
    if (canvas.width !== wide || canvas.height !== high) [canvas.width, canvas.height] = [wide, high];
    if (this.paletteFor !== this.desk.theme || !this.palette) [this.palette, this.paletteFor] = [readPalette(this.box), this.desk.theme];
    return { pen, camera, palette: this.palette, dpr, writing: this.sheet.board.writing };
  }

  /** Called in an effect: reads all that the lower drawing shows, then draws it in the next frame. */
  paintBase(): void {
    void this.ready;
    const { board, camera } = this.sheet;
    const content = [board.scene, this.ordered, this.ghosts, this.sheet.live.hidden, this.answer, this.desk.theme, board.writing, camera.wide, camera.high, devicePixelRatio];
    if (!this.base || camera.wide === 0) return;
    this.bring(board.scene?.underlay?.picture ?? '');
    const same = content.every((value, i) => value === this.content[i]);
    // What is under way is asked for only to know what it hides: with that and the view as they were, all is drawn.
    if (same && this.drawn === camera && !this.base.style.transform) return;
    this.content = content;
    clearTimeout(this.timer);
    if (same && this.cost > SLOW_MS && this.drawn) {
      this.shift(this.drawn, camera);
      this.timer = setTimeout(() => this.soon(), REST_MS);
    } else this.soon();
  }
  /** Fetch the picture to trace; the sheet is drawn anew when it is here. */
  private bring(name: string): void {
    if (name === this.underName) return;
    this.underName = name;
    this.under = null;
    if (!name) return;
    const image = new Image();
    image.onload = () => {
      if (this.underName !== name) return;
      this.under = image;
      this.content = [];
      this.ready += 1;
    };
    image.src = `/api/pictures/${encodeURIComponent(name)}`;
  }
  private soon(): void {
    cancelAnimationFrame(this.baseFrame);
    this.baseFrame = requestAnimationFrame(() => this.drawBase());
  }
  private shift(from: Camera, to: Camera): void {
    const k = to.scale / from.scale;
    const dx = to.wide / 2 - (from.wide / 2) * k + (from.at[0] - to.at[0]) * to.scale;
    const dy = to.high / 2 - (from.high / 2) * k - (from.at[1] - to.at[1]) * to.scale;
    if (this.base) this.base.style.transform = `matrix(${k}, 0, 0, ${k}, ${dx}, ${dy})`;
  }

  private drawBase(): void {
    const { board, camera, live } = this.sheet;
    const { scene } = board;
    if (!this.base || !scene) return;
    const pens = this.pens(this.base, camera);
    if (!pens) return;
    pens.words = [];
    const start = performance.now();
    this.base.style.transform = '';
    clear(pens);
    if (scene.underlay && this.under?.complete && this.under.naturalWidth) drawUnderlay(pens, this.under, scene.underlay.place);
    drawGrid(pens, gridStep(camera.scale, board.writing).metres);
    drawBoundary(pens, scene.boundary);
    const field = this.answer?.field;
    if (field) {
      pens.pen.globalAlpha = 0.88;
      drawField(pens, field);
      pens.pen.globalAlpha = 0.8;
    } else if (this.answer) pens.pen.globalAlpha = 0.42;
    drawFigures(this.answer ? { ...pens, words: [], bare: Boolean(field) } : pens, this.ordered, live.hidden);
    pens.pen.globalAlpha = 0.3;
    drawFigures(pens, this.ghosts, live.hidden);
    pens.pen.globalAlpha = 1;
    if (this.answer) this.drawAnswer(pens, this.answer.figures);
    drawNamed(pens, scene);
    drawWords(pens, pens.words, this.answer?.leads.map((lead) => lead.at));
    this.cost = performance.now() - start;
    this.drawn = camera;
  }
  private drawAnswer(pens: Pens, figures: readonly Figure[]): void {
    pens.pen.globalAlpha = 0.72;
    drawFigures(pens, figures.filter((f) => f.t === 'area'));
    pens.pen.globalAlpha = 1;
    // What leads to a place is numbered on the sheet and told in the margin.
    drawFigures(pens, figures.filter((f) => f.t !== 'area' && !(f.t === 'text' && f.role === 'evidence')));
  }

  /** Called in an effect: the upper drawing. */
  paintLive(): void {
    void this.ready;
    const { sheet } = this;
    const { board } = sheet;
    void [sheet.live, sheet.camera, board.chosen, board.evidence, board.scene, sheet.cross, board.answer, this.places, this.desk.theme];
    cancelAnimationFrame(this.liveFrame);
    this.liveFrame = requestAnimationFrame(() => this.drawLive());
  }
  private drawLive(): void {
    const { sheet } = this;
    const { board, live, camera } = sheet;
    if (!this.live || camera.wide === 0) return;
    const pens = this.pens(this.live, camera);
    if (!pens || !board.scene) return;
    clear(pens);
    if (board.evidence) drawFigures({ ...pens, bold: true }, inOrder(board.evidence.figures));
    const chosen = new Set(board.chosen);
    const features = board.scene.features.filter((f) => chosen.has(f.id));
    if (live.hidden.size === 0) drawChosen(pens, features.flatMap((f) => f.outline));
    drawFigures(pens, inOrder(live.figures));
    const own = live.handles.length ? live.handles : features.length === 1 && !sheet.busy ? features[0]!.handles : [];
    drawHandles(pens, own, sheet.coarse ? 9 : 5.5);
    (board.answer?.leads ?? []).forEach((lead, i) => this.drawLead(pens, lead.at, i + 1));
    for (const place of this.places) drawMark(pens, place);
    drawGuides(pens, live.guides);
    if (live.band) drawBand(pens, live.band);
    if (sheet.cross && sheet.busy) drawCross(pens, sheet.cross);
    if (live.mark) drawMark(pens, live.mark);
  }
  private placesAsked(): { at: readonly [number, number]; words: string }[] {
    const { asking, answer, questions } = this.sheet.board;
    const inputs = questions.find((q) => q.name === asking?.name)?.inputs ?? [];
    const given = (i: (typeof inputs)[number]) => answer?.given[i.name] ?? i.default;
    const asked = (i: (typeof inputs)[number]): boolean => {
      const other = i.when && inputs.find((one) => one.name === i.when?.name);
      return !other || (i.when!.values as readonly unknown[]).includes(given(other));
    };
    return inputs.filter((i) => i.takes === 'place' && asked(i)).flatMap((i) => {
      const at = answer ? placeOf(answer.given[i.name] ?? i.default, i.options) : null;
      return at ? [{ at, words: '' }] : [];
    });
  }
  private drawLead(pens: Pens, at: readonly [number, number], number: number): void {
    const { palette } = pens;
    drawHandles({ ...pens, palette: { ...palette, chosen: palette.snap } }, [{ id: '', at, words: '' }], 9);
    label(pens, String(number), at, palette.snap, 12);
  }
}
