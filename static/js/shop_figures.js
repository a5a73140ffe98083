// Times, dates and numbers as the shop writes them: the page's body says how (data-style), as the server writes its own.
"use strict";
{
  const { lang } = document.documentElement;
  const [hourCycle, timeZone, thousands, percentSign] = JSON.parse(document.body.dataset.style);
  // English pages put the month first, whatever the clock.
  const language = lang === "en" ? "en-US" : lang;
  // The browser sets narrow spaces of its own before AM and PM.
  const written = (iso, options) =>
    new Intl.DateTimeFormat(language, { hourCycle, timeZone, ...options }).format(new Date(iso)).replaceAll("\u202f", " ");

  self.outbox.clock = (iso) => written(iso, { timeStyle: "short" });
  self.outbox.moment = (iso) => written(iso, { dateStyle: "medium", timeStyle: "short" });
  self.outbox.whole = (number) => String(Math.round(number)).replace(/\B(?=(\d{3})+$)/g, thousands);
  self.outbox.percent = (share) => `${Math.round(100 * share)}${percentSign}`;
}
