import type { FoundStore } from './found.ts';

const NAME = 'moulinet';
const VALUES = 'found';
const BY_AGE = 'at';
/** Some sixteen answers for each of 3,000 takes, some ten kilobytes each; beyond, the oldest go. */
const MOST_VALUES = 50_000;
/** So many are cleared away beyond that, so that it is not done at every start. */
const CLEARED = 2000;

/** What is asked for first is not to wait for it. */
const CLEAR_AFTER_MS = 20_000;

interface Stored {
  readonly key: string;
  /** Milliseconds since 1970. */
  readonly at: number;
  readonly value: unknown;
}

/** The browser's own database; it is the user's to clear, and nothing is lost with it. Without one nothing is kept. */
export function browserStore(): FoundStore {
  let opened: Promise<IDBDatabase> | null = null;
  const database = (): Promise<IDBDatabase> => (opened ??= open());
  return {
    async get(keys) {
      const values = (await database()).transaction(VALUES).objectStore(VALUES);
      const stored = keys.map((key) => settled<Stored | undefined>(values.get(key)));
      return (await Promise.all(stored)).map((one) => one?.value);
    },
    async put(key, value) {
      const values = (await database()).transaction(VALUES, 'readwrite').objectStore(VALUES);
      await settled(values.put({ key, at: Date.now(), value } satisfies Stored));
    },
  };
}

async function open(): Promise<IDBDatabase> {
  const request = indexedDB.open(NAME, 1);
  request.onupgradeneeded = () => {
    const values = request.result.createObjectStore(VALUES, { keyPath: 'key' });
    values.createIndex(BY_AGE, 'at');
  };
  const database = await settled(request);
  // Another tab that opens a newer kind of it must not wait for this one.
  database.onversionchange = () => database.close();
  setTimeout(() => void clearOldest(database).catch(() => {}), CLEAR_AFTER_MS);
  return database;
}

async function clearOldest(database: IDBDatabase): Promise<void> {
  // Counting holds up nobody; a transaction that may write would hold up all that read.
  const count = await settled(database.transaction(VALUES).objectStore(VALUES).count());
  if (count <= MOST_VALUES) return;
  const values = database.transaction(VALUES, 'readwrite').objectStore(VALUES);
  // Another thread may have cleared meanwhile: what it left is counted, not what was there.
  const left = await settled(values.count());
  if (left <= MOST_VALUES) return;
  const keys = await settled(values.index(BY_AGE).getAllKeys(null, left - MOST_VALUES + CLEARED));
  for (const key of keys) values.delete(key);
}

function settled<Value>(request: IDBRequest<Value>): Promise<Value> {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error ?? new Error('the browser stores nothing'));
  });
}
