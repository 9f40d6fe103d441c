/** Which build of the page this is, by the name of its script: the program says which one it would send now. */

/** The script this page runs, as the program names it; nothing while the page is served by a tool for making it. */
export function ownBuild(root: ParentNode = document): string | null {
  const src = root.querySelector('script[type="module"][src]')?.getAttribute('src') ?? '';
  return src.includes('assets/') ? src.slice(src.indexOf('assets/')) : null;
}
/** Whether the program has another page than this one. */
export const isNewer = (own: string | null, told: unknown): boolean => own !== null && typeof told === 'string' && told !== '' && told !== own;
