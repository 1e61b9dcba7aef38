/**
 * Tries inputs of one target, one after the other, and writes down the number of the one in hand, so that whoever watches knows which it was
 * when this process hangs or ends. Arguments: target, seed, first number, how many (0 = until told), file for the number, folder for findings.
 */
import { closeSync, mkdirSync, openSync, writeFileSync, writeSync } from 'node:fs'
import { join } from 'node:path'
import { chanceOf } from './chance.js'
import { TARGETS } from './targets.js'

/** Memory that an input may make this process grow to: small inputs, and the garbage of those before. */
const MOST_RSS_BYTES = 900e6
const LOOK_EVERY = 64

const [name = '', seedText = '1', fromText = '0', countText = '0', markFile = '', findings = ''] =
  process.argv.slice(2)
const make = TARGETS[name]
if (make === undefined) throw new Error(`no target ${name}; there are ${Object.keys(TARGETS).join(', ')}`)
const target = await make()
const seed = Number(seedText)
const from = Number(fromText)
const count = Number(countText)
const mark = openSync(markFile, 'w')
const number = Buffer.alloc(8)
const told = { read: 0, refused: 0 }

const tell = (index: number): void => {
  process.send?.({ ...told, index })
}

const asked = { stop: false }
process.on('message', () => {
  asked.stop = true
})

let index = from
for (; !asked.stop && (count === 0 || index < from + count); index++) {
  number.writeDoubleLE(index)
  writeSync(mark, number, 0, 8, 0)
  const input = target.make(chanceOf(seed, index))
  try {
    told[await target.try(input)]++
  } catch (error) {
    mkdirSync(findings, { recursive: true })
    const place = join(findings, `${name}-${seed}-${index}`)
    const why =
      error instanceof Error
        ? `${error.stack ?? ''}\n${error.cause instanceof Error ? (error.cause.stack ?? '') : ''}`
        : String(error)
    writeFileSync(`${place}.${target.ending}`, input)
    writeFileSync(`${place}.why`, why)
    process.send?.({ finding: why.split('\n')[0], index })
  }
  if (index % LOOK_EVERY === 0) {
    tell(index + 1)
    const { rss } = process.memoryUsage()
    if (rss > MOST_RSS_BYTES) throw new Error(`${(rss / 1e6).toFixed(0)} MB after input ${index}`)
    // Messages are looked at between two inputs only.
    await new Promise(setImmediate)
  }
}
tell(index)
closeSync(mark)
target.close()
process.disconnect()
