import { html, type Markup, named, type Piece, trusted } from '../page/markup.js'
import { policyFor } from '../page/policy.js'
import { STYLE_SHEET } from '../page/style/style-sheet.js'
import { table } from '../page/table.js'
import { verdictMark } from '../page/verdict-mark.js'
import { milliseconds } from '../words/figures.js'
import type { Album, AlbumGroup, AlbumSong } from './album.js'

/**
 * `album.html`: songs by groups with their verdicts, warnings, what changed since the run before, and the way to each report. One page that
 * needs nothing but itself and runs no script; drawn from album.json alone.
 */
export const albumPage = (album: Album): string =>
  html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policyFor([STYLE_SHEET], [])}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>${headline(album)}</title>
<style>${trusted(STYLE_SHEET)}</style>
</head>
<body>
<header class="masthead">
<h1>${headline(album)}</h1>
<p class="from">${album.made.at !== null && html`${album.made.at.replace(/^(\d{4}-\d{2}-\d{2})T(\d{2}:\d{2})[:\d.]*Z$/, '$1 $2 UTC')} · `}${
    album.shard !== null && html`part ${album.shard.number} of ${album.shard.of} · `
  }${album.tool.name} ${album.tool.version}</p>
</header>
<main>
${songTable(album)}
${album.songs.map((song, i) => hasDetails(song) && details(song, i))}
<section class="part"><h2>How to read this</h2>
<p>A mark stands for the least sure source of a group: full is sure, half is unsure, empty is unknown. What is not sure was left as it was
recorded; the report of the song says why and what to do. “Changed” is against the album.json that lay here before this run.</p>
<p>Before you listen: start low. A blend that no longer cancels is louder than the one you are used to.</p></section>
</main>
<footer class="foot">Drawn from album.json (format ${album.format}), which lies beside this page.</footer>
</body>
</html>
`.text

const headline = ({ songs }: Album): string => {
  const failed = songs.filter(({ state }) => state === 'failed').length
  const many = `${songs.length} ${songs.length === 1 ? 'song' : 'songs'}`
  return failed === 0 ? many : `${many}, ${failed} failed`
}

const songTable = ({ songs }: Album): Markup => {
  const groups = [...new Set(songs.flatMap(song => song.groups.map(({ name }) => name)))]
  const columns = [
    { head: 'song' },
    { head: 'take' },
    ...groups.map(name => ({ head: named(name) })),
    { head: 'warnings', numeric: true },
    { head: 'changed' },
  ]
  return table(
    'Songs and their groups',
    columns,
    songs.map((song, i) => [
      songCell(song),
      song.take === null ? '' : named(song.take),
      ...groups.map(name => groupCell(song.groups.find(group => group.name === name))),
      song.state === 'failed' ? '' : song.warnings.length,
      changedCell(song, i),
    ]),
  )
}

const songCell = (song: AlbumSong): Piece => {
  const name = named(song.song ?? song.recipe)
  return song.page === null ? name : html`<a href="${linkTo(song.page)}">${name}</a>`
}

/** A relative path as an address: nothing in it can be read as a scheme, a query or a fragment. Half a character has no address. */
const linkTo = (path: string): string =>
  `./${path
    .replace(/\p{Surrogate}/gu, '\ufffd')
    .split('/')
    .map(encodeURIComponent)
    .join('/')}`

const groupCell = (group: AlbumGroup | undefined): Piece => {
  if (group === undefined) return ''
  const doubtful = group.sources.filter(({ verdict }) => verdict !== 'sure').length
  const words = doubtful === 0 ? 'sure' : `${doubtful} of ${group.sources.length} ${group.verdict}`
  return verdictMark(group.verdict, words)
}

const changedCell = ({ state, changes }: AlbumSong, index: number): Piece => {
  if (state === 'failed') return html`<a href="#song-${index}">failed</a>`
  if (changes === null) return 'first run'
  return changes.length === 0 ? 'nothing' : html`<a href="#song-${index}">${changes.length}</a>`
}

const hasDetails = ({ faults, warnings, changes }: AlbumSong): boolean =>
  faults.length + warnings.length + (changes?.length ?? 0) > 0

const details = (song: AlbumSong, index: number): Markup => html`<section class="part" id="song-${index}">
<h2>${songCell(song)}${song.take !== null && html` <span class="take">take ${named(song.take)}</span>`}</h2>
<p class="from">${named(song.recipe)}</p>
${list(
  'Failed',
  song.faults.map(({ code, message }) => html`${code}: ${message}`),
)}
${list(
  'Changed since the run before',
  (song.changes ?? []).map(change => html`${change}`),
)}
${list(
  'Warnings',
  song.warnings.map(
    ({ code, group, source, message }) =>
      html`<b>${code}</b> ${[group, source].filter(name => name !== null).join('/')}: ${message}`,
  ),
)}
${song.groups.some(({ verdict }) => verdict !== 'sure') && list('Not sure', song.groups.flatMap(doubts))}
</section>`

const doubts = ({ name, sources }: AlbumGroup): readonly Markup[] =>
  sources
    .filter(({ verdict }) => verdict !== 'sure')
    .map(
      ({ name: source, verdict, lagMs }) =>
        html`${named(`${name}/${source}`)} is ${verdict}${lagMs !== null && html`; measured ${milliseconds(Math.abs(lagMs))} ${lagMs < 0 ? 'early' : 'late'}`}`,
    )

const list = (title: string, items: readonly Markup[]): Markup | false =>
  items.length > 0 && html`<h3>${title}</h3><ul>${items.map(item => html`<li>${item}</li>`)}</ul>`
