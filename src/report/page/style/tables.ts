export const TABLES = `
.scroll { overflow-x: auto; max-width: 100%; }
.plain { border-collapse: collapse; width: 100%; font-size: .9rem; line-height: 1.35; }
.plain th, .plain td { text-align: left; vertical-align: baseline; padding: .32rem .9rem .32rem 0; border-bottom: 1px solid var(--faint); overflow-wrap: normal; }
.plain thead th { color: var(--quiet); font-weight: 400; font-size: .82rem; border-bottom-color: var(--rule); vertical-align: bottom; }
.plain tbody th { font-weight: 600; min-width: 8.5rem; }
.dense tbody th { min-width: 0; font-weight: 400; }
.plain .n { text-align: right; white-space: nowrap; }
.plain tr > :last-child { padding-right: 0; }
.sources td:last-child, .sources .reason { min-width: 12rem; }
.reason { display: block; color: var(--quiet); font-size: .9em; }
.dense { font-size: .82rem; width: auto; }
.checksums code { display: block; min-width: 33ch; overflow-wrap: anywhere; }
@media screen and (max-width: 60rem) {
  .plain th, .plain td { padding-right: .55rem; }
  .plain tbody th { min-width: 5rem; }
  .sources td:last-child, .sources .reason { min-width: 8rem; }
}
/* On a telephone a source is a block of its own: nothing about its verdict hides beside the screen. */
@media screen and (max-width: 40rem) {
  .sources thead { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
  .sources, .sources tbody { display: block; }
  .sources tr { display: grid; grid-template-columns: 1fr 1fr; gap: .1rem 1rem; padding-block: .5rem; border-bottom: 1px solid var(--rule); }
  .plain.sources tbody th, .plain.sources td { display: block; border: 0; padding: 0; text-align: left; }
  .sources td::before { content: attr(data-head); display: block; color: var(--quiet); font-size: .85em; }
  .sources tbody th, .sources td:nth-last-child(-n+2) { grid-column: 1 / -1; }
}
.moves { font-size: .84rem; }
.moves .reason { font-weight: 400; }
.moves th, .moves td { padding-right: .7rem; }
.line { display: block; white-space: nowrap; }
.contact { display: grid; gap: .5rem; margin: .8rem 0 0; max-width: 40rem; font-size: .9rem; }
.contact div { display: flex; gap: .6rem; }
.contact dt { color: var(--quiet); white-space: nowrap; }
.contact dd { flex: 1; margin: 0; border-bottom: 1px dotted var(--quiet); min-height: 1.3em; }
.back p { margin: .6rem 0 .1rem; }
.back ul { margin: 0; columns: 2; column-gap: 2.2rem; }
details.behind { margin-top: .3rem; }
details.behind .scroll { max-height: 22rem; overflow: auto; border: 1px solid var(--faint); padding: 0 .6rem; margin-top: .3rem; }
`
