/** A part of the page is fetched when first wanted, and may come late or not at all. */

export interface Waits {
  /** How long before the second try [ms]. */
  again: number;
  /** How long anybody waits without a word [ms], and how long before it counts as lost [ms]. */
  quiet: number;
  lost: number;
}
export const WAITS: Waits = { again: 700, quiet: 1000, lost: 20_000 };

export type Told<T> = { state: 'waiting' | 'slow' | 'lost' } | { state: 'here'; part: T };

/** Fetch a part, with one silent second try; tell how it goes until `stop` is called. What comes late is still told. */
export function fetchPart<T>(load: () => Promise<T>, tell: (now: Told<T>) => void, waits: Waits = WAITS): () => void {
  let over = false;
  const say = (now: Told<T>): void => {
    if (!over) tell(now);
  };
  const clocks = [setTimeout(() => say({ state: 'slow' }), waits.quiet), setTimeout(() => say({ state: 'lost' }), waits.lost)];
  const stop = (): void => {
    over = true;
    clocks.forEach(clearTimeout);
  };
  const here = (part: T): void => {
    say({ state: 'here', part });
    stop();
  };
  const whole = async (): Promise<T> => {
    await stylesAgain();
    return load();
  };
  const second = async (): Promise<T> => {
    await new Promise((done) => clocks.push(setTimeout(done, waits.again)));
    return whole();
  };
  say({ state: 'waiting' });
  whole().catch(second).then(here, () => {
    say({ state: 'lost' });
    stop();
  });
  return stop;
}

/** Whether a style sheet is there: one that failed is null or, in some browsers, a sheet whose rules nobody may read. */
function came(link: HTMLLinkElement): boolean {
  try {
    return link.sheet !== null && link.sheet.cssRules.length >= 0;
  } catch {
    return false;
  }
}

/** Ask anew for style sheets that never came: fetching the part again would not. */
async function stylesAgain(): Promise<void> {
  if (typeof document === 'undefined') return;
  const lost = [...document.querySelectorAll<HTMLLinkElement>('link[rel=stylesheet]')].filter((link) => !came(link));
  await Promise.all(
    lost.map(
      (old) =>
        new Promise<void>((done, fail) => {
          const link = old.cloneNode() as HTMLLinkElement;
          link.onload = () => done();
          link.onerror = () => fail(new Error(`no style sheet ${link.href}`));
          old.replaceWith(link);
        }),
    ),
  );
}
