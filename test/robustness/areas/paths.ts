import { join } from 'node:path'
import type { RobustArea } from '../case.js'
import { type Ground, RECIPE, withOutside } from '../ground.js'
import {
  chmodSync,
  cpSync,
  existsSync,
  linkSync,
  mkdirSync,
  mkfifoSync,
  readFileSync,
  renameSync,
  rmSync,
  symlinkSync,
  utimesSync,
  writeFileSync,
} from '../system.js'

const CHECK = 'sumwell check song.yaml'
const RENDER = 'sumwell render song.yaml --no-audio'
/** What a render leaves, and no more. */
const DELIVERED = /^(song|stems(\/.*)?|song\.lock\.yaml)$/

/** The second recording under another name, on the disk and in the recipe. */
const renamed =
  (onDisk: string, inRecipe: string) =>
  (ground: Ground): void => {
    renameSync(ground.path('audio/bottom.wav'), ground.path(`audio/${onDisk}`))
    ground.put('song.yaml', RECIPE.replace('audio/bottom.wav', `"audio/${inRecipe}"`))
  }
/** An empty folder that may not be entered. */
const closed = (ground: Ground): void => {
  mkdirSync(ground.path('closed'))
  chmodSync(ground.path('closed'), 0o000)
}
const LONG = `${'b'.repeat(251)}.wav`

