/**
 * The year whose season has ended in the last three months: from November to the end of January in the north, from May to the end
 * of July in the south; else none. The months are our own choice, as in `sheets/year_page.py`.
 */
export function yearOver(now: Date, south = false): number | null {
  const [month, first] = [now.getMonth() + 1, south ? 5 : 11];
  if ((month - first + 12) % 12 >= 3) return null;
  return now.getFullYear() - (month < first ? 1 : 0);
}
/** Whether a day is of a year's season: in the south of the twelve months that end with April. */
export function ofSeason(day: string, year: number, south = false): boolean {
  return south ? day >= `${year - 1}-05-01` && day <= `${year}-04-30` : day.startsWith(`${year}-`);
}
