// Reorder the stack by dragging a number (mouse, pen or finger) and by keyboard. Buttons do the same without this script.
"use strict";

let dragged = null;
let began = -1;

function items(list) {
  return [...list.querySelectorAll(":scope > .item:not([data-fixed])")];
}

function send(list, uid, place) {
  const form = list.closest("form");
  const values = { do: `place:${uid}:${place}` };
  window.htmx.ajax("POST", list.dataset.act, { source: form, target: "#recorder", swap: "outerHTML", values });
}

function put(list, item, place) {
  const others = items(list).filter((other) => other !== item);
  list.insertBefore(item, others[place] ?? list.querySelector("[data-fixed]"));
}

function placeAt(list, y) {
  return items(list).filter((item) => {
    const box = item.getBoundingClientRect();
    return item !== dragged && y > box.top + box.height / 2;
  }).length;
}

function letGo(sending) {
  if (!dragged) return;
  const item = dragged;
  const list = item.closest("[data-sortable]");
  const place = items(list).indexOf(item);
  item.classList.remove("item--dragged");
  dragged = null;
  if (place === began) return;
  if (!sending) {
    put(list, item, began);
    return;
  }
  const back = began;
  // The list shows the new order at once; when the network fails it goes back to what is stored.
  document.addEventListener("htmx:sendError", () => item.isConnected && put(list, item, back), { once: true });
  send(list, item.dataset.uid, place);
}

document.addEventListener("pointerdown", (event) => {
  const handle = event.target.closest("[data-sortable] .item__no");
  if (!handle || handle.closest("[data-fixed]")) return;
  dragged = handle.closest(".item");
  began = items(dragged.closest("[data-sortable]")).indexOf(dragged);
  dragged.classList.add("item--dragged");
  handle.setPointerCapture(event.pointerId);
  event.preventDefault();
});

document.addEventListener("pointermove", (event) => {
  if (!dragged) return;
  const list = dragged.closest("[data-sortable]");
  const place = placeAt(list, event.clientY);
  if (place !== items(list).indexOf(dragged)) put(list, dragged, place);
});

document.addEventListener("pointerup", () => letGo(true));
document.addEventListener("pointercancel", () => letGo(false));

document.addEventListener("keydown", (event) => {
  if (event.key === "Escape") letGo(false);
  if (!event.altKey || !["ArrowUp", "ArrowDown"].includes(event.key)) return;
  const item = event.target.closest?.("[data-sortable] .item:not([data-fixed])");
  if (!item) return;
  event.preventDefault();
  const list = item.closest("[data-sortable]");
  const place = items(list).indexOf(item) + (event.key === "ArrowDown" ? 1 : -1);
  if (place >= 0 && place < items(list).length) send(list, item.dataset.uid, place);
});
