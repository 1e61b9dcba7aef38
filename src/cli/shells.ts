/** The shells for which a completion can be printed. */
export const SHELLS = ['bash', 'zsh', 'fish'] as const

export type Shell = (typeof SHELLS)[number]
