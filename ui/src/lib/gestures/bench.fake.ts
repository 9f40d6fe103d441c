/** A bench for tests: keeps what gestures show, say, ask and commit, and answers previews at once. */
import type { Edit, Kind, Preview, Scene, SceneFeature, XY } from '../api/types';
import { KINDS, draw } from '../../mock/kinds';
import { snap } from '../snap/snap';
import { NOTHING, Runner, type Ask, type Bench, type Gesture, type Live, type Pointed, type Said } from './gesture';
import { Resting } from './resting';

export const at = (x: number, y: number, more: Partial<Pointed> = {}): Pointed => ({ ground: [x, y], screen: { px: x * 20, py: -y * 20 }, shift: false, alt: false, touch: false, ...more });
export const kind = (name: string): Kind => KINDS.find((k) => k.kind === name)!;

export class FakeBench implements Bench {
  live: Live = NOTHING;
  said: Said = { words: '', typing: '' };
  asked: Ask[] = [];
  edits: Edit[] = [];
  notes: string[] = [];
  chosen: readonly string[] = [];
  agree = true;
  several = false;
  adding = (): boolean => this.several;
  questions: string[] = [];
  panned: XY[] = [];
  answersAtOnce = true;
  builtIds = new Set<string>();
  readonly docs: Record<string, Record<string, unknown>>;
  readonly runner = new Runner(() => new Resting(this), () => undefined);

  constructor(docs: Record<string, unknown>[] = []) {
    this.docs = Object.fromEntries(docs.map((d) => [String(d['id']), d]));
  }
  private features(): SceneFeature[] {
    return Object.values(this.docs).map((d) => {
      const drawn = draw(d as never, 2030);
      return { id: String(d['id']), kind: String(d['kind']), called: String(d['name'] ?? d['id']), handles: drawn.handles, outline: drawn.outline, built: false, stands: true };
    });
  }
  scene(): Scene {
    const features = this.features();
    const points = features.flatMap((f) => f.handles.map((h) => [h.at[0], h.at[1], 'end', f.id] as const));
    return { features, spots: [{ id: 'door', name: 'Door', at: [50, 50] }], rooms: [{ id: 'green', name: 'Green', inside: [60, 60], outline: null }], snaps: { points, edges: [] } } as unknown as Scene;
  }
  writing() {
    return { units: 'metric', decimal_mark: '.', currency: 'EUR', paper: 'A4' } as const;
  }
  reach_m = (): number => 0.3;
  edges = () => [];
  snap = (p: XY, aim = {}) => snap(p, this.scene().snaps, { reach_m: 0.3, ...aim });
  show = (live: Partial<Live>): void => void (this.live = { ...this.live, ...live });
  say = (said: Said): void => void (this.said = said);
  ask(ask: Ask): void {
    this.asked.push(ask);
    if (this.answersAtOnce) this.runner.current?.onPreview(this.preview(ask), ask);
  }
  preview(ask: Ask): Preview {
    const fields = ask.to === 'handle' ? { pulled: ask.handle, to: [...ask.at] } : ask.to === 'move' ? Object.fromEntries(ask.moves.map((m) => [m.id, { moved: [m.dx, m.dy, m.turn_deg] }])) : ask.feature;
    return { fields: fields as never, figures: [], verdicts: [] };
  }
  commit = async (edit: Edit): Promise<boolean> => (this.edits.push(edit), true);
  handedOut: [string, Record<string, unknown>][] = [];
  opened: string[] = [];
  hand(name: string, body: Record<string, unknown>, key: string): void {
    this.handedOut.push([name, body]);
    const edit: Edit = { label: name, ops: [{ do: 'put', part: 'features', id: 'new-1', value: body as never }] };
    if (this.answersAtOnce) this.runner.current?.onHanded({ edit, figures: [], owners: [], said: `${name} made`, key }, key);
  }
  openPin = (id: string): void => void this.opened.push(id);
  select = (ids: readonly string[]): void => void (this.chosen = ids);
  selected = (): readonly string[] => this.chosen;
  built = (ids: readonly string[]): string[] => ids.filter((id) => this.builtIds.has(id));
  sure = async (question: string): Promise<boolean> => (this.questions.push(question), this.agree);
  note = (words: string): void => void this.notes.push(words);
  start = (gesture: Gesture): void => this.runner.start(gesture);
  rest = (of?: Gesture): boolean => (!of || this.runner.current === of) && (this.runner.rest(), true);
  kinds = (): readonly Kind[] => KINDS;
  jobs: { id: string; does: string[] }[] = [];
  making = (id: string): { id: string; does: string[] }[] => this.jobs.filter((job) => job.does.includes(id));
  freshId = (name: string): string => `${name}-1`;
  doc = (id: string): Record<string, unknown> | null => this.docs[id] ?? null;
  pan = (dx: number, dy: number): void => void this.panned.push([dx, dy]);
  since = (): string => '2028-03';
}
export const settle = (): Promise<void> => new Promise((go) => setTimeout(go));
