// What every page's shell needs beyond htmx: the light/dark choice, focus after a fragment arrives,
// and words when the network or the server did not answer. Pages work without it.
"use strict";

const root = document.documentElement;

function isDark() {
  const chosen = root.dataset.theme;
  return chosen ? chosen === "dark" : matchMedia("(prefers-color-scheme: dark)").matches;
}

function switchTheme(button) {
  const theme = isDark() ? "light" : "dark";
  root.dataset.theme = theme;
  button.setAttribute("aria-pressed", String(theme === "dark"));
  document.cookie = `theme=${theme};path=/;max-age=31536000;samesite=lax`;
}

for (const button of document.querySelectorAll("[data-theme-switch]")) {
  button.hidden = false;
  button.setAttribute("aria-pressed", String(isDark()));
  button.addEventListener("click", () => switchTheme(button));
}

// A refused form puts the reader at its summary of errors; other fragments may name their own place.
document.addEventListener("htmx:afterSettle", (event) => {
  const arrived = event.detail.elt;
  const place = arrived.matches("[data-focus]") ? arrived : arrived.querySelector("[data-focus]");
  if (place) place.focus();
});

function say(text) {
  const region = document.getElementById("messages");
  if (!region || !text) return;
  const line = document.createElement("p");
  line.className = "message message--error";
  line.textContent = text;
  region.replaceChildren(line);
}

// What the outbox keeps on the device is not lost, and it says so itself.
function sayUnreachable(event) {
  if (!event.target.closest?.("[data-outbox]")) say(document.getElementById("messages")?.dataset.unreachable);
}

document.addEventListener("htmx:sendError", sayUnreachable);
document.addEventListener("htmx:timeout", sayUnreachable);
// A server in trouble for a while says so by 503; what it could not save is still on the page.
function sayFailed(event) {
  const busy = event.detail.xhr.status === 503;
  if (busy && event.target.closest?.("[data-outbox]")) return;
  const words = document.getElementById("messages")?.dataset;
  say(busy ? words?.busy : words?.failed);
}

document.addEventListener("htmx:responseError", sayFailed);
document.addEventListener("htmx:beforeRequest", () => document.querySelector("#messages > .message--error")?.remove());
