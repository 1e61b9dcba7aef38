export const DESK = `
.desk { border-top: 1px solid var(--rule); margin-top: 1rem; padding-top: .6rem; min-width: 0; }
.held-passage { margin: 1.2rem 0 0; }
.desk h4 { margin-bottom: .3rem; }
@media screen and (min-width: 66.01rem) { .try { display: grid; grid-template-columns: 35rem minmax(0, 1fr); gap: 0 2.2rem; align-items: start; } .try > div { margin-top: .9rem; } }
.desk .caution { padding: .35rem .7rem; margin-bottom: .5rem; font-size: .9rem; }
.row { display: flex; flex-wrap: wrap; align-items: center; gap: .35rem 1rem; margin: .4rem 0; padding: 0; border: 0; min-width: 0; font-size: .9rem; }
.row legend { float: left; padding: 0; margin-right: 1rem; color: var(--quiet); }
.row label, .hands label { display: inline-flex; align-items: center; gap: .4em; }
.desk input, .moment input { accent-color: var(--after); }
.desk input[type=range], .moment input[type=range] { width: 8rem; }
.desk input.long, .moment input.long { width: 15rem; max-width: 60vw; }
.desk output, .moment output { min-width: 4.6em; display: inline-block; }
.desk button, .moment button { font: inherit; color: inherit; background: var(--raised); border: 1px solid var(--quiet); border-radius: 2px; padding: .2rem .7rem; cursor: pointer; }
.desk button:hover, .moment button:hover { border-color: var(--ink); }
.desk button:disabled, .desk label:has(:disabled) { color: var(--quiet); cursor: default; border-style: dashed; }
.desk button[aria-pressed=true] { background: var(--ink); color: var(--paper); }
.muted { color: var(--note); font-weight: 600; }
.note-button { font: inherit; color: inherit; background: none; border: 0; border-bottom: 1px solid var(--quiet); padding: 0; cursor: pointer; }
.note-button:hover { border-bottom-color: currentColor; color: var(--after); }
.facts .lost { display: block; }
.lost ul { list-style: none; margin: 0; padding: 0; display: flex; flex-wrap: wrap; gap: .1rem 1.2rem; }
.desk summary { margin: .5rem 0 .2rem; }
.hands td { white-space: nowrap; }
.written label { display: block; font-size: .86rem; color: var(--quiet); }
.written textarea { display: block; width: 100%; font: .78rem/1.4 ui-monospace, "DejaVu Sans Mono", Menlo, Consolas, monospace; color: var(--ink); background: var(--raised); border: 1px solid var(--rule); padding: .5rem; margin: .2rem 0 .4rem; }
.unseen { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); white-space: nowrap; }
.curve.yours { stroke: var(--note); stroke-width: 2; stroke-dasharray: 9 3 2 3; }
.stroke.yours { border-top: 2px dotted var(--note); }
[hidden] { display: none !important; }
@media print { .desk, .held-passage, .paths, .steady, .moment { display: none !important; } }
`
