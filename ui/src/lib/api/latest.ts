/** One question on its way at a time; while it is away only the newest waiting one is kept. */
export class Latest<Q, A> {
  private waiting: { question: Q } | null = null;
  private away = false;
  private round = 0;

  constructor(
    private readonly ask: (question: Q) => Promise<A>,
    private readonly told: (answer: A, question: Q) => void,
    private readonly failed: (error: unknown) => void = () => undefined,
  ) {}

  put(question: Q): void {
    this.waiting = { question };
    if (!this.away) void this.run(this.round);
  }

  /** Forget what waits and whatever answer is still to come. */
  drop(): void {
    this.waiting = null;
    this.round += 1;
    this.away = false;
  }

  private async run(round: number): Promise<void> {
    this.away = true;
    while (this.waiting && round === this.round) {
      const { question } = this.waiting;
      this.waiting = null;
      try {
        const answer = await this.ask(question);
        if (round === this.round) this.told(answer, question);
      } catch (error) {
        if (round === this.round) this.failed(error);
      }
    }
    if (round === this.round) this.away = false;
  }
}
