// Loaded before the command: something in the program is broken.

import { syncBuiltinESMExports } from 'node:module'
import os from 'node:os'

os.availableParallelism = () => {
  throw new TypeError('nobody thought of this')
}
syncBuiltinESMExports()
