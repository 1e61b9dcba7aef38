/** How a call of a page is made true in the studio, where not to the letter. */
export interface Manner {
  /** Done before, in the same shell. */
  readonly before?: string
  readonly status?: number
  /** A file that must have come of it. */
  readonly makes?: string
  /** What must have been printed. */
  readonly says?: RegExp
}

/** Words of the pages that stand for something, and what they stand for here. */
export const STANDS_FOR: readonly (readonly [RegExp, string])[] = [
  [/\binit DIR\b/, 'init songs/rope-walk'],
  [/\bslate FILE\b/, 'slate slate.wav'],
  [/\bRECIPE GROUP\b/, 'song.yaml upright-bass'],
  [/\bverify FOLDER --lags\b/, 'verify stems/* --lags'],
  [/\bverify FOLDER\b/, 'verify stems/lantern_street-take4'],
  [/\breport FOLDER\b/, 'report stems/lantern_street-take4'],
  [/\bmerge FOLDER\b/, 'merge songs'],
  [/\bcompare OLD NEW\b/, 'compare stems/lantern_street-take4 stems/lantern_street-take5'],
  // an option shown without the recipe
  [/^sumwell render (--[a-z-]+)$/, 'sumwell render song.yaml $1'],
  // an album that is found by its full path, and is too small for many parts
  [/\/srv\/album/g, '"$ALBUM"'],
  [/\/64\b/g, '/2'],
  [/seq 64/, 'seq 2'],
  [/\{\}\/8 ::: 1 2 3 4 5 6 7 8/, '{}/2 ::: 1 2'],
  [/^parallel /, 'parallel --will-cite '],
]

const lockOfTake4 = 'sumwell render song.yaml --quiet && cp song.lock.yaml take-4.lock.yaml'
const noSlate = 'rm -f slate.wav'
const onePart = (album: string): string =>
  `rm -f ${album}/album.*; sumwell render ${album} --quiet --no-audio --shard 1/1`

/** By the call as it stands on the page. */
export const RUN_DIFFERENTLY: Readonly<Record<string, Manner>> = {
  'sumwell init songs/rope-walk': { makes: 'songs/rope-walk/recipe.yaml' },
  'sumwell render songs/rope-walk': { makes: 'songs/rope-walk/stems/rope_walk-take1/report.html' },
  'sumwell init songs/lantern-street': { makes: 'songs/lantern-street/recipe.yaml' },
  'sumwell init . --dry-run': { before: 'cd songs/rope-walk; rm recipe.*', says: /recipe: 1/ },
  'sumwell check songs/*/recipe.yaml --quiet': { says: /^$/ },
  'sumwell measure song.yaml --json > lags.json': { makes: 'lags.json' },
  'sumwell render song.yaml --take 5': { before: lockOfTake4, says: /Take 5 against take 4/ },
  'sumwell render song.yaml --locked': { before: 'cp take-4.lock.yaml song.lock.yaml' },
  'sumwell render --archive': { makes: 'stems/lantern_street-take4.zip' },
  'sumwell render songs': { makes: 'songs/album.html' },
  'sumwell render songs --shard 2/8': { makes: 'songs/album.shard-2-of-8.json' },
  'sumwell merge songs': { before: onePart('songs'), makes: 'songs/album.html' },
  'sumwell merge /srv/album': { makes: 'album/album.html' },
  'sumwell merge /srv/album --json': { before: onePart('album'), makes: 'album/album.json' },
  'sumwell slate FILE': { makes: 'slate.wav' },
  'sumwell slate slate.wav': { before: noSlate, makes: 'slate.wav' },
  'sumwell slate slate.wav --rate 96000 --depth 32f': { before: noSlate, makes: 'slate.wav' },
  'sumwell slate slate.wav --rate 48000': { before: noSlate, makes: 'slate.wav' },
  'sumwell explore song.yaml snare --out snare.html': { makes: 'snare.html' },
  'sumwell compare before.lock.yaml song.lock.yaml --json': {
    before: 'cp song.lock.yaml before.lock.yaml',
  },
  'sumwell cache --clean': { before: 'export SUMWELL_CACHE=$PWD/other-cache' },
  'sumwell report stems/lantern_street-take4': { says: /report\.html/ },
  'sha256sum -c SHA256SUMS': { before: 'cd stems/lantern_street-take4', says: /: OK/ },
  'sox -r 48000 room.wav room-48k.wav': { makes: 'room-48k.wav' },
  'sumwell completion bash > ~/.local/share/bash-completion/completions/sumwell': {
    makes: '.local/share/bash-completion/completions/sumwell',
  },
  'sumwell completion zsh > "${fpath[1]}/_sumwell"': { makes: 'zsh/_sumwell' },
  'sumwell completion fish > ~/.config/fish/completions/sumwell.fish': {
    makes: '.config/fish/completions/sumwell.fish',
  },
}
