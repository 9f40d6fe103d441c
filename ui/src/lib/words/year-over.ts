/** The year that is over, or nearly: from November on the present one, in January the one before; else none; the months are our own choice. */
export function yearOver(now: Date): number | null {
  const month = now.getMonth() + 1;
  return month >= 11 ? now.getFullYear() : month === 1 ? now.getFullYear() - 1 : null;
}
