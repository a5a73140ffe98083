// Live scanning where the browser reads codes itself. Elsewhere the picture goes to the server, which reads it.
"use strict";

const form = document.getElementById("scan-form");
const place = document.querySelector("[data-scan]");
const state = document.querySelector("[data-scan-state]");

document.querySelector("[data-send-at-once]")?.addEventListener("change", (event) => {
  if (event.target.files.length) form.requestSubmit();
});

async function look() {
  if (!("BarcodeDetector" in window) || !navigator.mediaDevices?.getUserMedia) return;
  if (!(await BarcodeDetector.getSupportedFormats()).includes("qr_code")) return;
  place.hidden = false;
  const video = place.querySelector("video");
  try {
    video.srcObject = await navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment" } });
  } catch {
    state.textContent = state.dataset.blocked;
    return;
  }
  await video.play();
  state.textContent = state.dataset.looking;
  const reader = new BarcodeDetector({ formats: ["qr_code"] });
  const timer = setInterval(async () => {
    const [found] = await reader.detect(video).catch(() => []);
    if (!found) return;
    clearInterval(timer);
    for (const track of video.srcObject.getTracks()) track.stop();
    form.elements.code.value = found.rawValue;
    form.requestSubmit();
  }, 250);
}

if (place && form) look();
