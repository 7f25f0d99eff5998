// The constraints of the search in the order in which they are asked, each in the room of its rule. V3, V6, V9, L1, C1, S1 and
// D1 are counted by the state; B1 to B6 are decided when a line's options are compiled; F1 is the first day that is free.
import type { SearchConstraint } from '../model/constraint.ts'
import { brewsPerDay, brewVolumes } from './brewing/constraint.ts'
import { drawStage } from './draw-stage/constraint.ts'
import { emptiedInTime } from './emptying/constraint.ts'
import { openDays } from './open-days/constraint.ts'
import { priming } from './priming/constraint.ts'
import { quarantine } from './quarantine/constraint.ts'
import { transfersPerDay } from './transfers-per-day/constraint.ts'
import { washing } from './washing/constraint.ts'

export const CONSTRAINTS: readonly SearchConstraint[] = [
  brewsPerDay,
  brewVolumes,
  quarantine,
  drawStage,
  emptiedInTime,
  priming,
  openDays,
  transfersPerDay,
  washing,
]
