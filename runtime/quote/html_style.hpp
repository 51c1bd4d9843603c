// The look of the page a quote is printed on. Inner to html.cc.
//
// Ink only: rules and weights carry the structure, since printers leave backgrounds out. Sizes are in points, as the
// page is meant for paper; nothing is smaller than 8.5 points. On a screen everything is larger.
#pragma once

namespace lacestay::runtime {

inline constexpr const char* quote_style = R"css(
@page { size: A4 portrait; margin: 10mm 12mm; }
* { box-sizing: border-box; }
html { color-scheme: light; }
body {
  margin: 0; color: #000; background: #fff;
  font: 8.5pt/1.18 Arial, "Liberation Sans", Helvetica, "DejaVu Sans Condensed", sans-serif;
}
body.middling { font-size: 9pt; line-height: 1.22; }
body.roomy { font-size: 9.5pt; line-height: 1.3; }
h1 { margin: 0; font-size: 18pt; line-height: 1.1; }
h2 { margin: 2.2mm 0 0.6mm; font-size: 1.18em; line-height: 1.15; break-after: avoid; }
.roomy h2 { margin-top: 4mm; }
p, ul { margin: 0; }
header {
  display: flex; flex-wrap: wrap; column-gap: 8mm; align-items: flex-end; justify-content: space-between;
  border-bottom: 1.5pt solid #000; padding-bottom: 1.2mm;
}
.edition { flex: 1 0 100%; }
.edition strong { font-size: 1.18em; }
.by-hand span { display: inline-block; min-width: 26mm; border-bottom: 0.5pt solid #000; }
.notice { margin-top: 1.6mm; border: 1pt solid #000; padding: 0.8mm 2mm; font-weight: bold; }
table { width: 100%; border-collapse: collapse; }
th, td {
  padding: 0.5mm 2.4mm 0.5mm 0; text-align: left; vertical-align: top; font-weight: normal; overflow-wrap: break-word;
}
.roomy th, .roomy td { padding-top: 0.8mm; padding-bottom: 0.8mm; }
tr, li { break-inside: avoid; }
thead th { font-weight: bold; border-bottom: 1pt solid #000; }
tbody tr + tr > * { border-top: 0.4pt solid #777; }
.whole { white-space: nowrap; }
.sum { text-align: right; white-space: nowrap; font-variant-numeric: tabular-nums; }
.sum:last-child { padding-right: 0; }
.kit tbody th { width: 23%; padding-left: 4.4mm; text-indent: -4.4mm; font-weight: bold; }
.kit tfoot tr:first-child > * { border-top: 1pt solid #000; }
.total > * { vertical-align: baseline; border-top: 0.5pt solid #000; border-bottom: 1pt solid #000; }
.total strong { font-size: 1.35em; }
.total th strong { margin-right: 1.2mm; }
.kit + p { margin-top: 1mm; }
.plan { width: auto; }
.plan tbody th { padding-right: 12mm; }
.box {
  display: inline-block; width: 2.6mm; height: 2.6mm; margin-right: 1.8mm; border: 0.7pt solid #000;
  vertical-align: -0.2mm;
}
ul { padding-left: 4mm; }
.last { margin-top: 2mm; border-top: 1pt solid #000; padding-top: 1mm; }
.otherwise { margin-top: 2mm; border: 1pt solid #000; padding: 0 1.5mm 1mm; }
.entry { margin-top: 1mm; font-size: 80%; }
@media screen {
  body, body.middling, body.roomy { max-width: 56rem; margin: 0 auto; padding: 1.5rem; font-size: 1rem; line-height: 1.45; }
  h1 { font-size: 1.9rem; }
  h2, .roomy h2 { margin-top: 1.4rem; }
}
@media screen and (max-width: 44rem) {
  body, body.middling, body.roomy { padding: 0.8rem; font-size: 0.9rem; }
  section { overflow-x: auto; }
}
)css";

}  // namespace lacestay::runtime
