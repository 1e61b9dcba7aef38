// The palette: ink on paper, and two colours that stay apart in every common kind of colour blindness (they differ in lightness and
// along the blue-yellow axis): rust for as recorded, petrol for as delivered. Contrast of every text colour on its ground: 4.5 or more.

const LIGHT = `
  --paper: #faf8f3; --raised: #f2efe7; --ink: #1f2328; --quiet: #5a5e63; --rule: #d9d4c8; --faint: #ebe7dd;
  --before: #a34710; --after: #0b5a75; --swing-before: #e3b393; --swing-after: #9cc3d0; --note: #7c2350;
`

const DARK = `
  --paper: #17191b; --raised: #202326; --ink: #e6e2d8; --quiet: #a6a399; --rule: #3b3e40; --faint: #292c2e;
  --before: #e79a62; --after: #74c0d8; --swing-before: #6b4227; --swing-after: #24505f; --note: #e79cc0;
`

export const INK = `
:root { color-scheme: light dark; ${LIGHT} }
@media screen and (prefers-color-scheme: dark) { :root { ${DARK} } }
`
