/** Keeps packs and notes in the browser. Where it can't keep (a page opened from a file in some browsers), it says so. */
import type { KeptNote, Pack } from './types';

export interface Keep {
  /** Whether what is entered survives closing the page. */
  readonly lasting: boolean;
  packs(): Promise<{ pack: Pack; at: string }[]>;
  putPack(pack: Pack, at: string): Promise<void>;
  notes(mark: string): Promise<KeptNote[]>;
  put(notes: KeptNote[]): Promise<void>;
  drop(ids: string[]): Promise<void>;
}

const NAME = 'quincunx-outdoors';

function done(request: IDBRequest | IDBTransaction): Promise<void> {
  return new Promise((yes, no) => {
    if (request instanceof IDBTransaction) {
      request.oncomplete = () => yes();
      request.onabort = request.onerror = () => no(request.error ?? new Error('it could not be kept'));
    } else {
      request.onsuccess = () => yes();
      request.onerror = () => no(request.error);
    }
  });
}

function opened(): Promise<IDBDatabase> {
  return new Promise((yes, no) => {
    const ask = indexedDB.open(NAME, 1);
    ask.onupgradeneeded = () => {
      ask.result.createObjectStore('packs', { keyPath: 'pack.mark' });
      ask.result.createObjectStore('notes', { keyPath: 'note.id' }).createIndex('mark', 'mark');
    };
    ask.onsuccess = () => yes(ask.result);
    ask.onerror = () => no(ask.error);
    ask.onblocked = () => no(new Error('another window holds it'));
  });
}

class InBrowser implements Keep {
  readonly lasting = true;
  constructor(private readonly db: IDBDatabase) {}
  private async all<T>(store: string, index?: string, key?: string): Promise<T[]> {
    const from = this.db.transaction(store, 'readonly').objectStore(store);
    const ask = (index ? from.index(index).getAll(key) : from.getAll()) as IDBRequest<T[]>;
    await done(ask);
    return ask.result;
  }
  packs(): Promise<{ pack: Pack; at: string }[]> {
    return this.all('packs');
  }
  notes(mark: string): Promise<KeptNote[]> {
    return this.all('notes', 'mark', mark);
  }
  /** Done only once the browser has written it: `strict` waits for the disk. */
  private async write(store: string, run: (at: IDBObjectStore) => void): Promise<void> {
    const change = this.db.transaction(store, 'readwrite', { durability: 'strict' });
    run(change.objectStore(store));
    await done(change);
  }
  putPack(pack: Pack, at: string): Promise<void> {
    return this.write('packs', (s) => s.put({ pack, at }));
  }
  put(notes: KeptNote[]): Promise<void> {
    return this.write('notes', (s) => notes.forEach((n) => s.put(n)));
  }
  drop(ids: string[]): Promise<void> {
    return this.write('notes', (s) => ids.forEach((id) => s.delete(id)));
  }
}

class InHand implements Keep {
  readonly lasting = false;
  private readonly kept = new Map<string, KeptNote>();
  private pack: { pack: Pack; at: string } | null = null;
  packs(): Promise<{ pack: Pack; at: string }[]> {
    return Promise.resolve(this.pack ? [this.pack] : []);
  }
  putPack(pack: Pack, at: string): Promise<void> {
    this.pack = { pack, at };
    return Promise.resolve();
  }
  notes(mark: string): Promise<KeptNote[]> {
    return Promise.resolve([...this.kept.values()].filter((n) => n.mark === mark));
  }
  put(notes: KeptNote[]): Promise<void> {
    notes.forEach((n) => this.kept.set(n.note.id, n));
    return Promise.resolve();
  }
  drop(ids: string[]): Promise<void> {
    ids.forEach((id) => this.kept.delete(id));
    return Promise.resolve();
  }
}

export async function openKeep(): Promise<Keep> {
  try {
    const keep = new InBrowser(await opened());
    void navigator.storage?.persist?.().catch(() => false);
    return keep;
  } catch {
    return new InHand();
  }
}
