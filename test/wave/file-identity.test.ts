import fs from 'node:fs'
import { expect, test } from 'vitest'
import { refuseOverSource } from '../../src/wave/file-identity.js'
import { faultOf } from './faults-of.js'
import { temporaryFolder } from './wave-bytes.js'

const folder = temporaryFolder()

test('a target that is a source is refused under every name it has', () => {
  const source = folder.put('source.wav', [1])
  const other = folder.put('other.wav', [2])
  fs.symlinkSync(source, folder.path('link.wav'))
  fs.linkSync(source, folder.path('hard link.wav'))
  fs.mkdirSync(folder.path('sub'))
  fs.symlinkSync(folder.path('.'), folder.path('sub/up'))
  const names = ['source.wav', 'link.wav', 'hard link.wav', 'sub/../source.wav', 'sub/up/source.wav']
  for (const name of names) {
    const fault = faultOf(() => {
      refuseOverSource(folder.path(name), [other, source])
    })
    expect(fault.code).toBe('WRITE_OVER_SOURCE')
    expect(fault.message).toBe(`a stem would be written over the source ${source}`)
  }
  for (const name of ['new.wav', 'nowhere/new.wav', 'other.wav']) {
    refuseOverSource(folder.path(name), [source, folder.path('missing.wav')])
  }
  expect(names).toHaveLength(5)
})
