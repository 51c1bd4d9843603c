// The look of the page an advice is printed on. Inner to html.cc.
//
// Ink only: rules and weights carry the structure, since printers leave backgrounds out. Sizes are in points, as the
// page is meant for paper; nothing is smaller than 8.5 points. On a screen everything is larger.
#pragma once

namespace lacestay::runtime {

inline constexpr const char* page_style = R"css(
@page { size: A4 portrait; margin: 7mm 9mm; }
* { box-sizing: border-box; }
html { color-scheme: light; }
body {
  margin: 0; color: #000; background: #fff;
  font: 8.5pt/1.15 Arial, "Liberation Sans", Helvetica, "DejaVu Sans Condensed", sans-serif;
}
body.roomy { font-size: 9.4pt; line-height: 1.3; }
h1 { margin: 0; font-size: 16pt; line-height: 1.1; }
h2 { margin: 2mm 0 0.5mm; font-size: 10pt; line-height: 1.15; break-after: avoid; }
.roomy h2 { margin-top: 2.6mm; }
p, ul, dl { margin: 0; }
header {
  display: flex; flex-wrap: wrap; column-gap: 8mm; align-items: flex-end; justify-content: space-between;
  border-bottom: 1.5pt solid #000; padding-bottom: 1.2mm;
}
.edition { flex: 1 0 100%; }
.names span { display: inline-block; width: 27mm; border-bottom: 0.5pt solid #000; }
dl { display: flex; flex-wrap: wrap; gap: 0.4mm 5mm; }
dl div { display: flex; gap: 1.2mm; }
dd { margin: 0; font-weight: bold; }
table { width: 100%; border-collapse: collapse; }
th, td {
  padding: 0.1mm 1.8mm 0.1mm 0; text-align: left; vertical-align: top; font-weight: normal;
  overflow-wrap: break-word;
}
.roomy th, .roomy td { padding-top: 0.3mm; padding-bottom: 0.3mm; }
thead th { font-weight: bold; border-bottom: 0.5pt solid #000; }
tr { break-inside: avoid; }
table + p { margin-top: 1.4mm; }
tbody .group th { padding-top: 1mm; font-weight: bold; border-bottom: 1pt solid #000; break-after: avoid; }
tbody .first > * { padding-top: 0.3mm; border-top: 0.4pt solid #777; }
tbody .group + .first > * { border-top: none; }
th[scope=row] { width: 14.5%; padding-left: 4.1mm; text-indent: -4.1mm; font-weight: bold; }
th.boxless { text-indent: 0; }
.narrow { width: 1%; min-width: 26mm; }
.whole { min-width: 0; white-space: nowrap; }
.narrow + .narrow { font-weight: bold; }
.box {
  display: inline-block; width: 2.5mm; height: 2.5mm; margin-right: 1.6mm; border: 0.7pt solid #000;
  vertical-align: -0.2mm;
}
ul { padding-left: 3.6mm; }
.last { margin-top: 1.4mm; border-top: 1pt solid #000; padding-top: 0.8mm; }
.otherwise { margin-top: 1.4mm; border: 1pt solid #000; padding: 0 1.5mm 1mm; }
.entry { margin-top: 0.8mm; font-size: 80%; }
.notice { margin-top: 1.2mm; border: 1pt solid #000; padding: 1mm 2mm; font-weight: bold; }
@media print {
  body:not(.roomy) .foot { margin-top: 1mm; }
  body:not(.roomy) .foot > *, body:not(.roomy) .foot li { display: inline; margin: 0; padding: 0; }
  body:not(.roomy) .foot > p::before, body:not(.roomy) .foot li::before { content: " •\00A0"; }
}
@media screen {
  body, body.roomy { max-width: 56rem; margin: 0 auto; padding: 1.5rem; font-size: 1rem; line-height: 1.45; }
  h1 { font-size: 1.9rem; }
  h2 { margin-top: 1.4rem; font-size: 1.2rem; }
}
@media screen and (max-width: 44rem) {
  .narrow { width: auto; min-width: 0; }
  .whole { white-space: normal; }
}
)css";

}  // namespace lacestay::runtime
