/** Several plain numbers put into one box at once: a row copied out of a table. */

/** The numbers of a text, parted by tabs, lines, semicolons or spaces, or by commas where the comma is no decimal mark. */
export function spreadNumbers(text: string, mark: '.' | ','): string[] {
  const parts = text.trim().split(mark === '.' ? /[\s;|,]+/ : /[\s;|]+/).filter((part) => part !== '');
  return parts.length > 2 && parts.every((part) => /^[+\-−]?\d*[.,]?\d+$/.test(part)) ? parts : [];
}
