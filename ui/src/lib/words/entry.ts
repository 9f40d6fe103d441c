/** Readings typed with large keys: pieces put in where the cursor is. */

/** Put a piece in place of what is marked, parted by a space from what stands before it, with one after it. */
export function joined(text: string, from: number, to: number, piece: string): { text: string; at: number } {
  const before = text.slice(0, from);
  const lead = piece === '\n' || before === '' || /\s$/.test(before) ? '' : ' ';
  const after = text.slice(to);
  const tail = piece === '\n' || after.startsWith(' ') ? '' : ' ';
  const put = `${before}${lead}${piece}${tail}`;
  return { text: put + after, at: put.length + (tail === '' && piece !== '\n' ? 1 : 0) };
}
