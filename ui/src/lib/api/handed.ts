/** What the program says of notes that were handed back from outdoors. */
export interface Handed { taken: string[]; problems: { id: string; because: string }[]; told?: { id: string; words: string }[] }

/** What came of several files together: a phone writes all that waits into each, so a note in two of them counts once. */
export function together(first: Handed, then: Handed): Handed {
  const taken = [...new Set([...first.taken, ...then.taken])];
  const wrong = new Map([...first.problems, ...then.problems].map((p) => [p.id, p]));
  const told = new Map([...(first.told ?? []), ...(then.told ?? [])].map((t) => [t.id, t]));
  return { taken, problems: [...wrong.values()].filter((p) => !taken.includes(p.id)), told: [...told.values()] };
}
