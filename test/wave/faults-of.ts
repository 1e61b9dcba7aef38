import { expect } from 'vitest'
import { type Fault, SumwellError } from '../../src/terms/fault.js'

/** The one fault that an action ends in; fails the test where it ends well or otherwise. */
export const faultOf = (action: () => unknown): Fault => {
  try {
    action()
  } catch (error) {
    expect(error).toBeInstanceOf(SumwellError)
    const { faults } = error as SumwellError
    expect(faults).toHaveLength(1)
    return faults[0]!
  }
  throw new Error('no fault where one was expected')
}
