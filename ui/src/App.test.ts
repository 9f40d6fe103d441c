import { flushSync, mount, unmount } from 'svelte';
import { expect, test } from 'vitest';
import App from './App.svelte';

test('the page bears the name', async () => {
  const app = mount(App, { target: document.body });
  flushSync();
  expect(document.querySelector('h1')?.textContent).toBe('Quincunx');
  await unmount(app);
});
