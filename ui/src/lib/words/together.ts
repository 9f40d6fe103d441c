/** A figure and its unit stay on one line: `12' 6 1/2"`, `3.40 m`, `2 h 30`. */

const KEPT = '\u00a0';
const UNIT = "h|min|mm|cm|km|m²|m³|m|litres?|l|kg|g|t|%|°C|ft²|ft³|sq\\.? ?ft|ft|in|yd|mi|lb|gal|acres?|ha|years?|hours?|months?|weeks?|days?";
const FEET = /(\d') (?=\d)/g;
const PART = /(\d) (?=\d+\/\d+(?:"|\b))/g;
const SIZED = new RegExp(`(\\d) (?=(?:${UNIT})(?=[\\s).,;:!?\\]…–]|$))`, 'g');
const CLOCK = /(?<=\d\u00a0h) (?=\d\d\b)/g;

/** While something is pulled the same words come many times a second. */
const MOST = 4000;
const known = new Map<string, string>();

/** Return words with no line break between a figure and its unit, nor within a length in feet and inches. */
export function together(words: string): string {
  if (!words.includes(' ')) return words;
  let made = known.get(words);
  if (made === undefined) {
    made = words.replace(FEET, `$1${KEPT}`).replace(PART, `$1${KEPT}`).replace(SIZED, `$1${KEPT}`).replace(CLOCK, KEPT);
    if (known.size >= MOST) known.clear();
    known.set(words, made);
  }
  return made;
}

/** Parts of an answer that are read, never sent back. */
const READ = new Set(['because', 'how', 'figure', 'remedy', 'rough', 'happened', 'error', 'sentence', 'two']);
/** Cells and lines of tables, where they come as lists. */
const LISTS = new Set(['rows', 'head', 'columns', 'read', 'lines']);
/** These are read too, but elsewhere hold what was typed and can be sent back: only sentences are touched. */
const SENTENCES = new Set(['words', 'text', 'told', 'said']);
/** The document and its edits go back as they came; figures are drawn, each on one line. */
const LEFT = new Set(['garden', 'fields', 'edit', 'ops', 'along', 'given', 'value', 'example', 'figures', 'snaps', 'field', 'outline', 'ghosts', 'default', 'features']);

/** Return an answer of the program in which all that is read keeps its figures with their units; it is changed in place. */
export function readable<T>(answer: T): T {
  walk(answer, '');
  return answer;
}

function walk(value: unknown, name: string): void {
  if (value === null || typeof value !== 'object') return;
  if (Array.isArray(value)) {
    if (typeof value[0] === 'number') return;
    const list = value as unknown[];
    list.forEach((one, i) => {
      if (typeof one === 'string') list[i] = LISTS.has(name) ? together(one) : kept(one, name);
      else walk(one, name);
    });
    return;
  }
  const held = value as Record<string, unknown>;
  for (const key of Object.keys(held)) {
    if (LEFT.has(key)) continue;
    const one = held[key];
    if (typeof one === 'string') held[key] = kept(one, key);
    else walk(one, key);
  }
}

function kept(words: string, name: string): string {
  if (READ.has(name)) return together(words);
  return SENTENCES.has(name) && /\S [^]*[.!?]$/.test(words) ? together(words) : words;
}
