/**
 * The closed set of faults. Each code has a row in docs/faults.md and a test that provokes it.
 * The prefix decides the exit status (see `cli`): RECIPE_ 3, USAGE_ 2, NOT_SURE 4, LOCK_DIFFERS and VERIFY_DIFFERS 5, INTERRUPTED 130, all others 1.
 */
export const FAULT_CODES = [
  // the recipe as a text
  'RECIPE_UNREADABLE', // missing, a folder, no rights
  'RECIPE_TOO_LARGE',
  'RECIPE_NOT_UTF8',
  'RECIPE_EMPTY',
  'RECIPE_SYNTAX', // not YAML, or YAML that is not allowed here
  'RECIPE_TOO_DEEP',
  'RECIPE_SEVERAL_DOCUMENTS',
  'RECIPE_YAML_VERSION',
  'RECIPE_ALIAS', // anchors, aliases, merge keys
  'RECIPE_TAG',
  'RECIPE_KEY', // a key that is not a plain text, or a forbidden name
  'RECIPE_DUPLICATE_KEY',
  // the recipe as a shape
  'RECIPE_UNKNOWN_KEY',
  'RECIPE_MISSING_KEY',
  'RECIPE_TYPE',
  'RECIPE_VALUE', // a word or number outside the allowed ones
  'RECIPE_UNIT', // a quantity without its unit, or with a wrong one
  // the recipe as a meaning
  'RECIPE_BASE', // base: missing, circular, too long a chain
  'RECIPE_PLACEHOLDER', // {take} without a take, an unknown {word}
  'RECIPE_REFERENCE', // the reference is no source of the group
  'RECIPE_PART', // a part names no source of the group
  'RECIPE_BLEND_EMPTY',
  'RECIPE_SHARES_AND_DB', // both ways of weighing in one blend
  'RECIPE_STEM_NAME', // two stems with one name, or a name with nothing left after cleaning
  'RECIPE_STEM_UNKNOWN', // deliver.stems names no source
  'RECIPE_LAG_BEYOND_SEARCH',
  'RECIPE_OUTSIDE', // a file outside the recipe's folder tree
  'RECIPE_FILE_MISSING',
  'RECIPE_FILE_TWICE', // one file twice in a group
  'RECIPE_RATE_MISMATCH',
  'RECIPE_CHANNEL', // a channel that the file lacks
  'RECIPE_PASSAGE', // beyond the end, or empty
  'RECIPE_PIECES', // pieces that cannot be laid together: no place, beyond the file, never heard
  'RECIPE_GROUP_UNKNOWN',
  'RECIPE_GROUP_CIRCLE', // groups that contain each other
  'RECIPE_GROUP_TWICE', // a group that is a source in two places: it can move only one way
  'RECIPE_TARGET_IS_SOURCE', // a stem would be written over a source
  'RECIPE_FOLDER_TWICE', // two songs of one call would deliver to one folder
  // recordings
  'WAVE_UNREADABLE', // missing, no rights, not a file
  'WAVE_NOT_WAVE',
  'WAVE_HEADER', // malformed, with the byte
  'WAVE_FORMAT', // a coding that is not read (compressed, odd depth)
  'WAVE_LIMIT', // channels or rate out of range
  'WAVE_NOT_A_NUMBER', // NaN or infinity in a float file, with the frame
  'WAVE_CHANGED', // a file changed while it was read
  // writing
  'WRITE_FAILED',
  'WRITE_DISK_FULL',
  'WRITE_NOT_ALLOWED',
  'WRITE_OVER_SOURCE',
  'WRITE_EXISTS', // something stands under that name and may not be replaced
  'WRITE_BUSY', // another render is at work in that folder
  // the run
  'REPORT_UNREADABLE',
  'USAGE_ARGUMENTS',
  'NOT_SURE',
  'LOCK_UNREADABLE',
  'LOCK_DIFFERS',
  'VERIFY_DIFFERS',
  'INTERRUPTED',
  'INTERNAL', // a bug of ours; the message says where to report it
] as const

export type FaultCode = (typeof FAULT_CODES)[number]
