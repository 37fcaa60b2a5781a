// The charts of the last bench sheet, drawn on the phone from the descriptions that pages and papers are drawn from.

import { drawChart } from "./charts.js";
import { say } from "./bench_said.js";
import { el, link } from "./bench_parts.js";

export function chartsScreen({ world, visit }) {
  const { sheet } = world;
  const drawn = Object.values(sheet.charts || {}).map((chart) => {
    const place = el("div");
    drawChart(place, chart);
    return place;
  });
  return {
    title: say("charts"),
    nodes: [el("p", { class: "soft" }, say("as_of", { when: sheet.as_of.words })), drawn, link("act", say("bench"), "/bench", visit)],
  };
}
