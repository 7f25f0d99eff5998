// The checks of the planning rules in the order in which they are made, each with the rule numbers that it covers.
import { noMoreThanThereIs, rightSources, wholeLines } from './allocation.ts'
import { allBeerAccountedFor, orderWithinDay, overfill, transfers } from './beer-account.ts'
import { brewsPerDay, brewVolumes } from './brewing/check.ts'
import type { Check } from './check.ts'
import { cleanContainers } from './containers/check.ts'
import { placedInTime } from './cut-off/check.ts'
import { routeRoom } from './dispatching/check.ts'
import { drawDays } from './draw-stage/check.ts'
import { emptyWindows } from './empty-window.ts'
import { emptyInTime } from './emptying/check.ts'
import { fillerMinutes, wholeRuns } from './filling/check.ts'
import { frozenAndFixed } from './frozen-decisions/check.ts'
import { brokenPromises, lateAndUnserved } from './listed-outcomes.ts'
import { vesselOccupancy } from './occupancy/check.ts'
import { openVessels } from './open-days/check.ts'
import { priming } from './priming/check.ts'
import { quarantine } from './quarantine/check.ts'
import { arrivals, calendarDays, fitToLeave, goodLongEnough, routesOfAccounts } from './serve-window.ts'
import { emptiedWhenPastBest, storeRoom } from './standing/check.ts'
import { horizonDays, readyDays, workingDays } from './time/check.ts'
import { transfersPerDay } from './transfers-per-day/check.ts'
import { washing } from './washing/check.ts'

export const RULE_CHECKS: readonly Check[] = [
  { rules: ['DOCUMENT'], find: ({ unresolved }) => unresolved },
  { rules: ['T1'], find: readyDays },
  { rules: ['T2'], find: workingDays },
  { rules: ['T3'], find: calendarDays },
  { rules: ['T4'], find: orderWithinDay },
  { rules: ['T5'], find: horizonDays },
  { rules: ['B1'], find: arrivals },
  { rules: ['B2'], find: routesOfAccounts },
  { rules: ['B3'], find: fitToLeave },
  { rules: ['B4'], find: goodLongEnough },
  { rules: ['B5'], find: emptyWindows },
  { rules: ['B6'], find: placedInTime },
  { rules: ['V1'], find: brewsPerDay },
  { rules: ['V2'], find: brewVolumes },
  { rules: ['V3'], find: vesselOccupancy },
  { rules: ['V4'], find: drawDays },
  { rules: ['V5'], find: emptyInTime },
  { rules: ['V6'], find: transfers },
  { rules: ['V7'], find: priming },
  { rules: ['V8'], find: quarantine },
  { rules: ['V9'], find: allBeerAccountedFor },
  { rules: ['V10'], find: openVessels },
  { rules: ['V11'], find: transfersPerDay },
  { rules: ['L1'], find: fillerMinutes },
  { rules: ['L2'], find: overfill },
  { rules: ['L3'], find: wholeRuns },
  { rules: ['L4'], find: washing },
  { rules: ['C1'], find: cleanContainers },
  { rules: ['S1'], find: storeRoom },
  { rules: ['S2'], find: emptiedWhenPastBest },
  { rules: ['D1'], find: routeRoom },
  { rules: ['A1'], find: rightSources },
  { rules: ['A2'], find: noMoreThanThereIs },
  { rules: ['A3'], find: wholeLines },
  { rules: ['F1'], find: frozenAndFixed },
  { rules: ['F2'], find: brokenPromises },
  { rules: ['E1'], find: lateAndUnserved },
]
