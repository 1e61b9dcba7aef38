import fs from 'node:fs'
import { basename, dirname, join, resolve } from 'node:path'
import { type Relation, relateFiles } from '../../measure/relatives/related-files.js'
import type { SourceScan } from '../../measure/scan/source-scan.js'
import { loadSession } from '../../recipe/load-session.js'
import { fault, SumwellError } from '../../terms/fault.js'
import { isFolder } from '../../terms/plain-file.js'
import { probeWave } from '../../wave/probe.js'
import { internalFault } from '../../wave/wave-faults.js'
import { writeFault } from '../../wave/write-faults.js'
import type { SongPool } from '../open-pool.js'
import type { Progress } from '../progress.js'
import { allOrFaults } from '../song/all-or-faults.js'
import { passageToCompare } from './choose-passage.js'
import { type FoundRecording, findRecordings } from './find-recordings.js'
import type { Guess } from './guess.js'
import { latestTake } from './latest-take.js'
import { makeGuess } from './make-guess.js'
import { recipeText } from './recipe-text.js'

export interface InitOptions {
  /** File name of the recipe in the folder. */
  readonly name: string
  /** Print only. */
  readonly dryRun: boolean
}

export interface InitDone {
  /** Absolute path of the recipe. */
  readonly recipe: string
  readonly text: string
  readonly guess: Guess
}

/** How far apart paths are looked for: at first as a measurement does, then, for what was left alone, as far as a re-amped pass may be. */
const SEARCH_SECONDS = 0.06
const FAR_SEARCH_SECONDS = 0.5
/** A file that shares so much of its sound with another has found its place; else it is looked for farther off … */
const SETTLED = 0.5
/** … and there it must share so much more. */
const MUCH_MORE = 0.3
/** More files than this are not searched a second time, each against all. */
const MOST_FAR = 24

/**
 * Looks at the recordings of a folder, guesses what they are from sound and names, and leaves a recipe there that `check` passes.
 * @throws SumwellError WRITE_EXISTS where a file of that name is there already: it is left as it is; USAGE_ARGUMENTS where there is
 *   nothing to look at; what reading and writing throw; INTERRUPTED
 */
export const initRecipe = async (
  folder: string,
  pool: SongPool,
  progress: Progress,
  { name, dryRun }: InitOptions,
): Promise<InitDone> => {
  const root = folderAt(folder)
  const recipe = join(root, name)
  if (!dryRun && fs.existsSync(recipe)) throw exists(recipe)
  const { recordings, leftOut } = findRecordings(root)
  const latest = latestTake(recordings)
  if (latest.files.length === 0) throw nothingThere(folder, leftOut.length)
  const seconds = latest.files.reduce((sum, { facts }) => sum + facts.frames / facts.sampleRateHz, 0)
  progress.stage({ song: basename(root), doing: 'reading the files', audioSeconds: seconds })
  const scans = await allOrFaults(
    'looking at the files',
    latest.files.map(({ file }) => pool.rooms.measure.scanSource({ file, selection: { kind: 'all' } })),
  )
  progress.stage({ song: basename(root), doing: 'comparing files', audioSeconds: null })
  const guess = makeGuess({
    song: songName(root),
    take: latest.take,
    earlierTakes: latest.earlier,
    recordings: latest.files.map((file, i) => ({ ...file, silent: scans[i]!.silent })),
    relations: await relationsOf(latest.files, scans, pool),
    leftOut: [
      ...leftOut,
      ...latest.missed.map(({ shown }) => ({
        shown,
        why: `of an earlier take than ${latest.take}; if it is another song's, run init in that song's folder`,
      })),
    ],
  })
  const text = recipeText(guess)
  if (!dryRun) await leaveThere(recipe, text)
  return { recipe, text, guess }
}

const folderAt = (folder: string): string => {
  const root = resolve(folder)
  if (isFolder(root)) return root
  throw new SumwellError(
    fault('USAGE_ARGUMENTS', `${folder} is no folder`, {
      file: folder,
      expected: 'the folder that holds the recordings of a song',
      mend: 'check the path',
    }),
  )
}

/** Folders that hold the audio of a song, and are not named after it. */
const AUDIO_FOLDERS = /^(audio|audio files|wavs?|recordings?|tracks|takes?([-_ ]?\d+)?)$/i

const songName = (root: string): string => {
  const name = basename(root)
  const best = AUDIO_FOLDERS.test(name) ? basename(dirname(root)) : name
  const clean = best
    .replace(/\p{Cc}/gu, ' ')
    .trim()
    .slice(0, 200)
  return /[\p{L}\p{N}]/u.test(clean) ? clean : 'Working Title'
}

