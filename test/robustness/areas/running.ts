import { hostname } from 'node:os'
import type { RobustArea } from '../case.js'
import { type Ground, RECIPE } from '../ground.js'
import { cpSync, linkSync } from '../system.js'
import { frames, mono } from '../waves.js'

const CHECK = 'sumwell check song.yaml'
const RENDER = 'sumwell render song.yaml --no-audio'
const DELIVERED = /^(song|stems(\/.*)?|song\.lock\.yaml)$/
const WORKING = /^(song|stems\/?|song\.lock\.yaml)$/

const silence = (): Uint8Array => mono(frames(48_000, () => 0))

const usage = (what: string, call: string, says: RegExp) => ({ what, call, exit: 2, says })

const NAMES = ['top', 'bottom', 'left', 'right'] as const

/** A thousand sources: 250 groups of four, each file another name of one of four recordings. */
const thousandSources = (ground: Ground): void => {
  for (const [i, name] of (['left', 'right'] as const).entries()) {
    cpSync(ground.path(`audio/${NAMES[i]!}.wav`), ground.path(`audio/${name}.wav`))
  }
  const groups = Array.from({ length: 250 }, (_, n) => {
    const sources = NAMES.map(name => {
      linkSync(ground.path(`audio/${name}.wav`), ground.path(`audio/${name}-${n}.wav`))
      return `${name}: audio/${name}-${n}.wav`
    })
    return `  g${n}: { reference: top, sources: { ${sources.join(', ')} } }\n`
  })
  ground.put('song.yaml', `recipe: 1\nsong: Many\ngroups:\n${groups.join('')}`)
}

