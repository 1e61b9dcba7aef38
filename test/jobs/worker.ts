import { serve } from '../../src/jobs/pool/serve.js'
import { testTasks } from './table.js'

serve({ test: () => Promise.resolve(testTasks) })
