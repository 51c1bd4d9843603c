// The look of the page a comparison is printed on. Inner to html.cc.
//
// What changed carries a triangle and a heavy line, so that it can be told without colour, also where a printer leaves
// backgrounds out.
#pragma once

namespace lacestay::runtime {

inline constexpr const char* comparison_style = R"css(
@page { size: A4 portrait; margin: 12mm 13mm; }
* { box-sizing: border-box; }
html { color-scheme: light; }
body {
  margin: 0; color: #000; background: #fff;
  font: 10pt/1.35 Arial, "Liberation Sans", Helvetica, "DejaVu Sans Condensed", sans-serif;
}
h1 { margin: 0 0 2mm; font-size: 18pt; line-height: 1.15; }
h2 { margin: 8mm 0 2mm; font-size: 14pt; border-bottom: 1.5pt solid #000; break-after: avoid; }
h3 { margin: 6mm 0 1mm; font-size: 12pt; break-after: avoid; }
h4 { margin: 3mm 0 1mm; font-size: 10pt; break-after: avoid; }
p { margin: 0 0 1.5mm; }
ul { margin: 0 0 2mm; padding-left: 5mm; }
table { width: 100%; border-collapse: collapse; margin: 1mm 0 3mm; }
caption { padding: 1mm 0; text-align: left; font-weight: bold; }
th, td { padding: 1mm 2mm; border: 0.5pt solid #777; text-align: left; vertical-align: top; overflow-wrap: break-word; }
.editions { table-layout: fixed; }
.editions th:first-child { width: 5em; }
.editions td { overflow-wrap: anywhere; }
thead th, .chart thead th { border-bottom: 1pt solid #000; }
tbody th { font-weight: normal; }
tr, figure, .who { break-inside: avoid; }
.who { margin-top: 2.5mm; font-weight: bold; break-after: avoid; }
.but { margin-left: 5mm; break-after: avoid; }
.summary { border-left: 3pt solid #000; padding: 1mm 0 1mm 3mm; font-size: 11pt; }
.becomes th { width: 24%; }
.becomes td { width: 38%; }
.answer { font-weight: bold; }
.why { margin: 1mm 0 0; font-size: 9pt; }
.rule { color: #333; font-size: 8.5pt; }
.chart { width: auto; min-width: 45%; }
.chart tbody th { white-space: nowrap; }
.changed { border: 1.6pt solid #000; background: #fff3cf; }
.changed::before { content: "▲\00A0"; }
li.changed { border-width: 0 0 0 2.2pt; padding-left: 2mm; }
.was { display: block; font-size: 9pt; }
.names { columns: 3; column-gap: 6mm; }
.names li { break-inside: avoid; }
figure { margin: 2mm 0 4mm; }
figcaption { font-size: 9.5pt; }
figcaption ol { margin: 1mm 0 0; padding-left: 6mm; }
svg { display: block; width: 100%; max-width: 165mm; height: auto; font-family: inherit; }
@media print {
  body { -webkit-print-color-adjust: exact; print-color-adjust: exact; }
  svg { max-width: 135mm; }
}
@media screen {
  body { max-width: 60rem; margin: 0 auto; padding: 1.5rem; font-size: 1rem; line-height: 1.5; }
  .why { font-size: 0.9rem; }
  .rule, .was { font-size: 0.85rem; }
}
@media screen and (max-width: 40rem) {
  .names { columns: 1; }
}
)css";

}  // namespace lacestay::runtime