/** Names, links, rights: what a file system can do. */
export const paths: RobustArea = {
  name: 'paths',
  title: 'Paths and folders',
  cases: [
    {
      what: 'a recording above the folder of the recipe',
      set: withOutside,
      call: CHECK,
      exit: 3,
      codes: ['RECIPE_OUTSIDE'],
    },
    {
      what: 'the same, allowed',
      set: withOutside,
      call: `${CHECK} --allow-outside`,
      exit: 0,
      says: /bottom/,
    },
    {
      what: 'an absolute path out of the folder',
      set: g => {
        g.recipe('audio/bottom.wav', '/etc/passwd')
      },
      call: CHECK,
      exit: 3,
      codes: ['RECIPE_OUTSIDE'],
    },
    {
      what: 'a path that goes out and comes back',
      set: g => {
        g.recipe('audio/bottom.wav', '../song/audio/bottom.wav')
      },
      call: CHECK,
      exit: 0,
      says: /bottom/,
    },
    {
      what: 'a link in the folder that leads out of it',
      set: g => {
        mkdirSync(g.path('../elsewhere'))
        renameSync(g.path('audio/bottom.wav'), g.path('../elsewhere/bottom.wav'))
        symlinkSync(g.path('../elsewhere/bottom.wav'), g.path('audio/bottom.wav'))
      },
      call: CHECK,
      exit: 3,
      codes: ['RECIPE_OUTSIDE'],
    },
    {
      what: 'a folder of delivery above the recipe',
      set: g => {
        g.recipe('folder: stems', 'folder: ../stems')
      },
      call: RENDER,
      exit: 3,
      codes: ['RECIPE_OUTSIDE'],
    },
    {
      what: 'a folder of delivery that is a link out of the folder',
      set: g => {
        mkdirSync(g.path('../elsewhere'))
        symlinkSync('../elsewhere', g.path('stems'))
      },
      call: RENDER,
      exit: 3,
      codes: ['RECIPE_OUTSIDE'],
    },
    {
      what: 'a link that leads to another recording while the song is rendered',
      set: g => {
        renameSync(g.path('audio/bottom.wav'), g.path('audio/one.wav'))
        cpSync(g.path('audio/top.wav'), g.path('audio/two.wav'))
        symlinkSync('one.wav', g.path('audio/bottom.wav'))
      },
      call: RENDER,
      when: {
        stderr: ': rendering\n',
        act: g => {
          symlinkSync('two.wav', g.path('audio/new'))
          renameSync(g.path('audio/new'), g.path('audio/bottom.wav'))
        },
      },
      exit: 1,
      codes: ['WAVE_CHANGED'],
      writes: /^(song|stems\/|audio\/bottom\.wav)$/,
    },
    {
      what: 'a folder of delivery that becomes a link out of the tree while the song is rendered: nothing is written there',
      set: g => {
        mkdirSync(g.path('../elsewhere'))
        mkdirSync(g.path('stems'))
      },
      call: RENDER,
      when: {
        stderr: ': rendering\n',
        act: g => {
          renameSync(g.path('stems'), g.path('moved'))
          symlinkSync(g.path('../elsewhere'), g.path('stems'))
        },
      },
      exit: 1,
      says: /(WRITE_[A-Z_]+ {2}.*|WAVE_[A-Z]+ {2}.*)/,
      writes: /^(song|stems\/?|stems\/.*|moved\/?|moved\/\..*)$/,
      after: g => {
        if (existsSync(g.path('../elsewhere/short_song_snare.wav'))) throw new Error('written outside')
      },
    },
    {
      what: 'a stem that is a hard link to a recording: the recording is not touched',
      set: g => {
        mkdirSync(g.path('stems'))
        linkSync(g.path('audio/top.wav'), g.path('stems/short_song_snare.wav'))
      },
      call: RENDER,
      exit: 3,
      codes: ['RECIPE_TARGET_IS_SOURCE'],
    },
    {
      what: 'a folder with the name of a stem',
      set: g => mkdirSync(g.path('stems/short_song_snare.wav'), { recursive: true }),
      call: RENDER,
      exit: 1,
      codes: ['WRITE_FAILED'],
    },
    {
      what: 'a pipe with the name of a stem',
      set: g => {
        mkdirSync(g.path('stems'))
        mkfifoSync(g.path('stems/short_song_snare.wav'))
      },
      call: RENDER,
      exit: 1,
      codes: ['WRITE_FAILED'],
    },
    {
      what: 'a file where the folder of delivery should be',
      set: g => g.put('stems', 'a note'),
      call: RENDER,
      exit: 3,
      codes: ['RECIPE_VALUE'],
    },
    {
      what: 'a folder of delivery that may not be written to',
      set: g => {
        mkdirSync(g.path('stems'))
        chmodSync(g.path('stems'), 0o555)
      },
      call: RENDER,
      exit: 1,
      codes: ['WRITE_NOT_ALLOWED'],
      asStranger: true,
    },
    {
      what: 'a folder of recordings that may not be read',
      set: g => {
        chmodSync(g.path('audio'), 0o000)
      },
      call: CHECK,
      exit: 3,
      codes: ['RECIPE_FILE_MISSING'],
      asStranger: true,
      after: g => {
        chmodSync(g.path('audio'), 0o755)
      },
    },
    {
      what: 'a folder of songs that may not be read',
      set: closed,
      call: 'sumwell check closed',
      exit: 3,
      codes: ['RECIPE_UNREADABLE'],
      asStranger: true,
    },
    {
      what: 'a folder to begin with that may not be read',
      set: closed,
      call: 'sumwell init closed',
      exit: 1,
      codes: ['WAVE_UNREADABLE'],
      asStranger: true,
    },
    {
      what: 'a recipe in a folder that may not be entered',
      set: g => {
        mkdirSync(g.path('closed'))
        cpSync(g.path('song.yaml'), g.path('closed/song.yaml'))
        chmodSync(g.path('closed'), 0o000)
      },
      call: 'sumwell check closed/song.yaml',
      exit: 3,
      codes: ['RECIPE_UNREADABLE'],
      asStranger: true,
      after: g => {
        chmodSync(g.path('closed'), 0o755)
      },
    },
    { what: 'a file name of 255 bytes', set: renamed(LONG, LONG), call: CHECK, exit: 0, says: /bottom/ },
    {
      what: 'a file name of 300 bytes',
      set: g => {
        g.recipe('bottom.wav', `${'b'.repeat(296)}.wav`)
      },
      call: CHECK,
      exit: 3,
      codes: ['RECIPE_FILE_MISSING'],
    },
    {
      what: 'a file name with a line break',
      set: renamed('bot\ntom.wav', 'bot\\ntom.wav'),
      call: CHECK,
      exit: 3,
      codes: ['RECIPE_VALUE'],
    },
    {
      what: 'the same, found by init: left out, and told',
      set: g => {
        renameSync(g.path('audio/bottom.wav'), g.path('audio/bot\ntom.wav'))
      },
      call: 'sumwell init audio --dry-run',
      exit: 0,
      says: /bot.*tom\.wav.*control character in its name|a recipe cannot name it/,
    },
    {
      what: 'a file name with an escape character, which turns a terminal red',
      set: g => {
        renameSync(g.path('audio/bottom.wav'), g.path('audio/\u001b[31m.wav'))
        g.recipe('audio/bottom.wav', 'audio/x.wav')
      },
      call: CHECK,
      exit: 3,
      codes: ['RECIPE_FILE_MISSING'],
    },
    {
      what: 'an accented name that the disk holds as one sign and the recipe writes as two',
      set: renamed('caf\u00e9.wav', 'cafe\u0301.wav'),
      call: CHECK,
      exit: 3,
      codes: ['RECIPE_FILE_MISSING'],
      says: /caf.*is not there/,
    },
    {
      what: 'a name in the other case, on a disk that tells them apart',
      set: renamed('Bottom.wav', 'bottom.wav'),
      call: CHECK,
      exit: 3,
      codes: ['RECIPE_FILE_MISSING'],
    },
    {
      what: 'two recordings whose names differ in case alone: both are used',
      set: g => {
        renameSync(g.path('audio/top.wav'), g.path('audio/Bottom.wav'))
        g.recipe('audio/top.wav', 'audio/Bottom.wav')
      },
      call: CHECK,
      exit: 0,
      says: /bottom/,
    },
    {
      what: 'backslashes in a path',
      set: g => {
        g.recipe('audio/bottom.wav', '"audio\\\\bottom.wav"')
      },
      call: CHECK,
      exit: 3,
      codes: ['RECIPE_FILE_MISSING'],
    },
    {
      what: 'one recording under two names (a hard link)',
      set: g => {
        rmSync(g.path('audio/bottom.wav'))
        linkSync(g.path('audio/top.wav'), g.path('audio/bottom.wav'))
      },
      call: CHECK,
      exit: 3,
      codes: ['RECIPE_FILE_TWICE'],
    },
    {
      what: 'recordings from the year 2100, or a clock that was set back',
      set: g => {
        for (const name of ['top', 'bottom'])
          utimesSync(g.path(`audio/${name}.wav`), 4_102_444_800, 4_102_444_800)
      },
      call: RENDER,
      exit: 0,
      says: /stems\/report\.html/,
      writes: DELIVERED,
    },
    {
      what: 'a slate under the name of a recording',
      call: 'sumwell slate audio/top.wav',
      exit: 1,
      codes: ['WRITE_EXISTS'],
    },
    {
      what: 'an explored page over a recording',
      call: 'sumwell explore song.yaml snare --out audio/top.wav',
      exit: 2,
      codes: ['USAGE_ARGUMENTS'],
    },
    {
      what: 'an explored page over somebody’s page',
      set: g => g.put('index.html', '<p>mine</p>'),
      call: 'sumwell explore song.yaml snare --out index.html',
      exit: 1,
      codes: ['WRITE_EXISTS'],
    },
    {
      what: 'a recipe by init where one is',
      set: g => g.put('audio/recipe.yaml', RECIPE),
      call: 'sumwell init audio',
      exit: 1,
      codes: ['WRITE_EXISTS'],
    },
    {
      what: 'a list of earlier stems that names files above the folder, and --prune: they stay',
      set: g => {
        g.put('../keep.txt', 'mine')
        const sum = 'be53ee6f1de4a2e6ee2ba2b7f0ae2e6ba9d0bb6e4a0d0e5a6e0ee1d8f2a5e0bb'
        mkdirSync(g.path('stems'))
        writeFileSync(join(g.path('stems'), '.sumwell-former-sums'), `${sum}  ../../keep.txt\n${sum}  ..\n`)
      },
      call: `${RENDER} --prune`,
      exit: 0,
      says: /stems\/report\.html/,
      writes: DELIVERED,
      after: g => {
        if (readFileSync(g.path('../keep.txt'), 'utf8') !== 'mine') throw new Error('removed')
      },
    },
  ],
}
