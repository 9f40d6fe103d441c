/** Letters outside the scripts of the papers' typeface, and pictures among letters. The program says it to the letter. */
const OTHER = /\p{Emoji_Presentation}|[^\p{Script=Latin}\p{Script=Greek}\p{Script=Cyrillic}\p{Script=Common}\p{Script=Inherited}]/gu;

/** Say which letters of a text can't be printed; nothing where all can. */
export function notPrinted(text: string): string {
  const found = [...new Set(text.normalize('NFC').match(OTHER) ?? [])];
  return found.length ? `On paper an empty box stands for each of ${found.join(' ')}: the typeface has Latin, Greek and Cyrillic letters only.` : '';
}
