/** Names to choose from, for a fault's "expected": `piezo`, or `one of piezo, bridge`; cut after twenty. */
export const oneOf = (names: readonly (string | number)[]): string => {
  const shown = names.slice(0, 20).join(', ')
  const more = names.length > 20 ? ` and ${names.length - 20} more` : ''
  return names.length > 1 ? `one of ${shown}${more}` : shown
}
