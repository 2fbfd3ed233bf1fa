// What a tablet keeps by itself: deeds that are not sent yet, and how far its clock is off. Used by
// pages and by the worker alike.

/** Something that was done at the bench. */
export interface Deed {
  /** Order in which it was done; given by the store. */
  n?: number;
  /** Address that takes it. */
  url: string;
  /** The form, with its key and the time at which it was done. */
  body: string;
  /** `start:17`. */
  id: string;
  /** What it is, for people. */
  says: string;
  /** When it was done, ms of UTC by the server's clock. */
  at: number;
  /** `waits` for the network, is to be tried again `later`, waits for a `sign-in`, or was `refused`. */
  state: 'waits' | 'later' | 'sign-in' | 'refused';
  /** The server's words, if it has said something. */
  title?: string;
  whatToDo?: string;
}

const NAME = 'partpledge-bench';
/** Told when deeds come or go, in other pages and in the worker. */
export const channel = new BroadcastChannel(NAME);

let opened: Promise<IDBDatabase> | undefined;

function open(): Promise<IDBDatabase> {
  opened ??= new Promise<IDBDatabase>((resolve, reject) => {
    const asked = indexedDB.open(NAME, 1);
    asked.onupgradeneeded = () => {
      asked.result.createObjectStore('deeds', { keyPath: 'n', autoIncrement: true });
      asked.result.createObjectStore('facts');
    };
    asked.onsuccess = () => resolve(asked.result);
    asked.onerror = () => reject(asked.error);
  });
  // A store that could not be opened is tried again the next time.
  opened.catch(() => (opened = undefined));
  return opened;
}

/** Does something with a store; settled when it is on disk. */
async function within<T>(
  name: 'deeds' | 'facts',
  mode: IDBTransactionMode,
  act: (store: IDBObjectStore) => IDBRequest<T>,
): Promise<T> {
  const tx = (await open()).transaction(name, mode, { durability: 'strict' });
  const asked = act(tx.objectStore(name));
  return new Promise((resolve, reject) => {
    tx.oncomplete = () => resolve(asked.result);
    tx.onabort = tx.onerror = () => reject(tx.error ?? asked.error);
  });
}

/** Keeps a deed. */
export async function add(deed: Deed): Promise<number> {
  return Number(await within('deeds', 'readwrite', (store) => store.add(deed)));
}

/** All that are kept, in the order in which they were done. */
export function all(): Promise<Deed[]> {
  return within('deeds', 'readonly', (store) => store.getAll() as IDBRequest<Deed[]>);
}

/** Keeps what was said about one. */
export async function change(deed: Deed): Promise<void> {
  await within('deeds', 'readwrite', (store) => store.put(deed));
}

/** It is sent, or was taken off the list. */
export async function remove(n: number): Promise<void> {
  await within('deeds', 'readwrite', (store) => store.delete(n));
}

/** What is known besides. */
interface Facts {
  /** How far the server's clock is ahead of ours, ms. */
  ahead: number;
  /** The region's time zone. */
  zone: string;
  /** Entry of the log that the pages were kept after, and when that was, ms of UTC by our clock. */
  entry: number;
  kept: number;
  /** Language of the pages that are kept. */
  tongue: string;
}

export function fact<K extends keyof Facts>(name: K): Promise<Facts[K] | undefined> {
  return within('facts', 'readonly', (store) => store.get(name) as IDBRequest<Facts[K] | undefined>);
}

export async function keepFact<K extends keyof Facts>(name: K, value: Facts[K]): Promise<void> {
  await within('facts', 'readwrite', (store) => store.put(value, name));
}

/** `2027-03-09`: the day of a moment, in the region's zone as far as this tablet knows. */
export async function dayOf(ms: number): Promise<string> {
  const zone = await fact('zone');
  const parts = new Intl.DateTimeFormat('en-GB', {
    year: 'numeric',
    month: '2-digit',
    day: '2-digit',
    ...(zone ? { timeZone: zone } : {}),
  }).formatToParts(ms);
  const part = (type: string) => parts.find((one) => one.type === type)?.value ?? '';
  return `${part('year')}-${part('month')}-${part('day')}`;
}

/** The server's clock as far as this tablet knows, ms of UTC. */
export async function clock(): Promise<number> {
  return Date.now() + ((await fact('ahead')) ?? 0);
}
