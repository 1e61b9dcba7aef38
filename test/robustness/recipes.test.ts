import { testArea } from './area-tests.js'
import { recipes } from './areas/recipes.js'

testArea(recipes)
