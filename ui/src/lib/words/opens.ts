/** The year and month (1-12) a garden opens at: today's, or in leaf in the year of the plan that is nearest to it. */
export function opensAt(years: readonly number[], inLeaf: number, now = new Date()): { year: number; month: number } {
  const today = now.getFullYear();
  const year = Math.min(Math.max(today, years[0] ?? today), years.at(-1) ?? today);
  return { year, month: year === today ? now.getMonth() + 1 : inLeaf };
}
