// Every kind of fact that people say, in the order in which the API lists them.
import * as beer from './kinds/beer.ts'
import * as brews from './kinds/brews.ts'
import * as cleaning from './kinds/cleaning.ts'
import * as containers from './kinds/containers.ts'
import * as dispatches from './kinds/dispatches.ts'
import * as empties from './kinds/empties.ts'
import * as fills from './kinds/fills.ts'
import * as moves from './kinds/moves.ts'
import * as newBatches from './kinds/new-batches.ts'
import * as recalls from './kinds/recalls.ts'
import * as things from './kinds/things.ts'
import * as travel from './kinds/travel.ts'

/** By what the input calls it. */
export const FACT_INPUTS = {
  brewed: brews.brewed,
  reading: beer.reading,
  dryHopped: beer.dryHopped,
  crashBegun: beer.crashBegun,
  ready: beer.ready,
  transferred: moves.transferred,
  partTransferred: newBatches.partTransferred,
  blended: newBatches.blended,
  dumped: beer.dumped,
  batchQuarantined: beer.batchQuarantined,
  batchReleased: beer.batchReleased,
  filled: fills.filled,
  lotQuarantined: containers.lotQuarantined,
  lotReleased: containers.lotReleased,
  lotDestroyed: containers.lotDestroyed,
  issued: containers.issued,
  dispatched: dispatches.dispatched,
  delivered: travel.delivered,
  refused: travel.refused,
  recalled: recalls.recalled,
  returned: empties.returned,
  washed: empties.washed,
  bought: empties.bought,
  scrapped: empties.scrapped,
  containersLost: empties.containersLost,
  containersFound: empties.containersFound,
  foreignContainers: empties.foreignContainers,
  fleetCounted: empties.fleetCounted,
  vesselOut: things.vesselOut,
  vesselBack: things.vesselBack,
  vesselCleaned: cleaning.vesselCleaned,
  batchCounted: things.batchCounted,
  lotCounted: things.lotCounted,
  fillingEnded: things.fillingEnded,
  routeEnded: things.routeEnded,
}

export type FactInputKey = keyof typeof FACT_INPUTS

export const FACT_INPUT_KEYS = Object.keys(FACT_INPUTS).filter(isFactInputKey)

export function isFactInputKey(key: string): key is FactInputKey {
  return Object.hasOwn(FACT_INPUTS, key)
}
