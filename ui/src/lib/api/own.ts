/** Edits of this window, one after the other: what one makes known is the ground of the next, though the page has yet to be told. */
export interface Saved { revision: number; merged: boolean }

export class OwnEdits {
  private last: Promise<unknown> = Promise.resolve();
  /** Revisions between which there are only this window's edits. */
  private line: { from: number; to: number } | null = null;

  /** Save an edit made while the page showed revision `seen`, once those before it are saved. */
  save<R extends Saved>(seen: number, send: (base: number) => Promise<R>): Promise<R> {
    const now = this.last.then(() => this.sent(seen, send));
    this.last = now.catch(() => undefined);
    return now;
  }
  /** Forget them: something was taken back, or another alternative is shown. */
  forget(): void {
    this.line = null;
  }

  private async sent<R extends Saved>(seen: number, send: (base: number) => Promise<R>): Promise<R> {
    const line = this.line && seen >= this.line.from && seen <= this.line.to ? this.line : null;
    const base = line?.to ?? seen;
    this.line = null;
    const reply = await send(base);
    this.line = reply.merged ? null : { from: line?.from ?? base, to: reply.revision };
    return reply;
  }
}
