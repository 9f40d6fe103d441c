/** Keeps the pictures that were looked at, so that they are there without a signal; in a store of their own beside the notes. */
import type { BothViews } from '../lib/api/both';

export interface KeptViews { key: string; views: BothViews }
export interface Pictures { get(key: string): Promise<BothViews | null>; put(key: string, views: BothViews): Promise<void> }

const NAME = 'quincunx-outdoors-pictures';

function asked<T>(request: IDBRequest<T>): Promise<T> {
  return new Promise((yes, no) => {
    request.onsuccess = () => yes(request.result);
    request.onerror = () => no(request.error);
  });
}
function opened(): Promise<IDBDatabase> {
  const ask = indexedDB.open(NAME, 1);
  ask.onupgradeneeded = () => ask.result.createObjectStore('views', { keyPath: 'key' });
  return asked(ask);
}

/** What can't be kept is only not there the next time: pictures can be drawn again. */
export function openPictures(): Pictures {
  const hand = new Map<string, BothViews>();
  let db: Promise<IDBDatabase> | null = null;
  const store = async (mode: IDBTransactionMode): Promise<IDBObjectStore> => (await (db ??= opened())).transaction('views', mode).objectStore('views');
  return {
    async get(key) {
      const held = hand.get(key);
      if (held) return held;
      try {
        const found = (await asked((await store('readonly')).get(key))) as KeptViews | undefined;
        return found?.views ?? null;
      } catch {
        return null;
      }
    },
    async put(key, views) {
      hand.set(key, views);
      try {
        await asked((await store('readwrite')).put({ key, views }));
      } catch {
        /* kept in hand */
      }
    },
  };
}
