import fs from 'node:fs'
import path from 'node:path'
import { CHECKSUM_LIST, readChecksums } from '../render/checksum-list.js'
import { PAPERS } from '../render/deliver-folder.js'
import { readReport } from '../report/read-report.js'
import type { Report, ReportStem } from '../report/report.js'
import { SumwellError } from '../terms/fault.js'
import { isInterrupted } from '../terms/interrupted.js'
import type { Pooled } from '../terms/task.js'
import { dbFromGain } from '../terms/units.js'
import { sha256OfFile } from '../wave/hash.js'
import { nullInputOf } from './blend-parts.js'
import { stemDifferences } from './stem-differences.js'
import type { verifyTasks } from './tasks.js'
import type { Difference, Verified, VerifiedBlend, VerifiedStem } from './verified.js'

/**
 * Holds a folder of delivery against its own report and list of checksums: every file, its length, rate, depth and time stamp, and whether the
 * single stems add up to the blends. Reads only.
 * @throws SumwellError REPORT_UNREADABLE where there is no report to hold it against; INTERRUPTED
 */
export const verifyFolder = async (
  folder: string,
  tasks: Pooled<typeof verifyTasks>,
  begin: (report: Report) => void = () => undefined,
): Promise<{ readonly verified: Verified; readonly report: Report }> => {
  const report = readReport(path.join(folder, 'report.json'))
  begin(report)
  const list = readChecksums(path.join(folder, CHECKSUM_LIST))
  const fileOf = ({ file }: Pick<ReportStem, 'file'>): string => path.join(folder, file)
  const differences: Difference[] = []
  if (list === null) {
    const message = `there is no ${CHECKSUM_LIST}: this delivery is not complete, a render was broken off here; render again`
    differences.push({ file: null, message })
  }
  const stems = await Promise.all(
    report.stems.map(async (stem): Promise<VerifiedStem> => {
      const look = await orDifference(stem.file, () => tasks.lookAtStem({ file: fileOf(stem) }))
      if ('message' in look) {
        differences.push(look)
        return { file: stem.file, sha256: null, frames: null, sampleRateHz: null, stampSamples: null }
      }
      differences.push(...stemDifferences(stem, look, list === null ? look.sha256 : list.get(stem.file)))
      const { frames, sampleRateHz, stampSamples } = look.facts
      return { file: stem.file, sha256: look.sha256, frames, sampleRateHz, stampSamples }
    }),
  )
  if (list !== null)
    differences.push(...otherFiles(folder, list, new Set(report.stems.map(({ file }) => file))))
  const readable = new Set(stems.filter(({ frames }) => frames !== null).map(({ file }) => file))
  const blends = await Promise.all(
    report.stems
      .filter(({ kind }) => kind === 'blend')
      .map(async blend => {
        const { difference, ...told } = await blendCheck(blend)
        if (difference !== null) differences.push({ file: blend.file, message: difference })
        return told
      }),
  )
  const order = [null, ...PAPERS, ...report.stems.map(({ file }) => file)]
  const verified: Verified = {
    folder,
    song: report.song,
    take: report.take,
    stems,
    blends,
    lags: null,
    others: waveFiles(folder).filter(name => !report.stems.some(({ file }) => file === name)),
    // tasks end in any order; what is told does not depend on that
    differences: differences.sort((a, b) => order.indexOf(a.file) - order.indexOf(b.file)),
  }
  return { verified, report }

  async function blendCheck(
    blend: ReportStem,
  ): Promise<VerifiedBlend & { readonly difference: string | null }> {
    const { name, file } = blend
    const notCompared = (why: string) => ({
      name,
      file,
      leftDbfs: null,
      allowedDbfs: null,
      notCompared: why,
      difference: null,
    })
    const input = nullInputOf(report, blend, fileOf)
    if (typeof input === 'string') return notCompared(input)
    const files = [input.blend, ...input.parts].map(part => path.basename(part.file))
    const missing = files.find(part => !readable.has(part))
    if (missing !== undefined) return notCompared(`${missing} cannot be read`)
    const { left, allowed } = await tasks.nullTest(input)
    const leftDbfs = left === 0 ? null : dbFromGain(left)
    const allowedDbfs = dbFromGain(allowed)
    const difference =
      left <= allowed
        ? null
        : `the single stems do not add up to it: ${leftDbfs!.toFixed(1)} dBFS are left, where rounding leaves ${allowedDbfs.toFixed(1)} at most`
    return { name, file, leftDbfs, allowedDbfs, notCompared: null, difference }
  }
}

const orDifference = async <Result extends object>(
  file: string,
  look: () => Promise<Result>,
): Promise<Result | Difference> => {
  try {
    return await look()
  } catch (error) {
    if (!(error instanceof SumwellError) || isInterrupted(error)) throw error
    return { file, message: error.faults[0]?.message ?? 'it cannot be read' }
  }
}

/** Files of the list that are no stems: papers, and whatever else it names. */
const otherFiles = (
  folder: string,
  list: ReadonlyMap<string, string>,
  stems: ReadonlySet<string>,
): readonly Difference[] =>
  [...list]
    .filter(([name]) => !stems.has(name))
    .flatMap(([name, sha256]): readonly Difference[] => {
      const file = path.join(folder, name)
      if (!fs.existsSync(file)) return [{ file: name, message: 'it is missing' }]
      try {
        if (sha256OfFile(file) === sha256) return []
      } catch (error) {
        if (!(error instanceof SumwellError) || isInterrupted(error)) throw error
        return [{ file: name, message: error.faults[0]?.message ?? 'it cannot be read' }]
      }
      return [{ file: name, message: 'its bytes are not those of the list of checksums' }]
    })

const waveFiles = (folder: string): readonly string[] =>
  fs
    .readdirSync(folder)
    .filter(name => /\.wav$/i.test(name) && !name.startsWith('.'))
    .sort((a, b) => (a < b ? -1 : 1))
