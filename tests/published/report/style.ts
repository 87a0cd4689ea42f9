/** Style of the report: paper and ink, slate in the dark, black on white in print. */
export const style = `
:root {
  color-scheme: light dark;
  --paper: light-dark(#faf8f3, #1c2227);
  --sheet: light-dark(#fffdf8, #242b31);
  --rule: light-dark(#e4e0d6, #343c43);
  --fine: light-dark(#efebe1, #2b3339);
  --edge: light-dark(#a39d8c, #68727a);
  --ink: light-dark(#1f2a37, #ece8de);
  --soft: light-dark(#545d69, #aeb5ba);
  --faint: light-dark(#6d747e, #8f989f);
  --one: light-dark(#1f2a37, #ece8de);
  --two: light-dark(#0b6e6e, #57c2ba);
  --three: light-dark(#a84a18, #ee9a63);
  --four: light-dark(#5b3fa0, #b8a4f2);
  --five: light-dark(#1d5fa6, #7fb4f2);
  --mark: light-dark(#c8890a, #e6b54f);
  --alias: light-dark(#a84a18, #ee9a63);
  --pale: light-dark(#b9b3a4, #5f6870);
  --fault: light-dark(#a3262a, #f3938a);
  --sans: ui-sans-serif, system-ui, -apple-system, "Segoe UI", "Noto Sans", "DejaVu Sans", sans-serif;
  --mono: ui-monospace, "SFMono-Regular", "Cascadia Mono", "Noto Sans Mono", "DejaVu Sans Mono", monospace;
}
* { box-sizing: border-box; }
html { scroll-padding-top: 1rem; }
body { margin: 0 auto; padding: 3.5rem clamp(1rem, 4vw, 3rem) 6rem; max-width: 78rem; background: var(--paper); color: var(--ink);
  font: 0.9375rem/1.55 var(--sans); font-variant-numeric: tabular-nums; -webkit-text-size-adjust: 100%; }
h1, h2, h3, p, dl, dd, ul, figure { margin: 0; }
.name { font-size: 0.8125rem; letter-spacing: 0.04em; color: var(--soft); }
h1 { font-size: clamp(1.9rem, 4.5vw, 2.75rem); line-height: 1.1; font-weight: 600; letter-spacing: -0.015em; margin: 0.2rem 0 1rem; }
h2 { font-size: 1.5rem; line-height: 1.2; font-weight: 600; letter-spacing: -0.01em; display: flex; gap: 0.75rem; align-items: baseline; }
.place { font: 400 1rem var(--mono); color: var(--faint); }
h3 { font-size: 0.875rem; line-height: 1.35; font-weight: 600; }
.lead { max-width: 44rem; color: var(--soft); }
.verdict { font-size: 1.125rem; margin: 1.25rem 0 0.75rem; font-weight: 600; }
.missed, .missed td, .missed th { color: var(--fault) !important; font-weight: 600; }
header dl { display: flex; flex-wrap: wrap; gap: 0.75rem 2rem; margin: 1.75rem 0 1.5rem; padding: 0.9rem 0; border-block: 1px solid var(--rule); }
dt { font-size: 0.75rem; color: var(--faint); }
dd { font-size: 1rem; }
code { font: 0.8125em var(--mono); }
a { color: inherit; text-underline-offset: 0.2em; text-decoration-color: var(--edge); }
a:hover { text-decoration-color: var(--ink); }
section { margin-top: 4.5rem; padding-top: 1.5rem; border-top: 2px solid var(--ink); }
section > .lead { margin: 0.5rem 0 1.75rem; }
.figures { display: grid; grid-template-columns: repeat(auto-fill, minmax(min(100%, 30rem), 1fr)); column-gap: 2.5rem; align-items: start; }
.small { grid-template-columns: repeat(auto-fill, minmax(min(100%, 20rem), 1fr)); }
figure { display: grid; grid-template: subgrid / minmax(0, 1fr); grid-row: span 3; row-gap: 0; margin-bottom: 2.5rem; }
.rows { display: block; }
.tables { grid-template-columns: repeat(auto-fill, minmax(min(100%, 22rem), 1fr)); }
figure { min-width: 0; break-inside: avoid; align-content: start; }
figure svg[role] { display: block; width: 100%; height: auto; margin-top: 0.5rem; overflow: visible; }
.keys { display: flex; flex-wrap: wrap; gap: 0.1rem 1rem; margin-top: 0.25rem; font-size: 0.75rem; color: var(--soft); }
.key { display: inline-flex; align-items: center; gap: 0.4rem; }
.key svg { width: 26px; height: 12px; flex: none; }
figcaption, .caption { margin-top: 0.35rem; font-size: 0.75rem; line-height: 1.45; color: var(--soft); padding-left: 8.2%; }
.small .caption, .caption { padding-left: 12.6%; }
.rows figcaption { padding-left: 0; }
figcaption code, .caption code { color: var(--faint); font-size: 0.6875rem; }
.source { color: var(--faint); }
figcaption .source::before, .caption .source::before { content: "Source: "; }

svg text { font-family: var(--sans); font-variant-numeric: tabular-nums; fill: var(--soft); font-size: 10.5px; }
svg .axis { fill: var(--soft); font-size: 10.5px; }
svg .note { fill: var(--soft); font-size: 10px; paint-order: stroke; stroke: var(--sheet); stroke-width: 3px; stroke-linejoin: round; }
svg .head { font-size: 10px; }
.panel { fill: var(--sheet); stroke: var(--edge); stroke-width: 0.8; }
.grid, .fine { stroke: var(--rule); stroke-width: 0.8; fill: none; }
.fine { stroke: var(--fine); }
.curve { fill: none; stroke-width: 1.5; stroke-linejoin: round; stroke-linecap: round; }
.stems { fill: none; stroke-width: 1.2; }
.area { stroke: none; fill-opacity: 0.85; }
.circles { fill: none; stroke-width: 1.1; }
.dots { stroke: none; }
.rule { fill: none; stroke-width: 1; }
.s-1 { stroke: var(--one); }
.s-2 { stroke: var(--two); }
.s-3 { stroke: var(--three); }
.s-4 { stroke: var(--four); }
.s-5 { stroke: var(--five); }
.curve.s-2 { stroke-dasharray: 7 3; }
.curve.s-3 { stroke-dasharray: 2 3; }
.curve.s-4 { stroke-dasharray: 9 3 2 3; }
.curve.s-5 { stroke-dasharray: 4 2 1 2 1 2; }
.dots.s-1, .area.s-1 { fill: var(--one); }
.dots.s-2, .area.s-2 { fill: var(--two); }
.dots.s-3, .area.s-3 { fill: var(--three); }
.dots.s-4, .area.s-4 { fill: var(--four); }
.dots.s-5, .area.s-5 { fill: var(--five); }
.area.s-2 { fill-opacity: 0.35; }
.s-published { stroke: var(--mark); }
.area.s-alias { fill: var(--alias); }
.curve.s-pale { stroke: var(--pale); stroke-width: 1.2; }
.s-zero { stroke: var(--edge); }
.s-limit { stroke: var(--mark); stroke-dasharray: 4 3; }
.bar { stroke: var(--pale); stroke-width: 1.5; fill: none; }
.rest { fill: var(--pale); }

table { border-collapse: collapse; width: 100%; font-size: 0.8125rem; }
th, td { text-align: left; vertical-align: top; padding: 0.25rem 1rem 0.25rem 0; border-bottom: 1px solid var(--rule); }
th { font-weight: 600; }
thead th { font-size: 0.75rem; font-weight: 400; color: var(--faint); border-bottom-color: var(--edge); }
td:last-child, th:last-child { padding-right: 0; }
.number, .rows td, .rows thead th:not(:first-child) { text-align: right; white-space: nowrap; }
.rows tbody th { font-weight: 400; }
.rows th, .rows td { padding-right: 0.6rem; }
.rows .found { font-weight: 600; }
.overview { max-width: 56rem; }
.share, .checks td:last-child { white-space: nowrap; }
.soft { color: var(--faint); }
.bar-box { display: inline-block; width: 6rem; height: 0.5rem; border: 1px solid var(--edge); vertical-align: baseline; margin-right: 0.4rem; }
.bar-fill { display: block; height: 100%; background: var(--two); }
details { margin-top: 2rem; font-size: 0.8125rem; }
summary { cursor: pointer; padding: 0.4rem 0; }
summary:hover { color: var(--two); }
.blocks .block th { padding-top: 1.1rem; border-bottom-color: var(--edge); font-size: 0.875rem; }
.blocks .block code { color: var(--faint); font-weight: 400; margin-left: 0.4rem; }
.blocks td:first-child { width: 48%; }
.blocks tbody { break-inside: avoid; }

@media (max-width: 40rem) {
  body { padding-top: 1.5rem; }
  section { margin-top: 3rem; }
  .checks td:nth-child(4), .checks th:nth-child(4) { display: none; }
  .bar-box { width: 3rem; }
  .scroll { overflow-x: auto; }
  figure svg[role] { width: 34rem; max-width: none; }
  .small svg[role] { width: 100%; }
}
@page { size: A4; margin: 14mm 13mm; }
@media print {
  :root { color-scheme: light; --paper: #fff; --sheet: #fff; --ink: #000; --one: #000; --soft: #222; --faint: #444; }
  body { max-width: none; padding: 0; font-size: 9pt; }
  section { margin-top: 0; padding-top: 4mm; break-before: page; }
  .figures { grid-template-columns: 1fr 1fr; column-gap: 7mm; }
  .small { grid-template-columns: 1fr 1fr 1fr; }
  figure { margin-bottom: 6mm; }
  h2, h3 { break-after: avoid; }
  summary { list-style: none; }
  table { font-size: 8pt; }
  tr { break-inside: avoid; }
}
`;
