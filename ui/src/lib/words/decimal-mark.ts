/** The decimal mark that people of a language write. */

/** As a language's people write numbers; a point where the browser names no language (`C`) or one that nobody knows. */
export function decimalMark(language: string): '.' | ',' {
  // Some systems name it as their own settings do: en_US.UTF-8, en-US@posix.
  const tag = language.replace(/[.@].*$/, '').replaceAll('_', '-');
  try {
    return new Intl.NumberFormat(tag).format(1.5).includes(',') ? ',' : '.';
  } catch {
    return '.';
  }
}
