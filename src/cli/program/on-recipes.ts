import { type AddsCommands, colourOption, examples, recipesAndOptions } from './common.js'
import { fileName, groupsOf, jobsOf, shardOf } from './values.js'

const addInit: AddsCommands = (program, actions) => {
  const init = program
    .command('init')
    .summary('look at the recordings of a folder and write a recipe for them')
    .description(
      'Looks at the WAVE files of a folder, compares their sound, guesses which belong together and by which path each came, and ' +
        'writes a recipe with a comment at every guess. Nothing is overwritten. Of several takes the latest is looked at.',
    )
    .argument('<folder>', 'the folder that holds the recordings of a song')
    .option('--name <file>', 'file name of the recipe, in that folder', fileName, 'recipe.yaml')
    .option('--dry-run', 'print the recipe and write nothing')
    .option('--json', 'one JSON document on stdout, and nothing else there')
    .option('--quiet', 'tell only what went wrong')
    .option('--jobs <n>', 'threads at most (default: one per core)', jobsOf)
  colourOption(init).action(actions.init)
  examples(init, [
    ['sumwell init songs/lantern-street', 'writes songs/lantern-street/recipe.yaml'],
    ['sumwell init . --dry-run', 'only shows what would be written'],
  ])
}

const addCheck: AddsCommands = (program, actions) => {
  const check = program
    .command('check')
    .summary('tell whether recipe and recordings are usable')
    .description(
      'Reads the recipe and every recording that it names, and tells what is wrong with either: every fault of the ' +
        'recipe with its line, and level, clipping, silence, DC and hum of each recording. Measures no lag, writes nothing.',
    )
  recipesAndOptions(check, actions.check)
  examples(check, [
    ['sumwell check song.yaml', 'before the band has left: is everything there, and usable?'],
    ['sumwell check songs/*/recipe.yaml --quiet', 'a whole album; silent where nothing is wrong'],
  ])
}

const addMeasure: AddsCommands = (program, actions) => {
  const measure = program
    .command('measure')
    .summary('tell how late each source is, which way round, how sure')
    .description(
      'Measures how late each source arrives against the reference of its group and whether it is inverted, each with a ' +
        'verdict: sure, unsure or unknown. Writes nothing.',
    )
  recipesAndOptions(measure, actions.measure)
  examples(measure, [
    ['sumwell measure song.yaml', 'a table for people'],
    [
      'sumwell measure song.yaml --json > lags.json',
      'the same for programs, with everything that was measured',
    ],
  ])
}

const addRender: AddsCommands = (program, actions) => {
  const render = program
    .command('render')
    .summary('line up, blend and print the stems, with a report')
    .description(
      'Measures, decides every move, then writes the stems, report.html and report.json into the folder of delivery. ' +
        'What is not sure stays as recorded. A file appears under its name only when it is whole. What was decided is kept in a ' +
        'lock beside the recipe, to be committed with it; where nothing has changed, nothing is done.',
    )
    .option('--dry-run', 'print the plan and write nothing')
    .option('--no-audio', 'leave the passages to listen to out of report.html')
    .option('--prune', 'remove stems of earlier renders that the recipe no longer makes')
    .option('--lags', 'measure the finished stems again; the report tells what is left of each lag')
    .option('--archive', 'also pack the folder of delivery into a zip file beside it')
    .option(
      '--album <folder>',
      'where album.html and album.json go (default: where all recipes lie, if several)',
    )
    .option('--watch', 'render again what changes, until Ctrl-C')
    .option('--no-album', 'write no summary of several songs')
    .option('--shard <i/n>', 'do only the i-th of n equal parts of the songs', shardOf)
    .option('--locked', 'change nothing, and exit with 5, if anything differs from the lock')
    .option(
      '--remeasure [group]',
      'decide anew what the lock holds, of one group or of all; write it after the recipe',
      groupsOf,
    )
    .option('--force', 'make everything anew, whatever earlier runs left')
    .option('--verify-sources', 'read every recording, whatever its size and time say')
  recipesAndOptions(render, actions.render)
  examples(render, [
    ['sumwell render song.yaml --dry-run', 'what would be done, and why'],
    ['sumwell render song.yaml', 'stems and report'],
    ['sumwell render song.yaml --strict', 'only if every verdict is sure'],
    ['sumwell render song.yaml --watch', 'during a session: again at every change of recipe or recording'],
    ['sumwell render songs', 'all recipes in a folder, with a summary: songs/album.html'],
    ['sumwell render songs --shard 2/8', 'the second of eight machines; then: sumwell merge songs'],
    ['sumwell render song.yaml --take 5', 'the next take, and what changed since the one before'],
    ['sumwell render song.yaml --locked', 'at the release: only what was committed'],
  ])
}

/** The commands of every day: those that take one recipe or several. */
export const addRecipeCommands: AddsCommands = (program, actions) => {
  for (const add of [addInit, addCheck, addMeasure, addRender]) add(program, actions)
}
