// What a bench page says about this device: no network, what waits to be sent, what came back, how full it is.
"use strict";
{
  const { store, sender, clock, whole, percent } = self.outbox;
  const bar = document.getElementById("outbox");
  const { body } = document;
  const WARN_AT = 0.8;
  const REFUSE_PHOTOS_AT = 0.95;
  const SHORTEST_PAUSE_MS = 2000;
  const LONGEST_PAUSE_MS = 60_000;
  const job = location.pathname.match(/\/jobs\/([^/]+)\//)?.[1];
  const MOST_APART_MS = 120_000;
  // Between this tablet's clock and the server's, as the page arrived; a page that was kept on the tablet tells nothing.
  const apart = body.dataset.asOf ? 0 : Math.abs(Date.parse(body.dataset.now) - Date.now());
  let pause = SHORTEST_PAUSE_MS;
  let timer = 0;

  const put = (text, values) =>
    Object.entries(values).reduce((whole, [key, value]) => whole.replace(`{${key}}`, value), text);
  const counted = (key, count) => put(bar.dataset[count === 1 ? `${key}One` : `${key}Many`], { count });
  const megabytes = (bytes) => whole(bytes / 1e6);

  function line(name, text) {
    const place = bar.querySelector(`[data-line="${name}"]`);
    place.hidden = !text;
    if (place.textContent !== text) place.textContent = text;
  }

  function stateOf(entry) {
    if (entry.state !== "waiting") return bar.dataset.cameBack;
    return entry.author === body.dataset.person ? bar.dataset.waits : put(bar.dataset.waitsFor, { name: entry.authorName });
  }

  function row(entry) {
    const item = document.createElement("li");
    item.className = entry.state === "waiting" ? "sending sending--waiting" : "sending sending--refused";
    const what = document.createElement("b");
    what.textContent = entry.what;
    const mine = entry.author === body.dataset.person;
    item.append(what, ` ${mine ? entry.detail : ""} · ${clock(entry.madeAt)} · ${stateOf(entry)}`);
    return item;
  }

  async function draw() {
    const entries = await store.all().catch(() => []);
    self.outbox.waiting = entries;
    const back = entries.filter((one) => one.state !== "waiting" && one.author === body.dataset.person);
    const waits = entries.filter((one) => one.state === "waiting");
    line("waiting", waits.length ? counted("waiting", waits.length) : "");
    line("refused", back.length ? counted("refused", back.length) : "");
    const here = job ? entries.filter((one) => one.job === job) : [];
    bar.querySelector("ul").replaceChildren(...here.map(row));
    const asOf = body.dataset.asOf ? put(bar.dataset.asOf, { time: clock(body.dataset.asOf) }) : "";
    line("network", asOf || (navigator.onLine ? "" : bar.dataset.offline));
    line("clock", apart > MOST_APART_MS ? put(bar.dataset.clock, { minutes: Math.round(apart / 60_000) }) : "");
    line("full", (await fullness())?.words ?? "");
    bar.hidden = ![...bar.querySelectorAll("[data-line]")].some((one) => !one.hidden) && !here.length;
  }

  // How full the device is, in words with its numbers, once that matters.
  async function fullness() {
    const { usage = 0, quota = 0 } = (await navigator.storage?.estimate?.().catch(() => null)) ?? {};
    const share = quota ? usage / quota : 0;
    if (share < WARN_AT) return { share, left: quota ? quota - usage : Infinity };
    const values = { percent: percent(share), used: megabytes(usage), whole: megabytes(quota) };
    const words = put(share >= REFUSE_PHOTOS_AT ? bar.dataset.noPhotos : bar.dataset.nearlyFull, values);
    return { share, left: quota - usage, words };
  }

  // Why an entry of this size finds no room; nothing is said of entries without photos, which are small.
  self.outbox.roomFor = async (size) => {
    if (!size) return "";
    const { share, left, words } = await fullness();
    if (share >= REFUSE_PHOTOS_AT) return words;
    return 1.1 * size > left ? put(bar.dataset.noRoom, { size: megabytes(size), left: megabytes(left) }) : "";
  };

  async function send() {
    clearTimeout(timer);
    const mine = (self.outbox.waiting ?? []).some((one) => one.state === "waiting" && one.author === body.dataset.person);
    if (!mine) return;
    const { state } = await sender.drain();
    const later = state === "busy" ? SHORTEST_PAUSE_MS : pause;
    pause = state === "unreachable" ? Math.min(2 * pause, LONGEST_PAUSE_MS) : SHORTEST_PAUSE_MS;
    timer = setTimeout(send, state === "unreachable" || state === "busy" ? later : LONGEST_PAUSE_MS);
  }

  async function wake() {
    pause = SHORTEST_PAUSE_MS;
    await draw();
    await send();
  }

  const dirty = () => [...document.querySelectorAll("main input, main textarea, main select")].some((one) =>
    one.type === "checkbox" || one.type === "radio" ? one.checked !== one.defaultChecked
      : one.type !== "hidden" && one.tagName !== "SELECT" && one.value !== one.defaultValue);

  // Show the page as the server has it now, unless somebody is writing on it. Without network it stays as it is.
  self.outbox.freshen = async ({ over = null } = {}) => {
    if (!over && dirty()) return;
    const response = await fetch(location.href).catch(() => null);
    if (!response?.ok) return;
    const page = new DOMParser().parseFromString(await response.text(), "text/html");
    if (page.body.dataset.person !== body.dataset.person || (!over && dirty())) return;
    delete body.dataset.asOf;
    for (const place of over ? [over] : ["main", "footer.bench__bar", ".bench__title"]) {
      const arrived = page.querySelector(place);
      document.querySelector(place).replaceWith(arrived);
      self.htmx?.process(arrived);
    }
    draw();
  };

  let freshening = 0;
  const told = [];

  // What the server said of the entries, such as a reading out of its limits.
  async function showSent() {
    await self.outbox.freshen();
    if (told.length) self.outbox.say(told.splice(0).join(" "), "success");
  }

  store.listen((news) => {
    draw();
    if (news.kept) {
      clearTimeout(timer);
      timer = setTimeout(send, SHORTEST_PAUSE_MS);
    }
    if (!news.sent || news.job !== job) return;
    clearTimeout(freshening);
    if (news.words) told.push(news.words);
    freshening = setTimeout(showSent, 300);
  });

  async function keepToday() {
    const options = { scope: "/", updateViaCache: "none" };
    await navigator.serviceWorker.register(`${body.dataset.bench}sw.js`, options);
    const ready = await navigator.serviceWorker.ready;
    if (navigator.onLine && !body.dataset.asOf) ready.active.postMessage("keep today");
  }

  if (bar) {
    addEventListener("online", wake);
    addEventListener("offline", draw);
    addEventListener("pageshow", wake);
    document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && wake());
    if (navigator.serviceWorker && body.dataset.person) keepToday().catch(() => {});
  }
}
