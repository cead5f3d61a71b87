// What this phone keeps: entries that wait for the station with their photographs,
// the last answers, comparisons of the clock, the last state, and the counter that
// goes on for ever. In IndexedDB, where everything is written in one transaction
// that is done when it is on the disk; in memory where the browser has none.

const STORES = { entries: "n", answers: "n", facts: "n", about: "name" }; // and the key of each

// How many answers and comparisons of the clock are kept.
const ANSWERS = 50, FACTS = 200;

// diskKeep opens what the phone keeps under a name. It rejects where the browser
// keeps nothing, as in some private windows.
async function diskKeep(name) {
  let db = await openBase(name);

  // base is the open one; the browser may take it away.
  async function base() {
    if (!db) db = await openBase(name);
    db.onclose = () => { db = null; };
    return db;
  }

  // change runs one transaction that writes, and resolves with what work gave when
  // it is done: on the disk, unless it may as well be lost.
  async function change(stores, work, durability = "strict") {
    const t = (await base()).transaction(stores, "readwrite", { durability });
    return new Promise((resolve, reject) => {
      let result;
      t.oncomplete = () => resolve(result);
      t.onabort = () => reject(t.error ?? new Error("given up"));
      work((store) => t.objectStore(store), (r) => { result = r; }).catch(() => {}); // a request that fails ends all of it
    });
  }

  const read = async (store, how) => asked(how((await base()).transaction(store).objectStore(store)));

  // next counts up, within a transaction; above is a number that was given away elsewhere.
  async function next(store, above = 0) {
    const last = await asked(store("about").get("count"));
    const n = Math.max(last?.value ?? 0, above) + 1;
    store("about").put({ name: "count", value: n });
    return n;
  }

  async function trim(store, most) {
    const keys = await asked(store.getAllKeys());
    for (const key of keys.slice(0, Math.max(0, keys.length - most))) store.delete(key);
  }

  return {
    add: (record, above) => change(["entries", "about"], async (store, give) => {
      const n = await next(store, above);
      store("entries").put({ ...record, n });
      give(n);
    }),
    entries: () => read("entries", (s) => s.getAll()),
    put: (record) => change(["entries"], async (store) => {
      if (await asked(store("entries").getKey(record.n))) store("entries").put(record); // gone is gone: another tab was quicker
    }),
    drop: (n) => change(["entries"], async (store) => { store("entries").delete(n); }),
    answered: (n, answer) => change(["entries", "answers"], async (store) => {
      store("entries").delete(n);
      store("answers").put({ n, answer });
      return trim(store("answers"), ANSWERS);
    }),
    answers: () => read("answers", (s) => s.getAll()),
    fact: (fact) => change(["facts", "about"], async (store) => {
      store("facts").put({ ...fact, n: await next(store) });
      return trim(store("facts"), FACTS);
    }),
    facts: () => read("facts", (s) => s.getAll()),
    get: async (key) => (await read("about", (s) => s.get(key)))?.value ?? null,
    set: (key, value) => change(["about"], async (store) => { store("about").put({ name: key, value }); }),
    swap: (key, how) => change(["about"], async (store, give) => {
      const value = how((await asked(store("about").get(key)))?.value ?? null);
      store("about").put({ name: key, value });
      give(value);
    }, "relaxed"),
  };
}

function openBase(name) {
  const open = indexedDB.open(name, 1);
  open.onupgradeneeded = () => {
    for (const [store, key] of Object.entries(STORES)) open.result.createObjectStore(store, { keyPath: key });
  };
  return asked(open);
}

const asked = (request) => new Promise((resolve, reject) => {
  request.onsuccess = () => resolve(request.result);
  request.onerror = () => reject(request.error);
  request.onblocked = () => reject(new Error("another tab holds it"));
});

// memoryKeep keeps the same until the page is closed.
function memoryKeep() {
  const entries = new Map(), answers = new Map(), about = new Map(), facts = [];
  let count = 0;
  const next = (above = 0) => { count = Math.max(count, above) + 1; return count; };
  return {
    async add(record, above) { const n = next(above); entries.set(n, { ...record, n }); return n; },
    entries: async () => [...entries.values()],
    async put(record) { if (entries.has(record.n)) entries.set(record.n, record); },
    async drop(n) { entries.delete(n); },
    async answered(n, answer) { entries.delete(n); answers.set(n, { n, answer }); },
    answers: async () => [...answers.values()].slice(-ANSWERS),
    async fact(fact) { facts.push({ ...fact, n: next() }); facts.splice(0, facts.length - FACTS); },
    facts: async () => facts,
    get: async (key) => about.get(key) ?? null,
    async set(key, value) { about.set(key, value); },
    async swap(key, how) { about.set(key, how(about.get(key) ?? null)); return about.get(key); },
  };
}
