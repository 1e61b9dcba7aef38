import type { SongMeasurement } from '../../src/measure/measurement.js'
import type { Session, SessionGroup } from '../../src/recipe/session.js'
import type { ReportInput } from '../../src/report/build-report.js'
import { buildReport } from '../../src/report/build-report.js'
import type { Report } from '../../src/report/report.js'
import { inventedCloseUp, inventedWaveform } from './lantern-street/close-ups.js'
import { inventedDesk, inventedListen } from './lantern-street/desk.js'
import { plannedSource, plannedStem, planOf, renderedStem } from './lantern-street/plan.js'
import {
  CELSIUS,
  type Invented,
  measuredSource,
  RATE,
  sessionSource,
  sha256Of,
} from './lantern-street/sources.js'
import { inventedTone } from './lantern-street/tone.js'

const base = { told: null, uncertainty: 0.04, spread: 0.3, inverted: false, lagSamples: 0 } as const

const BASS: readonly Invented[] = [
  {
    ...base,
    name: 'piezo',
    file: 'audio/take-4/bass-piezo.wav',
    via: 'pickup',
    uncertainty: null,
    spread: null,
    loudness: -23.1,
  },
  {
    ...base,
    name: 'bridge',
    file: 'audio/take-4/bass-bridge.wav',
    via: 'mic',
    told: 0.25,
    lagSamples: 95.31,
    spread: 2.1,
    loudness: -25.4,
  },
  {
    ...base,
    name: 'room',
    file: 'audio/take-4/bass-room.wav',
    via: 'mic',
    told: 2.6,
    lagSamples: 368.2,
    uncertainty: 0.2,
    spread: 4.4,
    inverted: true,
    loudness: -33.2,
  },
]

const SNARE: readonly Invented[] = [
  {
    ...base,
    name: 'top',
    file: 'audio/take-4/snare-top.wav',
    via: 'mic',
    uncertainty: null,
    spread: null,
    loudness: -19.6,
    measured: { clippedRuns: 1 },
  },
  {
    ...base,
    name: 'bottom',
    file: 'audio/take-4/snare-bottom.wav',
    via: 'mic',
    lagSamples: 12.4,
    inverted: true,
    loudness: -24.9,
  },
]

const GUITAR: readonly Invented[] = [
  {
    ...base,
    name: 'pickup',
    file: 'audio/take-4/guitar-pickup.wav',
    via: 'pickup',
    uncertainty: null,
    spread: null,
    loudness: -24.2,
    measured: { hum: { frequencyHz: 50, levelDbfs: -58.3 } },
  },
  {
    ...base,
    name: 'mic',
    file: 'audio/take-4/guitar-mic.wav',
    via: 'mic',
    told: 0.4,
    lagSamples: 61.7,
    spread: 3.2,
    loudness: -26,
  },
]

const align: SessionGroup['align'] = {
  aim: 'arrival',
  searchSeconds: 0.04,
  passage: null,
  hold: 'reference',
  resolution: 'fraction',
  follow: 'nothing',
  slate: false,
}

const share = (source: string, value: number) => ({ source, kind: 'share', share: value / 100 }) as const
const gain = (source: string, gainDb: number) => ({ source, kind: 'gain', gainDb }) as const

const group = (name: string, sources: readonly Invented[], blends: SessionGroup['blends']): SessionGroup => ({
  name,
  reference: sources[0]!.name,
  sampleRateHz: RATE,
  sources: sources.map(sessionSource),
  align,
  setup: null,
  blends,
})

