import { execFileSync } from 'node:child_process'
import fs from 'node:fs'
import path from 'node:path'
import { describe, expect, test, vi } from 'vitest'
import { CHECKSUM_LIST, checksumText, readChecksums } from '../../src/render/checksum-list.js'
import { deliverFolder, PAPERS } from '../../src/render/deliver-folder.js'
import { holdFolder } from '../../src/render/folder-hold.js'
import { SumwellError } from '../../src/terms/fault.js'
import { sha256OfFile } from '../../src/wave/hash.js'
import { newFolder } from './setting/takes.js'

/** Delivers files that hold their own name and `text`; gives what became of former stems. */
const deliver = (folder: string, stems: readonly string[], text: string, prune = false) => {
  const hold = holdFolder(folder)
  try {
    for (const name of [...stems, ...PAPERS])
      fs.writeFileSync(path.join(hold.workshop, name), `${name} ${text}`)
    const sums = new Map(stems.map(name => [name, sha256OfFile(path.join(hold.workshop, name))]))
    return deliverFolder(hold, { sums, made: stems, papers: PAPERS, prune })
  } finally {
    hold.release()
  }
}

const textsIn = (folder: string): Record<string, string> =>
  Object.fromEntries(
    fs
      .readdirSync(folder)
      .filter(name => !name.startsWith('.sumwell-'))
      .sort()
      .map(name => [name, fs.readFileSync(path.join(folder, name), 'utf8')]),
  )

const namesIn = (folder: string): readonly string[] => fs.readdirSync(folder).sort()

describe('the list of checksums', () => {
  test('is one that sha256sum takes, and names every stem and paper', () => {
    const folder = newFolder()
    deliver(folder, ['a.wav', 'b.wav'], '1')
    const said = execFileSync('sha256sum', ['-c', CHECKSUM_LIST], { cwd: folder, encoding: 'utf8' })
    expect(said.trim().split('\n')).toHaveLength(5)
    expect([...readChecksums(path.join(folder, CHECKSUM_LIST))!.keys()]).toEqual(
      ['a.wav', 'b.wav', ...PAPERS].sort(),
    )
    expect(namesIn(folder)).toEqual([CHECKSUM_LIST, 'a.wav', 'b.wav', ...PAPERS].sort())
  })

  test('is read back as it was written, by those tools as well', () => {
    const folder = newFolder()
    fs.writeFileSync(path.join(folder, 'a.wav'), 'a')
    const theirs = execFileSync('sha256sum', ['a.wav'], { cwd: folder, encoding: 'utf8' })
    expect(checksumText(new Map([['a.wav', sha256OfFile(path.join(folder, 'a.wav'))]]))).toBe(theirs)
    fs.writeFileSync(path.join(folder, 'list'), `# a remark\n${theirs}no line of a list\n`)
    expect([...readChecksums(path.join(folder, 'list'))!.keys()]).toEqual(['a.wav'])
    expect(readChecksums(path.join(folder, 'none'))).toBeNull()
  })
})

