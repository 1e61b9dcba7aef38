// Control characters, format characters (among them those that turn the direction of writing), line and paragraph separators,
// private use, and lone halves of surrogate pairs. Letters of right-to-left scripts are ordinary letters and stay.
const UNSEEN = /[\p{Cc}\p{Cf}\p{Zl}\p{Zp}\p{Co}\p{Cs}]/gu

/**
 * A text from a recipe or a file so that nothing in it acts: each character that would be unseen, move the cursor or turn the
 * direction of writing is written out as its number, `[U+202E]`. Ordinary text comes back unchanged. For the page, Markdown and terminals alike.
 */
export const visibleText = (text: string): string =>
  text.replace(UNSEEN, character => {
    const number = character.codePointAt(0) ?? 0
    return `[U+${number.toString(16).toUpperCase().padStart(4, '0')}]`
  })
