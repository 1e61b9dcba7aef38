/** What docs/recipe.md says before and after the tables that are made from the schema. */
export const BEFORE = `
<!-- Made from schemas/recipe.schema.json by scripts/recipe-docs.ts. Change those, then run: npm run docs -->

# The recipe

A recipe is one text file per song. It says which recorded tracks belong together, how they are lined up, how they are blended and
what is delivered. It is YAML 1.2, it lives in version control beside the session, and the same recipe with the same files gives the
same stems on every machine.

With the first line of this example an editor that knows JSON Schema completes and explains every key while you type. The starting
points in [recipes/](../recipes/) cover the usual set-ups.

\`\`\`yaml
# yaml-language-server: $schema=../schemas/recipe.schema.json
recipe: 1
song: Lantern Street
take: 4
groups:
  upright-bass:
    reference: piezo
    sources:
      piezo: { file: "audio/take-{take}/bass-piezo.wav", via: pickup }
      bridge: { file: "audio/take-{take}/bass-bridge.wav", via: mic, distance: 25 cm }
      room: { file: "audio/take-{take}/bass-room.wav", via: mic, distance: 2.6 m, nudge: 3 ms }
    align: { search: 40 ms, passage: [0:12-0:20] }
    blends:
      bass: { parts: { piezo: 55, bridge: 45 } }
      bass-roomy: { parts: { piezo: 0 dB, bridge: -2 dB, room: -9 dB }, match: none }
      bass-raw: { parts: { piezo: 55, bridge: 45 }, aligned: false }
deliver:
  folder: "stems/{song}-take{take}"
  depth: 24
\`\`\`

\`sumwell check song.yaml\` checks the recipe and the recordings that it names, and writes nothing. Every fault is told at once, with its
place and how to mend it; the codes are listed in [faults.md](faults.md).
`

export const AFTER = `
## Quantities

A quantity is a number with its unit in one text. A missing or wrong unit is a fault that names the allowed ones.

| kind | units | examples |
|---|---|---|
| time | \`ms\`, \`s\`, \`samples\` (at the group's rate) | \`40 ms\`, \`0.5 s\`, \`101 samples\` |
| length | \`mm\`, \`cm\`, \`m\`, \`in\`, \`ft\` | \`25 cm\`, \`2.6 m\` |
| gain | \`dB\` | \`-3 dB\` |
| true peak | \`dBTP\` | \`-1 dBTP\` |
| temperature | \`C\`, \`F\` | \`21 C\` |

Lag and nudge may be negative. **Positive means late.** A stretch of time is from-to in minutes and seconds, with hours before and
decimals after if need be: \`0:12-0:20\`, \`1:02:03.5-1:02:40\`. It is counted from the start of the file.

## Names

Groups, sources and blends have names of your own: a letter or a digit first, then letters, digits, spaces and \`_ . + -\`, at most 64.
A name that looks like a number needs quotes. A file name holds lower-case letters, digits and underscores only: the blend
\`bass-roomy\` of Lantern Street is \`lantern_street_bass_roomy.wav\`, the single source \`bridge\` of the group \`upright-bass\` is
\`lantern_street_upright_bass_bridge.wav\`. Accents on Latin letters are dropped, letters of other scripts are kept. Two stems that
would have one name are a fault.

## Placeholders

\`{song}\` and \`{take}\` work in \`file\`, \`folder\` and \`name\`; \`{group}\` and \`{stem}\` in \`name\` as well. In \`file\` the text goes in as it is
typed, since it names something that is there already; only slashes in it become underscores. In \`folder\` and \`name\` it is cleaned like a
file name. A song called \`../x\` harms nothing either way.

## Paths

A path is relative to the file in which it is written: in a base recipe, to the base. It stays inside the folder of the recipe that is
rendered, or below it; links are followed before this is judged. \`--allow-outside\` lifts the rule for files, base and delivery folder.
A source is never written to: a stem that would land on one is a fault.

## Inheriting from a base

\`base: album.yaml\` takes everything over from another recipe that this one does not say itself.

* Groups, sources and blends are matched by name; \`align\`, \`deliver\`, \`report\` and the settings of a source or a blend by key.
* The parts of a blend are taken whole: a balance is one thing.
* A list (\`passage\`, \`stems\`, \`takes\`) is taken whole.
* A source that is written as just its file changes the file and keeps the other settings of the base.
* A source that names a file drops the base's group, and the other way round.
* A base may have a base; eight recipes in a row at most, and never in a circle.
* A fault in a base points into the base.
* \`setup: live-room\` in the base measures all songs that were recorded without anything being moved as one: [pooled-takes.md](pooled-takes.md).

An album keeps its microphones, references and delivery in \`album.yaml\`, and each song is three lines:

\`\`\`yaml
recipe: 1
base: album.yaml
song: Rope Walk
\`\`\`

## Groups in groups

A source may be a group: \`kick: { group: kick }\` in the group \`kit\`. The inner group is lined up in itself first, then measured by its
reference, and then moves as one. In a blend of the outer group it stands for its own first blend, or for its sources at equal shares
where it has no blend. A group can be a source in one place only, since it can move only one way, and groups may not contain each other.

## Files of several channels

Without \`channel\` such a file is one linked set: each channel is measured and one common move is made, so a stereo picture stays what it
is. With \`channel: left\`, \`right\`, a number or \`sum\` it is a mono source. One file may serve two sources of a group only if they use
different channels. All files of a group need one sample rate; convert with a resampler first where they differ.

## What is not YAML here

Only plain values: no anchors and aliases (\`&\`, \`*\`), no merge keys (\`<<\`), no tags (\`!\`), one document per file, keys that are text and
stand once. UTF-8, at most 256 KiB, at most 32 levels. Truth values are \`true\` and \`false\`; \`yes\` and \`no\` are texts.
`
