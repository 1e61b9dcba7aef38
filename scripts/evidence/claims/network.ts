import { type Claim, demo, none, row } from '../claim.js'

export const network: Claim = {
  name: 'network',
  title: 'No network',
  said: 'Every way to the network that the engine offers is replaced by one that writes down that it was asked, in the program and in each of its threads, while the demo song is rendered.',
  rows: [
    row(
      'no-network',
      none,
      'nothing',
      demo,
      'threads of a render, and what they asked of the network',
      'the engine’s own doors: sockets, names, datagrams, fetch',
    ),
  ],
}
