// The page of what waits on this device: each entry with its state; one that came back with the reason and both
// versions, to be changed and sent again, or taken back.
"use strict";
{
  const { store, sender, say, moment } = self.outbox;
  const list = document.getElementById("outbox-list");
  const form = document.getElementById("outbox-entry");
  const { body } = document;

  const mine = (entry) => entry.author === body.dataset.person;

  function stateOf(entry, held) {
    const words = list.dataset;
    if (entry.state === "conflict") return words.conflict;
    if (entry.state === "refused") return words.refused;
    if (held) return words.held;
    if (entry.code) return words.trouble.replace("{code}", entry.code);
    return mine(entry) ? words.waits : words.waitsFor.replace("{name}", entry.authorName);
  }

  function fill(card, name, text) {
    const place = card.querySelector(`[data-slot="${name}"]`);
    place.textContent = text;
    place.hidden = !text;
  }

  function lines(card, name, texts) {
    const place = card.querySelector(`[data-slot="${name}"]`);
    place.replaceChildren(...texts.map((text) => Object.assign(document.createElement("li"), { textContent: text })));
    place.closest("[data-version]").hidden = !texts.length;
  }

  // The fields that somebody typed, to be put right here; numbers of versions and buttons stay as they are.
  function fieldsOf(entry, card) {
    const place = card.querySelector('[data-slot="fields"]');
    for (const [index, [name, value]] of entry.fields.entries()) {
      if (!entry.labels[name]) continue;
      const id = `entry-${entry.n}-${index}`;
      const label = Object.assign(document.createElement("label"), { textContent: entry.labels[name], htmlFor: id });
      label.className = "field__label";
      const long = value.length > 80 || value.includes("\n");
      const control = document.createElement(long ? "textarea" : "input");
      Object.assign(control, { id, name: String(index), value, className: "control" });
      const both = Object.assign(document.createElement("div"), { className: long ? "outbox-card__long" : "" });
      both.append(label, control);
      place.append(both);
    }
    place.hidden = !place.children.length;
  }

  function written(entry) {
    if (entry.mine?.length) return entry.mine;
    const typed = entry.fields.filter(([name, value]) => entry.labels[name] && value);
    const lines = typed.map(([name, value]) => `${entry.labels[name]}: ${value}`);
    return [...lines, ...Object.entries(entry.chosen ?? {}).map(([label, text]) => `${label}: ${text}`)];
  }

  async function sendAgain(entry, card) {
    for (const control of card.querySelectorAll("[data-slot=fields] [name]")) {
      entry.fields[Number(control.name)][1] = control.value;
    }
    if (Number.isInteger(entry.version)) {
      entry.fields = entry.fields.map(([name, value]) => [name, name === "version" ? String(entry.version) : value]);
    }
    Object.assign(entry, { id: store.newKey(), state: "waiting", words: "", mine: [], theirs: [], version: null, code: null });
    await store.put(entry);
    const outcome = await sender.drain({ watch: "" });
    if (outcome.state === "unreachable") say(list.dataset.unreachable);
  }

  async function takeBack(entry, button) {
    if (!button.dataset.asked) {
      button.dataset.asked = "yes";
      button.textContent = list.dataset.reallyTakeBack;
      return;
    }
    await store.remove(entry, {});
    sender.drain();
  }

  function card(entry, held) {
    const made = form.content.cloneNode(true).firstElementChild;
    made.dataset.entry = entry.id;
    fill(made, "what", entry.what);
    fill(made, "detail", mine(entry) ? entry.detail : "");
    fill(made, "when", `${entry.authorName} · ${moment(entry.madeAt)}`);
    fill(made, "state", stateOf(entry, held));
    const job = made.querySelector('[data-slot="job"]');
    job.textContent = entry.job;
    job.href = `${body.dataset.bench}jobs/${entry.job}/`;
    made.querySelector('[data-slot="state"]').className =
      entry.state === "waiting" ? "sending sending--waiting" : "sending sending--refused";
    const back = entry.state !== "waiting" && mine(entry);
    made.querySelector("[data-back]").hidden = made.querySelector("[data-again]").hidden = !back;
    made.querySelector("[data-take-back]").hidden = !mine(entry);
    made.querySelector("[data-take-back]").addEventListener("click", (event) => takeBack(entry, event.currentTarget));
    if (back) {
      const code = entry.code ? list.dataset.code.replace("{code}", entry.code) : "";
      fill(made, "words", entry.words || code);
      fieldsOf(entry, made);
      // Without a second version there is nothing to compare: the fields below say what was written.
      const compared = entry.theirs?.length || made.querySelector('[data-slot="fields"]').hidden;
      lines(made, "mine", compared ? written(entry) : []);
      lines(made, "theirs", entry.theirs ?? []);
      made.querySelector("[data-again]").addEventListener("click", () => sendAgain(entry, made));
    }
    return made;
  }

  async function draw() {
    const entries = await store.all();
    const came = new Set(entries.filter((one) => one.state !== "waiting" && one.record).map((one) => one.record));
    const heldBy = (one) => one.state === "waiting" && came.has(one.record);
    const open = document.activeElement?.closest?.("[data-entry]");
    // Somebody is putting an entry right: nothing moves under their hands.
    if (open && document.activeElement.matches("input, textarea")) return;
    list.querySelector("ol").replaceChildren(...entries.map((one) => card(one, heldBy(one))));
    list.querySelector("[data-none]").hidden = entries.length > 0;
    document.getElementById("outbox-send").disabled = !entries.some((one) => one.state === "waiting" && mine(one));
  }

  document.getElementById("outbox-send").addEventListener("click", async () => {
    const { state } = await sender.drain();
    if (state === "unreachable") say(list.dataset.unreachable);
    if (state === "signed_out") say(list.dataset.signIn);
  });
  store.listen(draw);
  draw();
}
