export const TYPE = `
* { box-sizing: border-box; }
html { font: 15px/1.45 ui-sans-serif, system-ui, sans-serif; text-size-adjust: 100%; -webkit-text-size-adjust: 100%; }
body { margin: 0; background: var(--paper); color: var(--ink); font-variant-numeric: tabular-nums; overflow-wrap: anywhere; }
h1, h2, h3, h4 { font-family: ui-serif, Charter, "Bitstream Charter", Cambria, Georgia, serif; font-weight: 600; line-height: 1.2; margin: 0; }
h1 { font-size: 1.9rem; letter-spacing: -0.01em; }
h2 { font-size: 1.15rem; }
h3 { font-size: 1.4rem; }
h4 { font-size: 1.1rem; }
p { margin: 0 0 .5rem; }
a { color: inherit; text-decoration-color: var(--rule); text-underline-offset: .2em; }
a:hover { text-decoration-color: currentColor; }
:focus-visible { outline: 2px solid var(--after); outline-offset: 2px; }
code { font: .78rem/1.4 ui-monospace, "DejaVu Sans Mono", Menlo, Consolas, monospace; }
.aside, .from, .settings, .pm, figcaption { color: var(--quiet); }
.aside { font-size: .86em; font-weight: 400; font-family: ui-sans-serif, system-ui, sans-serif; letter-spacing: 0; }
strong { color: var(--note); font-weight: 600; }
summary { cursor: pointer; color: var(--quiet); font-size: .86rem; }
`
