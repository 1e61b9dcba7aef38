/** What the page of `explore` has beside the style sheet of the report. */
export const EXPLORE = `
.grid { border-top: 2px solid var(--ink); padding-block: 1rem 1.2rem; }
.grid table { max-width: 66rem; }
.grid td { vertical-align: top; padding: 0; }
.grid .cell { display: grid; grid-template-columns: auto 1fr; gap: 0 .6em; padding: .4rem .7rem .4rem .4rem; cursor: pointer; min-height: 100%; }
.grid .cell:hover { background: var(--raised); }
.grid .cell:has(:checked) { background: var(--raised); box-shadow: inset 3px 0 0 var(--after); }
.grid .cell:has(:focus-visible) { outline: 2px solid var(--after); outline-offset: -2px; }
.grid .cell input { accent-color: var(--after); margin-top: .25em; }
.grid .cell small { color: var(--quiet); grid-column: 2; font-size: .85em; }
.grid .delivered { font-weight: 600; }
.grid .row .cell { border: 1px solid var(--rule); }
.deck { position: sticky; top: 0; z-index: 1; background: var(--paper); border-bottom: 1px solid var(--rule); padding-block: .5rem; margin-top: 0; }
@media (max-height: 36rem), (max-width: 44rem) { .deck { position: static; } }
.deck:has(.written:not([hidden])) { position: static; }
.grid ul { margin: .3rem 0; padding-left: 1.1rem; font-size: .9rem; }
`