describe('a delivery that is broken off', () => {
  // Standing still at any rename and any unlink is what a kill there leaves: nothing after it happens, rollback included.
  const brokenOffAt = (folder: string, step: number): boolean => {
    class Killed extends Error {}
    const state = { steps: 0, dead: false }
    const spies = (['renameSync', 'linkSync', 'rmSync', 'writeFileSync'] as const).map(call => {
      const original: (...words: never[]) => unknown = fs[call]
      return vi.spyOn(fs, call as 'renameSync').mockImplementation(((...words: never[]) => {
        const outside = call === 'renameSync'
        if (!state.dead && outside && state.steps++ === step) state.dead = true
        if (state.dead) throw new Killed()
        return original(...words)
      }) as typeof fs.renameSync)
    })
    try {
      deliver(folder, ['a.wav', 'b.wav'], 'new')
    } catch (error) {
      if (!state.dead) throw error
    } finally {
      for (const spy of spies) spy.mockRestore()
    }
    return state.dead
  }

  test('at any step never leaves a mixture that calls itself complete; the next one is clean', () => {
    let steps = 0
    for (; steps < 40; steps++) {
      const folder = newFolder()
      deliver(folder, ['a.wav', 'b.wav'], 'old')
      const dead = brokenOffAt(folder, steps)
      fs.rmSync(path.join(folder, '.sumwell-busy'), { force: true })
      const found = textsIn(folder)
      const stems = ['a.wav', 'b.wav'].map(name => found[name]?.split(' ')[1])
      for (const stem of stems) expect(['old', 'new']).toContain(stem)
      if (found[CHECKSUM_LIST] !== undefined) {
        // complete: everything is of one render, and the list says so
        expect(new Set([...stems, ...PAPERS.map(name => found[name]?.split(' ')[1])]).size).toBe(1)
        execFileSync('sha256sum', ['-c', '--quiet', CHECKSUM_LIST], { cwd: folder })
      }
      // no report speaks for stems of another render
      const report = found['report.json']?.split(' ')[1]
      if (report !== undefined) expect(new Set([report, ...stems]).size).toBe(1)
      deliver(folder, ['a.wav', 'b.wav'], 'newer')
      expect(
        new Set(
          Object.entries(textsIn(folder)).flatMap(([name, text]) =>
            name === CHECKSUM_LIST ? [] : [text.split(' ')[1]],
          ),
        ),
      ).toEqual(new Set(['newer']))
      // a draft of this very process is not cleared away while it lives
      expect(namesIn(folder).filter(name => name.startsWith('.') && !name.endsWith('.part'))).toEqual([])
      if (!dead) break
    }
    expect(steps).toBeGreaterThan(8)
  })

  test('by a refusal of the system is taken back: the former delivery stands, complete', () => {
    for (let refused = 0; ; refused++) {
      const folder = newFolder()
      deliver(folder, ['a.wav', 'b.wav'], 'old')
      const before = textsIn(folder)
      const rename = fs.renameSync
      let calls = 0
      const spy = vi.spyOn(fs, 'renameSync').mockImplementation((from, to) => {
        if (calls++ === refused) throw Object.assign(new Error('EACCES'), { code: 'EACCES' })
        rename(from, to)
      })
      let error: unknown = null
      try {
        deliver(folder, ['a.wav', 'b.wav', 'c.wav'], 'new')
      } catch (reason) {
        error = reason
      }
      spy.mockRestore()
      if (error === null) {
        expect(refused).toBeGreaterThan(8)
        break
      }
      expect(error).toBeInstanceOf(SumwellError)
      if (calls > refused && textsIn(folder)['c.wav'] === undefined) expect(textsIn(folder)).toEqual(before)
      expect(textsIn(folder)).toEqual(before)
    }
  })
})

describe('stems that the recipe no longer makes', () => {
  test('are named and stay; they are remembered until they are gone', () => {
    const folder = newFolder()
    expect(deliver(folder, ['a.wav', 'b.wav'], '1')).toEqual([])
    fs.writeFileSync(path.join(folder, 'mine.wav'), 'not ours')
    expect(deliver(folder, ['a.wav'], '2')).toEqual([{ fileName: 'b.wav', state: 'left' }])
    expect(deliver(folder, ['a.wav'], '3')).toEqual([{ fileName: 'b.wav', state: 'left' }])
    expect(deliver(folder, ['a.wav'], '4', true)).toEqual([{ fileName: 'b.wav', state: 'removed' }])
    expect(deliver(folder, ['a.wav'], '5', true)).toEqual([])
    expect(namesIn(folder)).toEqual([CHECKSUM_LIST, 'a.wav', ...PAPERS, 'mine.wav'].sort())
  })

  test('are not removed where somebody changed them, or put a link there', () => {
    const folder = newFolder()
    deliver(folder, ['a.wav', 'b.wav', 'c.wav'], '1')
    fs.appendFileSync(path.join(folder, 'b.wav'), '!')
    fs.renameSync(path.join(folder, 'c.wav'), path.join(folder, 'mine.wav'))
    fs.symlinkSync('mine.wav', path.join(folder, 'c.wav'))
    expect(deliver(folder, ['a.wav'], '2', true)).toEqual([
      { fileName: 'b.wav', state: 'changed' },
      { fileName: 'c.wav', state: 'changed' },
    ])
    expect(fs.readFileSync(path.join(folder, 'b.wav'), 'utf8')).toBe('b.wav 1!')
    expect(fs.readFileSync(path.join(folder, 'mine.wav'), 'utf8')).toBe('c.wav 1')
  })
})
