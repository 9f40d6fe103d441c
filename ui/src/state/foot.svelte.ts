/** Where one stands in the garden, how one looks, and when. */
import { get, post, Refusal } from '../lib/api/client';
import type { XY } from '../lib/api/types';
import { standing } from '../lib/foot/asked';
import { readGlb } from '../lib/foot/glb';
import { Picture, type Look } from '../lib/foot/picture';
import type { FootGround, FootSpot } from '../lib/foot/types';
import { Floor, stood, walked } from '../lib/foot/walking';
import { held } from '../lib/words/given';
import type { Board } from './board.svelte';

/** An easy walk [m/s], a turn [deg/s]. */
const PACE = 1.6;
const TURN = 75;
const REST_MS = 500;
const STEEPEST = 75;
/** While one walks a frame may take this long [ms]; where it takes longer the picture is painted coarser until one stands. */
const FRAME_MS = 36;
const COARSEST = 0.5;
export type Going = 'ahead' | 'back' | 'left' | 'right' | 'turn left' | 'turn right' | 'up' | 'down';

export class Foot {
  ground = $state.raw<FootGround | null>(null);
  posture = $state('standing');
  hour = $state(15);
  above = $state(false);
  told = $state.raw<string[]>([]);
  at = $state.raw<XY>([0, 0]);
  bearing = $state(0);
  pitch = $state(-4);
  place = $state('');
  ready = $state(false);
  /** How many pieces stand in the picture. */
  pieces = $state(0);
  /** How long frames took while walking [ms], newest last, and how finely they were painted. */
  readonly took: number[] = [];
  dense = 1;
  private wide = 0;
  private high = 0;
  private far = 45;
  private tilt = 42;
  private round = 200;
  private picture: Picture | null = null;
  private floor: Floor | null = null;
  private going = new Set<Going>();
  private last = 0;
  private asked = 0;
  private wanted = '';
  private rest: ReturnType<typeof setTimeout> | undefined;

  constructor(private readonly board: Board, private readonly calm: boolean) {}

  begin(canvas: HTMLCanvasElement): void {
    this.picture = new Picture(canvas);
  }
  end(): void {
    cancelAnimationFrame(this.asked);
    clearTimeout(this.rest);
    this.picture?.putAway();
    this.picture = null;
  }

  get eye(): number {
    return this.ground?.postures.find((p) => p.id === this.posture)?.eye_m ?? 1.6;
  }
  get hours(): [number, number] {
    const sun = this.ground?.sun ?? [];
    return sun.length ? [sun[0]![0], sun[sun.length - 1]![0]] : [12, 12];
  }

  /** Stand the garden up as it is in a month of a year. */
  async show(year: number, month: number): Promise<void> {
    this.wanted = `${year}-${month}`;
    this.told = [];
    const [model, ground] = await standing(year, month, this.board.stamp);
    if (this.wanted !== `${year}-${month}`) return;
    const first = this.ground === null;
    this.ground = ground;
    this.floor = new Floor(ground.heights);
    const pieces = readGlb(model);
    this.pieces = pieces.length;
    this.picture?.stand(pieces);
    if (first) this.far = Math.max(20, 1.3 * Math.max(...ground.boundary.map(([x, y]) => Math.hypot(x - ground.middle[0], y - ground.middle[1]))));
    const start = ground.spots.find((s) => s.seated) ?? ground.spots[0];
    if (first && start) this.go(start);
    else this.at = stood(ground.free, first ? ground.middle : this.at);
    this.shine(this.hour);
    this.ready = true;
  }

  shine(hour: number): void {
    const [least, most] = this.hours;
    this.hour = hour;
    const sun = this.ground?.sun ?? [];
    const now = sun.find(([h]) => h >= held(hour, least, most) - 1e-6);
    this.picture?.light(now && hour >= least - 0.01 && hour <= most + 0.01 ? [now[1], now[2], now[3]] : null);
    this.moved();
  }
  go(spot: FootSpot): void {
    this.above = false;
    this.at = stood(this.ground?.free ?? [], spot.at);
    this.bearing = spot.bearing_deg;
    this.pitch = -4;
    this.place = spot.id;
    if (spot.seated) this.posture = 'seated';
    this.moved();
  }

  /** Stand at any place and look along a bearing. */
  standAt(at: XY, bearing: number): void {
    this.above = false;
    this.at = stood(this.ground?.free ?? [], at);
    [this.bearing, this.pitch, this.place, this.posture] = [bearing, 0, '', 'standing'];
    this.moved();
  }

