import type { RobustArea } from '../case.js'
import { RECIPE } from '../ground.js'
import { mkdirSync, mkfifoSync, symlinkSync } from '../system.js'

const blends = (text: string): string => `blends: ${text}`

/** Recipes that are none, or none that may be. */
export const recipes: RobustArea = {
  name: 'recipes',
  title: 'Recipes',
  cases: [
    {
      what: 'an empty recipe',
      set: g => g.put('song.yaml', ''),
      call: 'sumwell check song.yaml',
      exit: 3,
      codes: ['RECIPE_EMPTY'],
    },
    {
      what: 'nothing but comments',
      set: g => g.put('song.yaml', '# later\n'),
      call: 'sumwell check song.yaml',
      exit: 3,
      codes: ['RECIPE_EMPTY'],
    },
    {
      what: 'a recipe that is not there',
      call: 'sumwell check sung.yaml',
      exit: 3,
      codes: ['RECIPE_UNREADABLE'],
    },
    {
      what: 'a folder with the name of a recipe, and nothing in it',
      set: g => {
        mkdirSync(g.path('empty.yaml'))
      },
      call: 'sumwell check empty.yaml',
      exit: 2,
      codes: ['USAGE_ARGUMENTS'],
    },
    {
      what: 'a pipe that nobody writes to, as a recipe',
      set: g => {
        mkfifoSync(g.path('pipe.yaml'))
      },
      call: 'sumwell check pipe.yaml',
      exit: 3,
      codes: ['RECIPE_UNREADABLE'],
    },
    {
      what: 'a pipe beside the recipes of a folder: passed over',
      set: g => {
        mkfifoSync(g.path('pipe.yaml'))
      },
      call: 'sumwell check . --quiet --json',
      exit: 0,
      says: /"song": "Short Song"/,
    },
    { what: 'a device as a recipe', call: 'sumwell check /dev/zero', exit: 3, codes: ['RECIPE_UNREADABLE'] },
    {
      what: 'a circle of links',
      set: g => {
        symlinkSync('ring.yaml', g.path('ring.yaml'))
      },
      call: 'sumwell check ring.yaml',
      exit: 3,
      codes: ['RECIPE_UNREADABLE'],
    },
    {
      what: 'a recording as a recipe',
      call: 'sumwell check audio/top.wav',
      exit: 3,
      codes: ['RECIPE_NOT_UTF8'],
    },
    {
      what: 'more than 256 KiB',
      set: g => g.put('song.yaml', `${RECIPE}# ${'x'.repeat(262_144)}\n`),
      call: 'sumwell check song.yaml',
      exit: 3,
      codes: ['RECIPE_TOO_LARGE'],
    },
    {
      what: 'UTF-16',
      set: g => g.put('song.yaml', Buffer.from(`\ufeff${RECIPE}`, 'utf16le')),
      call: 'sumwell check song.yaml',
      exit: 3,
      codes: ['RECIPE_NOT_UTF8'],
    },
    {
      what: 'Latin-1',
      set: g => g.put('song.yaml', Buffer.from(RECIPE.replace('Short', 'Grün'), 'latin1')),
      call: 'sumwell check song.yaml',
      exit: 3,
      codes: ['RECIPE_NOT_UTF8'],
    },
    {
      what: 'a zero byte in a name',
      set: g => {
        g.recipe('Short', 'Sh\0rt')
      },
      call: 'sumwell check song.yaml',
      exit: 3,
      codes: ['RECIPE_SYNTAX'],
    },
    {
      what: 'line ends of CR alone',
      set: g => g.put('song.yaml', RECIPE.replaceAll('\n', '\r')),
      call: 'sumwell check song.yaml',
      exit: 3,
      codes: ['RECIPE_SYNTAX'],
    },
    {
      what: 'a tab in the indentation',
      set: g => {
        g.recipe('  snare:', '\tsnare:')
      },
      call: 'sumwell check song.yaml',
      exit: 3,
      codes: ['RECIPE_SYNTAX'],
    },
    {
      what: 'a bracket that is never closed',
      set: g => {
        g.recipe('{ folder: stems }', '{ folder: stems')
      },
      call: 'sumwell check song.yaml',
      exit: 3,
      codes: ['RECIPE_SYNTAX'],
    },
    {
      what: '900 brackets in each other',
      set: g => g.put('song.yaml', '['.repeat(900)),
      call: 'sumwell check song.yaml',
      exit: 3,
      codes: ['RECIPE_TOO_DEEP'],
    },
    {
      what: '400 question marks: keys of keys of keys',
      set: g => g.put('song.yaml', '? '.repeat(400)),
      call: 'sumwell check song.yaml',
      exit: 3,
      codes: ['RECIPE_TOO_DEEP'],
    },
    {
      what: 'aliases that multiply to a thousand million',
      set: g =>
        g.put(
          'song.yaml',
          `a: &a [x, x]\n${Array.from('bcdefghij')
            .map((n, i) => `${n}: &${n} [*${'abcdefghi'[i] ?? ''}, *${'abcdefghi'[i] ?? ''}]`)
            .join('\n')}\n`,
        ),
      call: 'sumwell check song.yaml',
      exit: 3,
      codes: ['RECIPE_ALIAS'],
    },
    {
      what: 'a tag that asks for code to be run',
      set: g => {
        g.recipe('Short Song', '!!js/function "function () { process.exit(7) }"')
      },
      call: 'sumwell check song.yaml',
      exit: 3,
      codes: ['RECIPE_TAG'],
    },
    {
      what: 'two recipes in one file',
      set: g => g.put('song.yaml', `${RECIPE}---\n${RECIPE}`),
      call: 'sumwell check song.yaml',
      exit: 3,
      codes: ['RECIPE_SEVERAL_DOCUMENTS'],
    },
    {
      what: 'YAML 1.1, in which “no” is false',
      set: g => g.put('song.yaml', `%YAML 1.1\n---\n${RECIPE}`),
      call: 'sumwell check song.yaml',
      exit: 3,
      codes: ['RECIPE_YAML_VERSION'],
    },
    {
      what: 'a key twice',
      set: g => {
        g.recipe('song: Short Song', 'song: One\nsong: Two')
      },
      call: 'sumwell check song.yaml',
      exit: 3,
      codes: ['RECIPE_DUPLICATE_KEY'],
    },
    {
      what: 'a source called __proto__',
      set: g => {
        g.recipe('top: audio/top.wav', '__proto__: audio/top.wav')
      },
      call: 'sumwell check song.yaml',
      exit: 3,
      codes: ['RECIPE_KEY'],
    },
    {
      what: 'a misspelt key',
      set: g => {
        g.recipe('reference:', 'referense:')
      },
      call: 'sumwell check song.yaml',
      exit: 3,
      codes: ['RECIPE_UNKNOWN_KEY'],
    },
    {
      what: 'an empty value',
      set: g => {
        g.recipe('song: Short Song', 'song:')
      },
      call: 'sumwell check song.yaml',
      exit: 3,
      codes: ['RECIPE_TYPE'],
    },
    {
      what: 'a number so large that it is infinite',
      set: g => {
        g.recipe('song: Short Song', 'song: Short Song\ntempo: 1e999')
      },
      call: 'sumwell check song.yaml',
      exit: 3,
      codes: ['RECIPE_TYPE'],
    },
    {
      what: 'a quantity without its unit',
      set: g => {
        g.recipe('blends:', 'align: { search: 40 }\n    blends:')
      },
      call: 'sumwell check song.yaml',
      exit: 3,
      codes: ['RECIPE_UNIT'],
    },
    {
      what: 'a search of 11 days',
      set: g => {
        g.recipe('blends:', 'align: { search: 1000000 s }\n    blends:')
      },
      call: 'sumwell check song.yaml',
      exit: 3,
      codes: ['RECIPE_VALUE'],
    },
    {
      what: 'all shares 0',
      set: g => {
        g.recipe('{ top: 60, bottom: 40 }', '{ top: 0, bottom: 0 }')
      },
      call: 'sumwell check song.yaml',
      exit: 3,
      codes: ['RECIPE_BLEND_EMPTY'],
    },
    {
      what: 'groups that contain each other',
      set: g => {
        g.recipe('bottom: audio/bottom.wav }', 'bottom: { group: snare } }')
      },
      call: 'sumwell check song.yaml',
      exit: 3,
      codes: ['RECIPE_GROUP_CIRCLE'],
    },
    {
      what: 'a base that is the recipe itself',
      set: g => {
        g.recipe('recipe: 1', 'recipe: 1\nbase: song.yaml')
      },
      call: 'sumwell check song.yaml',
      exit: 3,
      codes: ['RECIPE_BASE'],
    },
    {
      what: 'a pipe as base',
      set: g => {
        mkfifoSync(g.path('album.yaml'))
        g.recipe('recipe: 1', 'recipe: 1\nbase: album.yaml')
      },
      call: 'sumwell check song.yaml',
      exit: 3,
      codes: ['RECIPE_BASE'],
    },
    {
      what: 'a song called ../../x: cleaned, and delivered inside',
      set: g => {
        g.recipe('song: Short Song', 'song: ../../x')
      },
      call: 'sumwell render song.yaml --no-audio',
      exit: 0,
      says: /stems\/report\.html/,
      writes: /^(song|stems(\/.*)?|song\.lock\.yaml)$/,
    },
    {
      what: 'a song called !!!, of which no file name is left',
      set: g =>
        g.put(
          'song.yaml',
          RECIPE.replace('Short Song', '"!!!"').replace('folder: stems', 'folder: "stems/{song}"'),
        ),
      call: 'sumwell check song.yaml',
      exit: 3,
      codes: ['RECIPE_STEM_NAME'],
    },
    {
      what: 'a song name that holds terminal commands',
      set: g => {
        g.recipe('song: Short Song', 'song: "\\e[31mred\\e]0;title\\a"')
      },
      call: 'sumwell check song.yaml',
      exit: 3,
      codes: ['RECIPE_VALUE'],
    },
    {
      what: 'a blend whose name alone is 300 letters',
      set: g => {
        g.recipe('{ snare: {', `{ ${'s'.repeat(300)}: {`)
      },
      call: 'sumwell check song.yaml',
      exit: 3,
      codes: ['RECIPE_STEM_NAME'],
    },
    {
      what: 'two blends that would be one file on a disk that does not tell Snare from snare',
      set: g => {
        g.recipe(
          blends('{ snare: { parts: { top: 60, bottom: 40 } } }'),
          blends('{ snare: { parts: { top: 1 } }, Snare: { parts: { bottom: 1 } } }'),
        )
      },
      call: 'sumwell check song.yaml',
      exit: 3,
      codes: ['RECIPE_STEM_NAME'],
    },
    {
      what: 'names in two normal forms of Unicode that are one name',
      set: g => {
        g.recipe(
          blends('{ snare: { parts: { top: 60, bottom: 40 } } }'),
          blends('{ "caf\u00e9": { parts: { top: 1 } }, "cafe\u0301": { parts: { bottom: 1 } } }'),
        )
      },
      call: 'sumwell check song.yaml',
      exit: 3,
      codes: ['RECIPE_STEM_NAME'],
    },
    {
      what: 'two recipes of one call that deliver into one folder',
      set: g => g.put('other.yaml', RECIPE),
      call: 'sumwell render song.yaml other.yaml',
      exit: 3,
      codes: ['RECIPE_FOLDER_TWICE'],
    },
    {
      what: 'a stem that would be written over a recording',
      set: g =>
        g.put(
          'song.yaml',
          RECIPE.replace('folder: stems', 'folder: audio, name: "{stem}", stems: none').replace(
            '{ snare: {',
            '{ top: {',
          ),
        ),
      call: 'sumwell render song.yaml',
      exit: 3,
      codes: ['RECIPE_TARGET_IS_SOURCE'],
    },
    {
      what: 'seven faults of a recipe: all told at once',
      set: g =>
        g.put(
          'song.yaml',
          'recipe: 1\nsong: 3\ntempo: fast\ngroups:\n  a: { reference: x, sources: { y: ../z.wav, w: no.wav }, align: { search: 40 } }\n  b: 7\n',
        ),
      call: 'sumwell check song.yaml',
      exit: 3,
      codes: ['RECIPE_TYPE', 'RECIPE_REFERENCE', 'RECIPE_OUTSIDE', 'RECIPE_FILE_MISSING', 'RECIPE_UNIT'],
    },
    {
      what: '16,000 faults: the first fifty, and how many more',
      set: g =>
        g.put(
          'song.yaml',
          `recipe: 1\nsong: a\ngroups: { a: { reference: s0, sources: { ${Array.from({ length: 16_000 }, (_, n) => `s${n}: 7`).join(', ')} } } }\n`,
        ),
      call: 'sumwell check song.yaml',
      exit: 3,
      says: /and \d+ more faults/,
    },
  ],
}
