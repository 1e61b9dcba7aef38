import { Argument } from 'commander'
import { SHELLS, type Shell } from '../shells.js'
import { SLATE_DEPTHS, SLATE_RATES_HZ } from '../slate-choices.js'
import { type AddsCommands, colourOption, examples } from './common.js'
import { jobsOf, oneOf, takeOf } from './values.js'

const addVerify: AddsCommands = (program, actions) => {
  const verify = program
    .command('verify')
    .summary('tell whether a delivery is whole and as it was made')
    .description(
      'Holds a folder of delivery against its own report and list of checksums: every file, its length, rate, word and time stamp, and ' +
        'whether the single stems add up to the blends. Reads only. Ends with 5 where anything differs.',
    )
    .argument('<folder...>', 'one folder of delivery or several')
    .option('--lags', 'also measure the stems again and tell what is left of each lag')
    .option('--json', 'one JSON document on stdout, and nothing else there')
    .option('--quiet', 'tell only what went wrong')
    .option('--jobs <n>', 'threads at most (default: one per core)', jobsOf)
  colourOption(verify).action(actions.verify)
  examples(verify, [
    ['sumwell verify stems/lantern_street-take4', 'before it is sent, and after it has arrived'],
    ['sumwell verify stems/* --lags', 'a whole album, measured again as well'],
  ])
}

const addCompare: AddsCommands = (program, actions) => {
  const compare = program
    .command('compare')
    .summary('tell what changed between two takes or deliveries')
    .description(
      'Compares two deliveries or two locks: lag in frames, milliseconds and centimetres, polarity, level, and the tone and evenness of ' +
        'each blend. Reads no recording, writes nothing.',
    )
    .argument('<old>', 'a folder of delivery, or a lock')
    .argument('<new>', 'another one')
    .option('--json', 'one JSON document on stdout, and nothing else there')
    .option('--quiet', 'tell only what went wrong')
  colourOption(compare).action(actions.compare)
  examples(compare, [
    [
      'sumwell compare stems/lantern_street-take4 stems/lantern_street-take5',
      'how far the stands have moved, and what that did',
    ],
    ['sumwell compare before.lock.yaml song.lock.yaml --json', 'a lock of an earlier commit, for programs'],
  ])
}

const addExplore: AddsCommands = (program, actions) => {
  const explore = program
    .command('explore')
    .summary('put blends of a group side by side, to compare by ear')
    .description(
      'Writes one page with a short excerpt of a group in many blends: how much of each source, which way round, lined up or as ' +
        'recorded, all at one loudness, with the predicted evenness and loss of each. The one that is chosen is shown as lines for the ' +
        'recipe. Lines up as a render would. Start low.',
    )
    .argument('<recipe>', 'a recipe, or a folder with one in it')
    .argument('<group>', 'a group of it, of two sources or more')
    .option('--out <file>', 'the page to write (default: explore-<group>.html in the folder of delivery)')
    .optionsGroup('Common options:')
    .option('--json', 'one JSON document on stdout, and nothing else there')
    .option('--quiet', 'tell only what went wrong')
    .option('--jobs <n>', 'threads at most (default: one per core)', jobsOf)
    .option('--take <take>', "use this take instead of the recipe's: it fills {take}", takeOf)
    .option('--allow-outside', "files may lie outside the recipe's folder tree")
  colourOption(explore).action(actions.explore)
  examples(explore, [
    ['sumwell explore song.yaml upright-bass', 'which ratio, which way round, lined up or not'],
    ['sumwell explore song.yaml snare --out snare.html', 'a page of its own, to send to somebody'],
    ['sumwell explore song.yaml snare --json', 'evenness and loss of every blend, for programs'],
  ])
}

const addReport: AddsCommands = (program, actions) => {
  const report = program
    .command('report')
    .summary('draw the page and the hand-off sheet of a delivery again')
    .description(
      'Draws report.html and handoff.md again from the report.json that a render left in a folder. The passages to listen to are kept ' +
        'from the page that is there. Measures nothing, touches no stem.',
    )
    .argument('<folder...>', 'one folder of delivery or several')
    .option('--no-audio', 'leave the passages to listen to out of report.html')
    .option('--json', 'one JSON document on stdout, and nothing else there')
    .option('--quiet', 'tell only what went wrong')
  colourOption(report).action(actions.report)
  examples(report, [
    [
      'sumwell report stems/lantern_street-take4',
      'after an update of Sumwell: the same numbers, the new page',
    ],
    ['sumwell report stems/* --no-audio', 'small pages, to send by mail'],
  ])
}

