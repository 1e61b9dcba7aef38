export const CHARTS = `
figure { margin: 0; }
.drawn { margin-top: .9rem; min-width: 0; }
.glance .drawn { margin: 0; align-self: start; }
.margin { max-width: 30rem; }
.column { max-width: 44rem; }
.draggable svg { cursor: grab; touch-action: pan-y; }
.draggable svg:active { cursor: grabbing; }
.strip { display: block; width: 100%; height: 2.8rem; margin-top: .6rem; cursor: ew-resize; touch-action: none; background: var(--raised); }
.strip .song { fill: var(--swing-before); stroke: none; }
.strip .held { fill: var(--after); }
.strip .here { stroke: var(--ink); stroke-width: 2; vector-effect: non-scaling-stroke; }
figcaption { font-size: .82rem; line-height: 1.4; margin-top: .2rem; }
.at-middle, .at-narrow { display: none; }
@media screen and (max-width: 66rem) { .full .at-wide { display: none; } .full .at-middle { display: block; } }
@media screen and (max-width: 40rem) { .full .at-middle, .at-wide { display: none; } .full .at-narrow, .at-narrow { display: block; } }
.chart { display: block; width: 100%; height: auto; font: 12px ui-sans-serif, system-ui, sans-serif; font-variant-numeric: tabular-nums; }
.chart text { fill: var(--ink); }
.chart .tick, .chart .axis, .chart .aside { fill: var(--quiet); font-size: 11px; }
.chart .note { font-size: 10.5px; fill: var(--quiet); }
.chart .panel { font-weight: 600; }
.chart .lane { font-size: 12px; }
.chart .over { paint-order: stroke; stroke: var(--paper); stroke-width: 4px; stroke-linejoin: round; }
.grid { stroke: var(--rule); stroke-width: .6; }
.grid.faint { stroke: var(--faint); }
.zero, .rail { stroke: var(--rule); stroke-width: 1; }
.instant { stroke: var(--ink); stroke-width: 1; stroke-dasharray: 1 3; stroke-linecap: round; }
.ruler { stroke: var(--quiet); stroke-width: 1; }
.wave, .curve { fill: none; stroke-linejoin: round; }
.wave { stroke-width: 1.1; }
.curve { stroke-width: 1.8; }
.wave.before, .curve.before, .mark.before, .dot.before { stroke: var(--before); }
.wave.after, .curve.after, .mark.after, .dot.after { stroke: var(--after); }
.curve.before { stroke-dasharray: 5 3; stroke-width: 1.4; }
.swing { stroke: none; }
.swing.before { fill: var(--swing-before); }
.swing.after { fill: var(--swing-after); }
.front.before { fill: var(--before); }
.front.after { fill: var(--after); }
.change { stroke: var(--quiet); stroke-width: .8; }
.dot { fill: var(--paper); stroke-width: 1.2; }
.dot.after { fill: var(--after); }
.played { stroke: var(--ink); stroke-width: 2; }
.mark { fill: var(--paper); stroke-width: 1.6; }
.mark.after { fill: var(--after); }
.sign { fill: none; stroke-width: 1.5; }
.sign.before { stroke: var(--before); }
.sign.after { stroke: var(--paper); }
.way { fill: none; stroke: var(--ink); stroke-width: 1.1; }
.spread { stroke: var(--swing-before); stroke-width: 7; }
.whisker { stroke: var(--after); stroke-width: 1; }
.whole { stroke: var(--before); stroke-width: 1.2; stroke-dasharray: 5 3; }
.disc .full { fill: currentColor; }
.disc .rim { fill: none; stroke: currentColor; stroke-width: 1.4; }
.key { margin-right: .8rem; }
.curve.turned { stroke: var(--quiet); stroke-width: 1.4; stroke-dasharray: 2 3; }
.stroke.turned { border-top: 2px dotted var(--quiet); }
.rival { fill: none; stroke: var(--ink); stroke-width: 1.5; }
.ring { display: inline-block; width: 10px; height: 10px; border-radius: 50%; border: 2px solid var(--before); vertical-align: -1px; }
.ring.after { border-color: var(--after); background: var(--after); }
.stroke { display: inline-block; width: 1.9em; border-top: 2px dashed var(--before); vertical-align: .25em; }
.stroke.after { border-top: 2px solid var(--after); }
`
