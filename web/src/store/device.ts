// What the device keeps: every job with its versions, and where each one stood.

export interface Version {
  at: number;
  doc: string;
}

export interface Place {
  stage: string;
  plane: number;
  step: string; // step of the work in hand
  purlin: number;
}

export interface Kept {
  id: string;
  doc: string;
  changed: number;
  versions: Version[]; // oldest first
  place: Place;
  ticks: { [id: string]: number }; // what was ticked, and when
  done: string[]; // steps of the work that are done, in order
  reads: { [of: string]: { [purlin: string]: number } }; // rows and verges as read, in divisions of the tape
  frozen: string; // the job as it was when the first row was fixed; rows fixed are never planned again
  base: number; // version of the server this stands on; 0: not there yet
  sent: string; // doc the server has
  rival: { doc: string; version: number; mine: number } | null; // another device's, until settled
}

const open = new Promise<IDBDatabase>((resolve, reject) => {
  const r = indexedDB.open("seamwright", 2);
  r.onupgradeneeded = () => {
    const have = r.result.objectStoreNames;
    if (!have.contains("jobs")) r.result.createObjectStore("jobs", { keyPath: "id" });
    if (!have.contains("facts")) r.result.createObjectStore("facts");
    if (!have.contains("photos")) r.result.createObjectStore("photos", { keyPath: "id", autoIncrement: true }).createIndex("job", "job");
  };
  r.onsuccess = () => resolve(r.result);
  r.onerror = () => reject(r.error);
});
open.catch(() => {});

async function run<T>(store: string, mode: IDBTransactionMode, work: (s: IDBObjectStore) => IDBRequest<T>): Promise<T> {
  const db = await open;
  return new Promise((resolve, reject) => {
    const t = db.transaction(store, mode, { durability: "strict" });
    const r = work(t.objectStore(store));
    t.oncomplete = () => resolve(r.result);
    t.onerror = t.onabort = () => reject(t.error);
  });
}

export const allJobs = () => run<Kept[]>("jobs", "readonly", (s) => s.getAll() as IDBRequest<Kept[]>);
export const keepJob = (j: Kept) => run("jobs", "readwrite", (s) => s.put(j));
export const dropJob = (id: string) => run("jobs", "readwrite", (s) => s.delete(id));
export const fact = <T>(k: string) => run<T | undefined>("facts", "readonly", (s) => s.get(k) as IDBRequest<T | undefined>);
export const keepFact = (k: string, v: unknown) => run("facts", "readwrite", (s) => s.put(v, k));

export interface Photo {
  id?: number;
  job: string;
  step: string;
  at: number;
  picture: Blob;
}

export const photosOf = (job: string) => run<Photo[]>("photos", "readonly", (s) => s.index("job").getAll(job) as IDBRequest<Photo[]>);
export const keepPhoto = (p: Photo) => run("photos", "readwrite", (s) => s.add(p));
export const dropPhoto = (id: number) => run("photos", "readwrite", (s) => s.delete(id));
