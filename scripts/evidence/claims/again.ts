import { type Claim, demo, none, row } from '../claim.js'

export const again: Claim = {
  name: 'again',
  title: 'The same again',
  said: 'The same recipe and recordings give the same bytes on every machine: the sums are kept with the source and compared wherever the tests run.',
  rows: [
    row(
      'demo-bytes',
      none,
      '0',
      demo,
      'stems of the demo song whose checksum differs from the list that is kept',
      'SHA-256, `examples/lantern-street/checksums.txt`',
    ),
  ],
}
