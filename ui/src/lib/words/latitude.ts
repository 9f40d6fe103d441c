/** A latitude as people write it: −45.03, 45,03 S, 45°02' south, S 45. */
const SIGNED = /^([+-]?)(\d{1,2}(?:[.,]\d+)?)\s*°?$/;
const SIDED = /^([ns])?(\d{1,2}(?:[.,]\d+)?)°?(?:(\d{1,2}(?:[.,]\d+)?)['’′])?(?:(\d{1,2}(?:[.,]\d+)?)["”″])?([ns])?$/;
const MOST_DEG = 90;

const number = (text: string | undefined): number => Number((text ?? '0').replace(',', '.'));

/** Degrees, south negative; null if it can't be read, or lies beyond a pole. */
export function readLatitude(text: string): number | null {
  const said = text.trim().replace(/[−–]/g, '-').toLowerCase().replace(/\b(north|south)(ern)?\b/, (word) => word[0]!).replace(/\s+/g, '');
  const signed = SIGNED.exec(said);
  if (signed) return kept(number(signed[2]) * (signed[1] === '-' ? -1 : 1));
  const sided = SIDED.exec(said);
  if (!sided || (sided[1] && sided[5])) return null;
  const [minutes, seconds] = [number(sided[3]), number(sided[4])];
  if (minutes >= 60 || seconds >= 60) return null;
  return kept((number(sided[2]) + minutes / 60 + seconds / 3600) * ((sided[1] ?? sided[5]) === 's' ? -1 : 1));
}

const kept = (deg: number): number | null => (Math.abs(deg) <= MOST_DEG ? deg : null);
