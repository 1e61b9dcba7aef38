/**
 * Text from a recipe as a part of a file or folder name: lower-case letters, digits and single underscores, none at the ends.
 * Accents on Latin letters are dropped, letters of other scripts are kept. Empty where nothing is left, so `../` can do no harm.
 */
export const cleanName = (text: string): string =>
  text
    .replace(/[ßẞæÆœŒøØłŁđĐðÐþÞ]/g, letter => SPELT_OUT[letter]!)
    .normalize('NFKD')
    .replace(/(\p{Script=Latin})\p{M}+/gu, '$1')
    .normalize('NFC')
    .toLowerCase()
    .replace(/[^\p{L}\p{M}\p{N}]+/gu, '_')
    .replace(/^_+|_+$/g, '')

/** Latin letters that Unicode does not take apart. */
const SPELT_OUT: Readonly<Record<string, string>> = {
  ß: 'ss',
  ẞ: 'ss',
  æ: 'ae',
  Æ: 'ae',
  œ: 'oe',
  Œ: 'oe',
  ø: 'o',
  Ø: 'o',
  ł: 'l',
  Ł: 'l',
  đ: 'd',
  Đ: 'd',
  ð: 'd',
  Ð: 'd',
  þ: 'th',
  Þ: 'th',
}
