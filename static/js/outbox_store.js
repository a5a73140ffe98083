// What waits on this device to be sent, in the order in which it was written. Used by pages and by the worker.
"use strict";
{
  const NAME = "mountside-outbox";
  const ROWS = "entries";
  let opened = null;

  function open() {
    opened ??= new Promise((resolve, reject) => {
      const request = indexedDB.open(NAME, 1);
      request.onupgradeneeded = () => request.result.createObjectStore(ROWS, { keyPath: "n", autoIncrement: true });
      request.onsuccess = () => {
        request.result.onversionchange = () => request.result.close();
        request.result.onclose = () => (opened = null);
        resolve(request.result);
      };
      request.onerror = () => {
        opened = null;
        reject(request.error);
      };
    });
    return opened;
  }

  // One transaction. "strict" asks the browser to reach the disk before it says that an entry is kept.
  async function run(mode, work) {
    const database = await open();
    return new Promise((resolve, reject) => {
      const transaction = database.transaction(ROWS, mode, { durability: "strict" });
      const request = work(transaction.objectStore(ROWS));
      transaction.oncomplete = () => resolve(request?.result);
      transaction.onerror = () => reject(transaction.error ?? request?.error);
      transaction.onabort = () => reject(transaction.error ?? request?.error ?? new DOMException("", "QuotaExceededError"));
    });
  }

  const speaking = "BroadcastChannel" in self ? new BroadcastChannel("outbox") : null;

  // Tell every page of this device, this one too, that something was kept, sent or came back.
  function tell(news) {
    speaking?.postMessage(news);
    self.dispatchEvent(Object.assign(new Event("outbox"), { news }));
  }

  async function add(entry) {
    const n = await run("readwrite", (rows) => rows.add(entry));
    tell({ kept: entry.id });
    return n;
  }

  async function put(entry) {
    await run("readwrite", (rows) => rows.put(entry));
    tell({ changed: entry.id });
  }

  async function remove(entry, news) {
    await run("readwrite", (rows) => rows.delete(entry.n));
    tell({ gone: entry.id, ...news });
  }

  const all = () => run("readonly", (rows) => rows.getAll());

  // An author's later entries on a record follow the one that was just carried out: they were made knowing of it.
  async function follow(sent, version) {
    const seen = field(sent, "version");
    await run("readwrite", (rows) => {
      const request = rows.openCursor(IDBKeyRange.lowerBound(sent.n, true));
      request.onsuccess = () => {
        const cursor = request.result;
        if (!cursor) return;
        const later = cursor.value;
        if (later.author === sent.author && later.record === sent.record && field(later, "version") === seen) {
          later.fields = later.fields.map(([name, value]) => [name, name === "version" ? String(version) : value]);
          cursor.update(later);
        }
        cursor.continue();
      };
      return null;
    });
  }

  function field(entry, name) {
    return entry.fields.find(([key]) => key === name)?.[1] ?? "";
  }

  // A key of 32 hexadecimal figures; written out because randomUUID exists on https only.
  function newKey() {
    return Array.from(crypto.getRandomValues(new Uint8Array(16)), (byte) => byte.toString(16).padStart(2, "0")).join("");
  }

  // Called with every piece of news, from this page and from the others.
  function listen(hear) {
    if ("BroadcastChannel" in self) new BroadcastChannel("outbox").onmessage = (event) => hear(event.data);
    else self.addEventListener("outbox", (event) => hear(event.news));
  }

  self.outbox = { store: { add, put, remove, all, follow, field, newKey, listen, tell } };
}
