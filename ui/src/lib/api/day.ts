/** What was done on one day and by whom: words, and one picture of it; nothing of money, no place on the map. */
export interface DayDone { day: string; title: string; people: string; jobs: { name: string; lines: string[] }[]; none: string; card: string; wide_mm?: number; high_mm?: number }
export const dayAddress = (day: string): string => `/api/outdoors/day/${encodeURIComponent(day)}`;
