/** Number of terminal columns that one code point takes: 0, 1 or 2. A tab counts as 1 here. */
export const columnsOf = (character: string): number => {
  if (/^[\p{Mn}\p{Me}\u200b-\u200d\ufe0e\ufe0f]$/u.test(character)) return 0
  return WIDE.test(character) ? 2 : 1
}

/** Scripts and signs that terminals draw two columns wide (Unicode TR 11, classes W and F, in blocks). */
const WIDE =
  /^[\u1100-\u115f\u2e80-\u303e\u3041-\u33ff\u3400-\u4dbf\u4e00-\u9fff\ua000-\ua4cf\ua960-\ua97f\uac00-\ud7a3\uf900-\ufaff\ufe30-\ufe6f\uff00-\uff60\uffe0-\uffe6\u{1f300}-\u{1f64f}\u{1f680}-\u{1f6ff}\u{1f900}-\u{1faff}\u{20000}-\u{3fffd}]$/u
