// Lay the typeface of screen and paper, with its licence, where vite takes it from (public/fonts).
import { copyFileSync, mkdirSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const ui = dirname(dirname(fileURLToPath(import.meta.url)));
const from = join(ui, 'node_modules', 'source-sans');
const to = join(ui, 'public', 'fonts');

mkdirSync(to, { recursive: true });
for (const face of ['Regular', 'It', 'Semibold', 'SemiboldIt', 'Bold']) {
  const file = `SourceSans3-${face}.ttf`;
  copyFileSync(join(from, 'TTF', file), join(to, file));
}
copyFileSync(join(from, 'LICENSE.md'), join(to, 'LICENSE.md'));