const addMerge: AddsCommands = (program, actions) => {
  const merge = program
    .command('merge')
    .summary('join the summaries of shards to one album')
    .description(
      'Reads the summaries that "render --shard" left, sees that none is missing, and writes album.html and album.json beside them. ' +
        'The exit status is the worst of the songs.',
    )
    .argument('<folder>', 'the folder in which the summaries lie')
    .option('--json', 'one JSON document on stdout, and nothing else there')
    .option('--quiet', 'tell only what went wrong')
  colourOption(merge).action(actions.merge)
  examples(merge, [
    ['sumwell merge songs', 'when all shards are done'],
    ['sumwell merge /srv/album --json', 'for the script that waits for them'],
  ])
}

const addSlate: AddsCommands = (program, actions) => {
  const slate = program
    .command('slate')
    .summary('write a test signal to play once through all paths')
    .description(
      'Writes a slate: 9 s of mono, a sweep from 40 Hz to 16 kHz at -20 dBFS and the same upside down. Played once through ' +
        'all paths, or at the head of a re-amped pass, it tells lag and polarity where the playing leaves them unsure. ' +
        'Start with everything turned down: loudspeakers and ears.',
    )
    .argument('<file>', 'WAVE file to write')
    .addOption(oneOf('--rate <hz>', 'sample rate', SLATE_RATES_HZ, 48000))
    .addOption(oneOf('--depth <bits>', 'word length', SLATE_DEPTHS, 24))
    .option('--force', 'replace what stands under that name')
    .option('--quiet', 'tell only what went wrong')
  colourOption(slate).action(actions.slate)
  examples(slate, [
    ['sumwell slate slate.wav', 'for a session at 48 kHz'],
    ['sumwell slate slate.wav --rate 96000 --depth 32f', 'for one at 96 kHz'],
  ])
}

const addCache: AddsCommands = (program, actions) => {
  const cache = program
    .command('cache')
    .summary('tell how large the cache is, or empty it')
    .description(
      'Results that need not be worked out again are kept in a folder of this machine, or in the one that SUMWELL_CACHE names, which ' +
        'several machines may share. It is kept under 1 GiB by itself; emptying it costs time at the next run and nothing else.',
    )
    .option('--size', 'tell where it is and how large (what is done without options)')
    .option('--clean', 'remove everything in it')
    .option('--json', 'one JSON document on stdout, and nothing else there')
    .option('--quiet', 'tell only what went wrong')
  colourOption(cache).action(actions.cache)
  examples(cache, [
    ['sumwell cache --size', 'where it is, and how large'],
    ['sumwell cache --clean', 'when the disk is full'],
  ])
}

const addSelfcheck: AddsCommands = (program, actions) => {
  const selfcheck = program
    .command('selfcheck')
    .summary('tell whether this machine is fit for the work')
    .description(
      'Tells versions, cores and memory, whether the fast arithmetic of this machine is used and gives the right result, and ' +
        'whether a folder can be written to and how much room it has. Leaves nothing behind.',
    )
    .argument('[folder]', 'where the work will be written', '.')
    .option('--json', 'one JSON document on stdout, and nothing else there')
    .option('--quiet', 'tell only what went wrong')
  colourOption(selfcheck).action(actions.selfcheck)
  examples(selfcheck, [
    ['sumwell selfcheck', 'this machine, and the folder where you are'],
    ['sumwell selfcheck /srv/album --json', 'for a machine that nobody sits at'],
  ])
}

const addCompletion: AddsCommands = (program, actions) => {
  const completion = program
    .command('completion')
    .summary('print a script that lets a shell complete commands')
    .description(
      'Prints a script for bash, zsh or fish that completes commands, options, their values, and the files that each ' +
        'command takes. It is made from the same table as this help.',
    )
    .addArgument(new Argument('<shell>', 'the shell').choices(SHELLS))
    .action((shell: Shell) => actions.completion(shell, program))
  examples(completion, [
    ['sumwell completion bash > ~/.local/share/bash-completion/completions/sumwell', 'bash'],
    ['sumwell completion zsh > "${fpath[1]}/_sumwell"', 'zsh; then start a new shell'],
    ['sumwell completion fish > ~/.config/fish/completions/sumwell.fish', 'fish'],
  ])
}

/** The commands beside those on recipes. */
export const addOtherCommands: AddsCommands = (program, actions) => {
  for (const add of [
    addVerify,
    addCompare,
    addExplore,
    addReport,
    addMerge,
    addSlate,
    addCache,
    addSelfcheck,
    addCompletion,
  ])
    add(program, actions)
}
