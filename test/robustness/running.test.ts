import { testArea } from './area-tests.js'
import { running } from './areas/running.js'

testArea(running)
