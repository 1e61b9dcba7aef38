/** Letters that do not fall apart into a plain letter and an accent. */
const plainLetters: Readonly<Record<string, string>> = {
  ß: 'ss',
  æ: 'ae',
  Æ: 'AE',
  œ: 'oe',
  Œ: 'OE',
  ø: 'o',
  Ø: 'O',
  ł: 'l',
  Ł: 'L',
  đ: 'd',
  Đ: 'D',
  þ: 'th',
  Þ: 'Th',
  ı: 'i',
  '–': '-',
  '—': '-',
  '−': '-',
  '‘': "'",
  '’': "'",
  '“': '"',
  '”': '"',
  '„': '"',
  '…': '...',
  '×': 'x',
  '±': '+-',
}

/**
 * The same text in printable ASCII, as the `bext` chunk demands (EBU Tech 3285): accents off, typographic marks plain, anything else
 * a question mark, control letters a blank; cut to `mostBytes` bytes.
 */
export const asciiText = (text: string, mostBytes = Number.POSITIVE_INFINITY): string =>
  Array.from(text.normalize('NFKD').replace(/\p{M}/gu, ''), letter => plainLetters[letter] ?? letter)
    .join('')
    .replace(/\p{Cc}/gu, ' ')
    .replace(/[^\x20-\x7e]/gu, '?')
    .slice(0, mostBytes)
