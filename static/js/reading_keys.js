// Keys for readings: they fill the row that was touched last, "Next" goes to the next empty one, and after the last
// row to the button that saves. The device's own keys stay away until "Type text" asks for them, for a unit or a word.
"use strict";
{
  const rows = () => [...document.querySelectorAll("input[data-row]")];
  let field = null;

  function changed() {
    field.dispatchEvent(new Event("input", { bubbles: true }));
  }

  function typed(text) {
    const start = field.selectionStart ?? field.value.length;
    const end = field.selectionEnd ?? start;
    field.setRangeText(text, start, end, "end");
    changed();
  }

  function back() {
    if (field.selectionStart === field.selectionEnd && field.selectionStart > 0) field.setSelectionRange(field.selectionStart - 1, field.selectionEnd);
    typed("");
  }

  function next() {
    const all = rows();
    const after = all.slice(all.indexOf(field) + 1);
    const target = after.find((one) => !one.value) ?? after[0];
    if (target) target.focus();
    else document.querySelector(".bench__bar .button--main")?.focus();
  }

  function own() {
    field.inputMode = field.inputMode === "none" ? "text" : "none";
    field.blur();
    field.focus();
  }

  const ACTS = { point: () => typed("."), minus: () => typed("-"), back, next, abc: own };

  function press(key) {
    if (!field) rows()[0]?.focus();
    if (field) (ACTS[key] ?? (() => typed(key)))();
  }

  const keys = document.querySelector("[data-reading-keys]");
  // A mouse and a keyboard need no drawn keys.
  if (keys && matchMedia("(pointer: coarse)").matches && rows().length) {
    keys.hidden = false;
    rows().forEach((one) => { one.inputMode = "none"; });
    document.addEventListener("focusin", (event) => { if (event.target.matches("input[data-row]")) field = event.target; });
    // The row keeps its caret while keys are pressed.
    keys.addEventListener("pointerdown", (event) => event.preventDefault());
    keys.addEventListener("click", (event) => {
      const key = event.target.closest("[data-key]")?.dataset.key;
      if (key) press(key);
    });
  }
  document.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || !event.target.matches("input[data-row]")) return;
    event.preventDefault();
    field = event.target;
    next();
  });
  document.addEventListener("click", (event) => {
    const pick = event.target.closest("[data-fill]");
    if (pick) document.getElementById(pick.dataset.fill).value = pick.dataset.value;
  });
}
