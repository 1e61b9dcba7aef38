/** Milliseconds of test files that are run at one go before anything slower is begun. */
const QUICK = 3000
const MIDDLING = 30_000

/**
 * Test files in their order, cut into goes: the quick, the middling, the rest. A mutant that never ends is then given up after a few times
 * what the quick tests take, not what all take.
 */
export const batchesOf = (
  files: readonly string[],
  millisecondsOf: (file: string) => number,
): readonly (readonly string[])[] => {
  const goes: string[][] = [[], [], []]
  let sum = 0
  for (const file of files) {
    sum += millisecondsOf(file)
    goes[sum <= QUICK ? 0 : sum <= MIDDLING ? 1 : 2]!.push(file)
  }
  return goes.filter(go => go.length > 0)
}
