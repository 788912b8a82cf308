// Steps through the points of a chart: keys left and right, or the pointer.
"use strict";

for (const chart of document.querySelectorAll(".trend")) {
  const readout = document.getElementById(chart.getAttribute("aria-describedby"));
  const shown = () => [...chart.querySelectorAll("svg")].find((svg) => svg.getBoundingClientRect().width > 0);
  const points = () => [...shown().querySelectorAll('[id*="point-"]')];
  let at = -1;
  const show = (i) => {
    const all = points();
    at = Math.min(Math.max(i, 0), all.length - 1);
    for (const p of chart.querySelectorAll(".here")) p.classList.remove("here");
    all[at].classList.add("here");
    readout.textContent = said("%s of %s: %s", at + 1, all.length, all[at].getAttribute("aria-label"));
  };
  chart.addEventListener("keydown", (e) => {
    const to = { ArrowLeft: at - 1, ArrowRight: at + 1, Home: 0, End: Infinity }[e.key];
    if (to === undefined) return;
    e.preventDefault();
    show(at < 0 && e.key === "ArrowLeft" ? Infinity : to);
  });
  chart.addEventListener("focus", () => { if (at < 0 && chart.matches(":focus-visible")) show(Infinity); });
  chart.addEventListener("pointermove", (e) => {
    const far = points().map((p, i) => [Math.abs(p.getBoundingClientRect().left + p.getBoundingClientRect().width / 2 - e.clientX), i]);
    show(far.sort((a, b) => a[0] - b[0])[0][1]);
  });
}
