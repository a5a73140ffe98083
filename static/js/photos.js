// Marks by tapping the photo. Without this script the grid of squares places them.
"use strict";

const frame = document.querySelector("[data-marking]");
const form = document.getElementById("mark-form");
if (frame && form) {
  form.querySelector("[data-hint]").hidden = false;
  form.querySelector("[data-square]").hidden = true;
  form.querySelector("[data-square-button]").hidden = true;
  frame.addEventListener("click", (event) => {
    const box = frame.querySelector("img").getBoundingClientRect();
    form.elements.x.value = ((event.clientX - box.left) / box.width).toFixed(4);
    form.elements.y.value = ((event.clientY - box.top) / box.height).toFixed(4);
    if (!form.reportValidity()) return;
    form.requestSubmit();
  });
}
