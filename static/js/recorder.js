// Reorder the stack by dragging (mouse, pen or finger) and by keyboard. Buttons do the same without this script.
"use strict";

let dragged = null;

function send(list, uid, place) {
  const form = list.closest("form");
  const values = { do: `place:${uid}:${place}` };
  window.htmx.ajax("POST", list.dataset.act, { source: form, target: "#recorder", swap: "outerHTML", values });
}

function items(list) {
  return [...list.querySelectorAll(":scope > .item:not([data-fixed])")];
}

function placeAt(list, y) {
  return items(list).filter((item) => {
    const box = item.getBoundingClientRect();
    return item !== dragged && y > box.top + box.height / 2;
  }).length;
}

document.addEventListener("pointerdown", (event) => {
  const handle = event.target.closest("[data-sortable] .item__no");
  if (!handle || handle.closest("[data-fixed]")) return;
  dragged = handle.closest(".item");
  dragged.classList.add("item--dragged");
  handle.setPointerCapture(event.pointerId);
  event.preventDefault();
});

document.addEventListener("pointermove", (event) => {
  if (!dragged) return;
  const list = dragged.closest("[data-sortable]");
  const others = items(list).filter((item) => item !== dragged);
  const place = placeAt(list, event.clientY);
  list.insertBefore(dragged, others[place] ?? list.querySelector("[data-fixed]"));
});

document.addEventListener("pointerup", () => {
  if (!dragged) return;
  const list = dragged.closest("[data-sortable]");
  const place = items(list).indexOf(dragged);
  const uid = dragged.dataset.uid;
  dragged.classList.remove("item--dragged");
  dragged = null;
  send(list, uid, place);
});

document.addEventListener("pointercancel", () => {
  dragged?.classList.remove("item--dragged");
  dragged = null;
});

document.addEventListener("keydown", (event) => {
  if (!event.altKey || !["ArrowUp", "ArrowDown"].includes(event.key)) return;
  const item = event.target.closest?.("[data-sortable] .item:not([data-fixed])");
  if (!item) return;
  event.preventDefault();
  const list = item.closest("[data-sortable]");
  const place = items(list).indexOf(item) + (event.key === "ArrowDown" ? 1 : -1);
  if (place >= 0 && place < items(list).length) send(list, item.dataset.uid, place);
});
