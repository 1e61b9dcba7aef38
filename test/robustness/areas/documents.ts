import { createHash } from 'node:crypto'
import { someAlbum } from '../../fuzz/documents.js'
import type { RobustArea } from '../case.js'
import { delivered, lockedSong } from '../delivered.js'
import type { Ground } from '../ground.js'
import {
  chmodSync,
  mkdirSync,
  mkfifoSync,
  readFileSync,
  rmSync,
  symlinkSync,
  truncateSync,
  writeFileSync,
} from '../system.js'

const sum = (bytes: Uint8Array): string => createHash('sha256').update(bytes).digest('hex')
const DELIVERED = /^(song|stems(\/.*)?|song\.lock\.yaml)$/

/** The delivery of the good song lies in `stems`, with a change to its report. */
const withReport =
  (change: (text: string) => string | Uint8Array) =>
  (ground: Ground): void => {
    delivered(ground)
    writeFileSync(
      ground.path('stems/report.json'),
      change(readFileSync(ground.path('stems/report.json'), 'utf8')),
    )
  }
const withLock =
  (change: (text: string) => string) =>
  (ground: Ground): void => {
    lockedSong(ground)
    writeFileSync(ground.path('song.lock.yaml'), change(readFileSync(ground.path('song.lock.yaml'), 'utf8')))
  }
const shard = (number: number, of: number): string => JSON.stringify(someAlbum({ number, of }))