  press(what: Going): void {
    if (this.calm) {
      this.step(what, 0.3);
      this.moved();
      return;
    }
    const resting = this.going.size === 0;
    this.going.add(what);
    if (resting) {
      this.last = performance.now();
      this.frame();
    }
  }
  release(what?: Going): void {
    if (what) this.going.delete(what);
    else this.going.clear();
  }
  private step(what: Going, s: number): void {
    if (this.above) {
      const by = (one: Going[], other: Going[]): number => (one.includes(what) ? s : other.includes(what) ? -s : 0);
      this.round += TURN * by(['left', 'turn left'], ['right', 'turn right']);
      this.far = held(this.far * (1 - by(['ahead'], ['back'])), 6, 160);
      this.tilt = held(this.tilt + 40 * by(['up'], ['down']), 8, 88);
      return;
    }
    if (what === 'turn left' || what === 'turn right') this.bearing = (this.bearing + (what === 'turn left' ? -TURN : TURN) * s + 360) % 360;
    else if (what === 'up' || what === 'down') this.pitch = held(this.pitch + (what === 'up' ? 40 : -40) * s, -STEEPEST, STEEPEST);
    else {
      const turn = ((this.bearing + { ahead: 0, back: 180, left: -90, right: 90 }[what]) * Math.PI) / 180;
      this.at = walked(this.ground?.free ?? [], this.at, [PACE * s * Math.sin(turn), PACE * s * Math.cos(turn)]);
      this.place = '';
    }
  }
  /** Turn the head, or the garden from above, as far as was drawn [deg]. */
  drawn(dx: number, dy: number): void {
    if (this.above) {
      this.round += dx;
      this.tilt = held(this.tilt + dy, 8, 88);
    } else {
      this.bearing = (this.bearing - dx * 0.6 + 360) % 360;
      this.pitch = held(this.pitch + dy * 0.6, -STEEPEST, STEEPEST);
    }
    this.moved();
  }
  nearer(share: number): void {
    this.far = held(this.far * share, 6, 160);
    this.moved();
  }

  look(): Look {
    if (!this.above) return { x: this.at[0], y: this.at[1], z: (this.floor?.at(this.at) ?? 0) + this.eye, bearing: this.bearing, pitch: this.pitch };
    const [mx, my] = this.ground?.middle ?? [0, 0];
    const [turn, up] = [(this.round * Math.PI) / 180, (this.tilt * Math.PI) / 180];
    const flat = this.far * Math.cos(up);
    return {
      x: mx + flat * Math.sin(turn), y: my + flat * Math.cos(turn), z: (this.floor?.at([mx, my]) ?? 0) + this.far * Math.sin(up),
      bearing: this.round + 180, pitch: -this.tilt,
    };
  }
  size(wide: number, high: number): void {
    [this.wide, this.high] = [wide, high];
    this.sized(1);
    this.moved();
  }
  private sized(share: number): void {
    this.dense = share;
    this.picture?.size(this.wide, this.high, share * Math.min(devicePixelRatio || 1, 1.5));
  }
  /** Paint coarser where the last frames took too long. */
  private paced(): void {
    const last = this.took.slice(-5).sort((a, b) => a - b);
    if (last.length < 5 || this.dense <= COARSEST || last[2]! <= FRAME_MS) return;
    this.sized(Math.max(COARSEST, this.dense * Math.max(0.7, Math.sqrt(FRAME_MS / last[2]!))));
    this.took.length = 0;
  }
  /** Paint once, and say what is seen when all has come to rest. */
  moved(): void {
    if (this.going.size === 0) {
      cancelAnimationFrame(this.asked);
      this.asked = requestAnimationFrame(() => this.paint());
    }
    clearTimeout(this.rest);
    this.rest = setTimeout(() => void this.tell(), REST_MS);
  }
  private frame(): void {
    cancelAnimationFrame(this.asked);
    this.asked = requestAnimationFrame((now) => {
      const ms = now - this.last;
      const s = held(ms / 1000, 0, 0.1);
      if (ms > 0) this.took.push(ms);
      this.paced();
      this.last = now;
      for (const what of this.going) this.step(what, s);
      this.paint();
      if (this.going.size) this.frame();
      else this.rested();
    });
  }
  private rested(): void {
    if (this.dense < 1) this.sized(1);
    this.took.length = 0;
    this.moved();
  }
  private paint(): void {
    this.picture?.paint(this.look());
  }
  /** Keep what is seen with the garden; return the words under it. */
  async keep(): Promise<string> {
    if (!this.picture || !this.ground) throw new Refusal(0, 'There is no picture to keep.');
    const look = this.look();
    const lit = this.ground.sun.length > 0;
    const body = {
      picture: this.picture.still(look), on: this.ground.date, hour: lit ? this.hour : null, x: look.x, y: look.y, bearing: (look.bearing + 720) % 360,
      eye: this.above ? this.far * Math.sin((this.tilt * Math.PI) / 180) : this.eye, above: this.above,
    };
    return (await post<{ words: string }>('/api/foot/stills', body)).words;
  }
  private async tell(): Promise<void> {
    if (!this.ground || this.above) return;
    const { year, month } = this.board;
    const [x, y] = this.at;
    await this.board.try(async () => {
      this.told = (await get<{ words: string[] }>('/api/foot/told', { year, month, x, y, eye: this.eye, bearing: this.bearing })).words;
    });
  }
}
