// A shared tablet: keys for the PIN, the wait after a wrong one, and sending on what was kept while the PIN was
// asked. A page that somebody reads with full hands stays; the PIN is asked when they touch it again.
"use strict";
{
  function press(field, key) {
    if (key === "clear") field.value = "";
    else if (key === "back") field.value = field.value.slice(0, -1);
    else if (field.value.length < field.maxLength) field.value += key;
  }

  function show(keypad) {
    const field = document.getElementById(keypad.dataset.keypad);
    keypad.hidden = false;
    // The drawn keys stand in for the device's own, which would cover them.
    field.inputMode = "none";
    keypad.addEventListener("click", (event) => {
      const key = event.target.closest("[data-key]")?.dataset.key;
      if (key) press(field, key);
    });
  }

  function hold(form) {
    const button = form.querySelector("[type=submit]");
    button.disabled = true;
    setTimeout(() => { button.disabled = false; }, 1000 * Number(form.dataset.wait));
  }

  function prepare(root) {
    root.querySelectorAll("[data-keypad][hidden]").forEach(show);
    root.querySelectorAll("form[data-wait]").forEach(hold);
  }

  prepare(document);
  document.addEventListener("htmx:afterSettle", (event) => prepare(event.detail.elt));
  document.querySelector("form[data-send-on]")?.requestSubmit();
}
