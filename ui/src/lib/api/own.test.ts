import { expect, it } from 'vitest';
import { OwnEdits } from './own';

/** A program that keeps edits one after the other and refuses what is not made on the newest. */
function program(start = 3) {
  let revision = start;
  const bases: number[] = [];
  const send = async (base: number) => {
    bases.push(base);
    await Promise.resolve();
    if (base !== revision) throw new Error('changed in another window');
    revision += 1;
    return { revision, merged: false };
  };
  return { bases, send, elsewhere: () => (revision += 1) };
}

it('makes an edit on the one before it, though the page has not been told of that', async () => {
  const { bases, send } = program();
  const own = new OwnEdits();
  await Promise.all([own.save(3, send), own.save(3, send), own.save(3, send)]);
  await own.save(6, send);
  await own.save(5, send);
  expect(bases).toEqual([3, 4, 5, 6, 7]);
});

it('lets what another window changed be looked at', async () => {
  const { bases, send, elsewhere } = program();
  const own = new OwnEdits();
  await own.save(3, send);
  elsewhere();
  await expect(own.save(3, send)).rejects.toThrow('another window');
  await own.save(5, send);
  expect(bases).toEqual([3, 4, 5]);
});

it('takes nothing for its own beyond an edit that was merged, or once it is told to forget', async () => {
  const own = new OwnEdits();
  const bases: number[] = [];
  const send = (merged: boolean) => (base: number) => {
    bases.push(base);
    return Promise.resolve({ revision: base + 2, merged });
  };
  await own.save(3, send(true));
  await own.save(3, send(false));
  own.forget();
  await own.save(3, send(false));
  expect(bases).toEqual([3, 3, 3]);
});
