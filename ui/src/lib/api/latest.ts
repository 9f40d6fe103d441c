/**
 * One question on its way at a time; while it is away only the newest waiting one is kept.
 *
 * Where what an answer would say is known already, the next question need not wait for it (`past`): it is told all the
 * same when it comes, as `late`, unless a newer one has been told.
 */
export class Latest<Q, A> {
  private waiting: { question: Q } | null = null;
  /** The number of the question whose answer is waited for, or 0. */
  private away = 0;
  private asked = 0;
  private heard = 0;
  private round = 0;

  constructor(
    private readonly ask: (question: Q) => Promise<A>,
    private readonly told: (answer: A, question: Q, late: boolean) => void,
    private readonly failed: (error: unknown) => void = () => undefined,
  ) {}

  put(question: Q): void {
    this.waiting = { question };
    if (!this.away) void this.run(this.round);
  }

  /** Wait no longer for the answer that is to come. */
  past(): void {
    this.away = 0;
    if (this.waiting) void this.run(this.round);
  }

  /** Forget what waits and whatever answer is still to come. */
  drop(): void {
    this.waiting = null;
    this.round += 1;
    this.away = 0;
  }

  private async run(round: number): Promise<void> {
    while (this.waiting && round === this.round) {
      const { question } = this.waiting;
      const own = (this.asked += 1);
      this.waiting = null;
      this.away = own;
      try {
        const answer = await this.ask(question);
        if (round === this.round && own > this.heard) {
          this.heard = own;
          this.told(answer, question, own < this.asked);
        }
      } catch (error) {
        if (round === this.round && own === this.asked) this.failed(error);
      }
      if (this.away !== own) return; // dropped, or another one was asked meanwhile
      this.away = 0;
    }
  }
}
