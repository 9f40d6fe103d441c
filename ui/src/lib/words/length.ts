/** Lengths as people write them, read while a gesture is under way; the program reads stored ones itself. */
import type { Writing } from '../api/types';

const INCH = 0.0254;
const SIZES: Record<string, number> = { km: 1000, m: 1, cm: 0.01, mm: 0.001, yd: 36 * INCH, ft: 12 * INCH, in: INCH };
const NAMES: Record<string, string> = {
  "'": 'ft', foot: 'ft', feet: 'ft', ft: 'ft', '"': 'in', inch: 'in', inches: 'in', in: 'in', yard: 'yd', yards: 'yd', yd: 'yd',
  km: 'km', m: 'm', metre: 'm', metres: 'm', meter: 'm', meters: 'm', cm: 'cm', mm: 'mm',
};
const PART = /^\s*(\d[\d.,]*(?:[\s-]+\d+\s*\/\s*\d+|\s*\/\s*\d+)?|\d+\s*\/\s*\d+)\s*([a-z]+|['"])?/;

export type Read = { ok: true; metres: number } | { ok: false; why: string };
const no = (why: string): Read => ({ ok: false, why });

/** Read a length [m]; a bare number is metres, or feet. Two readings are refused with both. */
export function readLength(text: string, writing: Writing): Read {
  let rest = text.toLowerCase().trim().replace(/[′’]/g, "'").replace(/[″”]|''/g, '"').replace(/½/g, ' 1/2').replace(/¼/g, ' 1/4').replace(/¾/g, ' 3/4');
  const sign = rest.startsWith('-') || rest.startsWith('−') ? -1 : 1;
  rest = rest.replace(/^[-−+]\s*/, '');
  rest = rest.replace(/^\d{1,3}(?:[ \u00a0\u202f]\d{3})+(?![\d/])/, (group) => group.replace(/\D/g, ''));
  if (!rest) return no('Write a length, such as 3.4 or 12\' 6".');
  let total = 0;
  let above = Infinity;
  let before = '';
  while (rest.trim()) {
    const match = PART.exec(rest);
    if (!match) return no(`“${text.trim()}” is not a length. Write 3.4, 340 cm or 12' 6".`);
    const unit = match[2] ? NAMES[match[2]] : before === 'ft' ? 'in' : before === 'm' ? centimetres(match[1]!) : before ? '' : writing.units === 'metric' ? 'm' : 'ft';
    if (!unit) return no(`“${text.trim()}” is not a length: which unit is the last part in?`);
    if (unit === 'either') return no(`“${text.trim()}” could be 3 m 04 or 3 m 40: write two digits.`);
    const amount = readNumber(match[1]!, writing);
    if (typeof amount === 'string') return no(amount);
    const size = SIZES[unit]!;
    if (size >= above || amount * size >= above) return no(`“${text.trim()}” is not a length: each part must be smaller than the one before.`);
    total += amount * size;
    above = size;
    before = unit;
    const left = rest.slice(match[0].length).trim();
    if (!match[2] && left) return no(unsaid(text.trim(), match[1]!.trim(), left.replace(/^-\s*/, ''), writing));
    rest = rest.slice(match[0].length).replace(/^\s*-\s*/, ' ');
  }
  return { ok: true, metres: sign * total };
}

/** Two numbers and no unit after the first, such as `101-8`: the program does not guess, so neither does the page. */
function unsaid(text: string, first: string, left: string, writing: Writing): string {
  const why = `“${text}” is not a length: say the unit of “${first}”`;
  if (writing.units !== 'feet') return `${why}.`;
  const inches = /["a-z]$/.test(left) ? left : `${left}"`;
  if (readLength(`${first}' ${inches}`, writing).ok) return `${why}, such as ${first}' ${inches}.`;
  const one = `${first}${writing.decimal_mark}${left}`;
  return readLength(`${one} ft`, writing).ok ? `${why}, such as ${one} ft or ${one} m. Inches stay below 12.` : `${why}.`;
}

function centimetres(digits: string): string {
  if (!/^\d+$/.test(digits)) return '';
  return digits.length === 3 ? 'mm' : digits.length === 2 ? 'cm' : 'either';
}

/** Read a number as the program does, or say why it can't be read. `1,234` with a point as decimal mark is refused. */
export function readNumber(text: string, writing: Writing): number | string {
  const plain = text.trim().replace(/[\u00a0\u202f]/g, ' ');
  const [, sign = '', amount = ''] = /^([-−+]?)\s*(.*)$/.exec(plain) ?? [];
  const read = readAmount(amount, writing);
  if (typeof read === 'string') return read;
  return Number.isNaN(read) ? `“${plain}” is not a number.` : sign && sign !== '+' ? -read : read;
}

/** Read a number without its sign: NaN where it is none, a sentence where it has two readings. */
function readAmount(plain: string, writing: Writing): number | string {
  const fraction = /^(?:([\d]+)[\s-]+)?(\d+)\s*\/\s*(\d+)$/.exec(plain);
  if (fraction) {
    const below = Number(fraction[3]);
    if (fraction[1] && Number(fraction[2]) >= below && below) return 'The top of a fraction is smaller than its bottom, such as 6 1/2.';
    return below === 0 ? 'A fraction can’t be of nothing.' : Number(fraction[1] ?? 0) + Number(fraction[2]) / below;
  }
  const read = ungrouped(/^\d{1,3}(?: \d{3})+(?:[.,]\d+)?$/.test(plain) ? plain.replace(/ /g, '').replace(',', '.') : plain, writing);
  if (read.why) return read.why;
  return /^(?:\d+\.?\d*|\.\d+)$/.test(read.plain) ? Number(read.plain) : NaN;
}

/** Whether a mark can part a number into thousands: no leading 0, then groups of exactly three. */
const grouped = (text: string, mark: string): boolean => (mark === '.' ? /^[1-9]\d{0,2}(\.\d{3})+$/ : /^[1-9]\d{0,2}(,\d{3})+$/).test(text);

/** A number with a point as its only mark, by the rule of the program; `why` where it has two readings. */
function ungrouped(text: string, writing: Writing): { plain: string; why?: string } {
  const marks = text.replace(/\d/g, '');
  const mark = writing.decimal_mark;
  if (marks === '.' || marks === ',') {
    if (marks === mark || !grouped(text, marks)) return { plain: text.replace(',', '.') };
    return { plain: '', why: `“${text}”: is it ${text.replace(marks, mark)}, or ${text.replace(marks, '')}? Write the decimal mark as “${mark}”.` };
  }
  if (!/^[.,]{2,}$/.test(marks)) return { plain: text };
  const decimal = new Set(marks).size > 1 ? marks.at(-1)! : '';
  const at = decimal ? text.lastIndexOf(decimal) : text.length;
  const head = text.slice(0, at);
  if ((decimal && head.includes(decimal)) || !grouped(head, marks[0]!)) return { plain: 'none' };
  return { plain: head.replaceAll(marks[0]!, '') + (decimal ? `.${text.slice(at + 1)}` : '') };
}

/** Write a length [m] in the person's units: centimetres, or half inches; `fine` to 1 mm or 1/16 in. */
export function writeLength(metres: number, writing: Writing, fine = false): string {
  if (writing.units === 'metric') {
    const said = metres.toFixed(fine ? 3 : 2);
    return `${(Number(said) === 0 ? said.replace('-', '') : said).replace('.', writing.decimal_mark)} m`;
  }
  const parts = fine ? 16 : 2;
  const total = Math.round((Math.abs(metres) / INCH) * parts);
  const feet = Math.floor(total / (12 * parts));
  const left = total - feet * 12 * parts;
  const whole = Math.floor(left / parts);
  const over = left - whole * parts;
  const sign = metres < 0 && total > 0 ? '−' : '';
  const said = whole || !over || feet ? [String(whole)] : []; // 61' 0 5/8", as on paper
  const inches = `${[...said, ...(over ? [lowest(over, parts)] : [])].join(' ')}"`;
  if (feet === 0) return `${sign}${inches}`;
  return `${sign}${feet}' ${inches}`; // 12' 0", as on paper
}

function lowest(over: number, parts: number): string {
  let [a, b] = [over, parts];
  while (a % 2 === 0 && b % 2 === 0) [a, b] = [a / 2, b / 2];
  return `${a}/${b}`;
}

/** Write a whole number with its thousands parted, as on paper. */
function parted(whole: number, writing: Writing): string {
  return String(whole).replace(/\B(?=(\d{3})+$)/g, writing.decimal_mark === '.' ? ',' : '.');
}

/** Write an area [m²] in the person's units. */
export function writeArea(squareMetres: number, writing: Writing): string {
  if (writing.units === 'feet') return `${parted(Math.round(squareMetres / 0.3048 ** 2), writing)} ft²`;
  return `${squareMetres.toFixed(1).replace('.', writing.decimal_mark)} m²`;
}
