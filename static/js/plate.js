// The nameplate's form: a mark typed in a field ("-" not on the plate, "?" illegible, "~" before a value known from
// elsewhere) and the choice beside it say the same thing at once. The form works without it: the server reads the marks.
"use strict";

const MARKS = { missing: "-", illegible: "?" };

function markOf(text) {
  if (/^[-\u2013\u2014\u2212]+$/.test(text)) return "missing";
  return /^\?+$/.test(text) ? "illegible" : "";
}

function said(row) {
  return row.querySelector(".plate-row__said");
}

document.addEventListener("input", (event) => {
  const field = event.target.closest?.("[data-plate-value]");
  const row = field?.closest("[data-plate-row]");
  const state = row?.querySelector("[data-plate-state]");
  if (!state) return;
  const value = field.value.trim();
  const mark = markOf(value);
  // What was understood is of what stood there before.
  said(row)?.remove();
  if (mark) state.value = mark;
  else if (value.startsWith("~")) state.value = "inferred";
  else if (value && (MARKS[state.value] || (state.value === "inferred" && field.tagName !== "SELECT"))) state.value = "read";
});

document.addEventListener("change", (event) => {
  const state = event.target.closest?.("[data-plate-state]");
  const field = state?.closest("[data-plate-row]")?.querySelector("[data-plate-value]");
  if (!field) return;
  const value = field.value.trim();
  if (MARKS[state.value]) field.value = MARKS[state.value];
  else if (markOf(value)) field.value = "";
  else if (field.tagName === "SELECT") return;
  else if (state.value !== "inferred") field.value = value.replace(/^~\s*/, "");
  else if (value && !value.startsWith("~")) field.value = `~${value}`;
});
