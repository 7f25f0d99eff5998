// The limits that can be lifted one at a time to find out which of them binds a line, each in the room of its rule.
import { brewhouse } from './brewing/relaxation.ts'
import { cleanContainers } from './containers/relaxation.ts'
import { cutOffs } from './cut-off/relaxation.ts'
import { routeRoom } from './dispatching/relaxation.ts'
import { fillerMinutes } from './filling/relaxation.ts'
import { frozen } from './frozen-decisions/relaxation.ts'
import { vessels } from './occupancy/relaxation.ts'
import { priming } from './priming/relaxation.ts'
import { quarantine } from './quarantine/relaxation.ts'
import type { Relaxation } from './relaxation.ts'
import { storeRoom } from './standing/relaxation.ts'
import { readiness } from './time/relaxation.ts'
import { transfers } from './transfers-per-day/relaxation.ts'
import { washing } from './washing/relaxation.ts'

/** In the order in which they are put back: the first are given the benefit of the doubt, the last is named where several would do. */
export const RELAXATIONS: readonly Relaxation[] = [
  frozen,
  readiness,
  quarantine,
  priming,
  brewhouse,
  transfers,
  vessels,
  storeRoom,
  routeRoom,
  cutOffs,
  cleanContainers,
  fillerMinutes,
  // More minutes make up for washing too: where it is the washing, that is said.
  washing,
]
