/** The text in lines of at most `width` code points, broken at spaces; later lines are indented. A longer word stays whole. */
export const wrapped = (text: string, width: number, indent: string): string => {
  const lines: string[] = []
  let line = ''
  for (const word of text.split(' ')) {
    const longer = line === '' ? word : `${line} ${word}`
    if (Array.from(longer).length > width && line.trim() !== '') {
      lines.push(line)
      line = indent + word
    } else line = longer
  }
  return [...lines, line].join('\n')
}
