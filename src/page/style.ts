/** What the bench page needs beside the preview's style: fields, their drawings, large targets for a hand at work. */
export const PAGE_STYLE = `
body { padding-bottom: 5rem; }
main.bench, header, .tally { max-width: 1680px; }
.bench .sheet { min-width: 0; scroll-margin-top: 0.5rem; }
.bench .frame { padding-bottom: 1rem; contain: layout style; }
.field { contain: layout style; }
.bench button, .bench select, .bench input:not([type=checkbox]):not([type=range]), .bench summary, .bench label.file, .tally a, nav a { min-height: 2.75rem; }
.bench input[type=range] { min-height: 2.75rem; }
nav a, .tally a { display: inline-flex; align-items: center; justify-content: center; padding: 0 0.4rem; min-width: 2.75rem; }
.bench button, .bench label.file { display: inline-flex; align-items: center; padding: 0.35rem 0.9rem; }
.bench button.main { font-weight: 700; border-width: 2px; padding: 0.5rem 1.4rem; }
.bench input:not([type=checkbox]):not([type=range]):not([type=file]) { background: var(--paper); border: 1px solid var(--ink); border-radius: 0; padding: 0.25rem 0.6rem; font-size: max(1rem, 16px); }
.bench .hidden { display: none; }
.bench .controls label:not(.file) { max-width: 100%; }
.bench .controls select { width: 100%; }
.group { border-top: 1px solid var(--rule); padding-top: 0.2rem; margin-top: 1rem; }
.group > h3 { font-size: 1.1rem; margin: 0.6rem 0 0.1rem; }
.group > p { color: var(--soft); }
.fields { display: grid; grid-template-columns: repeat(auto-fill, minmax(min(100%, 25rem), 1fr)); gap: 0.4rem 1.8rem; }
.field { display: grid; grid-template-columns: 11rem minmax(0, 1fr); gap: 0 0.9rem; padding: 0.5rem 0; border-bottom: 1px solid var(--wash); align-items: start; min-width: 0; }
.field.plain { grid-template-columns: minmax(0, 1fr); }
.field h4 { font-size: 1rem; margin: 0; overflow-wrap: anywhere; }
.field .tag { font-weight: 400; font-size: 0.8rem; color: var(--mark); border: 1px solid; padding: 0 0.3rem; margin-left: 0.3rem; white-space: nowrap; }
.field.filled .tag { color: var(--soft); border-color: transparent; }
.field .own:not(.hidden) { display: inline-block; font-weight: 400; font-size: 0.8rem; color: var(--mark); margin-left: 0.5rem; }
.field .how { margin: 0.1rem 0 0.35rem; color: var(--soft); font-size: 0.9rem; }
.figure { width: 100%; height: auto; background: var(--paper); }
.figure path, .figure circle.ink { fill: none; stroke: var(--ink); stroke-width: 1.3; stroke-linejoin: round; }
.figure path.soft { stroke: var(--rule); stroke-width: 1; }
.figure path.mark { stroke: var(--mark); stroke-width: 2.2; }
.figure .dot { fill: var(--ink); }
.figure text { font-size: 13px; fill: var(--mark); font-weight: 700; }
.entry { display: flex; align-items: center; gap: 0.4rem; min-width: 0; }
.entry > input { flex: 1 1 6.5rem; width: 6.5rem; min-width: 0; max-width: 16rem; }
.spread { display: inline-flex; align-items: center; gap: 0.3rem; flex: 0 1 auto; min-width: 0; }
.spread input { width: 5.2rem; min-width: 0; }
.unit { color: var(--soft); min-width: 1.6rem; }
.two { display: grid; grid-template-columns: max-content minmax(0, 1fr); gap: 0.3rem 0.6rem; align-items: center; }
.two.hidden { display: none; }
.side { font-size: 0.9rem; }
.apart { display: flex; align-items: center; gap: 0.5rem; min-height: 2.75rem; font-size: 0.9rem; }
.apart input { width: 1.4rem; height: 1.4rem; margin: 0; }
.field select { width: 100%; max-width: 24rem; }
.finding { color: var(--fault); font-size: 0.95rem; }
.finding p { margin: 0.2rem 0; }
.finding .warning { color: var(--ink); }
.bench .field.wrong input[aria-invalid]:not([type=checkbox]), .bench .field.wrong select[aria-invalid] { border: 2px solid var(--fault); }
.places { display: grid; gap: 0.3rem; }
.place-row { display: grid; grid-template-columns: max-content minmax(0, 1fr) max-content minmax(0, 1fr); gap: 0.4rem; align-items: center; }
.place-row input { width: 100%; min-width: 0; }
.buttons { display: flex; flex-wrap: wrap; gap: 0.5rem; margin: 0.4rem 0; }
.more { margin: 0.5rem 0; }
summary { display: flex; align-items: center; gap: 0.5rem; cursor: pointer; font-weight: 600; }
summary::before { content: '+'; display: inline-block; width: 1.1rem; text-align: center; border: 1px solid var(--ink); line-height: 1.1rem; }
details[open] > summary::before { content: '\\2212'; }
label.file { position: relative; overflow: hidden; border: 1px solid var(--ink); cursor: pointer; font-size: 1rem; color: var(--ink); background: var(--paper); gap: 0.4rem; }
label.file:hover { background: var(--wash); }
label.file input { position: absolute; inset: 0; opacity: 0; cursor: pointer; min-height: 2.75rem; }
label.file:focus-within { outline: 3px solid var(--mark); outline-offset: 2px; }
label.file.hidden { display: none; }
textarea { width: 100%; font: 0.95rem/1.5 ui-monospace, monospace; background: var(--paper); color: var(--ink); border: 1px solid var(--ink); padding: 0.5rem; }
.all-findings { list-style: none; padding: 0; font-size: 0.95rem; }
.all-findings li { margin: 0.3rem 0; overflow-wrap: anywhere; }
.kept { list-style: none; padding: 0; }
.kept li { display: flex; flex-wrap: wrap; gap: 0.5rem; align-items: center; margin: 0.4rem 0; }
.kept span { flex: 1 1 12rem; overflow-wrap: anywhere; }
.made { list-style: none; padding: 0; display: grid; grid-template-columns: repeat(auto-fill, minmax(min(100%, 24rem), 1fr)); gap: 0.4rem 1.8rem; }
.made li { display: flex; gap: 0.8rem; align-items: center; border-bottom: 1px solid var(--wash); padding: 0.3rem 0; }
.made span { flex: 1 1 auto; min-width: 0; overflow-wrap: anywhere; }
.made small { display: block; color: var(--soft); font-size: 0.9rem; }
pre { white-space: pre-wrap; overflow-wrap: anywhere; font: 0.9rem/1.5 ui-monospace, monospace; }
#broken { border: 2px solid var(--fault); padding: 0.5rem 0.9rem; margin: 0.6rem 0; }
#stale { border: 2px solid var(--mark); padding: 0.4rem 0.8rem; font-weight: 600; }
.old { opacity: 0.35; }
.aim { color: var(--soft); }
.refused li { margin: 0.4rem 0; }
.refused button { margin-left: 0.3rem; }
.cautions a { display: inline-block; padding: 0.7rem 0.4rem; margin: -0.7rem 0; }
.tally { position: fixed; left: 0; right: 0; bottom: 0; margin: 0 auto; display: flex; gap: 0.8rem; align-items: center; justify-content: space-between; background: var(--paper); border: 2px solid var(--ink); padding: 0.2rem 0.9rem; z-index: 2; }
.tally p { margin: 0; font-weight: 600; }
.tally a { flex: none; border: 1px solid var(--ink); padding: 0 1rem; text-decoration: none; }
.fields.compact { grid-template-columns: repeat(auto-fill, minmax(min(100%, 15rem), 1fr)); }
.fields.compact .field { grid-template-columns: minmax(0, 1fr); }
.fields.compact .figure { max-width: 7rem; }
.plot { max-width: 46rem; }
.again a { padding: 0.7rem 0.4rem; margin: -0.7rem 0; }
.plot-bass { fill: var(--mark); stroke: var(--paper); stroke-width: 1; }
.plot-treble { fill: none; stroke: var(--mark); stroke-width: 3; }
.plot-line { fill: none; stroke: var(--ink); stroke-width: 2; }
.plot-mark { fill: none; stroke: var(--mark); stroke-width: 2; stroke-dasharray: 14 4 3 4; }
.plot .soft-line { opacity: 0.5; }
@media (min-width: 1200px) {
  .side-by-side { display: grid; grid-template-columns: minmax(0, 1fr) minmax(0, 1fr); column-gap: 1.25rem; align-items: start; }
  .side-by-side .beside { display: block; }
  .side-by-side .beside .notes { border-left: 0; padding-left: 0; }
  .side-by-side .notes .key { flex-direction: row; }
  .side-by-side > #see { position: sticky; top: 0.5rem; max-height: calc(100vh - 4.8rem); overflow-y: auto; }
}
@media (max-width: 560px) {
  .field { grid-template-columns: minmax(0, 1fr); }
  .figure { max-width: 13rem; }
  .tally p { font-size: 0.95rem; line-height: 1.3; }
}
@media print {
  body { padding-bottom: 0; }
  .side-by-side { display: block; }
  .side-by-side > #see { position: static; max-height: none; overflow: visible; }
  .tally, .bench .controls, .bench button, .apart, #make, #mind #licences-box, .more:not([open]), #job-text-box, .bench summary { display: none; }
  .fields { grid-template-columns: repeat(2, minmax(0, 1fr)); }
  .field { break-inside: avoid; grid-template-columns: 6rem minmax(0, 1fr); }
  .field .own:not(.hidden) { display: inline-block; font-weight: 400; font-size: 0.8rem; color: var(--mark); margin-left: 0.5rem; white-space: nowrap; }
.field .how { display: none; }
}
`;
