/** Keep the screen on while somebody tapes with both hands; a browser that can't simply lets it go dark. Returns the end of it. */
export function keptAwake(): () => void {
  let lock: WakeLockSentinel | null = null;
  let over = false;
  const ask = async (): Promise<void> => {
    if (over || document.visibilityState !== 'visible') return;
    try {
      const got = (await navigator.wakeLock?.request('screen')) ?? null;
      if (over) await got?.release();
      else lock = got;
    } catch {
      /* not now, or not here */
    }
  };
  const seen = (): void => void ask();
  void ask();
  document.addEventListener('visibilitychange', seen);
  return () => {
    over = true;
    document.removeEventListener('visibilitychange', seen);
    void lock?.release().catch(() => undefined);
  };
}
