// The whole screen for the drawing of the stack, where the browser allows it.
"use strict";

const button = document.querySelector("[data-full-screen]");
if (button && document.fullscreenEnabled) {
  button.addEventListener("click", () => {
    if (document.fullscreenElement) document.exitFullscreen();
    else document.documentElement.requestFullscreen();
  });
} else if (button) button.hidden = true;
