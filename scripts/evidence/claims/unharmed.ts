import { type Claim, demo, none, row } from '../claim.js'

export const unharmed: Claim = {
  name: 'unharmed',
  title: 'Recordings are only read',
  said: 'Killed at 50 random moments, on a full disk, with recordings that change under its hands: `test/render/never-harm.test.ts`, `test/render/killed-render.test.ts` and `test/end-to-end/never-harm.test.ts` compare every byte.',
  rows: [
    row(
      'recordings-unchanged',
      none,
      '0',
      demo,
      'recordings of the demo song that a whole render changed',
      'SHA-256 before and after',
    ),
  ],
}
