/** A question that may be on its way several times at once: an answer that comes after that to a later one is old, and is not told. */
export function inTurn<A>(ask: () => Promise<A>, told: (answer: A) => void): () => Promise<void> {
  let asked = 0;
  let answered = 0;
  return async () => {
    const own = (asked += 1);
    const answer = await ask();
    if (own < answered) return;
    answered = own;
    told(answer);
  };
}
