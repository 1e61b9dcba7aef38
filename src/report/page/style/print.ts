export const PRINT = `
@page { size: A4; margin: 12mm 13mm; }
@media print {
  html { font-size: 10px; }
  body { background: none; -webkit-print-color-adjust: exact; print-color-adjust: exact; }
  body > * { max-width: none; padding-inline: 0; }
  details, .foot, .together .drawn { display: none; }
  .scroll { overflow: visible; }
  .at-wide { display: none; }
  .at-narrow, .full .at-middle { display: block; }
  .full .at-narrow { display: none; }
  .first-look { grid-template-columns: minmax(0, 1fr) 4.6cm; gap: 0 .5cm; }
  .glance { grid-template-columns: minmax(0, 1fr) 7cm; gap: 0 .4cm; }
  .eye { order: 0; border: 0; }
  .blends { grid-template-columns: 1fr 1fr; gap: .3cm .7cm; }
  .alone { grid-template-columns: 1fr; }
  .alone .blend { display: grid; grid-template-columns: 1fr 1fr; gap: 0 .7cm; }
  .alone .blend > h4, .alone .blend > .words { grid-column: 1 / -1; }
  .chart { font-size: 10px; }
  .chart .tick, .chart .axis, .chart .aside, .chart .note { font-size: 9px; }
  .chart .lane { font-size: 10px; }
  .drawn, .blend, .health, .reading, .glance, tr, .reading li { break-inside: avoid; }
  h3, h4, thead, .settings { break-after: avoid; }
  .group, .together, .health, .stems, .files, .reading { padding-block: .2cm .2cm; }
  .plain th, .plain td { padding-block: .06rem; }
  .drawn { margin-top: .15cm; }
  .blends { margin-top: .2cm; }
  .sources td:last-child, .sources .reason { min-width: 0; }
  .back ul { columns: 2; }
  .moves .reason { display: inline; margin-left: .5em; }
  .contact { gap: .1rem; margin-top: .3rem; }
  .sources { break-inside: avoid; }
  .drawn.full { width: 72%; }
  .drawn.column { width: 72%; }
  code { font-size: .72rem; }
}
`
