import { testArea } from './area-tests.js'
import { paths } from './areas/paths.js'

testArea(paths)
