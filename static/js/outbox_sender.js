// Sends what waits, in order and under its author's name. The server carries each key out once, so an entry whose
// answer was lost is sent again without harm. Used by pages and by the worker.
"use strict";
{
  const { store } = self.outbox;
  // A network that is gone, a server in trouble, a proxy that lost it, and one that asks for patience.
  const TROUBLE = [0, 408, 425, 429, 502, 503, 504];
  const SLOWEST_BYTES_A_SECOND = 8000;
  const LOST = { status: 0, answer: null };
  const base = () => self.shop?.bench ?? document.body.dataset.bench;

  // Who is signed in, and the token for what is sent now; null without network.
  async function session() {
    try {
      const options = { headers: { "X-Outbox": "later" }, cache: "no-store", redirect: "error" };
      const response = await fetch(`${base()}outbox/token/`, { ...options, signal: AbortSignal.timeout(8000) });
      if (response.status === 401 || response.status === 403) return { person: 0 };
      return response.ok ? await response.json() : null;
    } catch {
      return null;
    }
  }

  function bodyOf(entry) {
    const body = new FormData();
    for (const [name, value] of entry.fields) body.append(name, value);
    body.append("form_key", entry.id);
    for (const file of entry.files) body.append(file.field, file.blob, file.name);
    return body;
  }

  function post(entry, token, atOnce, progress) {
    const headers = {
      "X-Outbox": atOnce ? "at-once" : "later",
      "X-Outbox-Person": entry.author,
      "X-Made-At": entry.madeAt,
      "X-CSRFToken": token,
      Accept: "application/json",
    };
    const timeout = 20_000 + (1000 * entry.size) / SLOWEST_BYTES_A_SECOND;
    if (!self.XMLHttpRequest) return postFromWorker(entry, headers, timeout);
    return new Promise((resolve) => {
      const request = new XMLHttpRequest();
      request.open("POST", entry.url);
      request.timeout = timeout;
      for (const [name, value] of Object.entries(headers)) request.setRequestHeader(name, value);
      if (progress && entry.files.length) request.upload.onprogress = progress;
      request.onload = () => resolve({ status: request.status, answer: parsed(request.responseText) });
      request.onerror = request.ontimeout = request.onabort = () => resolve(LOST);
      request.send(bodyOf(entry));
    });
  }

  async function postFromWorker(entry, headers, timeout) {
    try {
      const options = { method: "POST", headers, body: bodyOf(entry), redirect: "manual" };
      const response = await fetch(entry.url, { ...options, signal: AbortSignal.timeout(timeout) });
      return { status: response.status, answer: parsed(await response.text()) };
    } catch {
      return LOST;
    }
  }

  function parsed(text) {
    try {
      const answer = JSON.parse(text);
      return typeof answer?.state === "string" ? answer : null;
    } catch {
      return null;
    }
  }

  // What an exchange means: a state of the entry, which the shop's own answer alone decides; "stop" where everything
  // waits; "later" where something was answered that says nothing of the entry: it waits, and the others go on.
  function judged({ status, answer }) {
    if (["done", "refused", "conflict"].includes(answer?.state)) return answer;
    const waits = ["wait", "signed_out", "other_person"].includes(answer?.state);
    if (waits || isTrouble(status) || [401, 403].includes(status)) return { state: "stop" };
    return { state: "later", code: status };
  }

  const isTrouble = (status) => TROUBLE.includes(status);

  // The photos that were saved are gone from the device; those that were refused stay for their author, under a new key.
  async function keepRefused(entry, refused, told) {
    const files = refused.map((one) => entry.files[one.file]).filter(Boolean);
    const words = refused.map((one) => one.words).join(" ");
    const size = files.reduce((sum, file) => sum + file.blob.size, 0);
    const detail = files.map((file) => file.name).join(" · ").slice(0, 160);
    Object.assign(entry, { id: store.newKey(), files, size, detail, words, state: "refused" });
    await store.put(entry);
    store.tell(told);
  }

  async function carryOut(entry, token, watch, progress) {
    const asked = watch?.id === entry.id;
    const answer = judged(await post(entry, token, asked, progress));
    // Asked again: an answer may come when nobody waits for it at the form any more.
    const watched = asked && !watch.over;
    if (answer.state === "done") {
      if (entry.record && Number.isInteger(answer.version)) await store.follow(entry, answer.version);
      const told = { sent: entry.id, job: entry.job, words: watched ? "" : answer.words };
      if (answer.files?.length) await keepRefused(entry, answer.files, told);
      else await store.remove(entry, told);
    } else if (answer.state === "later") {
      if (entry.code !== answer.code) await store.put(Object.assign(entry, { code: answer.code }));
    } else if (answer.state !== "stop") {
      const { state, words, mine = [], theirs = [], version = null, code = null } = answer;
      Object.assign(entry, { state, words, mine, theirs, version, code });
      // The author sees the refusal on the form itself; anybody else's page says that an entry came back.
      if (watched && answer.page) await store.remove(entry, {});
      else await store.put(entry);
    }
    return answer;
  }

  // Send in order until all is sent or the network fails. An entry that came back holds later ones on its record.
  async function sendAll(watch, progress) {
    const who = await session();
    if (!who?.person) return { state: who ? "signed_out" : "unreachable" };
    const held = new Set();
    let last = 0;
    let outcome = { state: "waiting" };
    for (;;) {
      const rows = (await store.all()).filter((row) => row.n > last && row.author === String(who.person));
      const entry = rows[0];
      if (!entry) return outcome;
      last = entry.n;
      if (entry.state !== "waiting") held.add(entry.record);
      // Whoever stands at the form sees the record as it is now, so that entry need not wait for an older one.
      if (entry.state !== "waiting" || (entry.record && held.has(entry.record) && entry.id !== watch?.id)) continue;
      const asked = entry.id === watch?.id; // before a refused rest of it gets a new key
      const answer = await carryOut(entry, who.token, watch, progress);
      if (answer.state === "stop") return { state: "unreachable" };
      if (answer.state !== "done" && entry.record) held.add(entry.record);
      if (asked) outcome = answer;
    }
  }

  // Only one page of a device sends at a time, where the browser can promise that; elsewhere the keys suffice.
  function drain({ watch = null, progress = null } = {}) {
    const work = () => sendAll(watch, progress);
    if (!self.navigator.locks) return work();
    if (watch) return navigator.locks.request("outbox", work);
    const options = { ifAvailable: true };
    return navigator.locks.request("outbox", options, (lock) => (lock ? work() : { state: "busy" }));
  }

  self.outbox.sender = { drain, isTrouble };
}
