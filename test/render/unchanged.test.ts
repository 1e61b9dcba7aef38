import fs from 'node:fs'
import path from 'node:path'
import { expect, test } from 'vitest'
import { refuseChangedSince, statesOf } from '../../src/render/unchanged.js'
import { SumwellError } from '../../src/terms/fault.js'
import { newFolder } from './setting/takes.js'

test('recordings that were written to, replaced, removed or made since are told at once; the others are not', () => {
  const folder = newFolder()
  const at = (name: string): string => path.join(folder, name)
  const names = ['same', 'written', 'replaced', 'removed']
  for (const name of names) fs.writeFileSync(at(name), name)
  fs.writeFileSync(at('other'), 'replaced')
  const states = statesOf([...names, 'missing', 'made'].map(at))
  refuseChangedSince(states)

  fs.appendFileSync(at('written'), '!')
  fs.renameSync(at('other'), at('replaced'))
  fs.rmSync(at('removed'))
  fs.writeFileSync(at('made'), '')
  let told: readonly { readonly code: string; readonly file: string | null }[] = []
  try {
    refuseChangedSince(states)
  } catch (error) {
    expect(error).toBeInstanceOf(SumwellError)
    told = (error as SumwellError).faults
  }
  expect(told.map(fault => fault.file)).toEqual(['written', 'replaced', 'removed', 'made'].map(at))
  expect(told.map(fault => fault.code)).toEqual(told.map(() => 'WAVE_CHANGED'))
})
