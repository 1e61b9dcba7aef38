export const PRINT = `
@page { size: A4; margin: 12mm 13mm; }
@media print {
  html { font-size: 10px; }
  body { background: none; -webkit-print-color-adjust: exact; print-color-adjust: exact; }
  body > * { max-width: none; padding-inline: 0; }
  details, .foot .screen { display: none; }
  .scroll { overflow: visible; }
  .first-look { grid-template-columns: minmax(0, 1fr) 5.2cm; gap: 0 .6cm; }
  .glance { grid-template-columns: minmax(0, 1fr) 6.2cm; gap: 0 .5cm; }
  .eye { order: 0; border: 0; }
  .blends { grid-template-columns: 1fr 1fr; gap: .3cm .7cm; }
  figure, .glance, tr, .blend > .facts, .reading li { break-inside: avoid; }
  h3, h4, thead, .settings { break-after: avoid; }
  .group, .health, .stems, .files, .reading { padding-block: .25cm .3cm; }
  .plain th, .plain td { padding-block: .08rem; }
  code { font-size: .72rem; }
}
`
