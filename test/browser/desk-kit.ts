import { fileURLToPath } from 'node:url'
import { build } from 'esbuild'
import type { Page } from 'playwright-core'
import { withoutKernels } from '../../scripts/bundle-page.js'

/**
 * The page's own parts, so that a test can play a desk into memory instead of a loudspeaker: same modules, same recordings out of the page, an
 * `OfflineAudioContext` in place of the sound card. Code for the page stands as text, since this project's types know no browser.
 */
const KIT = `
import { Sounding } from './sounding.ts'
globalThis.playDesk = async ({ group, blend, faders, matched, seconds, acts }) => {
  const report = JSON.parse(document.querySelector('#report').textContent)
  const { sampleRateHz, align, listen, desk } = report.groups[group]
  const context = new OfflineAudioContext(desk.blends[blend].channels, Math.round(seconds * sampleRateHz), sampleRateHz)
  const about = { sampleRateHz, wholeFrames: align.resolution === 'sample' }
  const sounding = new Sounding(context, listen, desk.blends[blend], about, faders)
  const { player } = sounding
  sounding.match(matched)
  player.loud(1)
  player.start()
  const log = []
  for (const { at, call, args } of acts) {
    if (at === 0) player[call](...args)
    else context.suspend(at).then(() => {
      if (call === 'try') sounding.try(...args)
      else player[call](...args)
      log.push(context.currentTime)
      context.resume()
    })
  }
  const out = await context.startRendering()
  const samples = out.getChannelData(0)
  const bytes = new Uint8Array(samples.buffer)
  let text = ''
  for (let i = 0; i < bytes.length; i += 0x8000) text += String.fromCharCode(...bytes.subarray(i, i + 0x8000))
  return { sound: btoa(text), log, matchDb: [...sounding.matchDb] }
}
`

const bundled = async (): Promise<string> => {
  const { outputFiles } = await build({
    stdin: {
      contents: KIT,
      resolveDir: fileURLToPath(new URL('../../src/report/browser', import.meta.url)),
      loader: 'ts',
    },
    bundle: true,
    format: 'iife',
    write: false,
    plugins: [withoutKernels],
  })
  return outputFiles[0]!.text
}

export interface Played {
  readonly sound: Float32Array
  /** Times at which the acts were done. */
  readonly log: readonly number[]
  readonly matchDb: ReadonlyMap<string, number>
}

export interface Act {
  readonly at: number
  readonly call: 'hear' | 'loop' | 'go' | 'try'
  readonly args: readonly unknown[]
}

export interface DeskRun {
  readonly group: number
  readonly blend: number
  readonly faders: readonly unknown[]
  readonly matched: boolean
  readonly seconds: number
  readonly acts: readonly Act[]
}

/** Frames between the start of a run and the first frame of the passage: what the player plans ahead. */
export const aheadFrames = (rate: number): number => Math.ceil(0.012 * rate)

/** Plays a desk of an open page into memory; the first channel of what is heard. */
export const playDesk = async (page: Page, run: DeskRun): Promise<Played> => {
  // The policy stops added script elements; evaluating goes round it without weakening it.
  await page.evaluate(await bundled())
  const played = await page.evaluate<{ sound: string; log: number[]; matchDb: [string, number][] }>(
    `playDesk(${JSON.stringify(run)})`,
  )
  const bytes = Buffer.from(played.sound, 'base64')
  return {
    sound: new Float32Array(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length)),
    log: played.log,
    matchDb: new Map(played.matchDb),
  }
}