/** The command line, the terminal, the machine. */
export const running: RobustArea = {
  name: 'running',
  title: 'The command line and the machine',
  cases: [
    usage('no command', 'sumwell', /Usage: sumwell/),
    usage('a command that is misspelt', 'sumwell rendr song.yaml', /Did you mean render\?/),
    usage('an option that is misspelt', 'sumwell check --qiet song.yaml', /Did you mean --quiet\?/),
    usage('no recipe', 'sumwell check', /missing required argument 'recipe'/),
    usage('0 threads', 'sumwell check --jobs 0 song.yaml', /whole number from 1 to 256/),
    usage('a number that is none', 'sumwell check --jobs 1e9 song.yaml', /whole number from 1 to 256/),
    usage(
      'the ninth of eight shards',
      'sumwell render --shard 9/8 song.yaml',
      /a part and the number of parts/,
    ),
    usage('an empty take', 'sumwell check --take "" song.yaml', /a number or a name/),
    usage(
      'a path where a file name belongs',
      'sumwell init --name ../x.yaml audio',
      /a file name without a folder/,
    ),
    usage('an unknown shell', 'sumwell completion csh', /bash, zsh, fish/),
    usage('a slate at a rate that nobody has', 'sumwell slate slate.wav --rate 1', /44100, 48000/),
    {
      what: 'a slate that is no WAVE file by its name',
      call: 'sumwell slate slate.mp3',
      exit: 2,
      codes: ['USAGE_ARGUMENTS'],
    },
    {
      what: 'a pattern that finds nothing',
      call: 'sumwell check "songs/*/recipe.yaml"',
      exit: 2,
      codes: ['USAGE_ARGUMENTS'],
    },
    {
      what: 'a group that the recipe does not have',
      call: 'sumwell explore song.yaml snaer',
      exit: 2,
      codes: ['USAGE_ARGUMENTS'],
    },
    {
      what: '--remeasure with such a group',
      call: 'sumwell render song.yaml --remeasure snaer',
      exit: 2,
      codes: ['USAGE_ARGUMENTS'],
    },
    {
      what: 'a take that tries to lead out of the folder: cleaned',
      set: g =>
        g.put(
          'song.yaml',
          RECIPE.replace('audio/bottom.wav', '"audio/{take}/bottom.wav"').replace(
            'song: Short Song',
            'song: Short Song\ntake: 1',
          ),
        ),
      call: 'sumwell check song.yaml --take ../../..',
      exit: 3,
      codes: ['RECIPE_FILE_MISSING'],
    },
    {
      what: 'a reader that leaves early',
      call: 'sumwell --help | head -1',
      inShell: true,
      exit: 0,
      says: /^\s*Usage: sumwell <command> \[options\]\s*$/,
    },
    {
      what: 'the same, of a document of some length',
      call: '(sumwell check song.yaml --json; echo "exit $?" >&2) | head -1',
      inShell: true,
      exit: 0,
      says: /exit 0/,
    },
    {
      what: 'a reader that is gone before anything is printed',
      call: '(sleep 1; sumwell check song.yaml; echo "exit $?" >&2) | true',
      inShell: true,
      exit: 0,
      says: /exit 0/,
    },
    {
      what: 'stdout closed',
      call: 'sumwell check song.yaml >&-; echo "exit $?"',
      inShell: true,
      exit: 0,
      says: /exit [01]/,
    },
    {
      what: 'stderr closed',
      call: 'sumwell check song.yaml 2>&-; echo "exit $?"',
      inShell: true,
      exit: 0,
      says: /exit 0/,
    },
    {
      what: 'a disk that is full, under stdout',
      call: 'sumwell check song.yaml > /dev/full',
      inShell: true,
      exit: 1,
      says: /checking/,
    },
    {
      what: 'no terminal, and a terminal that can do nothing',
      call: CHECK,
      environment: { TERM: 'dumb', COLUMNS: '0' },
      exit: 0,
      says: /bottom/,
    },
    {
      what: 'no environment at all',
      call: 'env -i "$NODE" "$MAIN" check song.yaml',
      inShell: true,
      exit: 0,
      says: /bottom/,
    },
    {
      what: 'a home that is not there',
      call: RENDER,
      environment: { HOME: '/nowhere', XDG_CACHE_HOME: '/nowhere/cache', SUMWELL_CACHE: '/dev/null/cache' },
      exit: 0,
      says: /stems\/report\.html/,
      writes: DELIVERED,
    },
    {
      what: 'a locale that writes numbers with commas and i without dots',
      call: `${RENDER} --json`,
      environment: { LC_ALL: 'tr_TR.UTF-8', LANG: 'tr_TR.UTF-8' },
      exit: 0,
      says: /"lagSamples": 7\.0/,
      writes: DELIVERED,
    },
    {
      what: 'a time zone at the other end of the world',
      call: RENDER,
      environment: { TZ: 'Pacific/Kiritimati' },
      exit: 0,
      says: /stems\/report\.html/,
      writes: DELIVERED,
    },
    {
      what: 'Ctrl-C while measuring',
      call: RENDER,
      when: {
        stderr: ': measuring\n',
        act: (_, kill) => {
          kill('SIGINT')
        },
      },
      exit: 130,
      codes: ['INTERRUPTED'],
      writes: WORKING,
    },
    {
      what: 'Ctrl-C while rendering',
      call: RENDER,
      when: {
        stderr: ': rendering\n',
        act: (_, kill) => {
          kill('SIGINT')
        },
      },
      exit: 130,
      codes: ['INTERRUPTED'],
      writes: WORKING,
    },
    {
      what: 'a shutdown while rendering',
      call: RENDER,
      when: {
        stderr: ': rendering\n',
        act: (_, kill) => {
          kill('SIGTERM')
        },
      },
      exit: 130,
      codes: ['INTERRUPTED'],
      writes: WORKING,
    },
    {
      what: 'another render at work in the folder',
      set: g =>
        g.put('stems/.sumwell-busy', JSON.stringify({ pid: process.pid, host: hostname(), began: null })),
      call: RENDER,
      exit: 1,
      codes: ['WRITE_BUSY'],
      says: /another render is at work in this folder/,
    },
    {
      what: 'a render on another machine in the folder',
      set: g => g.put('stems/.sumwell-busy', JSON.stringify({ pid: 1, host: 'elsewhere', began: null })),
      call: RENDER,
      exit: 1,
      codes: ['WRITE_BUSY'],
    },
    {
      what: 'the mark of a render that was killed',
      set: g => g.put('stems/.sumwell-busy', '{"pid": 4194304, "host": "'.concat(hostname(), '"}')),
      call: RENDER,
      exit: 0,
      says: /stems\/report\.html/,
      writes: DELIVERED,
    },
    {
      what: '--strict, and a path whose lag is unknown',
      set: g => g.put('audio/bottom.wav', silence()),
      call: `${RENDER} --strict`,
      exit: 4,
      codes: ['NOT_SURE'],
    },
    {
      what: '500 groups',
      set: g =>
        g.put(
          'song.yaml',
          `recipe: 1\nsong: Many\ngroups:\n${Array.from({ length: 500 }, (_, n) => `  g${n}: { reference: top, sources: { top: audio/top.wav } }\n`).join('')}`,
        ),
      call: CHECK,
      exit: 3,
      codes: ['RECIPE_VALUE'],
    },
    {
      what: 'a thousand sources',
      set: thousandSources,
      call: `${CHECK} --quiet --json`,
      exit: 0,
      says: /"song": "Many"/,
    },
    {
      what: 'a fault of our own',
      call: CHECK,
      environment: { NODE_OPTIONS: `--import ${new URL('../own-fault.mjs', import.meta.url).href}` },
      exit: 1,
      codes: ['INTERNAL'],
    },
    {
      what: 'a disk that is full when the first stem is written',
      call: RENDER,
      environment: {
        NODE_OPTIONS: `--import ${new URL('../../end-to-end/setting/fault-layer.mjs', import.meta.url).href}`,
        SUMWELL_TEST_FAULT: 'fsyncSync ENOSPC 0',
      },
      exit: 1,
      codes: ['WRITE_DISK_FULL'],
      writes: WORKING,
    },
  ],
}
