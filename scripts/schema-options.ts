/**
 * How a schema of this project is read, ahead of time and in tests alike. `allErrors`: every fault at once. `ownProperties`: a
 * group named `constructor` is a group. `verbose`: an error carries the piece of schema that it fails. No formats: own patterns.
 */
export const AJV_OPTIONS = {
  strict: true,
  strictRequired: false,
  allErrors: true,
  allowUnionTypes: true,
  ownProperties: true,
  verbose: true,
} as const