const session: Session = {
  recipeFile: '/songs/lantern-street/recipe.yaml',
  recipeShown: 'examples/lantern-street/recipe.yaml',
  song: 'Lantern Street',
  take: '4',
  tempoBpm: 92,
  beatsInBar: 4,
  temperatureCelsius: CELSIUS,
  groups: [
    group('upright-bass', BASS, [
      { name: 'bass', parts: [share('piezo', 55), share('bridge', 45)], match: 'loudness', aligned: true },
      {
        name: 'bass-roomy',
        parts: [gain('piezo', 0), gain('bridge', -2), gain('room', -9)],
        match: 'none',
        aligned: true,
      },
      {
        name: 'bass-raw',
        parts: [share('piezo', 55), share('bridge', 45)],
        match: 'loudness',
        aligned: false,
      },
    ]),
    group('snare', SNARE, [
      { name: 'snare', parts: [share('top', 60), share('bottom', 40)], match: 'loudness', aligned: true },
    ]),
    group('acoustic-guitar', GUITAR, [
      { name: 'guitar', parts: [share('pickup', 50), share('mic', 50)], match: 'loudness', aligned: true },
    ]),
  ],
  deliver: {
    folder: '/songs/lantern-street/stems',
    depth: 24,
    stems: 'all',
    ceilingDbtp: -1,
    nameTemplate: '{song}_{stem}',
    report: { listen: null, dated: false },
  },
}

const INVENTED = [
  ['upright-bass', BASS],
  ['snare', SNARE],
  ['acoustic-guitar', GUITAR],
] as const

const measurement: SongMeasurement = {
  recipe: 'recipe.yaml',
  song: 'Lantern Street',
  take: '4',
  groups: INVENTED.map(([name, sources]) => ({
    name,
    reference: sources[0]!.name,
    sampleRateHz: RATE,
    sources: sources.map((source, i) => measuredSource(source, i === 0)),
    closureSamples: sources.length > 2 ? 0.02 : null,
  })),
  warnings: [
    {
      code: 'CLIPPED',
      group: 'snare',
      source: 'top',
      message: 'Clipped once, at 0:17.3, for 5 frames. Listen there; nothing is repaired.',
    },
    {
      code: 'HUM',
      group: 'acoustic-guitar',
      source: 'pickup',
      message:
        'Mains hum of 50 Hz at -58 dBFS between the notes. Look for a loop in the signal grounds; never defeat the safety earth.',
    },
  ],
}

const stems = [
  plannedStem('blend', 'upright-bass', 'bass', [
    ['piezo', '55', 0.46, 0],
    ['bridge', '45', 0.38, -95.31],
  ]),
  plannedStem('blend', 'upright-bass', 'bass-roomy', [
    ['piezo', '0 dB', 0.84, 0],
    ['bridge', '-2 dB', 0.67, -95.31],
    ['room', '-9 dB', -0.3, -368.2],
  ]),
  plannedStem(
    'blend',
    'upright-bass',
    'bass-raw',
    [
      ['piezo', '55', 0.46, 0],
      ['bridge', '45', 0.38, 0],
    ],
    false,
  ),
  plannedStem('blend', 'snare', 'snare', [
    ['top', '60', 0.5, 0],
    ['bottom', '40', -0.34, -12.4],
  ]),
  plannedStem('blend', 'acoustic-guitar', 'guitar', [
    ['pickup', '50', 0.42, 0],
    ['mic', '50', 0.42, -61.7],
  ]),
  ...INVENTED.flatMap(([name, sources]) =>
    sources.map((s, i) =>
      plannedStem('source', name, `${name}_${s.name}`, [
        [s.name, '', s.inverted ? -1 : 1, i === 0 ? 0 : -(s.lagSamples ?? 0)],
      ]),
    ),
  ),
]

const plan = planOf(
  session.groups,
  INVENTED.flatMap(([name, sources]) => sources.map((source, i) => plannedSource(name, source, i === 0))),
  stems,
)

const path = (gain: number, lagMs: number, inverted = false, leftMs = 0) => ({
  gain,
  lagMs,
  inverted,
  leftMs,
})
const run = (from: number, steps: readonly number[]): readonly number[] => steps.map(step => from + step)
const BASS_NOTES = run(28, [0, 3, 5, 7, 8, 10, 12, 14, 15, 17, 19, 24])
const GUITAR_NOTES = run(40, [0, 3, 5, 7, 8, 10, 12, 15, 17, 19, 20, 22, 24, 27, 31])

