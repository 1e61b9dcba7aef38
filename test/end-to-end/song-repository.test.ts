import { spawnSync } from 'node:child_process'
import { copyFileSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { parse } from 'yaml'
import { makeSong, type Song } from './setting/song.js'
import { expectFreshBuild, main, sumwell } from './setting/sumwell.js'

const example = new URL('../../examples/song-repository/', import.meta.url)
let song: Song
beforeAll(() => {
  expectFreshBuild()
  song = makeSong(1)
})
afterAll(() => {
  song.remove()
})

describe('the hook', () => {
  const git = (...args: string[]) =>
    spawnSync('git', ['-c', 'user.name=Tester', '-c', 'user.email=tester@example.org', ...args], {
      cwd: song.folder,
      encoding: 'utf8',
      env: { ...process.env, SUMWELL: `${process.execPath} ${main}`, GIT_CONFIG_GLOBAL: '/dev/null' },
    })

  test('lets a sound recipe pass, stops a wrong one, and leaves other files alone', () => {
    expect(git('init', '-q').status).toBe(0)
    copyFileSync(new URL('pre-commit', example), join(song.folder, '.git/hooks/pre-commit'))
    copyFileSync(new URL('ignore', example), join(song.folder, '.gitignore'))
    song.write('notes.yaml', 'shopping: [\n')
    git('add', '.')
    const first = git('commit', '-qm', 'a song')
    expect([first.status, first.stderr]).toEqual([0, ''])
    expect(git('ls-files').stdout.split('\n').filter(Boolean).sort()).toEqual([
      '.gitignore',
      'notes.yaml',
      'recipe.yaml',
    ])
    writeFileSync(song.recipe, song.recipeText.replace('room.wav', 'rooom.wav'))
    git('add', '.')
    const wrong = git('commit', '-qm', 'a slip')
    expect(wrong.status).not.toBe(0)
    expect(wrong.stderr).toContain('RECIPE_FILE_MISSING')
    expect(git('log', '--oneline').stdout.trim().split('\n')).toHaveLength(1)
  })
})

test('every call in the workflow is one that the command line takes', async () => {
  const workflow = parse(readFileSync(new URL('workflow.yaml', example), 'utf8')) as {
    jobs: Record<string, { steps: { run?: string }[] }>
  }
  const calls = Object.values(workflow.jobs).flatMap(({ steps }) =>
    steps.flatMap(({ run }) => (run?.startsWith('npx sumwell ') ? [run.slice('npx sumwell '.length)] : [])),
  )
  expect(calls.length).toBeGreaterThanOrEqual(3)
  for (const call of calls) {
    const [command = '', ...words] = call.split(' ')
    const { stdout, status } = await sumwell([command, '--help'])
    expect(status).toBe(0)
    for (const word of words.filter(w => w.startsWith('--')))
      expect([call, stdout.includes(word)]).toEqual([call, true])
  }
})
