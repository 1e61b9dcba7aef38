// Loaded before the command, in each of its threads: a disk that refuses one call. SUMWELL_TEST_FAULT="writeSync EIO 17" refuses the call of that
// name and number (from 0, per thread) with that code, and tells so on stderr.
import fs from 'node:fs'
import { syncBuiltinESMExports } from 'node:module'

const [call, code, at] = (process.env.SUMWELL_TEST_FAULT ?? '').split(' ')
if (call) {
  const original = fs[call]
  let calls = 0
  fs[call] = (...words) => {
    if (calls++ !== Number(at)) return original.apply(fs, words)
    process.stderr.write(`refused ${call}\n`)
    throw Object.assign(new Error(`${code}: injected`), { code })
  }
  syncBuiltinESMExports()
}
