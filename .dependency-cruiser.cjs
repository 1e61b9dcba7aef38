// The rooms, in the order in which a recording passes through them (docs/how-it-works.md).
// A room may import from itself and from rooms before it, never from a later one.
const rooms = [
  'terms',
  'recipe',
  'signal',
  'wave',
  'measure',
  'decide',
  'render',
  'tone',
  'report',
  'verify',
  'lock',
  'jobs',
  'cli',
]

const directions = rooms.slice(0, -1).map((room, index) => ({
  name: `${room}-knows-nothing-later`,
  severity: 'error',
  from: { path: `^src/${room}/` },
  to: { path: `^src/(${rooms.slice(index + 1).join('|')})/` },
}))

module.exports = {
  forbidden: [
    ...directions,
    { name: 'no-circle', severity: 'error', from: {}, to: { circular: true } },
    {
      name: 'no-room-outside-the-list',
      severity: 'error',
      from: {},
      to: { path: `^src/(?!(${rooms.join('|')})/|index\\.ts)` },
    },
    {
      name: 'source-does-not-know-tests',
      severity: 'error',
      from: { path: '^src/' },
      to: { path: '^(test|bench|examples|scripts)/' },
    },
    {
      name: 'not-to-unresolvable',
      severity: 'error',
      from: {},
      to: { couldNotResolve: true, pathNot: '/generated/' },
    },
    {
      name: 'nothing-of-development-at-run-time',
      severity: 'error',
      from: { path: '^src/', pathNot: '^src/(report/browser/|jobs/pool/boot\\.mjs)' },
      to: { dependencyTypes: ['npm-dev'], dependencyTypesNot: ['type-only'] },
    },
  ],
  options: {
    tsPreCompilationDeps: true,
    tsConfig: { fileName: 'tsconfig.json' },
    doNotFollow: { path: 'node_modules' },
    exclude: { path: '/generated/' },
    enhancedResolveOptions: {
      exportsFields: ['exports'],
      conditionNames: ['import', 'require', 'node', 'default', 'types'],
    },
  },
}
