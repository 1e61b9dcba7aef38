import { testArea } from './area-tests.js'
import { recordings } from './areas/recordings.js'

testArea(recordings)