/** Only files of one rate can be compared. Silent ones share nothing with anything. */
const relationsOf = async (
  files: readonly FoundRecording[],
  scans: readonly SourceScan[],
  pool: SongPool,
): Promise<readonly Relation[]> => {
  const rates = [...new Set(files.map(({ facts }) => facts.sampleRateHz))]
  const found = await Promise.all(
    rates.map(rate => {
      const members = files.flatMap((file, i) =>
        file.facts.sampleRateHz === rate && !scans[i]!.silent && file.facts.frames > 0 ? [i] : [],
      )
      return relationsAtRate(members, rate, files, scans, pool)
    }),
  )
  return found.flat()
}

const relationsAtRate = async (
  members: readonly number[],
  sampleRateHz: number,
  files: readonly FoundRecording[],
  scans: readonly SourceScan[],
  pool: SongPool,
): Promise<readonly Relation[]> => {
  const stamps = members.map(i => files[i]!.facts.stampSamples)
  const stamped = stamps.every(stamp => stamp !== null)
  const earliest = stamped ? Math.min(...stamps) : 0
  const startFrames = stamps.map(stamp => (stamped ? (stamp ?? 0) - earliest : 0))
  const passage = passageToCompare(
    members.map((i, n) => ({
      activity: scans[i]!.activity,
      sampleRateHz,
      startSeconds: startFrames[n]! / sampleRateHz,
      silent: scans[i]!.silent,
    })),
  )
  const inputs = members.map((i, n) => ({
    file: files[i]!.file,
    channels: files[i]!.facts.channels,
    frames: files[i]!.facts.frames,
    startFrame: startFrames[n]!,
  }))
  const ask = { sampleRateHz, passage }
  const near = await relateFiles(inputs, { ...ask, searchSeconds: SEARCH_SECONDS }, pool.rooms.measure)
  const settled = members.map((_, n) => near.some(r => touches(r, n) && (r.commonEnergy ?? 0) > SETTLED))
  const pairs = near
    .filter(({ first, second }) => !(settled[first] && settled[second]))
    .map(({ first, second }): [number, number] => [first, second])
  const far =
    pairs.length === 0 || members.length > MOST_FAR
      ? []
      : await relateFiles(inputs, { ...ask, searchSeconds: FAR_SEARCH_SECONDS, pairs }, pool.rooms.measure)
  const again = new Map(far.map(relation => [`${relation.first} ${relation.second}`, relation]))
  return near.map(relation => {
    const farther = again.get(`${relation.first} ${relation.second}`)
    const best = (farther?.commonEnergy ?? 0) > (relation.commonEnergy ?? 0) + MUCH_MORE ? farther! : relation
    return { ...best, first: members[best.first]!, second: members[best.second]! }
  })
}

const touches = ({ first, second }: Relation, n: number): boolean => first === n || second === n

/**
 * The recipe is read back as `check` would, under a hidden name beside its place, and put there only if nothing is of that name:
 * whoever was quicker keeps the place.
 */
const leaveThere = async (recipe: string, text: string): Promise<void> => {
  const trial = join(dirname(recipe), `.sumwell-init-${process.pid}.yaml`)
  try {
    fs.writeFileSync(trial, text, { flag: 'wx' })
    try {
      await loadSession(trial, { probe: probeWave })
    } catch (error) {
      const why = error instanceof SumwellError ? (error.faults[0]?.message ?? '') : String(error)
      throw internalFault(`the recipe that was written is not sound (${why})`, recipe)
    }
    putInPlace(trial, recipe)
  } catch (error) {
    throw writeFault(recipe, error)
  } finally {
    fs.rmSync(trial, { force: true })
  }
}

const putInPlace = (trial: string, recipe: string): void => {
  try {
    fs.linkSync(trial, recipe)
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException
    if (code === 'EEXIST') throw exists(recipe)
    // A disk without links: the copy refuses a name that is taken as well.
    fs.copyFileSync(trial, recipe, fs.constants.COPYFILE_EXCL)
  }
}

const exists = (recipe: string): SumwellError =>
  new SumwellError(
    fault('WRITE_EXISTS', `${recipe} is there already, and was left as it is`, {
      file: recipe,
      mend: 'look at what would be written with --dry-run, or write it under another name with --name',
    }),
  )

const nothingThere = (folder: string, leftOut: number): SumwellError =>
  new SumwellError(
    fault(
      'USAGE_ARGUMENTS',
      leftOut === 0
        ? `there are no WAVE files in ${folder}`
        : `none of the ${leftOut} WAVE files in ${folder} can be read`,
      { file: folder, expected: 'the folder that holds the recordings of a song', mend: 'check the path' },
    ),
  )
