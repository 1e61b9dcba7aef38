import { spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import type { CorpusCase } from '../../test/corpus/case.js'
import { type HARD_KINDS, hardCase } from '../../test/corpus/hard-cases.js'
import { judgeCase, WRONG_MS } from '../../test/corpus/judge-case.js'
import { realCase } from '../../test/corpus/real-cases.js'

/** One case of the corpus by its seed. */
export interface OutsideQuestion {
  readonly kind: 'real' | (typeof HARD_KINDS)[number]
  readonly seed: string
}

/** What one way of measuring says of a case. */
export interface Said {
  /** Null: it gives no answer. */
  readonly missMs: number | null
  readonly polarityRight: boolean
  /** An answer with the wrong sign, or more than 0.25 ms beside every truth, or any where nothing is true. */
  readonly wrong: boolean
}

export interface OutsideAnswer {
  readonly hasTruth: boolean
  readonly plain: Said
  readonly phase: Said
  /** Our lag, whatever the verdict. */
  readonly ours: Said
  /** Null where it is not `sure`. */
  readonly sure: Said | null
}

const script = fileURLToPath(new URL('scipy-lag.py', import.meta.url))

interface Peak {
  readonly lagSamples: number
  readonly sign: number
}

const scipy = (c: CorpusCase): { plain: Peak; phase: Peak } => {
  const folder = mkdtempSync(join(tmpdir(), 'sumwell-outside-'))
  try {
    const files = [c.reference, c.source].map((sound, i) => {
      const file = join(folder, `${i}.f32`)
      writeFileSync(file, Float32Array.from(sound))
      return file
    })
    const search = Math.floor(c.searchSeconds * c.sampleRateHz)
    const done = spawnSync('python3', [script], { input: `${files.join(' ')} ${search}\n`, encoding: 'utf8' })
    if (done.status !== 0) throw new Error(`this needs python3 with SciPy:\n${done.stderr}`)
    return JSON.parse(done.stdout) as { plain: Peak; phase: Peak }
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

const said = (c: CorpusCase, lagSamples: number | null, sign: number): Said => {
  const truths = c.truth === null ? [] : [c.truth, ...(c.alsoTrue ?? [])]
  if (lagSamples === null || truths.length === 0)
    return { missMs: null, polarityRight: false, wrong: lagSamples !== null }
  const misses = truths.map(truth => ({
    ms: (1000 * Math.abs(lagSamples - truth.lagSamples)) / c.sampleRateHz,
    polarityRight: sign > 0 === (truth.polarity === 'normal'),
  }))
  const nearest = misses.sort((a, b) => a.ms - b.ms)[0]!
  return {
    missMs: nearest.ms,
    polarityRight: nearest.polarityRight,
    wrong: !nearest.polarityRight || nearest.ms > WRONG_MS,
  }
}

export const answer = async ({ kind, seed }: OutsideQuestion): Promise<OutsideAnswer> => {
  const c = kind === 'real' ? realCase(seed) : hardCase(kind, seed)
  const theirs = scipy(c)
  const { judged, sure } = await judgeCase(c)
  const sign = judged.polarity === null ? 0 : judged.polarity === 'normal' ? 1 : -1
  const ours = said(c, sign === 0 ? null : judged.lagSamples, sign)
  return {
    hasTruth: c.truth !== null,
    plain: said(c, theirs.plain.lagSamples, theirs.plain.sign),
    phase: said(c, theirs.phase.lagSamples, theirs.phase.sign),
    ours,
    sure: sure ? ours : null,
  }
}
