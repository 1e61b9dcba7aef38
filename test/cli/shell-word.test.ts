import { spawnSync } from 'node:child_process'
import { expect, test } from 'vitest'
import { shellWord } from '../../src/cli/shell-word.js'

test('a shell reads back what was written, whatever is in the path', () => {
  const paths = [
    'songs/rope-walk/recipe.yaml',
    'Rope Walk/recipe.yaml',
    "the fiddler's $HOME/`x`.yaml",
    'гитара/a.yaml',
  ]
  for (const path of paths) {
    const done = spawnSync('sh', ['-c', `printf %s ${shellWord(path)}`], { encoding: 'utf8' })
    expect(done.stdout).toBe(path)
  }
  expect(shellWord('songs/rope-walk/recipe.yaml')).toBe('songs/rope-walk/recipe.yaml')
  expect(shellWord('Rope Walk/recipe.yaml')).toBe("'Rope Walk/recipe.yaml'")
})
