// Keeps what is entered at the bench on the device before it is sent. A form that is marked data-outbox is an ordinary
// form: without this script the browser sends it. With it an entry survives a reload, a flat battery and a dead network.
"use strict";
{
  const { store, sender } = self.outbox;
  const { body } = document;
  const ANSWER_WITHIN_MS = 12_000;
  const words = (key) => document.getElementById("outbox")?.dataset[key] ?? "";

  function say(text, kind = "warning") {
    const region = document.getElementById("messages");
    const line = document.createElement("p");
    line.className = `message message--${kind}`;
    line.textContent = text;
    region?.replaceChildren(line);
    region?.scrollIntoView({ block: "center" });
  }

  // A form that was kept, or a page that was kept, must not use its key for other contents.
  function renewKey(form) {
    const key = form.elements.form_key;
    if (key) key.value = store.newKey();
  }

  const labelOf = (control) =>
    [...(control?.labels?.[0]?.childNodes ?? [])].filter((node) => node.nodeType === Node.TEXT_NODE)
      .map((node) => node.textContent.trim()).filter(Boolean).join(" ");

  function actOf(form, pressed, fields) {
    const act = store.field({ fields }, "do");
    const [verb, uid, place] = act.split(":");
    if (verb === "place") {
      const part = form.querySelector(`[data-uid="${CSS.escape(uid)}"] .visually-hidden`)?.textContent ?? uid;
      return form.dataset.outboxMove.replace("{part}", part.replace(/:\s*$/, "")).replace("{place}", Number(place) + 1);
    }
    const button = pressed ?? [...form.elements].find((one) => one.name === "do" && one.value === act);
    // The button of a face shows the face and says the act to those who cannot see it.
    const said = verb === "turn" ? button?.querySelector(".visually-hidden")?.textContent : null;
    return (said ?? button?.textContent ?? "").replace(/\s+/g, " ").replace(/^[\s,]+/, "").trim();
  }

  // A picture that has more pixels than the shop keeps is made smaller here, where the browser can read it.
  async function fitted(file, control) {
    const { mostPixels, sentPixels, scaled } = control?.dataset ?? {};
    if (!mostPixels || !file.size) return file;
    const picture = new Image();
    picture.src = URL.createObjectURL(file);
    try {
      await new Promise((resolve, reject) => Object.assign(picture, { onload: resolve, onerror: reject }));
      const pixels = picture.naturalWidth * picture.naturalHeight;
      if (pixels <= Number(mostPixels)) return file;
      const share = Math.sqrt(Number(sentPixels) / pixels);
      const canvas = document.createElement("canvas");
      canvas.width = Math.round(picture.naturalWidth * share);
      canvas.height = Math.round(picture.naturalHeight * share);
      canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
      const small = await new Promise((resolve) => canvas.toBlob(resolve, "image/jpeg", 0.9));
      if (!small) return file;
      const millions = (count) => Math.round(count / 1e6);
      say(scaled.replace("{name}", file.name).replace("{pixels}", millions(pixels)).replace("{kept}", millions(sentPixels)), "info");
      return small;
    } catch {
      return file;
    } finally {
      URL.revokeObjectURL(picture.src);
    }
  }

  async function entryOf(form, url, pairs, pressed) {
    const fields = [];
    const files = [];
    const labels = {};
    const chosen = {};
    for (const [name, value] of pairs) {
      if (value instanceof File) {
        // Read now: what lies behind a file of the camera may be gone when it is sent.
        const small = await fitted(value, form.elements[name]);
        const blob = new Blob([await small.arrayBuffer()], { type: small.type });
        if (value.name) files.push({ field: name, name: value.name, blob });
      } else if (name !== "csrfmiddlewaretoken" && name !== "form_key") {
        fields.push([name, value]);
        const control = form.elements[name];
        const label = labelOf(control);
        if (label && control.type === "select-one") chosen[label] = control.selectedOptions[0]?.textContent.trim();
        else if (label && control.type !== "checkbox") labels[name] = label;
      }
    }
    const { outbox: kind, outboxWhat: what, outboxDetail: detail = "", outboxRecord: record = "" } = form.dataset;
    const typed = detail.split(" ").map((name) => store.field({ fields }, name)).filter(Boolean);
    // The recorder's form carries the note along with every act; only where it is the act can it be put right.
    if (kind === "stack" && !store.field({ fields }, "do").startsWith("describe")) delete labels.note;
    const acts = kind === "stack" || kind === "sign_off" ? [actOf(form, pressed, fields)] : [];
    return {
      id: form.elements.form_key?.value || store.newKey(),
      author: body.dataset.person,
      authorName: body.dataset.name,
      device: body.dataset.device,
      job: url.match(/\/jobs\/([^/]+)\//)?.[1] ?? "",
      kind, what, url, fields, files, labels, chosen, record,
      detail: [...acts, ...typed, ...files.map((file) => file.name)].filter(Boolean).join(" · ").slice(0, 160),
      page: location.pathname + location.search,
      size: files.reduce((sum, file) => sum + file.blob.size, 0),
      madeAt: new Date().toISOString(),
      state: "waiting",
    };
  }

  // Put an entry on the device; say so, or say why not. What is typed stays on the form until it is kept.
  async function keep(form, entry) {
    const full = await self.outbox.roomFor?.(entry.size);
    if (full) {
      say(full, "error");
      return false;
    }
    try {
      await store.add(entry);
    } catch (error) {
      say(words(error?.name === "QuotaExceededError" ? "full" : "unkept"), "error");
      return false;
    }
    renewKey(form);
    navigator.storage?.persist?.().catch(() => {});
    return true;
  }

  const pressedPair = (pressed) => (pressed?.name ? [[pressed.name, pressed.value]] : []);

  async function submitted(form, pressed) {
    const url = new URL(pressed?.hasAttribute("formaction") ? pressed.formAction : form.action);
    const pairs = [...new FormData(form), ...pressedPair(pressed)];
    const entry = await entryOf(form, url.pathname + url.search, pairs, pressed);
    if (!(await keep(form, entry))) return;
    const progress = form.querySelector("progress");
    // Once nobody waits at the form any more, what the server answers belongs on the bar and in the outbox.
    const watch = { id: entry.id, over: false };
    const outcome = await Promise.race([
      sender.drain({ watch, progress: (event) => show(progress, event) }),
      new Promise((resolve) => setTimeout(resolve, ANSWER_WITHIN_MS + entry.size / 8, { state: "unreachable" })),
    ]);
    watch.over = true;
    if (progress) progress.hidden = true;
    settle(form, outcome.state === "waiting" ? await sentElsewhere(entry) : outcome);
  }

  // Another page of this device, or the worker, may have sent it first.
  async function sentElsewhere(entry) {
    const left = (await store.all()).find((one) => one.id === entry.id);
    return left ?? { state: "done", url: entry.job ? `${body.dataset.bench}jobs/${entry.job}/` : entry.page };
  }

  // What waits goes out from any page that is opened. Where the browser can wake the worker, that helps too.
  function sayKept(key) {
    say(words(key));
    navigator.serviceWorker?.ready.then((one) => one.sync?.register("outbox")).catch(() => {});
  }

  function show(progress, event) {
    if (!progress || !event.lengthComputable) return;
    progress.hidden = false;
    // All is sent: the server reads the pictures now, and how long that takes nobody knows beforehand.
    if (event.loaded >= event.total) progress.removeAttribute("value");
    else progress.value = (100 * event.loaded) / event.total;
  }

  function settle(form, answer) {
    if (answer.state === "done") {
      if (!document.getElementById("photos")?.contains(form)) location.assign(answer.url);
      else {
        self.outbox.freshen({ over: "#photos" });
        if (answer.words) say(answer.words, answer.files?.length ? "warning" : "info");
      }
    } else if (answer.page && form.dataset.outbox !== "photo") {
      showPage(answer.page);
    } else if (answer.words) {
      // The chosen photos stay chosen; only the reason is new.
      say(answer.words, "error");
    } else {
      form.reset();
      sayKept(answer.state === "signed_out" ? "signIn" : "kept");
      // A shared tablet asks for the PIN and leads back here, where the entry then goes out.
      if (answer.state === "signed_out" && body.dataset.device) location.reload();
    }
  }

  // The server's own page of a refusal, with everything that was typed.
  function showPage(html) {
    const page = new DOMParser().parseFromString(html, "text/html");
    for (const place of ["main", "footer.bench__bar"]) {
      document.querySelector(place).replaceWith(page.querySelector(place));
    }
    self.htmx?.process(document.querySelector("main"));
    (document.querySelector("main [data-focus], main [aria-invalid=true]") ?? document.querySelector("main")).focus();
  }

  document.addEventListener("submit", (event) => {
    const form = event.target;
    const pressed = event.submitter;
    if (event.defaultPrevented || form.hasAttribute("hx-post")) return;
    const keeps = form.dataset.outbox && !pressed?.hasAttribute("data-outbox-not");
    if (keeps && self.indexedDB && body.dataset.person) {
      event.preventDefault();
      if (form.dataset.busy) return;
      form.dataset.busy = "yes";
      submitted(form, pressed).finally(() => delete form.dataset.busy);
    } else if (form.method === "post" && !navigator.onLine) {
      event.preventDefault();
      say(words("online"), "error");
    }
  });

  // The recorder speaks through htmx. What the network swallowed is kept and sent later, in its order.
  // An act must not overtake those that wait; where one came back, its author looks at the record itself.
  function queued(form) {
    const before = (self.outbox.waiting ?? []).filter(
      (entry) => entry.author === body.dataset.person && entry.record === form.dataset.outboxRecord,
    );
    return before.length > 0 && before.every((entry) => entry.state === "waiting");
  }

  async function keepAct(form, config) {
    const { path, formData } = config;
    const entry = await entryOf(form, new URL(path, location).pathname, [...formData], null);
    if (await keep(form, entry)) {
      sayKept("keptAct");
      document.getElementById("undo")?.removeAttribute("disabled");
    }
    sender.drain();
  }

  const actForm = (event) => {
    const form = event.target.closest?.("form[data-outbox][hx-post]");
    return form && event.detail.requestConfig?.verb === "post" ? form : null;
  };

  document.addEventListener("htmx:beforeRequest", (event) => {
    const form = actForm(event);
    if (!form || (!queued(form) && navigator.onLine)) return;
    event.preventDefault();
    keepAct(form, event.detail.requestConfig);
  });

  for (const name of ["htmx:sendError", "htmx:timeout", "htmx:responseError"]) {
    document.addEventListener(name, (event) => {
      const form = actForm(event);
      const answered = name === "htmx:responseError" && !sender.isTrouble(event.detail.xhr.status);
      if (form && !answered) keepAct(form, event.detail.requestConfig);
      // A link that fetches a fragment leads to the whole page, which the tablet may have kept.
      const link = event.target.closest?.("a[href][hx-get], a[data-ref]");
      if (link && !answered && event.detail.requestConfig?.verb === "get") location.assign(link.getAttribute("href"));
    });
  }

  if (body.dataset.asOf) for (const form of document.forms) renewKey(form);

  Object.assign(self.outbox, { say, words });
}