/** What a render leaves, when somebody else has been at it. */
export const documents: RobustArea = {
  name: 'documents',
  title: 'Reports, locks, lists, summaries and the cache',
  cases: [
    {
      what: 'a folder without a report',
      call: 'sumwell report audio',
      exit: 1,
      codes: ['REPORT_UNREADABLE'],
    },
    {
      what: 'a pipe called report.json',
      set: g => {
        mkdirSync(g.path('stems'))
        mkfifoSync(g.path('stems/report.json'))
      },
      call: 'sumwell report stems',
      exit: 1,
      codes: ['REPORT_UNREADABLE'],
    },
    {
      what: 'a link from report.json to a device without end',
      set: g => {
        mkdirSync(g.path('stems'))
        symlinkSync('/dev/zero', g.path('stems/report.json'))
      },
      call: 'sumwell verify stems',
      exit: 1,
      codes: ['REPORT_UNREADABLE'],
    },
    {
      what: 'a report of 600 MB',
      set: g => {
        g.put('stems/report.json', '')
        truncateSync(g.path('stems/report.json'), 600e6)
      },
      call: 'sumwell report stems',
      exit: 1,
      codes: ['REPORT_UNREADABLE'],
    },
    {
      what: 'a report cut short',
      set: withReport(text => text.slice(0, 5000)),
      call: 'sumwell report stems',
      exit: 1,
      codes: ['REPORT_UNREADABLE'],
    },
    {
      what: 'a report of a later version',
      set: withReport(text => text.replace('"format": 1', '"format": 2')),
      call: 'sumwell report stems',
      exit: 1,
      codes: ['REPORT_UNREADABLE'],
    },
    {
      what: 'a report whose stems lie in another folder',
      set: withReport(text => text.replace('"file": "short_song_snare.wav"', '"file": "../audio/top.wav"')),
      call: 'sumwell verify stems',
      exit: 1,
      codes: ['REPORT_UNREADABLE'],
    },
    {
      what: 'a report whose spectra do not fit together',
      set: withReport(text => text.replace(/"binsInCell": "[^"]{8}/, '"binsInCell": "')),
      call: 'sumwell report stems',
      exit: 1,
      codes: ['REPORT_UNREADABLE'],
    },
    {
      what: 'a report with markup in a name: written out as text',
      set: withReport(text =>
        text.replace('"song": "Short Song"', '"song": "</script><script>alert(1)</script>"'),
      ),
      call: 'sumwell report stems --no-audio',
      exit: 0,
      says: /<\/script><script>alert\(1\)<\/script>/,
      writes: /^(stems\/?|stems\/(report\.html|handoff\.md|SHA256SUMS))$/,
      after: g => {
        if (readFileSync(g.path('stems/report.html'), 'utf8').includes('<script>alert'))
          throw new Error('markup')
      },
    },
    {
      what: 'a stem of which one bit is another',
      set: g => {
        delivered(g)
        const file = g.path('stems/short_song_snare.wav')
        const bytes = readFileSync(file)
        bytes[bytes.length - 100]! ^= 1
        writeFileSync(file, bytes)
      },
      call: 'sumwell verify stems',
      exit: 5,
      codes: ['VERIFY_DIFFERS'],
    },
    {
      what: 'a stem that is missing',
      set: g => {
        delivered(g)
        rmSync(g.path('stems/short_song_snare.wav'))
      },
      call: 'sumwell verify stems',
      exit: 5,
      codes: ['VERIFY_DIFFERS'],
    },
    {
      what: 'a pipe in the place of a stem',
      set: g => {
        delivered(g)
        rmSync(g.path('stems/short_song_snare.wav'))
        mkfifoSync(g.path('stems/short_song_snare.wav'))
      },
      call: 'sumwell verify stems',
      exit: 5,
      codes: ['VERIFY_DIFFERS'],
    },
    {
      what: 'a delivery without its list of checksums',
      set: g => {
        delivered(g)
        rmSync(g.path('stems/SHA256SUMS'))
      },
      call: 'sumwell verify stems',
      exit: 5,
      codes: ['VERIFY_DIFFERS'],
    },
    {
      what: 'a list of checksums that names a file of somebody else: not looked at',
      set: g => {
        delivered(g)
        g.put('../keep.txt', 'mine')
        writeFileSync(
          g.path('stems/SHA256SUMS'),
          `${readFileSync(g.path('stems/SHA256SUMS'), 'utf8')}${sum(Buffer.from('x'))}  ../../keep.txt\n`,
        )
      },
      call: 'sumwell verify stems',
      exit: 0,
      says: /bytes, lengths, rates, words and time stamps are as delivered/,
    },
    {
      what: 'a list of checksums that names a pipe',
      set: g => {
        delivered(g)
        mkfifoSync(g.path('stems/pipe'))
        writeFileSync(
          g.path('stems/SHA256SUMS'),
          `${readFileSync(g.path('stems/SHA256SUMS'), 'utf8')}${sum(Buffer.from('x'))}  pipe\n`,
        )
      },
      call: 'sumwell verify stems',
      exit: 5,
      codes: ['VERIFY_DIFFERS'],
    },
    {
      what: 'a comparison with nothing',
      call: 'sumwell compare stems before',
      exit: 1,
      codes: ['REPORT_UNREADABLE'],
    },
    {
      what: 'a lock in which a merge left its marks',
      set: withLock(text => text.replace('groups:', '<<<<<<< ours\ngroups:')),
      call: 'sumwell render song.yaml --no-audio',
      exit: 1,
      codes: ['LOCK_UNREADABLE'],
    },
    {
      what: 'a lock of a later version',
      set: withLock(text => text.replace('lock: 1', 'lock: 2')),
      call: 'sumwell render song.yaml --no-audio',
      exit: 1,
      codes: ['LOCK_UNREADABLE'],
    },
    {
      what: 'a pipe in the place of the lock',
      set: g => {
        mkfifoSync(g.path('song.lock.yaml'))
      },
      call: 'sumwell render song.yaml --no-audio',
      exit: 1,
      codes: ['LOCK_UNREADABLE'],
    },
    {
      what: '3 MB of lock',
      set: g => g.put('song.lock.yaml', `# ${'x'.repeat(3e6)}\n`),
      call: 'sumwell compare song.lock.yaml song.lock.yaml',
      exit: 1,
      codes: ['LOCK_UNREADABLE'],
    },
    {
      what: 'a lag in the lock that was changed by hand, and --locked',
      set: withLock(text => text.replace(/lagSamples: \d[\d.e-]*/, 'lagSamples: 12.5')),
      call: 'sumwell render song.yaml --no-audio --locked',
      exit: 5,
      codes: ['LOCK_DIFFERS'],
    },
    {
      what: 'the same without --locked: the lock is kept, what was measured is told, and --lags tells what is left',
      set: withLock(text => text.replace(/lagSamples: \d[\d.e-]*/, 'lagSamples: 12.5')),
      call: 'sumwell render song.yaml --no-audio --lags --json',
      exit: 0,
      codes: ['LOCK_KEPT', 'LAG_LEFT'],
      writes: DELIVERED,
    },
    {
      what: 'a shift of a month in the lock: it is made from the lag anew',
      set: withLock(text => text.replace(/shiftSamples: -?\d[\d.e-]*/, 'shiftSamples: 1e12')),
      call: 'sumwell render song.yaml --no-audio',
      exit: 0,
      says: /stems\/report\.html/,
      writes: DELIVERED,
    },
    {
      what: '--locked without a lock',
      call: 'sumwell render song.yaml --no-audio --locked',
      exit: 5,
      codes: ['LOCK_DIFFERS'],
    },
    {
      what: 'the summary of a shard that is no JSON',
      set: g => g.put('album.shard-1-of-1.json', '{'),
      call: 'sumwell merge .',
      exit: 1,
      codes: ['REPORT_UNREADABLE'],
    },
    {
      what: 'a pipe as the summary of a shard',
      set: g => {
        mkfifoSync(g.path('album.shard-1-of-1.json'))
      },
      call: 'sumwell merge .',
      exit: 1,
      codes: ['REPORT_UNREADABLE'],
    },
    {
      what: 'one of three shards missing',
      set: g => {
        g.put('album.shard-1-of-3.json', shard(1, 3))
        g.put('album.shard-3-of-3.json', shard(3, 3))
      },
      call: 'sumwell merge .',
      exit: 2,
      codes: ['USAGE_ARGUMENTS'],
    },
    {
      what: 'a shard of ten thousand million',
      set: g => g.put('album.shard-1-of-9.json', shard(1, 1e10)),
      call: 'sumwell merge .',
      exit: 1,
      codes: ['REPORT_UNREADABLE'],
    },
    { what: 'no shards at all', call: 'sumwell merge .', exit: 2, codes: ['USAGE_ARGUMENTS'] },
    {
      what: 'a cache that is a file',
      set: g => g.put('cache', 'x'),
      call: 'sumwell check song.yaml',
      environment: { SUMWELL_CACHE: 'cache' },
      exit: 0,
      says: /bottom/,
    },
    {
      what: 'a cache that may not be written to',
      set: g => {
        mkdirSync(g.path('closed'))
        chmodSync(g.path('closed'), 0o555)
      },
      call: 'sumwell check song.yaml',
      environment: { SUMWELL_CACHE: 'closed' },
      asStranger: true,
      exit: 0,
      says: /bottom/,
    },
    {
      what: 'a cache full of other things',
      set: g => {
        g.put('cache/entries/ab/abc', 'x')
        mkfifoSync(g.path('cache/entries/ab/pipe'))
        g.put('cache/swept', 'x')
      },
      call: 'sumwell cache',
      environment: { SUMWELL_CACHE: 'cache' },
      exit: 0,
      says: /0 entries|nothing|empty/,
    },
  ],
}