const tone = [
  inventedTone(
    'upright-bass',
    'bass',
    [path(0.55, 0), path(0.45, 1.986, false, 0.01)],
    BASS_NOTES,
    38,
    'low end 60–250 Hz: +4.1 dB; first notch 251 Hz gone; evenness 5.2 → 0.8 dB',
  ),
  inventedTone(
    'upright-bass',
    'bass-roomy',
    [path(1, 0), path(0.79, 1.986, false, 0.01), path(0.35, 7.671, true, 0.03)],
    BASS_NOTES,
    38,
    'low end 60–250 Hz: +2.9 dB; first notch 248 Hz gone; evenness 4.4 → 0.6 dB',
  ),
  inventedTone(
    'snare',
    'snare',
    [path(0.6, 0), path(0.4, 0.258, true, 0)],
    [],
    90,
    'body 120–400 Hz: +6.2 dB; no notch; level +2.3 dB',
  ),
  inventedTone(
    'acoustic-guitar',
    'guitar',
    [path(0.5, 0), path(0.5, 1.285, false, 0.02)],
    GUITAR_NOTES,
    78,
    'low end 60–250 Hz: +1.7 dB; first notch 389 Hz gone; evenness 3.6 → 0.5 dB',
  ),
]

const closeUps = new Map([
  [
    'upright-bass',
    inventedCloseUp(12.48, [
      {
        source: 'piezo',
        file: 'audio/take-4/bass-piezo.wav',
        lagMs: 0,
        inverted: false,
        shiftMs: 0,
        moveInverted: false,
        brightness: 0.8,
        drawnGainDb: 0,
      },
      {
        source: 'bridge',
        file: 'audio/take-4/bass-bridge.wav',
        lagMs: 1.986,
        inverted: false,
        shiftMs: -1.986,
        moveInverted: false,
        brightness: 0.4,
        drawnGainDb: 2.4,
      },
      {
        source: 'room',
        file: 'audio/take-4/bass-room.wav',
        lagMs: 7.671,
        inverted: true,
        shiftMs: -7.671,
        moveInverted: true,
        brightness: 0.15,
        drawnGainDb: 10.1,
      },
    ]),
  ],
  [
    'snare',
    inventedCloseUp(3.26, [
      {
        source: 'top',
        file: 'audio/take-4/snare-top.wav',
        lagMs: 0,
        inverted: false,
        shiftMs: 0,
        moveInverted: false,
        brightness: 1.5,
        drawnGainDb: 0,
      },
      {
        source: 'bottom',
        file: 'audio/take-4/snare-bottom.wav',
        lagMs: 0.258,
        inverted: true,
        shiftMs: -0.258,
        moveInverted: true,
        brightness: 2.2,
        drawnGainDb: 5.3,
      },
    ]),
  ],
])

/** Everything that the rooms would hand over for an invented song: three groups, seven sources, five blends. */
export const lanternStreet: ReportInput = {
  session,
  measurement,
  plan,
  rendered: stems.map(renderedStem),
  tone,
  closeUps,
  waveforms: new Map([['upright-bass', inventedWaveform(['piezo', 'bridge', 'room'])]]),
  listens: new Map([['upright-bass', inventedListen]]),
  compared: null,
  desks: new Map([['upright-bass', inventedDesk]]),
  neighbours: {
    voices: [
      { group: 'upright-bass', stems: ['bass'] },
      { group: 'snare', stems: ['snare'] },
      { group: 'acoustic-guitar', stems: ['guitar'] },
    ],
    otherRates: [],
    thirdOctaves: [63, 125, 250, 500, 1000].map((centreHz, i) => ({
      centreHz,
      beforeDb: -30 - 4 * i,
      afterDb: i === 4 ? null : -29 - 4 * i,
      lossDb: i === 4 ? null : 0.3 * i,
    })),
    losses: [
      {
        groups: ['upright-bass', 'snare'],
        centreHz: 125,
        lossDb: 1.62,
        fromSeconds: 20.9,
        toSeconds: 41.7,
        fromBar: 9,
        toBar: 16,
      },
    ],
  },
  tool: { version: '0.1.0' },
  made: { at: '2025-11-25T14:02:11.000Z' },
  recipeSha256: sha256Of('recipe'),
}

export const lanternReport = (): Report => buildReport(lanternStreet)
