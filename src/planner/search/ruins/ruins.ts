// Which lines to take out together: those that compete for the same beer, vessel, days or drop. The order decides bytes.
import { byAccount } from './by-account.ts'
import { byBatch } from './by-batch.ts'
import { byBeer } from './by-beer.ts'
import { byBrews } from './by-brews.ts'
import { byChance } from './by-chance.ts'
import { byTwins } from './by-twins.ts'
import { byUnsatisfied } from './by-unsatisfied.ts'
import { byWindow } from './by-window.ts'
import type { Ruin } from './ruin.ts'

/** The ruins, by how often they are chosen. */
export const RUINS: readonly { ruin: Ruin; weight: number }[] = [
  { ruin: byBeer, weight: 3 },
  { ruin: byBatch, weight: 3 },
  { ruin: byTwins, weight: 2 },
  { ruin: byWindow, weight: 3 },
  { ruin: byAccount, weight: 1 },
  { ruin: byUnsatisfied, weight: 3 },
  { ruin: byChance, weight: 1 },
  { ruin: byBrews, weight: 3 },
]
