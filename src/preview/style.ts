/** The page's look: sheets of a shop drawing laid one below the other, each in its frame with a title strip at its foot. */
export const STYLE = `
:root {
  color-scheme: light dark;
  --bench: #cfd8dc; --paper: #fbfcfc; --ink: #14232d; --soft: #475a66; --rule: #8496a1; --wash: #e9eef1; --mark: #a83c00; --fault: #9c0f2e;
  font: 400 clamp(16px, 0.35vw + 11.5px, 22px)/1.45 ui-sans-serif, system-ui, sans-serif;
}
@media (prefers-color-scheme: dark) {
  :root { --bench: #070d12; --paper: #101d27; --ink: #e2ebf0; --soft: #a9bcc8; --rule: #7f98a8; --wash: #1b2d3a; --mark: #ffb45e; --fault: #ff9aa8; }
}
* { box-sizing: border-box; }
body { margin: 0; padding: 1rem; background: var(--bench); color: var(--ink); font-variant-numeric: tabular-nums; }
main, header { max-width: 2600px; margin: 0 auto; }
header { padding: 0 0.25rem 0.75rem; }
h1 { font-size: 1.5rem; line-height: 1.2; margin: 0; overflow-wrap: anywhere; }
header p { margin: 0.2rem 0 0; color: var(--soft); }
nav ul { list-style: none; display: flex; flex-wrap: wrap; gap: 0.25rem 1.25rem; margin: 0.5rem 0 0; padding: 0; }
a { color: inherit; text-underline-offset: 0.18em; }
.sheet { background: var(--paper); border: 2px solid var(--ink); padding: 0.35rem; margin: 0 0 1.25rem; }
.frame { border: 1px solid var(--rule); padding: 0.9rem 1rem 0; min-width: 0; }
h2 { font-size: 1.2rem; line-height: 1.25; margin: 0 0 0.5rem; }
h3 { font-size: 1rem; margin: 1.1rem 0 0.3rem; }
p { margin: 0.35rem 0; max-width: 75ch; }
.lead { font-size: 1.12rem; }
.strip { display: grid; grid-template-columns: 3fr 2fr 1fr; border-top: 1px solid var(--rule); margin: 1rem -1rem 0; font-size: 0.8rem; color: var(--soft); }
.strip span { padding: 0.3rem 0.75rem; border-left: 1px solid var(--rule); min-width: 0; overflow-wrap: anywhere; }
.strip span:first-child { border-left: 0; padding-left: 1rem; }
.cautions { border: 2px solid var(--ink); margin: 0.75rem 0; padding: 0.5rem 0.9rem; background: var(--wash); }
.cautions h3 { margin: 0; }
.cautions ul { margin: 0.25rem 0; padding-left: 1.2rem; }
.stamp { display: inline-block; margin-right: 0.5rem; border: 3px double var(--ink); padding: 0.15rem 0.7rem; font-weight: 700; letter-spacing: 0.04em; }
.stamp.no { border: 3px solid var(--fault); color: var(--fault); }
.columns { columns: 23rem; column-gap: 2.5rem; margin-top: 0.9rem; }
.columns > div { break-inside: avoid; padding-bottom: 1rem; }
.columns h3 { margin-top: 0; }
.wide { overflow-x: auto; }
table { border-collapse: collapse; margin: 0.25rem 0; }
td { white-space: nowrap; }
th, td { text-align: right; padding: 0.15rem 0.6rem; border-bottom: 1px solid var(--wash); vertical-align: top; }
th { font-weight: 600; }
caption { text-align: left; font-weight: 600; padding-bottom: 0.2rem; }
thead th { border-bottom: 1px solid var(--rule); color: var(--soft); }
th:first-child, td.words, th.words { text-align: left; padding-left: 0; }
td.words { max-width: 48ch; white-space: normal; }
.asks { display: block; font-weight: 400; color: var(--soft); max-width: 48ch; }
.controls { display: flex; flex-wrap: wrap; gap: 0.6rem 1.4rem; align-items: end; margin: 0.6rem 0; }
.controls > * { min-width: 0; }
label, legend { font-size: 0.85rem; color: var(--soft); }
label.beside { font-size: 1rem; color: inherit; }
.controls label:not(.beside) { display: grid; gap: 0.15rem; }
fieldset { border: 0; margin: 0; padding: 0; display: flex; gap: 0.2rem 0.9rem; flex-wrap: wrap; }
legend { padding: 0; }
input, select, button { font: inherit; color: var(--ink); accent-color: var(--mark); max-width: 100%; }
select, input[type=number], button { background: var(--paper); border: 1px solid var(--ink); border-radius: 0; padding: 0.25rem 0.6rem; min-height: 2.2rem; }
input[type=number] { width: 7.5rem; }
input[type=range] { width: min(22rem, 82vw); height: 2.2rem; margin: 0; }
.through input[type=range] { width: 100%; }
.through { flex: 1 1 min(26rem, 100%); }
button { cursor: pointer; }
button:hover { background: var(--wash); }
:focus-visible { outline: 3px solid var(--mark); outline-offset: 2px; }
.draw { display: block; width: 100%; height: auto; background: var(--paper); touch-action: pan-y; }
.draw text { font-size: 13px; fill: var(--ink); stroke: var(--paper); stroke-width: 4px; stroke-linejoin: round; paint-order: stroke; }
.draw text.soft { fill: var(--soft); }
.draw .ink { stroke: var(--ink); fill: none; }
.draw .soft-line { stroke: var(--rule); fill: none; }
.draw .mark { stroke: var(--mark); fill: none; }
.draw .mark-fill { fill: var(--mark); }
.draw [data-fret] { cursor: pointer; }
canvas { display: block; width: 100%; height: auto; background: var(--paper); }
.key { display: flex; flex-wrap: wrap; gap: 0.2rem 1.2rem; list-style: none; padding: 0; margin: 0.4rem 0; font-size: 0.9rem; }
.key li { display: flex; align-items: center; gap: 0.4rem; }
.key svg { flex: none; }
.drawn, .beside > div { min-width: 0; }
@media (min-width: 1000px) {
  .beside { display: grid; grid-template-columns: minmax(0, min(62%, max(44rem, 88vh))) minmax(15rem, 1fr); gap: 0 1.75rem; align-items: start; }
  .beside .notes .controls label { flex: 1 1 14rem; }
  .beside .notes input[type=range] { width: 100%; }
  .beside .notes { border-left: 1px solid var(--rule); padding-left: 1.25rem; }
  .views { grid-template-rows: auto 1fr; }
  .views .drawn { grid-column: 1; grid-row: 1 / span 2; }
  .views .first { grid-column: 2; grid-row: 1; border-left: 1px solid var(--rule); padding-left: 1.25rem; }
  .views .notes { grid-column: 2; grid-row: 2; height: 100%; }
  .readout.readout { display: grid; grid-template-columns: repeat(auto-fill, minmax(10rem, 1fr)); gap: 0.5rem 1rem; margin-top: 0; }
  .readout div { flex-direction: column; justify-content: space-between; gap: 0; }
  .readout dt { line-height: 1.2; }
  .readout div:first-child { grid-column: 1 / -1; }
  .readout dd { font-size: clamp(1rem, 1.25vw, 1.6rem); line-height: 1.2; white-space: nowrap; }
  .notes .key { flex-direction: column; }
  .rules .rule { display: inline-block; min-width: 5rem; }
  .rules .asks.asks { display: inline; max-width: none; }
  .pair { display: flex; flex-wrap: wrap; gap: 0.5rem 3rem; align-items: start; }
  .pair > * { flex: 0 1 auto; min-width: 0; }
}
@media (min-width: 1600px) {
  .beside { grid-template-columns: minmax(0, min(66%, max(44rem, 96vh))) minmax(15rem, 1fr); }
  .pair > .cautions, .pair > .told { flex: 1 1 30rem; }
  .pair > .cautions { margin-top: 0.35rem; }
  .rules { width: 100%; }
}
.readout { display: flex; flex-wrap: wrap; gap: 0.15rem 1.5rem; margin: 0.4rem 0; padding: 0; }
.readout div { display: flex; gap: 0.45rem; }
.readout dt { color: var(--soft); }
.readout dd { margin: 0; font-weight: 600; min-width: 5.5ch; }
.lines { list-style: none; margin: 0.6rem 0; padding: 0.3rem 0; border-top: 1px solid var(--rule); border-bottom: 1px solid var(--rule); font: 0.92rem/1.6 ui-monospace, monospace; }
.lines li { display: grid; grid-template-columns: 1.4rem minmax(3.5rem, max-content) 1fr; gap: 0 0.6rem; white-space: pre-wrap; overflow-wrap: anywhere; padding: 0 0.3rem; }
.lines li[aria-current] { background: var(--wash); font-weight: 700; outline: 1px solid var(--ink); }
.lines .number { text-align: right; color: var(--soft); }
.lines .why { grid-column: 3; color: var(--fault); font-family: ui-sans-serif, system-ui, sans-serif; }
.faults { padding-left: 0; list-style: none; }
.faults li { margin: 0.25rem 0; display: flex; gap: 0.6rem; align-items: baseline; overflow-wrap: anywhere; }
.faults button { flex: none; }
.hidden { display: none; }
.said { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); white-space: nowrap; }
@media (max-width: 560px) {
  body { padding: 0.4rem; }
  .frame { padding: 0.6rem 0.6rem 0; }
  .strip { margin: 0.8rem -0.6rem 0; grid-template-columns: 1fr auto; }
  .strip span:first-child { padding-left: 0.75rem; }
  .strip span:first-child { grid-column: 1 / -1; border-bottom: 1px solid var(--rule); }
  .strip span:nth-child(2) { border-left: 0; }
  th, td { padding: 0.15rem 0.2rem; }
  table { font-size: 0.82rem; }
}
@media print {
  :root { --bench: #fff; --paper: #fff; --ink: #000; --soft: #333; --rule: #777; --wash: #eee; --mark: #000; --fault: #000; font-size: 9.5pt; color-scheme: light; }
  @page { margin: 10mm; }
  body { padding: 0; line-height: 1.3; }
  p { max-width: none; }
  .lead { font-size: 1.05rem; }
  th, td { padding: 0.08rem 0.4rem; }
  .strip { margin-top: 0.5rem; }
  .columns { margin-top: 0.5rem; column-gap: 1.25rem; font-size: 0.9em; line-height: 1.25; }
  .columns > div { padding-bottom: 0.6rem; }
  nav, .controls, .views .readout, .lines, .lines-title, .stations { display: none; }
  .faults button { border: 0; padding: 0; min-height: 0; font-weight: 600; }
  .beside, .pair { display: block; }
  .sheet { break-after: page; border-width: 1px; margin: 0; }
  .sheet:last-child { break-after: auto; }
  .draw, canvas, table, .cautions, h2, h3 { break-inside: avoid; }
  h2, h3 { break-after: avoid; }
  .columns { columns: 2; }
}
`;
