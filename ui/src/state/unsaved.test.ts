// @vitest-environment happy-dom
import { beforeEach, expect, test, vi } from 'vitest';
import { isNewer, ownBuild } from '../lib/api/build';
import { keepTyped, loadAnew, typedBefore, typedNow, watch } from './unsaved';

beforeEach(() => {
  sessionStorage.clear();
  document.body.innerHTML = '<label>Note <textarea></textarea></label><input aria-label="How long" value="3.4"><input type="checkbox" aria-label="On"><input aria-label="Name">';
});
function type(field: Element, value: string): void {
  (field as HTMLInputElement).value = value;
  field.dispatchEvent(new Event('input', { bubbles: true }));
}

test('only what somebody wrote is carried over, and only what is still there', () => {
  const end = watch();
  const [note, size, on, name] = document.querySelectorAll('textarea, input');
  type(note!, 'The yew leans.\nAsk Wren.');
  type(on!, 'on');
  type(name!, ' ');
  expect(size).toBeDefined();
  expect(typedNow()).toEqual([{ label: 'Note', text: 'The yew leans.\nAsk Wren.' }]);
  keepTyped(typedNow());
  note!.remove();
  expect(typedNow()).toEqual([]);
  expect(typedBefore()).toEqual([{ label: 'Note', text: 'The yew leans.\nAsk Wren.' }]);
  keepTyped([]);
  expect(typedBefore()).toEqual([]);
  end();
});

test('what was not put away is carried over once more', () => {
  const end = watch();
  const reload = vi.spyOn(location, 'reload').mockImplementation(() => undefined);
  keepTyped([{ label: 'Note', text: 'The yew leans.' }]);
  type(document.querySelector('[aria-label="Name"]')!, 'Wren');
  loadAnew();
  expect(reload).toHaveBeenCalledOnce();
  expect(typedBefore()).toEqual([{ label: 'Note', text: 'The yew leans.' }, { label: 'Name', text: 'Wren' }]);
  reload.mockRestore();
  end();
});

test('what was kept otherwise is no fault', () => {
  for (const odd of ['{', '{"a":1}', '[{"label":1}]', 'null']) {
    sessionStorage.setItem('quincunx-typed', odd);
    expect(typedBefore()).toEqual([]);
  }
});

test('a page knows its build, and one that has none is never too old', () => {
  document.body.innerHTML = '<script type="module" crossorigin src="./assets/index-a1.js"></script>';
  expect(ownBuild()).toBe('assets/index-a1.js');
  expect(isNewer(ownBuild(), 'assets/index-a1.js')).toBe(false);
  expect(isNewer(ownBuild(), 'assets/index-b2.js')).toBe(true);
  expect(isNewer(ownBuild(), '')).toBe(false);
  document.body.innerHTML = '<script type="module" src="/src/main.ts"></script>';
  expect(isNewer(ownBuild(), 'assets/index-b2.js')).toBe(false);
});
