export const LAYOUT = `
body > * { max-width: 76rem; margin-inline: auto; padding-inline: 1.5rem; }
.masthead { display: flex; flex-wrap: wrap; align-items: baseline; justify-content: space-between; gap: .1rem 2rem; padding-block: 1.1rem .7rem; }
.take { font-size: .62em; font-weight: 400; color: var(--quiet); }
.from { margin: 0; font-size: .86rem; }

.first-look { display: grid; grid-template-columns: minmax(0, 1fr) 19rem; gap: 0 2.2rem; border-top: 2px solid var(--ink); }
.compared { border-top: 2px solid var(--ink); padding-block: .7rem .9rem; }
.compared h3 { margin-block: .5rem .1rem; font-size: 1rem; }
.part h3 { margin-block: .8rem .2rem; font-size: 1rem; }
.compared ul { margin: 0; padding-left: 1.1rem; font-size: .92rem; }
.glance { display: grid; grid-template-columns: minmax(0, 1fr) minmax(17rem, 25rem); gap: 0 1.6rem; padding-block: .7rem .5rem; border-bottom: 1px solid var(--rule); }
.glances .glance:last-child { border-bottom: 0; }
.glance h2 { display: flex; flex-wrap: wrap; align-items: baseline; gap: .1rem .8rem; margin-bottom: .25rem; }
.verdict { font: .86rem/1.3 ui-sans-serif, system-ui, sans-serif; color: var(--quiet); white-space: nowrap; }
.verdict.unsure, .verdict.unknown { color: var(--note); font-weight: 600; }
.disc { vertical-align: -1px; }
.done { margin-bottom: .35rem; }
.tone { margin: 0; font-size: .86rem; }
.tone div { margin-bottom: .2rem; }
.tone dt { display: inline; font-weight: 600; margin-right: .5em; }
.tone dd { display: inline; margin: 0; }

.eye { padding-block: .8rem; }
.eye ul { list-style: none; margin: .4rem 0; padding: 0; font-size: .9rem; line-height: 1.38; }
.eye li { padding: .1rem 0 .1rem .75rem; margin-bottom: .55rem; border-left: 1px solid var(--rule); }
.eye li.first { border-left: 4px solid var(--note); padding-left: calc(.75rem - 3px); }

.group, .together, .health, .stems, .files, .reading { border-top: 2px solid var(--ink); padding-block: 1rem 1.4rem; }
h3 { margin-bottom: .35rem; }
.settings { font-size: .9rem; }
.blends { display: grid; grid-template-columns: repeat(auto-fill, minmax(min(100%, 30rem), 1fr)); gap: 1.4rem 2.2rem; margin-top: 1rem; }
.told { min-width: 0; }
@media screen and (min-width: 66.01rem) { .beside { display: grid; grid-template-columns: repeat(2, minmax(0, 1fr)); gap: 0 2.2rem; } .beside .told { padding-top: 1.2rem; } }
@media screen and (min-width: 66.01rem) {
  .blends.alone { grid-template-columns: minmax(0, 1fr); }
  .alone .blend { display: grid; grid-template-columns: repeat(2, minmax(0, 1fr)); gap: 0 2.2rem; }
  .alone .blend > h4, .alone .blend > .words { grid-column: 1 / -1; }
  .alone .told { padding-top: 1.2rem; }
}
.words { margin: .15rem 0 .3rem; }
.check { margin: .4rem 0 0; font-size: .9rem; }
.facts { display: flex; flex-wrap: wrap; gap: .25rem 1.4rem; margin: .4rem 0 0; font-size: .9rem; }
.facts div { display: flex; gap: .45rem; }
.facts dt { color: var(--quiet); }
.facts dd { margin: 0; }
.reading ul { columns: 2; column-gap: 2.2rem; padding-left: 1.1rem; margin: .4rem 0 .8rem; }
.reading li { break-inside: avoid; margin-bottom: .4rem; }
.edges { font-size: .86rem; color: var(--quiet); padding-left: 1.1rem; }
.caution { border: 1px solid var(--rule); background: var(--raised); padding: .6rem .8rem; max-width: 60rem; }
.foot { padding-block: .8rem 2rem; font-size: .86rem; color: var(--quiet); }

@media (max-width: 70rem) {
  .first-look { grid-template-columns: minmax(0, 1fr); }
  .eye { order: -1; border-bottom: 1px solid var(--rule); }
}
@media (max-width: 44rem) {
  .glance { grid-template-columns: minmax(0, 1fr); }
  .reading ul { columns: 1; }
}
@media (max-width: 32rem) {
  body > * { padding-inline: 1rem; }
}
@media screen and (min-width: 120rem) { html { font-size: 18px; } body > * { max-width: 98rem; } .blends { grid-template-columns: repeat(auto-fit, minmax(30rem, 1fr)); } .blends .column { max-width: none; } }
`
