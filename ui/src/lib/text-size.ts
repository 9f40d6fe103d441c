/** What a browser writes where nobody chose a size [px]. */
const ORDINARY_PX = 16;

/** How many times as large as ordinarily the person has chosen text to be in their browser. */
export function textSize(): number {
  const px = typeof document === 'undefined' ? NaN : parseFloat(getComputedStyle(document.documentElement).fontSize);
  return px > 0 ? px / ORDINARY_PX : 1;
}
