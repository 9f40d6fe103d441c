/** Whoever uses keys or a screen reader stays at their step when it moves to another list, or is drawn anew. */
export class Stay {
  private key = '';
  private tag = '';
  /** Remember the step in which something has the keys; steps carry their key as `data-step`. */
  readonly seen = (event: FocusEvent): void => {
    const at = event.target as Element | null;
    this.tag = at?.localName ?? '';
    this.key = at?.closest<HTMLElement>('[data-step]')?.dataset['step'] ?? '';
  };
  /** Give the keys back to the same step inside `root`, if they went to nobody. */
  again(root: ParentNode | undefined): void {
    if (!this.key || (document.activeElement && document.activeElement !== document.body)) return;
    const at = [...(root?.querySelectorAll<HTMLElement>('[data-step]') ?? [])].find((e) => e.dataset['step'] === this.key);
    const free = [...(at?.querySelectorAll<HTMLElement>('button, input, select, a') ?? [])].filter((e) => !e.matches(':disabled'));
    (free.find((e) => e.localName === this.tag) ?? free[0])?.focus({ preventScroll: true });
  }
}
