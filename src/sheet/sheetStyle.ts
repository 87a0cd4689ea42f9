/** Style of the printed sheet: black on white, A4 and Letter alike. */
export const sheetStyle = `
@page { margin: 14mm 15mm 15mm; }
@page wide { size: landscape; margin: 12mm; }
* { box-sizing: border-box; }
html { background: #e9e7e1; }
body { margin: 0 auto; padding: 14mm 15mm 15mm; max-width: 210mm; background: #fff; color: #000;
  font: 10pt/1.42 ui-sans-serif, system-ui, "DejaVu Sans", sans-serif; }
h1 { font-size: 19pt; line-height: 1.15; margin: 0 0 1mm; }
h2 { font-size: 11.5pt; margin: 5mm 0 1mm; padding-bottom: .6mm; border-bottom: .4pt solid #000; break-after: avoid; }
h3, h4, h5, h6 { font-size: 10pt; margin: 3mm 0 1mm; break-after: avoid; }
p, ul, ol { margin: 0 0 1.8mm; }
ul, ol { padding-left: 5mm; }
.summary { font-size: 11.5pt; margin-bottom: 1mm; }
.parts { margin: 2mm 0 0; }
.fault { border: 1pt solid #000; padding: 1.5mm 2.5mm; font-weight: 600; }
figure { margin: 4mm 0 2mm; break-inside: avoid; }
figure > svg { display: block; max-width: 100%; height: auto; margin: 0 auto; }
figcaption { font-size: 8pt; margin-top: 2mm; }
.legend svg { vertical-align: middle; margin: 0 1.2mm 0 3.5mm; }
.legend svg:first-child { margin-left: 0; }
table { border-collapse: collapse; width: 100%; font-size: 8.6pt; }
th, td { text-align: left; vertical-align: top; padding: .5mm 3mm .5mm 0; border-bottom: .3pt solid #999; }
th { font-size: 8pt; font-weight: 600; }
td:last-child, th:last-child { padding-right: 0; }
thead { display: table-header-group; }
tr { break-inside: avoid; }
.number { width: 7mm; color: #444; }
.line { width: 16mm; padding-top: 1.1mm; }
.kindOf, .small { color: #333; font-size: 8pt; }
.settings td:first-child { width: 34%; }
.setting { display: inline-block; }
.value, code { font-family: ui-monospace, "DejaVu Sans Mono", monospace; font-size: .92em; white-space: nowrap; }
pre { white-space: pre-wrap; background: none; border: .3pt solid #999; padding: 2mm; font-size: 8.5pt; }
pre code { white-space: pre-wrap; }
.steps { width: auto; font-size: 8pt; margin: .6mm 0 .6mm; }
.steps th, .steps td { padding: .3mm 2.4mm .3mm 0; border: 0; font-family: ui-monospace, "DejaVu Sans Mono", monospace; }
.steps thead th { font-weight: 400; color: #444; }
.steps tbody th { font-weight: 400; font-family: inherit; }
.cautions { break-inside: avoid; }
.cautions dl { margin: 0; font-size: 8.5pt; display: grid; grid-template-columns: max-content 1fr; gap: 1mm 4mm; }
.cautions dt { font-weight: 600; }
.cautions dd { margin: 0; }
.about { font-size: 8pt; color: #222; margin: 0 0 3mm; }
a { color: inherit; overflow-wrap: anywhere; }
@media screen { body { margin: 8mm auto; box-shadow: 0 1px 8px #0003; } }
@media screen and (max-width: 600px) { body { margin: 0; padding: 6mm 4.5mm 10mm; box-shadow: none; } }
@media print {
  html { background: none; }
  body { padding: 0; max-width: none; }
  .wide { page: wide; }
  .wide svg { max-height: 165mm; }
  p, li { orphans: 3; widows: 3; }
}
`;
