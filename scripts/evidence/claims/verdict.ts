import { type Claim, none, row, verdicts } from '../claim.js'

export const verdict: Claim = {
  name: 'verdict',
  title: 'How sure it is',
  said: 'A wrong `sure` is the worst that this program can do: a shift with the wrong sign can cancel more than none. Wider sets, of other seeds, are in [measuring.md](measuring.md).',
  rows: [
    row(
      'wrongly-sure-hard',
      none,
      '0',
      verdicts,
      'wrong `sure` among hard cases made to mislead (held notes, loops, bleed, echoes, unrelated tracks)',
      'the generator of the cases knows the truth',
    ),
    row(
      'wrongly-sure-real',
      none,
      '0',
      verdicts,
      'wrong `sure` among recordings of instruments through models of real paths',
      'as above; CC0 recordings',
    ),
  ],
}
