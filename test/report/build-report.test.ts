import { describe, expect, it } from 'vitest'
import { tidyNumbers } from '../../src/report/build/tidy-numbers.js'
import { buildReport } from '../../src/report/build-report.js'
import { reportJson } from '../../src/report/write-report.js'
import { SumwellError } from '../../src/terms/fault.js'
import { lanternReport, lanternStreet } from './fixture.js'

describe('buildReport', () => {
  it('is the same for the same input, but for `made`', () => {
    const other = buildReport({ ...lanternStreet, made: { at: '1999-01-01T00:00:00Z' } })
    expect(reportJson(lanternReport())).not.toBe(reportJson(other))
    expect(reportJson({ ...other, made: lanternReport().made })).toBe(reportJson(lanternReport()))
  })

  it('tells nothing of the machine: no absolute path', () => {
    expect(lanternStreet.plan.folder.startsWith('/songs/')).toBe(true)
    expect(reportJson(lanternReport())).not.toContain('/songs/')
  })

  it('shows the larger of uncertainty and arrival spread', () => {
    const [bass] = lanternReport().groups
    const bridge = bass!.sources.find(s => s.name === 'bridge')!.measured
    expect(bridge.lagUncertaintySamples).toBe(0.04)
    expect(bridge.arrivalSpreadSamples).toBe(2.1)
    expect(bridge.shownUncertaintySamples).toBe(2.1)
  })

  it('a group is as sure as its least sure source', () => {
    const measurement = {
      ...lanternStreet.measurement,
      groups: lanternStreet.measurement.groups.map((group, g) => ({
        ...group,
        sources: group.sources.map((source, s) =>
          g === 1 && s === 1
            ? { ...source, verdict: 'unsure' as const, reason: 'a rival is as likely' }
            : source,
        ),
      })),
    }
    const verdicts = buildReport({ ...lanternStreet, measurement }).groups.map(group => group.verdict)
    expect(verdicts).toEqual(['sure', 'unsure', 'sure'])
  })

  it('puts warnings that need a person first, each once', () => {
    const notSure = {
      code: 'NOT_SURE',
      group: 'snare',
      source: 'bottom',
      message: 'stays as recorded',
    } as const
    const { warnings } = buildReport({ ...lanternStreet, moreWarnings: [notSure, notSure] })
    expect(warnings.map(w => w.code)).toEqual(['NOT_SURE', 'CLIPPED', 'HUM', 'CEILING'])
  })

  it('lists a recording that serves twice once, with both uses', () => {
    const [first] = lanternStreet.plan.sources
    const plan = {
      ...lanternStreet.plan,
      sources: [
        ...lanternStreet.plan.sources,
        { ...first!, key: 'snare/again', group: 'snare', source: 'again' },
      ],
    }
    const files = buildReport({ ...lanternStreet, plan }).files.filter(file => file.file === first!.fileShown)
    expect(files).toHaveLength(1)
    expect(files[0]!.usedAs).toEqual(['upright-bass/piezo', 'snare/again'])
  })

  it('throws INTERNAL where a source was not measured', () => {
    const measurement = { ...lanternStreet.measurement, groups: [] }
    expect(() => buildReport({ ...lanternStreet, measurement })).toThrow(SumwellError)
  })
})

describe('tidyNumbers', () => {
  it('makes null of what JSON cannot hold and 0 of -0, and keeps the order of keys', () => {
    const tidy = tidyNumbers({
      b: NaN,
      a: [-0, Infinity, 1.5],
      c: { d: -Infinity, e: 'x', f: null, g: true },
    })
    expect(JSON.stringify(tidy)).toBe('{"b":null,"a":[0,null,1.5],"c":{"d":null,"e":"x","f":null,"g":true}}')
    expect(Object.is(tidy.a[0], 0)).toBe(true)
  })
})
