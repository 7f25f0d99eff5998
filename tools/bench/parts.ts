// The parts of the benchmark, in the order in which they run.
import type { Part } from './part.ts'
import { againstSolver } from './parts/against-solver.ts'
import { anyStart } from './parts/any-start.ts'
import { bounds } from './parts/bounds.ts'
import { demo } from './parts/demo.ts'
import { exporting } from './parts/exporting.ts'
import { facts } from './parts/facts.ts'
import { growth } from './parts/growth.ts'
import { importing } from './parts/importing.ts'
import { inTime } from './parts/in-time.ts'
import { published } from './parts/published.ts'
import { reliefs } from './parts/reliefs.ts'
import { replanning } from './parts/replanning.ts'
import { samePlans } from './parts/same-plans.ts'
import { seasons } from './parts/seasons.ts'
import { serving } from './parts/serving.ts'
import { starts } from './parts/starts.ts'
import { trial } from './parts/trial.ts'
import { twoHundred } from './parts/two-hundred.ts'
import { worst } from './parts/worst.ts'

export const PARTS: readonly Part[] = [
  anyStart,
  starts,
  againstSolver,
  twoHundred,
  growth,
  worst,
  inTime,
  bounds,
  demo,
  trial,
  published,
  reliefs,
  replanning,
  samePlans,
  serving,
  facts,
  importing,
  exporting,
  seasons,
]
